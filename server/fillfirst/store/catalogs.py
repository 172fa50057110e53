"""Every catalog ever served: an old visit is read with the catalog it began with."""

from __future__ import annotations

from fillfirst.store.connection import Database


class SqlCatalogs:
    """See `interface.Catalogs`."""

    def __init__(self, database: Database) -> None:
        self._database = database

    async def keep(self, hash: str, json: bytes, *, made_from: str, now_ms: int) -> None:
        await self._database.execute(
            "INSERT INTO catalogs (hash, json, made_from, kept_at_ms) VALUES (?, ?, ?, ?)"
            " ON CONFLICT (hash) DO UPDATE"
            " SET made_from = excluded.made_from, kept_at_ms = excluded.kept_at_ms",
            (hash, json, made_from, now_ms),
        )

    async def get(self, hash: str) -> bytes | None:
        rows = await self._database.read("SELECT json FROM catalogs WHERE hash = ?", (hash,))
        return bytes(rows[0][0]) if rows else None

    async def find_newest(self) -> tuple[str, bytes] | None:
        rows = await self._database.read(
            "SELECT hash, json FROM catalogs ORDER BY kept_at_ms DESC, hash LIMIT 1"
        )
        return (str(rows[0][0]), bytes(rows[0][1])) if rows else None

    async def find_made_from(self, made_from: str) -> tuple[str, bytes] | None:
        rows = await self._database.read("SELECT hash, json FROM catalogs WHERE made_from = ?", (made_from,))
        return (str(rows[0][0]), bytes(rows[0][1])) if rows else None
