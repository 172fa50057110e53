"""Secret addresses that show one thing each. Of their secrets only the hashes are kept."""

from __future__ import annotations

from fillfirst.store.connection import Database, Row
from fillfirst.store.interface import Link, Opens

COLUMNS = "id, opens, subject, name, created_at_ms, last_seen_at_ms, revoked_at_ms"


class SqlLinks:
    """See `interface.Links`."""

    def __init__(self, database: Database) -> None:
        self._database = database

    async def add(
        self, secret_sha256: bytes, opens: Opens, subject: str, name: str, *, created_by: int, now_ms: int
    ) -> Link:
        await self._database.execute(
            "INSERT INTO links (secret_sha256, opens, subject, name, created_by, created_at_ms)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            (secret_sha256, opens, subject, name, created_by, now_ms),
        )
        added = await self.find(secret_sha256)
        assert added is not None
        return added

    async def find(self, secret_sha256: bytes) -> Link | None:
        rows = await self._database.read(
            f"SELECT {COLUMNS} FROM links WHERE secret_sha256 = ? AND revoked_at_ms IS NULL", (secret_sha256,)
        )
        return _read(rows[0]) if rows else None

    async def note_seen(self, link: int, *, now_ms: int) -> None:
        await self._database.execute("UPDATE links SET last_seen_at_ms = ? WHERE id = ?", (now_ms, link))

    async def list_all(self) -> list[Link]:
        return [_read(row) for row in await self._database.read(f"SELECT {COLUMNS} FROM links ORDER BY id")]

    async def revoke(self, link: int, *, now_ms: int) -> bool:
        sql = "UPDATE links SET revoked_at_ms = ? WHERE id = ? AND revoked_at_ms IS NULL"
        return await self._database.execute(sql, (now_ms, link)) > 0


def _read(row: Row) -> Link:
    return Link(*row)
