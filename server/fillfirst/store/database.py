"""One SQLite file: a connection that writes, a connection that reads, and a commit shared by whoever waits.

It exists to keep three promises: what was answered is on the disk (`synchronous=FULL`; with NORMAL a
committed transaction may be rolled back by a power cut), there is one writer, so sequence numbers become
visible in their own order, and a burst of writers pays for one flush instead of one each.
"""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import AsyncIterator, Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, cast

import aiosqlite

from fillfirst.errors import StoreError, StoreFullError
from fillfirst.store.connection import SCAN_ROWS, Connection, Row, T, Work
from fillfirst.store.migrations import copy_before_update, migrate

BUSY_TIMEOUT_MS = 5_000
VARIABLES_A_STATEMENT = 500


class SqliteConnection:
    """See `connection.Connection`."""

    def __init__(self, raw: aiosqlite.Connection) -> None:
        self._raw = raw

    async def execute(self, sql: str, parameters: Sequence[Any] = ()) -> int:
        return (await self._raw.execute(sql, parameters)).rowcount

    async def execute_many(self, sql: str, rows: Iterable[Sequence[Any]]) -> int:
        return (await self._raw.executemany(sql, rows)).rowcount

    async def fetch(self, sql: str, parameters: Sequence[Any] = ()) -> list[Row]:
        return cast(list[Row], await self._raw.execute_fetchall(sql, parameters))

    async def fetch_in(self, sql: str, values: Sequence[Any]) -> list[Row]:
        # In as many statements as SQLite's limit on variables asks for.
        rows: list[Row] = []
        for start in range(0, len(values), VARIABLES_A_STATEMENT):
            part = values[start : start + VARIABLES_A_STATEMENT]
            rows += await self.fetch(f"{sql} IN ({','.join('?' * len(part))})", part)
        return rows

    async def load(self, table: str, columns: Sequence[str], rows: Sequence[Row]) -> None:
        marks = ", ".join("?" * len(columns))
        await self.execute_many(f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})", rows)

    async def count_on(self) -> None:
        """SQLite does so by itself."""


class SqliteDatabase:
    """An open database. Make it with `open_database`, and close it."""

    def __init__(self, path: Path, writer: aiosqlite.Connection, reader: aiosqlite.Connection) -> None:
        self.path = path
        self._writer = writer
        self._work_on = SqliteConnection(writer)
        self._reader = reader
        self._waiting: list[tuple[Work[Any], asyncio.Future[Any]]] = []
        self._wake = asyncio.Event()
        self._closing = False
        self._task = asyncio.create_task(self._write_on(), name="store-writer")

    async def read(self, sql: str, parameters: Sequence[Any] = ()) -> list[Row]:
        """Rows of one statement. It sees every write that was answered before. Raises StoreError."""
        try:
            return cast(list[Row], await self._reader.execute_fetchall(sql, parameters))
        except sqlite3.Error as error:
            raise _explain(error) from error

    async def write(self, work: Work[T]) -> T:
        """Do this work in a transaction, and come back when it is on the disk.

        Work of others may share the transaction, but not the fate: if this one raises, only what it did is
        undone. Raises StoreError, and then nothing of this work was kept.
        """
        if self._closing:
            raise StoreError("The database is being closed.", "Start the server again, then sync again.")
        done: asyncio.Future[T] = asyncio.get_running_loop().create_future()
        self._waiting.append((work, done))
        self._wake.set()
        # A phone that hangs up must not stop a write that others share.
        return await asyncio.shield(done)

    async def execute(self, sql: str, parameters: Sequence[Any] = ()) -> int:
        """Write one statement, and say how many rows it changed."""

        async def work(connection: Connection) -> int:
            return await connection.execute(sql, parameters)

        return await self.write(work)

    @property
    def waiting(self) -> int:
        """How many writes wait for the disk."""
        return len(self._waiting)

    async def scan(self, statements: Sequence[str]) -> AsyncIterator[tuple[int, list[Row]]]:
        # A connection of its own: what the others read must go on with the time.
        connection = await _connect(self.path, (f"busy_timeout={BUSY_TIMEOUT_MS}", "query_only=1"))
        try:
            await connection.execute("BEGIN")
            for place, statement in enumerate(statements):
                async with connection.execute(statement) as cursor:
                    while rows := list(await cursor.fetchmany(SCAN_ROWS)):
                        yield place, cast(list[Row], rows)
        except sqlite3.Error as error:
            raise _explain(error) from error
        finally:
            await connection.close()

    async def close(self) -> None:
        """Finish the writes that wait, then let go of the file."""
        self._closing = True
        self._wake.set()
        await self._task
        await self._reader.close()
        await self._writer.close()

    async def _write_on(self) -> None:
        while self._waiting or not self._closing:
            await self._wake.wait()
            self._wake.clear()
            if self._waiting:
                batch, self._waiting = self._waiting, []
                await self._write_together(batch)

    async def _write_together(self, batch: list[tuple[Work[Any], asyncio.Future[Any]]]) -> None:
        """One transaction for all; nobody is answered before it is committed."""
        outcomes: list[tuple[asyncio.Future[Any], Any, BaseException | None]] = []
        try:
            await self._writer.execute("BEGIN IMMEDIATE")
            for work, done in batch:
                await self._writer.execute("SAVEPOINT one")
                try:
                    outcomes.append((done, await work(self._work_on), None))
                except Exception as error:
                    await self._undo(error)
                    outcomes.append((done, None, error))
                await self._writer.execute("RELEASE one")
            await self._writer.commit()
        except Exception as error:
            with suppress(sqlite3.Error):
                await self._writer.rollback()
            outcomes = [(done, None, error) for _, done in batch]
        for done, result, trouble in outcomes:
            _settle(done, result, trouble)

    async def _undo(self, error: Exception) -> None:
        """Undo one work; if it ended the whole transaction, as a full disk does, raise what it failed by."""
        try:
            await self._writer.execute("ROLLBACK TO one")
        except sqlite3.Error:
            raise error from None


