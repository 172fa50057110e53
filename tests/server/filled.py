"""A store with something of everything in it."""

from __future__ import annotations

from collections.abc import AsyncIterator

from samples import JPEG, JPEG_SHA256, NOW_MS, make_new

from fillfirst.store.interface import NewRefusal
from fillfirst.store.sql import SqlStore


async def fill(store: SqlStore) -> None:
    """Something in every table that lasts."""

    async def stream() -> AsyncIterator[bytes]:
        yield JPEG

    await store.events.push(
        [make_new(1), make_new(2, wall="2026-05-04T10:42:00.1234Z"), make_new(3, kind="song-sung")],
        [NewRefusal("phone-2", 1, "bad_shape")],
        pushed_by=1,
        now_ms=NOW_MS,
    )
    await store.photos.put(JPEG_SHA256, stream(), pushed_by=1, now_ms=NOW_MS)
    await store.catalogs.keep("a" * 64, b'{"format":1}', made_from="tiny", now_ms=NOW_MS)
    for code, name in ((b"1", "garage phone"), (b"2", "yard phone")):
        await store.devices.offer_code(code, role="owner", expires_at_ms=NOW_MS + 1, now_ms=NOW_MS)
        await store.devices.let_in(code, b"token" + code, name, replaces=None, now_ms=NOW_MS)
    await store.devices.offer_code(b"waits", role="owner", expires_at_ms=NOW_MS + 1, now_ms=NOW_MS)
    await store.links.add(b"link", "record", "visit-1", "for the customer", created_by=1, now_ms=NOW_MS)
