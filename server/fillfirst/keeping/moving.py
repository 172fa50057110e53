"""Moves a store into another database, and looks whether everything arrived."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import NamedTuple

from fillfirst.errors import StoreError
from fillfirst.store.copying import Contents, copy_rows, hash_photo, list_photos, measure
from fillfirst.store.sql import SqlStore


class Moved(NamedTuple):
    """What is in the new place."""

    contents: Contents
    photo_count: int
    missing_photos: list[str]


async def move(source: SqlStore, target: SqlStore, *, moves_photos: bool) -> Moved:
    """Copy everything, then count and hash both sides. The source stays as it is.

    Epoch and numbers stay the same, so phones go on as if nothing had happened. Raises StoreError.
    """
    copied = await copy_rows(source, target)
    found = await measure(target)
    if differing := [table for table in copied if copied[table] != found[table]]:
        raise StoreError(
            f"What arrived in the new database is not what was sent: {', '.join(differing)}.",
            "Empty the new database and try again. The old one is as it was.",
        )
    photo_count, missing = 0, []
    async for sha256, _ in list_photos(source.database):
        if moves_photos and not await _move_photo(source, target, sha256):
            missing.append(sha256)
        else:
            photo_count += 1
    return Moved(found, photo_count, missing)


async def _move_photo(source: SqlStore, target: SqlStore, sha256: str) -> bool:
    """False if the old shelf has it no more."""
    if not await target.shelf.has(sha256):
        if not await source.shelf.has(sha256):
            return False
        with tempfile.TemporaryDirectory() as temporary:
            part = Path(temporary) / sha256
            with part.open("wb") as file:
                async for chunk in source.shelf.read(sha256):
                    file.write(chunk)
            await target.shelf.put(part, sha256)
    if await hash_photo(target.shelf, sha256) != sha256:
        raise StoreError(
            f"The photo {sha256[:12]}… did not arrive as it was sent.", "Look at both disks, then try again."
        )
    return True
