"""Devices and one-time codes. Of secrets only their hashes are kept."""

from __future__ import annotations

from fillfirst.store.connection import Connection, Database, Row
from fillfirst.store.interface import Device, Role

TRIES_A_CODE = 5
MINUTE_MS = 60 * 1000
REVOKE = "UPDATE devices SET revoked_at_ms = ? WHERE id = ? AND revoked_at_ms IS NULL"
COLUMNS = "id, name, created_at_ms, last_seen_at_ms, clock_offset_ms, revoked_at_ms, role, app"


class SqlDevices:
    """See `interface.Devices`."""

    def __init__(self, database: Database) -> None:
        self._database = database

    async def offer_code(self, code_sha256: bytes, *, role: Role, expires_at_ms: int, now_ms: int) -> None:
        async def work(connection: Connection) -> None:
            await connection.execute("DELETE FROM pairing_codes WHERE expires_at_ms <= ?", (now_ms,))
            await connection.execute(
                "INSERT INTO pairing_codes (code_sha256, role, expires_at_ms) VALUES (?, ?, ?)",
                (code_sha256, role, expires_at_ms),
            )

        await self._database.write(work)

    async def count_try(self, *, now_ms: int) -> bool:
        # A clock that was put back must not keep everybody out.
        is_free = "(tried_at_ms <= ? OR tried_at_ms > ?)"
        times = (now_ms - MINUTE_MS, now_ms)
        sql = (
            f"UPDATE code_tries SET tried_at_ms = ? WHERE {is_free}"
            f" AND place = (SELECT min(place) FROM code_tries WHERE {is_free})"
        )
        # Of two that take the same place at once one gets it; the other looks for the next.
        while not await self._database.execute(sql, (now_ms, *times, *times)):
            if not await self._database.read(f"SELECT 1 FROM code_tries WHERE {is_free} LIMIT 1", times):
                return False
        return True

    async def let_in(
        self, code_sha256: bytes, token_sha256: bytes, name: str, *, replaces: int | None, now_ms: int
    ) -> Device | None:
        waits = f"WHERE used_at_ms IS NULL AND expires_at_ms > ? AND tries < {TRIES_A_CODE}"

        async def work(connection: Connection) -> Device | None:
            used = await connection.fetch(
                f"UPDATE pairing_codes SET used_at_ms = ? {waits} AND code_sha256 = ? RETURNING role",
                (now_ms, now_ms, code_sha256),
            )
            if not used:
                # A wrong code is meant for one of the waiting ones; nobody can tell for which.
                await connection.execute(f"UPDATE pairing_codes SET tries = tries + 1 {waits}", (now_ms,))
                return None
            if replaces is not None:
                await connection.execute(REVOKE, (now_ms, replaces))
            added = await connection.fetch(
                "INSERT INTO devices (token_sha256, name, created_at_ms, last_seen_at_ms, role)"
                f" VALUES (?, ?, ?, ?, ?) RETURNING {COLUMNS}",
                (token_sha256, name, now_ms, now_ms, used[0][0]),
            )
            return _read(added[0])

        return await self._database.write(work)

    async def find(self, token_sha256: bytes) -> Device | None:
        rows = await self._database.read(
            f"SELECT {COLUMNS} FROM devices WHERE token_sha256 = ? AND revoked_at_ms IS NULL", (token_sha256,)
        )
        return _read(rows[0]) if rows else None

    async def note_seen(
        self, device: int, *, clock_offset_ms: int | None, app: str | None, now_ms: int
    ) -> None:
        await self._database.execute(
            "UPDATE devices SET last_seen_at_ms = ?, clock_offset_ms = coalesce(?, clock_offset_ms),"
            " app = coalesce(?, app) WHERE id = ?",
            (now_ms, clock_offset_ms, app, device),
        )

    async def list_all(self) -> list[Device]:
        return [_read(row) for row in await self._database.read(f"SELECT {COLUMNS} FROM devices ORDER BY id")]

    async def change(self, device: int, *, name: str | None, role: Role | None) -> Device | None:
        rows = await self._database.write(
            lambda connection: connection.fetch(
                "UPDATE devices SET name = coalesce(?, name), role = coalesce(?, role)"
                f" WHERE id = ? AND revoked_at_ms IS NULL RETURNING {COLUMNS}",
                (name, role, device),
            )
        )
        return next((_read(row) for row in rows), None)

    async def revoke(self, device: int, *, now_ms: int) -> bool:
        return await self._database.execute(REVOKE, (now_ms, device)) > 0


def _read(row: Row) -> Device:
    return Device(*row)
