"""Copies all that a store holds into another one, whichever databases they are, and compares the two.

Backup, restore and the move to another database are this and nothing else, so one way of copying is tested by
all three.
"""

from __future__ import annotations

import hashlib
from collections.abc import AsyncIterator
from typing import NamedTuple

from fillfirst.errors import StoreError
from fillfirst.store.connection import Connection, Database, Row
from fillfirst.store.shelf import Shelf
from fillfirst.store.sql import SqlStore

# The columns of every table that lasts, the first ones naming the row.
TABLES: dict[str, tuple[str, ...]] = {
    "meta": ("server_id", "epoch"),
    "words": ("id", "word"),
    "events": (
        "seq", "id", "device", "n", "subject", "kind", "ms", "c", "seen", "wall", "v", "body",
        "pushed_by", "received_at_ms",
    ),
    "refusals": ("device", "n", "code", "refused_at_ms"),
    "acks": ("device", "n"),
    "devices": (
        "id", "token_sha256", "name", "created_at_ms", "last_seen_at_ms", "clock_offset_ms", "revoked_at_ms",
        "role", "app",
    ),
    "links": (
        "id", "secret_sha256", "opens", "subject", "name", "created_by", "created_at_ms", "last_seen_at_ms",
        "revoked_at_ms",
    ),
    "photos": ("sha256", "type", "size", "pushed_by", "received_at_ms"),
    "catalogs": ("hash", "json", "made_from", "kept_at_ms"),
}  # fmt: skip
# A code lets somebody in for ten minutes; a copy must not let them in later. Migrations are the copy's own.
LEFT_OUT = {"pairing_codes", "code_tries", "migrations"}
MUST_BE_EMPTY = ("events", "devices", "photos")


class Content(NamedTuple):
    """What a table holds: how many rows, and a hash over all of them in order."""

    row_count: int
    sha256: str


Contents = dict[str, Content]


class _Digests:
    def __init__(self) -> None:
        self._digests = {table: hashlib.sha256() for table in TABLES}
        self._counts = dict.fromkeys(TABLES, 0)

    def add(self, table: str, rows: list[Row]) -> None:
        self._counts[table] += len(rows)
        for row in rows:
            self._digests[table].update(repr(row).encode() + b"\n")

    def finish(self) -> Contents:
        return {table: Content(self._counts[table], self._digests[table].hexdigest()) for table in TABLES}


async def _scan(database: Database) -> AsyncIterator[tuple[str, list[Row]]]:
    names = list(TABLES)
    # Text of any language has one order everywhere only as bytes; numbers and bytes have one anyway.
    keys = {"catalogs": "kept_at_ms, hash", "refusals": "device, n"}
    statements = [
        f"SELECT {', '.join(columns)} FROM {table} ORDER BY {keys.get(table, columns[0])}"
        for table, columns in TABLES.items()
    ]
    async for place, rows in database.scan(statements):
        table = names[place]
        yield table, [_even(row) for row in rows] if table == "events" else rows


_WALL = TABLES["events"].index("wall")


def _even(row: Row) -> Row:
    """An event's row as SQLite has it: a short wall time is a number, not its digits."""
    wall = row[_WALL]
    if isinstance(wall, str) and "T" not in wall:
        return (*row[:_WALL], int(wall), *row[_WALL + 1 :])
    return row


async def measure(store: SqlStore) -> Contents:
    """Count and hash all that a store holds, as of one moment."""
    digests = _Digests()
    async for table, rows in _scan(store.database):
        digests.add(table, rows)
    return digests.finish()


async def copy_rows(source: SqlStore, target: SqlStore) -> Contents:
    """Copy all rows as of one moment into a store that is empty, all or none; say what they were.

    Raises StoreError.
    """
    result: Contents = {}

    async def work(connection: Connection) -> None:
        digests = _Digests()
        await _refuse_unless_empty(connection)
        await connection.execute("DELETE FROM meta")
        async for table, rows in _scan(source.database):
            await connection.load(table, TABLES[table], rows)
            digests.add(table, rows)
        await connection.count_on()
        result.update(digests.finish())

    await target.database.write(work)
    return result


async def _refuse_unless_empty(connection: Connection) -> None:
    for table in MUST_BE_EMPTY:
        if await connection.fetch(f"SELECT 1 FROM {table} LIMIT 1"):
            raise StoreError(
                f"There are {table} in the database that should take the copy.",
                "Name an empty one; what is in this one was left as it is.",
            )
    await connection.execute("DELETE FROM catalogs")


async def list_photos(database: Database) -> AsyncIterator[tuple[str, int]]:
    """The hash and size of every photo that was ever wholly here."""
    async for _, rows in database.scan(["SELECT sha256, size FROM photos ORDER BY sha256"]):
        for sha256, size in rows:
            yield bytes(sha256).hex(), int(size)


async def hash_photo(shelf: Shelf, sha256: str) -> str:
    """The hash of the bytes that the shelf gives now."""
    digest = hashlib.sha256()
    async for chunk in shelf.read(sha256):
        digest.update(chunk)
    return digest.hexdigest()
