"""A store in one database, whichever it is, and a shelf of photos."""

from __future__ import annotations

import uuid
from pathlib import Path

from fillfirst.store.catalogs import SqlCatalogs
from fillfirst.store.connection import Connection, Database
from fillfirst.store.devices import SqlDevices
from fillfirst.store.events import SqlEvents
from fillfirst.store.interface import Meta
from fillfirst.store.links import SqlLinks
from fillfirst.store.photos import SqlPhotos
from fillfirst.store.shelf import Shelf


class SqlStore:
    """See `interface.Store`."""

    def __init__(self, database: Database, events: SqlEvents, shelf: Shelf, parts: Path) -> None:
        self._database = database
        self._shelf = shelf
        self.events = events
        self.devices = SqlDevices(database)
        self.links = SqlLinks(database)
        self.photos = SqlPhotos(database, shelf, parts)
        self.catalogs = SqlCatalogs(database)

    @property
    def database(self) -> Database:
        """The database itself, for what reads or writes all of it."""
        return self._database

    @property
    def shelf(self) -> Shelf:
        return self._shelf

    @property
    def waiting(self) -> int:
        return self._database.waiting

    async def get_meta(self) -> Meta:
        rows = await self._database.read("SELECT server_id, epoch FROM meta")
        return Meta(*rows[0])

    async def begin_epoch(self, *, instead_of: str | None = None) -> Meta:
        new = str(uuid.uuid4())
        if instead_of is None:
            await self._database.execute("UPDATE meta SET epoch = ?", (new,))
        else:
            await self._database.execute("UPDATE meta SET epoch = ? WHERE epoch = ?", (new, instead_of))
        return await self.get_meta()

    async def close(self) -> None:
        await self._shelf.close()
        await self._database.close()


async def name_server(connection: Connection) -> None:
    """Give a new store its name and its first epoch."""
    await connection.execute(
        "INSERT INTO meta (server_id, epoch) SELECT ?, ? WHERE NOT EXISTS (SELECT 1 FROM meta)",
        (str(uuid.uuid4()), str(uuid.uuid4())),
    )
