"""The store on one small box: an SQLite database and a shelf of photos."""

from __future__ import annotations

from pathlib import Path

from fillfirst.store.database import SqliteDatabase, open_database
from fillfirst.store.events import SqlEvents
from fillfirst.store.shelf import FolderShelf, Shelf
from fillfirst.store.sql import SqlStore, name_server

FILE_NAME = "fillfirst.db"
PHOTO_FOLDER = "photos"


class SqliteStore(SqlStore):
    """See `interface.Store`. Make it with `open_store`."""

    def __init__(self, database: SqliteDatabase, folder: Path, shelf: Shelf | None = None) -> None:
        photos = folder / PHOTO_FOLDER
        super().__init__(database, SqlEvents(database), shelf or FolderShelf(photos), photos / "parts")


async def open_store(folder: Path, *, now_ms: int, shelf: Shelf | None = None) -> SqliteStore:
    """Open the store in this folder, or begin one. Raises StoreError."""
    database = await open_database(folder / FILE_NAME, now_ms=now_ms)
    try:
        await database.write(name_server)
        return SqliteStore(database, folder, shelf)
    except BaseException:
        await database.close()
        raise