def _settle(done: asyncio.Future[Any], result: Any, error: BaseException | None) -> None:
    if done.done():
        return
    if error is None:
        done.set_result(result)
        return
    done.set_exception(_explain(error) if isinstance(error, sqlite3.Error) else error)
    # Whoever asked may have gone; an error nobody collects is not a warning to print.
    done.exception()


def _explain(error: sqlite3.Error) -> StoreError:
    if getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_FULL:
        explained: StoreError = StoreFullError(
            "The server's disk is full; nothing of this was kept.",
            "Free some space on the server. Everything stays on the phone until then.",
        )
    else:
        explained = StoreError(
            "The server could not write to or read from its database.",
            "Look at the server's disk and its log. Everything stays on the phone until then.",
        )
    explained.__cause__ = error
    return explained


async def _connect(path: Path, pragmas: Iterable[str]) -> aiosqlite.Connection:
    connection = await aiosqlite.connect(path, isolation_level=None)
    try:
        for pragma in pragmas:
            await connection.execute(f"PRAGMA {pragma}")
    except BaseException:
        await connection.close()
        raise
    return connection


async def open_database(path: Path, *, now_ms: int) -> SqliteDatabase:
    """Open or make the database, brought up to this version's shape.

    Raises StoreError if the file is no database, cannot be opened, or was written by a newer version.
    """
    writer: aiosqlite.Connection | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        shared = (f"busy_timeout={BUSY_TIMEOUT_MS}",)
        writer = await _connect(path, [*shared, "journal_mode=WAL", "synchronous=FULL"])
        await copy_before_update(writer, path, now_ms=now_ms)
        await migrate(writer, path, now_ms=now_ms)
        reader = await _connect(path, [*shared, "query_only=1"])
    except (sqlite3.Error, OSError) as error:
        if writer is not None:
            await writer.close()
        raise StoreError(
            f"{path} cannot be opened as fillfirst's database: {error}.",
            "Choose another data folder with --data, or mend this one.",
        ) from error
    except BaseException:
        if writer is not None:
            await writer.close()
        raise
    return SqliteDatabase(path, writer, reader)
