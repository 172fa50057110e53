"""Fail on purpose: what was answered is there afterwards, and what was not can be pushed again."""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

import aiosqlite
import pytest
from samples import NOW_MS, make_new

from fillfirst.errors import StoreError, StoreFullError
from fillfirst.store.connection import Connection
from fillfirst.store.interface import Verdict
from fillfirst.store.sqlite import SqliteStore, open_store

pytestmark = pytest.mark.anyio

# One push takes fewer statements than this; the last runs go through untouched.
STATEMENTS_OF_A_PUSH = 20


@contextmanager
def failing_at(count: int) -> Iterator[list[str]]:
    """Let the disk fail at the count-th statement; yields the names of all that were asked for."""
    seen: list[str] = []

    def make(method: Any) -> Any:
        async def fail_or_go_on(self: aiosqlite.Connection, *arguments: Any) -> Any:
            seen.append(method.__name__)
            if len(seen) == count:
                raise sqlite3.OperationalError("disk I/O error")
            return await method(self, *arguments)

        return fail_or_go_on

    names = ["execute", "executemany", "execute_fetchall", "commit"]
    methods = {name: make(getattr(aiosqlite.Connection, name)) for name in names}
    with patch.multiple(aiosqlite.Connection, **methods):
        yield seen


@pytest.mark.parametrize("count", range(1, STATEMENTS_OF_A_PUSH + 1))
async def test_nothing_answered_is_lost_whichever_statement_fails(tmp_path: Path, count: int) -> None:
    store = await open_store(tmp_path, now_ms=NOW_MS)
    answered: list[int] = []
    with failing_at(count):
        for n in (1, 2, 3):
            try:
                assert await store.events.push([make_new(n)], [], pushed_by=1, now_ms=NOW_MS) == [
                    Verdict.ACCEPTED
                ]
                answered.append(n)
            except StoreError:
                pass
    await store.close()

    reopened = await open_store(tmp_path, now_ms=NOW_MS)
    held = [event.text for event in (await reopened.events.get_after(0, limit=9, limit_bytes=9999)).events]
    again = await reopened.events.push(
        [make_new(1), make_new(2), make_new(3)], [], pushed_by=1, now_ms=NOW_MS
    )
    standing = await reopened.events.get_standing("phone-1")
    await reopened.close()

    assert len(answered) >= 2
    assert held == [make_new(n).text for n in answered]
    assert again == [Verdict.ACCEPTED] * 3
    assert standing == (3, 3)


async def test_the_statements_of_a_push_are_all_failed_by_the_test_above(store: SqliteStore) -> None:
    with failing_at(-1) as seen:
        await store.events.push([make_new(1)], [], pushed_by=1, now_ms=NOW_MS)

    assert len(seen) < STATEMENTS_OF_A_PUSH


async def test_a_failing_commit_answers_none_of_those_who_shared_it(store: SqliteStore) -> None:
    async def refuse(self: aiosqlite.Connection) -> None:
        raise sqlite3.OperationalError("disk I/O error")

    with patch.object(aiosqlite.Connection, "commit", refuse):
        answers = await asyncio.gather(
            *(store.events.push([make_new(n)], [], pushed_by=1, now_ms=NOW_MS) for n in (1, 2, 3)),
            return_exceptions=True,
        )

    assert [type(answer) for answer in answers] == [StoreError] * 3
    assert await store.events.get_head() == 0


async def test_work_that_fails_leaves_the_work_that_shares_its_commit(store: SqliteStore) -> None:
    pushed, refused = await asyncio.gather(
        store.events.push([make_new(1)], [], pushed_by=1, now_ms=NOW_MS),
        # A name that is no text: the table is strict.
        store.devices.let_in(b"", b"", object(), replaces=None, now_ms=object()),  # type: ignore[arg-type]
        return_exceptions=True,
    )

    assert pushed == [Verdict.ACCEPTED]
    assert isinstance(refused, StoreError)
    assert await store.events.get_head() == 1


async def test_a_full_disk_is_named_and_takes_nothing_with_it(tmp_path: Path, store: SqliteStore) -> None:
    await store.events.push([make_new(1)], [], pushed_by=1, now_ms=NOW_MS)

    async def limit(connection: Connection) -> None:
        rows = await connection.fetch("PRAGMA page_count")
        await connection.execute(f"PRAGMA max_page_count = {rows[0][0]}")

    await store._database.write(limit)
    with pytest.raises(StoreFullError):
        await store.events.push(
            [make_new(2, payload={"note": "x" * 100_000})], [], pushed_by=1, now_ms=NOW_MS
        )

    assert await store.events.get_head() == 1
    assert await store.events.get_standing("phone-1") == (1, 1)


async def test_a_caller_who_goes_away_does_not_stop_the_write(store: SqliteStore) -> None:
    task = asyncio.create_task(store.events.push([make_new(1)], [], pushed_by=1, now_ms=NOW_MS))
    await asyncio.sleep(0)
    task.cancel()
    await store.events.push([make_new(2)], [], pushed_by=1, now_ms=NOW_MS)

    assert await store.events.get_standing("phone-1") == (2, 2)


async def test_writes_that_wait_are_finished_when_the_store_is_closed(tmp_path: Path) -> None:
    store = await open_store(tmp_path, now_ms=NOW_MS)
    task = asyncio.create_task(store.events.push([make_new(1)], [], pushed_by=1, now_ms=NOW_MS))
    await asyncio.sleep(0)

    await store.close()

    assert await task == [Verdict.ACCEPTED]
    with pytest.raises(StoreError):
        await store.events.push([make_new(2)], [], pushed_by=1, now_ms=NOW_MS)
