"""Makes a backup while the server runs, reads it back, and throws the oldest ones away."""

from __future__ import annotations

import asyncio
import os
import sqlite3
import tempfile
from contextlib import closing, suppress
from pathlib import Path
from typing import NamedTuple

from fillfirst import __version__
from fillfirst.errors import BackupError
from fillfirst.keeping.archive import (
    DATABASE,
    FORMAT,
    ArchiveWriter,
    Manifest,
    read_archive,
)
from fillfirst.keeping.folder import WORK_PREFIX, clear, name_backup, prune
from fillfirst.keeping.house import list_house
from fillfirst.store.copying import copy_rows, list_photos
from fillfirst.store.migrations import read_migrations
from fillfirst.store.sql import SqlStore
from fillfirst.store.sqlite import open_store

PHOTOS = "photos"


class Backup(NamedTuple):
    """A backup that was made and read back."""

    path: Path
    size: int
    manifest: Manifest


async def make_backup(
    store: SqlStore,
    folder: Path,
    *,
    data: Path,
    passphrase: str | None,
    keep: int,
    keep_months: int = 0,
    now_ms: int,
) -> Backup:
    """Write one file into this folder, read it back, then throw away those that `prune` says.

    The server may go on meanwhile: the database is copied as of one moment, and a photo that its row names
    is on the shelf already. What is in the clear on its way lies in the data folder, since the disk of the
    backups may be one that others read. Raises BackupError or StoreError; what is not whole is not left.
    """
    path = folder / name_backup(now_ms, is_sealed=passphrase is not None)
    part = path.with_name(f"{path.name}.part")
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        clear(data)
        with tempfile.TemporaryDirectory(prefix=WORK_PREFIX, dir=data) as temporary:
            house = list_house(data) if passphrase is not None else []
            manifest = await _write(store, part, Path(temporary), house, passphrase, now_ms)
        await asyncio.to_thread(verify_backup, part, passphrase, data)
        await asyncio.to_thread(_put_in_place, part, path)
        size = path.stat().st_size
        prune(folder, keep=keep, keep_months=keep_months)
    except OSError as error:
        raise BackupError(
            "not_written",
            f"The backup could not be written to {folder}: {error.strerror or error}.",
            "Look at the space on that disk, and whether it is there.",
        ) from error
    finally:
        with suppress(OSError):
            await asyncio.to_thread(part.unlink, missing_ok=True)
    return Backup(path, size, manifest)


async def _write(
    store: SqlStore,
    path: Path,
    temporary: Path,
    house: list[tuple[str, Path]],
    passphrase: str | None,
    now_ms: int,
) -> Manifest:
    copy = await open_store(temporary / "copy", now_ms=now_ms)
    try:
        contents = await copy_rows(store, copy)
        server_id = (await copy.get_meta()).server_id
        photos = [sha256 async for sha256, _ in list_photos(copy.database)]
    finally:
        await copy.close()
    database = temporary / "copy" / DATABASE
    await asyncio.to_thread(_close_up, database)
    archive = await asyncio.to_thread(ArchiveWriter, path, passphrase)
    try:
        await asyncio.to_thread(archive.add, DATABASE, database)
        for name, file in house:
            await asyncio.to_thread(archive.add, name, file)
        missing, spoilt = await _add_photos(archive, store, photos, temporary)
        manifest = Manifest(
            format=FORMAT,
            version=__version__,
            made_at_ms=now_ms,
            server_id=server_id,
            schema_number=len(read_migrations()),
            rows={table: content.row_count for table, content in contents.items()},
            files=archive.files,
            missing_photos=missing,
            spoilt_photos=spoilt,
        )
        await asyncio.to_thread(archive.finish, manifest)
    finally:
        archive.close()
    return manifest


def _close_up(database: Path) -> None:
    """Make one file of the database; its journal would be left behind."""
    with closing(sqlite3.connect(database)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")


async def _add_photos(
    archive: ArchiveWriter, store: SqlStore, photos: list[str], temporary: Path
) -> tuple[list[str], list[str]]:
    """Which photos are not on the shelf, and which are not what they were; these go in all the same."""
    missing, spoilt = [], []
    for sha256 in photos:
        if not await store.shelf.has(sha256):
            missing.append(sha256)
            continue
        path = store.shelf.find_path(sha256)
        if path is None:
            path = temporary / "photo"
            with path.open("wb") as file:
                async for chunk in store.shelf.read(sha256):
                    await asyncio.to_thread(file.write, chunk)
        if await asyncio.to_thread(archive.add, f"{PHOTOS}/{sha256[:2]}/{sha256}", path) != sha256:
            spoilt.append(sha256)
    return missing, spoilt


def verify_backup(path: Path, passphrase: str | None, data: Path) -> Manifest:
    """Read a backup from end to end, and its database too. Raises BackupError."""
    with tempfile.TemporaryDirectory(prefix=WORK_PREFIX, dir=data) as temporary:
        manifest = read_archive(path, passphrase, Path(temporary), keeps=lambda name: name == DATABASE)
        check_database(Path(temporary) / DATABASE, manifest)
    return manifest


def check_database(database: Path, manifest: Manifest) -> None:
    """Whether it is sound and has as many rows as the manifest says. Raises BackupError."""
    try:
        with closing(sqlite3.connect(f"file:{database}?mode=ro&immutable=1", uri=True)) as connection:
            sound = connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            rows = {
                table: int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0])
                for table in manifest.rows
                if table.isidentifier()
            }
    except sqlite3.Error as error:
        raise BackupError("damaged", "The database in the backup cannot be read.") from error
    if not sound or rows != manifest.rows:
        raise BackupError("damaged", "The database in the backup is not what was put in.")


def _put_in_place(part: Path, path: Path) -> None:
    part.replace(path)
    descriptor = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
