"""Brings a database from any earlier shape to this version's, one numbered file at a time.

A file that was released is never edited; a change is the next number.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import aiosqlite

from fillfirst.errors import StoreError

FOLDER = Path(__file__).parent / "migrations"
FILE_NAME = re.compile(r"(\d{4})-[a-z0-9-]+\.sql")


class Migration(NamedTuple):
    """One numbered file."""

    number: int
    name: str
    sql: str


def read_migrations(folder: Path = FOLDER) -> list[Migration]:
    """All of them, in order. A missing number is our own mistake."""
    found = []
    for path in sorted(folder.glob("*.sql")):
        match = FILE_NAME.fullmatch(path.name)
        assert match, f"{path.name} is not named like 0001-what-it-does.sql"
        found.append(Migration(int(match[1]), path.stem, path.read_text()))
    assert [migration.number for migration in found] == list(range(1, len(found) + 1)), "a number is missing"
    return found


def split_statements(sql: str) -> Iterator[str]:
    """The statements of a file, one by one: `executescript` would commit between them."""
    statement = ""
    for line in sql.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""
    assert not re.sub(r"--[^\n]*", "", statement).strip(), f"a statement has no end: {statement}"


def check_reached(name: str, reached: int, known: int) -> None:
    """Raises StoreError if the database is newer than this version."""
    if reached > known:
        raise StoreError(
            f"{name} was written by a newer fillfirst: it has had {reached} migrations,"
            f" this version knows {known}.",
            "Install that version again, or restore a copy that was made before the update.",
        )


async def copy_before_update(
    connection: aiosqlite.Connection, path: Path, *, now_ms: int, migrations: list[Migration] | None = None
) -> Path | None:
    """Copy a database that is about to be changed to a file beside it; None if it is new or up to date."""
    known = read_migrations() if migrations is None else migrations
    rows = await connection.execute_fetchall("SELECT 1 FROM sqlite_master WHERE name = 'migrations'")
    if not list(rows):
        return None
    rows = await connection.execute_fetchall("SELECT coalesce(max(number), 0) FROM migrations")
    reached = int(next(iter(rows))[0])
    if not 0 < reached < len(known):
        return None
    copy = path.with_name(f"before-update-{reached:04}-{now_ms}.db")
    await connection.execute("VACUUM INTO ?", (str(copy),))
    copy.chmod(0o600)
    return copy


async def migrate(
    connection: aiosqlite.Connection, path: Path, *, now_ms: int, migrations: list[Migration] | None = None
) -> None:
    """Apply the files that this database has not had, all or none.

    Raises StoreError if the database is newer than they are.
    """
    known = read_migrations() if migrations is None else migrations
    await connection.execute("BEGIN IMMEDIATE")
    try:
        await connection.execute(
            "CREATE TABLE IF NOT EXISTS migrations"
            " (number INTEGER PRIMARY KEY, name TEXT NOT NULL, applied_at_ms INTEGER NOT NULL) STRICT"
        )
        rows = list(await connection.execute_fetchall("SELECT coalesce(max(number), 0) FROM migrations"))
        reached = int(rows[0][0])
        check_reached(str(path), reached, len(known))
        for migration in known[reached:]:
            for statement in split_statements(migration.sql):
                await connection.execute(statement)
            await connection.execute(
                "INSERT INTO migrations VALUES (?, ?, ?)", (migration.number, migration.name, now_ms)
            )
        await connection.commit()
    except BaseException:
        await connection.rollback()
        raise
