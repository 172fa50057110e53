"""Puts a backup in place of what is there.

Nothing is touched before all of the backup was checked, and nothing is thrown away.
"""

from __future__ import annotations

import asyncio
import sqlite3
import tempfile
from collections.abc import Awaitable, Callable
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from fillfirst.keeping.archive import DATABASE, Manifest, read_archive
from fillfirst.keeping.backup import PHOTOS, check_database
from fillfirst.keeping.house import put_house
from fillfirst.store.copying import copy_rows
from fillfirst.store.sql import SqlStore
from fillfirst.store.sqlite import FILE_NAME, open_store

# A database is up to three files while it is open.
ENDINGS = ("", "-wal", "-shm")


class Restored(NamedTuple):
    """What was put back."""

    manifest: Manifest
    set_aside: Path | None
    """Where the database that was there is now."""
    photo_count: int
    sent_away: list[str]
    """Devices that the backup would have let in again, though they had been sent away since."""
    house: list[str]
    """Settings, authority and keys that were put where there were none."""


async def restore(
    path: Path,
    data: Path,
    *,
    passphrase: str | None,
    now_ms: int,
    open_target: Callable[[], Awaitable[SqlStore]],
    is_in_folder: bool,
) -> Restored:
    """Put the backup into the data folder, or into the empty database elsewhere that `open_target` opens.

    A new epoch makes the phones offer again all that they hold, so what came after the backup comes back.
    Raises BackupError or StoreError.
    """
    data.mkdir(parents=True, exist_ok=True, mode=0o700)
    with tempfile.TemporaryDirectory(prefix=".restore-", dir=data) as temporary:
        folder = Path(temporary)
        manifest = await asyncio.to_thread(read_archive, path, passphrase, folder)
        check_database(folder / DATABASE, manifest)
        # Brought up to this version's shape here, where nothing depends on it yet.
        copy = await open_store(folder, now_ms=now_ms)
        set_aside = None
        try:
            revoked = _read_revoked(data / FILE_NAME, manifest.server_id) if is_in_folder else {}
            sent_away = await _send_away(copy, revoked)
            await copy.begin_epoch()
            if not is_in_folder:
                target = await open_target()
                try:
                    await copy_rows(copy, target)
                    photo_count = await _put_photos(folder, target, manifest)
                finally:
                    await target.close()
        finally:
            await copy.close()
        if is_in_folder:
            set_aside = _set_aside(data, now_ms)
            (folder / DATABASE).replace(data / FILE_NAME)
            target = await open_target()
            try:
                photo_count = await _put_photos(folder, target, manifest)
            finally:
                await target.close()
        house = await asyncio.to_thread(put_house, folder, data)
    return Restored(manifest, set_aside, photo_count, sent_away, house)


def _read_revoked(database: Path, server_id: str) -> dict[bytes, int]:
    """Who was sent away until now, as far as the database that is there can still say."""
    if not database.exists():
        return {}
    try:
        with closing(sqlite3.connect(database)) as connection:
            if connection.execute("SELECT server_id FROM meta").fetchall() != [(server_id,)]:
                return {}
            return dict(
                connection.execute(
                    "SELECT token_sha256, revoked_at_ms FROM devices WHERE revoked_at_ms IS NOT NULL"
                )
            )
    except sqlite3.Error:
        return {}


async def _send_away(store: SqlStore, revoked: dict[bytes, int]) -> list[str]:
    names = []
    for token_sha256, revoked_at_ms in revoked.items():
        device = await store.devices.find(token_sha256)
        if device is not None and await store.devices.revoke(device.id, now_ms=revoked_at_ms):
            names.append(device.name)
    return names


def _set_aside(data: Path, now_ms: int) -> Path | None:
    if not (data / FILE_NAME).exists():
        return None
    folder = data / f"before-restore-{now_ms}"
    folder.mkdir(mode=0o700)
    for ending in ENDINGS:
        file = data / f"{FILE_NAME}{ending}"
        if file.exists():
            file.replace(folder / file.name)
    return folder


async def _put_photos(folder: Path, store: SqlStore, manifest: Manifest) -> int:
    count = 0
    spoilt = set(manifest.spoilt_photos)
    for path in sorted((folder / PHOTOS).rglob("*")):
        if not path.is_file() or path.name in spoilt:
            continue
        count += 1
        if not await store.shelf.has(path.name):
            await store.shelf.put(path, path.name)
    return count
