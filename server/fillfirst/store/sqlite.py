"""The store on one small box: an SQLite database and a folder of photos."""

from __future__ import annotations

import uuid
from pathlib import Path

import aiosqlite

from fillfirst.store.catalogs import SqliteCatalogs
from fillfirst.store.database import Database, open_database
from fillfirst.store.devices import SqliteDevices
from fillfirst.store.events import SqliteEvents
from fillfirst.store.interface import Meta
from fillfirst.store.photos import SqlitePhotos

FILE_NAME = "fillfirst.db"
PHOTO_FOLDER = "photos"


class SqliteStore:
    """See `interface.Store`. Make it with `open_store`."""

    def __init__(self, database: Database, folder: Path) -> None:
        self._database = database
        self.events = SqliteEvents(database)
        self.devices = SqliteDevices(database)
        self.photos = SqlitePhotos(database, folder / PHOTO_FOLDER)
        self.catalogs = SqliteCatalogs(database)

    async def get_meta(self) -> Meta:
        rows = await self._database.read("SELECT server_id, epoch FROM meta")
        return Meta(*rows[0])

    async def begin_epoch(self) -> Meta:
        await self._database.execute("UPDATE meta SET epoch = ?", (str(uuid.uuid4()),))
        return await self.get_meta()

    async def close(self) -> None:
        await self._database.close()


async def open_store(folder: Path, *, now_ms: int) -> SqliteStore:
    """Open the store in this folder, or begin one. Raises StoreError."""
    database = await open_database(folder / FILE_NAME, now_ms=now_ms)

    async def name_server(connection: aiosqlite.Connection) -> None:
        await connection.execute(
            "INSERT INTO meta (server_id, epoch) SELECT ?, ? WHERE NOT EXISTS (SELECT 1 FROM meta)",
            (str(uuid.uuid4()), str(uuid.uuid4())),
        )

    try:
        await database.write(name_server)
        return SqliteStore(database, folder)
    except BaseException:
        await database.close()
        raise
