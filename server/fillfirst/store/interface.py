"""What the rest of the server may ask of its storage, and nothing of how it is done.

It exists so that another database can take SQLite's place without a change elsewhere. Every method that
writes answers only after the write is durable. Moments are milliseconds since 1970, UTC, given by the caller.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Literal, NamedTuple, Protocol

# An owner may do everything; a helper records work, and cannot let in, send away, share or restore.
Role = Literal["owner", "helper"]
# What a link shows to whoever holds it.
Opens = Literal["record", "calendar"]


class NewEvent(NamedTuple):
    """An event as a phone offers it: the parts the store sorts by, and `text`, exactly as received."""

    id: str
    device: str
    n: int
    ms: int
    c: int
    seen: int
    wall: str
    kind: str
    v: int
    subject: str
    text: str


class StoredEvent(NamedTuple):
    """An event as it is passed on: the server's own two notes, and the text as received."""

    seq: int
    received_at_ms: int
    text: str


class NewRefusal(NamedTuple):
    """An event that was not taken, so that its device need not wait for it."""

    device: str
    n: int
    code: str


class Standing(NamedTuple):
    """How far a device has come: `ack` is the highest n with everything up to it accepted or refused."""

    ack: int
    highest: int


class Verdict(Enum):
    """What became of one offered event."""

    ACCEPTED = "accepted"
    SAME_ID_OTHER_CONTENT = "same_id_other_content"
    SAME_COUNT_OTHER_EVENT = "same_count_other_event"


@dataclass(frozen=True, slots=True)
class EventPage:
    """Events after a cursor, in the order they were committed; `more` if there are others behind them."""

    events: Sequence[StoredEvent]
    more: bool


@dataclass(frozen=True, slots=True)
class Meta:
    """Who this server is. The epoch is new whenever part of the history may have been lost."""

    server_id: str
    epoch: str


@dataclass(frozen=True, slots=True)
class Device:
    """A browser that was let in."""

    id: int
    name: str
    created_at_ms: int
    last_seen_at_ms: int
    clock_offset_ms: int | None
    revoked_at_ms: int | None
    role: Role
    app: str | None = None
    """The version of the app that it last synced with."""


@dataclass(frozen=True, slots=True)
class Link:
    """A secret address that shows one thing to whoever holds it."""

    id: int
    opens: Opens
    subject: str
    """The visit whose record it is; of a calendar the car, or nothing for every car."""
    name: str
    created_at_ms: int
    last_seen_at_ms: int | None
    revoked_at_ms: int | None


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo that is wholly here."""

    sha256: str
    type: str
    size: int
    path: Path | None
    """The file that holds it, where it is one of this machine."""


class Events(Protocol):
    """The log: only ever added to."""

    async def push(
        self, events: Sequence[NewEvent], refusals: Sequence[NewRefusal], *, pushed_by: int, now_ms: int
    ) -> list[Verdict]:
        """Add each event that is new, note each refusal, and answer with one verdict for each event.

        An event that is already here with the same content is accepted again and changes nothing.
        """
        ...

    async def get_after(self, cursor: int, *, limit: int, limit_bytes: int) -> EventPage: ...

    async def get_head(self) -> int:
        """The newest sequence number; 0 when there is none."""
        ...

    async def get_standing(self, device: str) -> Standing: ...

    async def get_gaps(self, device: str, *, above: int, limit: int) -> list[tuple[int, int]]:
        """The first and last n of each stretch missing between `above` and the highest n, lowest first."""
        ...

    async def get_of_subject(self, subject: str) -> list[StoredEvent]: ...

    async def get_of_kind(self, kind: str) -> list[StoredEvent]: ...


class Devices(Protocol):
    """Who is let in."""

    async def offer_code(
        self, code_sha256: bytes, *, role: Role, expires_at_ms: int, now_ms: int
    ) -> None: ...

    async def count_try(self, *, now_ms: int) -> bool:
        """Count a try of a code. False if there were ten in the last minute, in all processes together."""
        ...

    async def let_in(
        self, code_sha256: bytes, token_sha256: bytes, name: str, *, replaces: int | None, now_ms: int
    ) -> Device | None:
        """Use the code up and add the device in the role that the code gives, both or neither.

        None if no such code waits; that is counted as a try against every code that does.
        """
        ...

    async def find(self, token_sha256: bytes) -> Device | None:
        """The device with this token, unless it was sent away."""
        ...

    async def note_seen(
        self, device: int, *, clock_offset_ms: int | None, app: str | None, now_ms: int
    ) -> None: ...

    async def list_all(self) -> list[Device]: ...

    async def change(self, device: int, *, name: str | None, role: Role | None) -> Device | None:
        """Name a device anew, or give it another role; None if no such device is let in."""
        ...

    async def revoke(self, device: int, *, now_ms: int) -> bool:
        """Send a device away; its events stay. False if there is no such device."""
        ...


class Links(Protocol):
    """Secret addresses, and what each of them shows."""

    async def add(
        self, secret_sha256: bytes, opens: Opens, subject: str, name: str, *, created_by: int, now_ms: int
    ) -> Link: ...

    async def find(self, secret_sha256: bytes) -> Link | None:
        """The link with this secret, unless it was taken back."""
        ...

    async def note_seen(self, link: int, *, now_ms: int) -> None: ...

    async def list_all(self) -> list[Link]: ...

    async def revoke(self, link: int, *, now_ms: int) -> bool:
        """Take a link back. False if there is no such link."""
        ...


class Photos(Protocol):
    """Pictures, by the hash of their bytes."""

    async def put(self, sha256: str, chunks: AsyncIterator[bytes], *, pushed_by: int, now_ms: int) -> Photo:
        """Keep a photo; keeping it twice is keeping it once. Raises RequestError."""
        ...

    async def get(self, sha256: str) -> Photo | None: ...

    def read(self, sha256: str) -> AsyncIterator[bytes]:
        """The bytes of a photo that is here, part by part. Raises StoreError."""
        ...


class Catalogs(Protocol):
    """Every catalog ever served, by hash."""

    async def keep(self, hash: str, json: bytes, *, made_from: str, now_ms: int) -> None: ...

    async def get(self, hash: str) -> bytes | None: ...

    async def find_newest(self) -> tuple[str, bytes] | None:
        """The hash and bytes of the catalog that was in service last, if any was."""
        ...

    async def find_made_from(self, made_from: str) -> tuple[str, bytes] | None:
        """The hash and bytes of the catalog that was built from exactly this, if it was ever built."""
        ...


class Store(Protocol):
    """Everything that lasts."""

    @property
    def events(self) -> Events: ...
    @property
    def devices(self) -> Devices: ...
    @property
    def links(self) -> Links: ...
    @property
    def photos(self) -> Photos: ...
    @property
    def catalogs(self) -> Catalogs: ...

    @property
    def waiting(self) -> int:
        """How many writes of this process wait for the disk."""
        ...

    async def get_meta(self) -> Meta: ...

    async def begin_epoch(self, *, instead_of: str | None = None) -> Meta:
        """Begin a new epoch: every phone will offer again what it holds.

        With `instead_of` only if that one is still the present one: of two that ask at once, one begins it.
        """
        ...

    async def close(self) -> None: ...
