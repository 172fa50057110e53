"""A database is brought up to this version's shape, or left alone and refused."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import aiosqlite
import pytest
from samples import NOW_MS

from fillfirst.errors import StoreError
from fillfirst.store.connection import Connection
from fillfirst.store.migrations import Migration, migrate, read_migrations, split_statements
from fillfirst.store.sqlite import FILE_NAME, open_store

pytestmark = pytest.mark.anyio

FIRST = Migration(1, "0001-first", "CREATE TABLE cars (id INTEGER PRIMARY KEY) STRICT;\n")
SECOND = Migration(2, "0002-plates", "ALTER TABLE cars ADD COLUMN plate TEXT;\n")
BROKEN = Migration(
    2, "0002-broken", "CREATE TABLE more (id INTEGER) STRICT;\nINSERT INTO nowhere VALUES (1);\n"
)


def read(path: Path, sql: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(sql).fetchall()


async def apply(path: Path, *migrations: Migration) -> None:
    async with aiosqlite.connect(path, isolation_level=None) as connection:
        await migrate(connection, path, now_ms=NOW_MS, migrations=list(migrations))


async def test_each_file_is_applied_once_and_noted(tmp_path: Path) -> None:
    path = tmp_path / "some.db"
    await apply(path, FIRST)
    await apply(path, FIRST, SECOND)

    assert read(path, "SELECT number, name FROM migrations") == [(1, "0001-first"), (2, "0002-plates")]


async def test_a_file_that_fails_leaves_nothing_of_itself(tmp_path: Path) -> None:
    path = tmp_path / "some.db"
    await apply(path, FIRST)
    with pytest.raises(sqlite3.OperationalError):
        await apply(path, FIRST, BROKEN)

    assert read(path, "SELECT name FROM sqlite_schema WHERE name = 'more'") == []
    assert read(path, "SELECT number FROM migrations") == [(1,)]


async def test_a_database_of_a_newer_version_is_refused(tmp_path: Path) -> None:
    await (await open_store(tmp_path, now_ms=NOW_MS)).close()
    known = len(read_migrations())
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection, connection:
        connection.execute("INSERT INTO migrations VALUES (?, 'later', 0)", (known + 1,))

    with pytest.raises(StoreError) as refused:
        await open_store(tmp_path, now_ms=NOW_MS)
    assert str(refused.value) == (
        f"{tmp_path / FILE_NAME} was written by a newer fillfirst: it has had {known + 1} migrations,"
        f" this version knows {known}."
        " Install that version again, or restore a copy that was made before the update."
    )


async def test_a_file_that_is_no_database_is_refused(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"not a database, but long enough to be looked at" * 100)

    with pytest.raises(StoreError, match="cannot be opened as fillfirst's database"):
        await open_store(tmp_path, now_ms=NOW_MS)


async def test_a_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")

    with pytest.raises(StoreError, match="Choose another data folder"):
        await open_store(tmp_path / "file" / "data", now_ms=NOW_MS)


async def test_every_commit_reaches_the_disk(tmp_path: Path) -> None:
    store = await open_store(tmp_path, now_ms=NOW_MS)

    async def ask(connection: Connection) -> list[object]:
        found = []
        for name in ("synchronous", "journal_mode"):
            found += [row[0] for row in await connection.fetch(f"PRAGMA {name}")]
        return found

    found = await store._database.write(ask)
    await store.close()

    assert found == [2, "wal"]  # 2 is FULL


def test_a_statement_may_hold_semicolons_in_its_comments() -> None:
    sql = "-- first; then second\nCREATE TABLE a (b);\n\nCREATE TABLE c (d);\n-- the end\n"

    assert [statement.strip() for statement in split_statements(sql)] == [
        "-- first; then second\nCREATE TABLE a (b);",
        "CREATE TABLE c (d);",
    ]
