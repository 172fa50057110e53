"""Lets devices in with a one-time code, knows them again by their token, and slows down whoever guesses."""

from __future__ import annotations

from typing import NamedTuple

from fillfirst.access.secrets import hash_secret, make_code, make_token, read_code
from fillfirst.errors import RequestError
from fillfirst.store.interface import Device, Role, Store

CODE_LIFE_MS = 10 * 60 * 1000
# A device's "last seen" is for a person to read; writing it at every round would flush the disk for nothing.
SEEN_EVERY_MS = 60 * 1000
NAME_LIMIT = 60


class LetIn(NamedTuple):
    """A new device and the token it will show from now on."""

    device: Device
    token: str


class Doorkeeper:
    """Who is let in, as the store knows; several processes on one store are one doorkeeper."""

    def __init__(self, store: Store) -> None:
        self._store = store

    async def let_in(self, typed: str, name: str, *, replaces: Device | None, now_ms: int) -> LetIn:
        """Use up a one-time code. Raises RequestError."""
        if not await self._store.devices.count_try(now_ms=now_ms):
            raise RequestError(
                429,
                "too_many_tries",
                "There were too many tries in the last minute.",
                "Wait a minute, then try again.",
            )
        token = make_token()
        device = await self._store.devices.let_in(
            hash_secret(read_code(typed) or ""),
            hash_secret(token),
            cut_name(name),
            replaces=replaces.id if replaces else None,
            now_ms=now_ms,
        )
        if device is None:
            raise RequestError(
                403,
                "code_not_valid",
                "This code is not valid: it may be mistyped, used already, or older than ten minutes.",
                "Type it again, or ask for a new one with: fillfirst pair",
            )
        return LetIn(device, token)

    async def recognise(self, token: str | None) -> Device | None:
        return await self._store.devices.find(hash_secret(token)) if token else None

    async def note_seen(
        self, device: Device, *, clock_offset_ms: int | None, app: str | None = None, now_ms: int
    ) -> None:
        is_other_app = app is not None and app != device.app
        if is_other_app or now_ms - device.last_seen_at_ms >= SEEN_EVERY_MS:
            await self._store.devices.note_seen(
                device.id, clock_offset_ms=clock_offset_ms, app=app, now_ms=now_ms
            )


async def offer_code(store: Store, *, now_ms: int, role: Role = "owner") -> str:
    """Make a one-time code that lets one device in."""
    code = make_code()
    await store.devices.offer_code(
        hash_secret(code), role=role, expires_at_ms=now_ms + CODE_LIFE_MS, now_ms=now_ms
    )
    return code


def cut_name(name: str) -> str:
    """What a person calls a device, as one short line."""
    return " ".join(name.split())[:NAME_LIMIT].strip() or "unnamed"


def write_link(address: str, code: str) -> str:
    """The address that lets a browser in; what follows # is never sent to a server or written in a log."""
    return f"{address}/#let-in={code}"
