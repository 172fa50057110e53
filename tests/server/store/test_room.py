"""How much of the disk an event takes in SQLite."""

from __future__ import annotations

import uuid

import pytest
from samples import NOW_MS, make_new

from fillfirst.store.sqlite import SqliteStore

pytestmark = pytest.mark.anyio


async def test_an_event_takes_little_more_than_half_the_room_of_its_text(store: SqliteStore) -> None:
    payload = {"step": "engine-oil/measure-out", "reading": "engine_oil_out", "value": 0.0042, "typed": "4.2"}
    names = {"device": str(uuid.UUID(int=1)), "subject": str(uuid.UUID(int=2)), "kind": "reading-taken"}
    events = [
        make_new(n, id=str(uuid.UUID(int=(NOW_MS + n) << 80 | n * 7919)), seen=n, payload=payload, **names)
        for n in range(1, 5001)
    ]
    await store.events.push(events, [], pushed_by=1, now_ms=NOW_MS)
    (pages,), *_ = await store._database.read("PRAGMA page_count")

    assert len(events[-1].text) == 360
    assert pages * 4096 / len(events) < 220
