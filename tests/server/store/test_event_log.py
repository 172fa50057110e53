"""The log takes each event once, in the order of commits, and says how far a device has come."""

from __future__ import annotations

import asyncio
import json
import uuid

import pytest
from samples import NOW_MS, make_event, make_id, make_new

from fillfirst.store.interface import NewEvent, NewRefusal, StoredEvent, Verdict
from fillfirst.store.sqlite import SqliteStore

pytestmark = pytest.mark.anyio


async def push(store: SqliteStore, *events: NewEvent, refusals: tuple[NewRefusal, ...] = ()) -> list[Verdict]:
    return await store.events.push(events, refusals, pushed_by=1, now_ms=NOW_MS)


async def read_all(store: SqliteStore) -> list[StoredEvent]:
    return list((await store.events.get_after(0, limit=1000, limit_bytes=10**9)).events)


async def test_events_come_back_in_the_order_they_were_pushed(store: SqliteStore) -> None:
    events = [make_new(2), make_new(1), make_new(3)]

    await push(store, *events)

    assert await read_all(store) == [
        StoredEvent(seq, NOW_MS, event.text) for seq, event in enumerate(events, start=1)
    ]


async def test_pushing_twice_is_pushing_once(store: SqliteStore) -> None:
    await push(store, make_new(1), make_new(2))

    assert await push(store, make_new(2), make_new(1)) == [Verdict.ACCEPTED, Verdict.ACCEPTED]
    assert len(await read_all(store)) == 2


async def test_an_event_twice_in_one_batch_is_kept_once(store: SqliteStore) -> None:
    assert await push(store, make_new(1), make_new(1)) == [Verdict.ACCEPTED, Verdict.ACCEPTED]
    assert len(await read_all(store)) == 1


async def test_the_first_text_stays_when_the_same_event_is_spelled_otherwise(store: SqliteStore) -> None:
    await push(store, make_new(1))

    spaced = make_new(1, text=json.dumps(make_event(1)))
    assert await push(store, spaced) == [Verdict.ACCEPTED]
    assert (await read_all(store))[0].text == make_new(1).text


async def test_other_content_under_a_known_id_is_refused_alone(store: SqliteStore) -> None:
    await push(store, make_new(1))

    verdicts = await push(store, make_new(1, payload={"step": "other"}), make_new(2))

    assert verdicts == [Verdict.SAME_ID_OTHER_CONTENT, Verdict.ACCEPTED]
    assert [event.text for event in await read_all(store)] == [make_new(1).text, make_new(2).text]


async def test_another_event_with_a_known_count_is_refused_alone(store: SqliteStore) -> None:
    await push(store, make_new(1))

    assert await push(store, make_new(1, id=make_id(99))) == [Verdict.SAME_COUNT_OTHER_EVENT]
    assert len(await read_all(store)) == 1


async def test_pages_follow_each_other_without_a_gap(store: SqliteStore) -> None:
    await push(store, *(make_new(n) for n in range(1, 6)))

    first = await store.events.get_after(0, limit=2, limit_bytes=10**9)
    second = await store.events.get_after(first.events[-1].seq, limit=3, limit_bytes=10**9)

    assert [event.seq for event in first.events] == [1, 2]
    assert first.more
    assert [event.seq for event in second.events] == [3, 4, 5]
    assert not second.more


async def test_a_page_holds_one_event_however_long(store: SqliteStore) -> None:
    await push(store, make_new(1), make_new(2))

    page = await store.events.get_after(0, limit=10, limit_bytes=1)

    assert [event.seq for event in page.events] == [1]
    assert page.more


async def test_ack_stops_before_a_gap(store: SqliteStore) -> None:
    await push(store, make_new(1), make_new(2), make_new(4), make_new(7))

    assert await store.events.get_standing("phone-1") == (2, 7)
    assert await store.events.get_gaps("phone-1", above=2, limit=10) == [(3, 3), (5, 6)]


async def test_ack_passes_a_gap_once_it_is_filled(store: SqliteStore) -> None:
    await push(store, make_new(1), make_new(3))
    await push(store, make_new(2))

    assert await store.events.get_standing("phone-1") == (3, 3)


async def test_ack_passes_what_was_refused(store: SqliteStore) -> None:
    await push(store, make_new(1), make_new(3), refusals=(NewRefusal("phone-1", 2, "bad_shape"),))

    assert await store.events.get_standing("phone-1") == (3, 3)


async def test_ack_counts_one_device_alone(store: SqliteStore) -> None:
    await push(store, make_new(1), make_new(1, id=make_id(1, device=2), device="phone-2"))

    assert await store.events.get_standing("phone-2") == (1, 1)
    assert await store.events.get_standing("phone-3") == (0, 0)


async def test_an_event_refused_before_may_be_taken_later(store: SqliteStore) -> None:
    await push(store, refusals=(NewRefusal("phone-1", 1, "bad_body"),))

    assert await push(store, make_new(1)) == [Verdict.ACCEPTED]
    assert await store.events.get_standing("phone-1") == (1, 1)


async def test_events_are_found_by_visit(store: SqliteStore) -> None:
    await push(store, make_new(1), make_new(2, subject="visit-2"))

    assert [event.text for event in await store.events.get_of_subject("visit-2")] == [
        make_new(2, subject="visit-2").text
    ]
    assert await store.events.get_of_subject("visit-3") == []


async def test_events_are_found_by_kind(store: SqliteStore) -> None:
    await push(store, make_new(1), make_new(2, kind="undone"))

    assert [event.seq for event in await store.events.get_of_kind("undone")] == [2]


async def test_many_writers_at_once_all_get_their_own_numbers(store: SqliteStore) -> None:
    await asyncio.gather(*(push(store, make_new(n)) for n in range(1, 41)))

    assert [event.seq for event in await read_all(store)] == list(range(1, 41))
    assert await store.events.get_standing("phone-1") == (40, 40)


async def test_a_large_batch_is_compared_in_parts(store: SqliteStore) -> None:
    events = [make_new(n) for n in range(1, 1201)]
    await push(store, *events)

    assert await push(store, *events) == [Verdict.ACCEPTED] * 1200
    assert await store.events.get_standing("phone-1") == (1200, 1200)


async def test_an_event_takes_little_more_than_half_the_room_of_its_text(store: SqliteStore) -> None:
    payload = {"step": "engine-oil/measure-out", "reading": "engine_oil_out", "value": 0.0042, "typed": "4.2"}
    names = {"device": str(uuid.UUID(int=1)), "subject": str(uuid.UUID(int=2)), "kind": "reading-taken"}
    events = [
        make_new(n, id=str(uuid.UUID(int=(NOW_MS + n) << 80 | n * 7919)), seen=n, payload=payload, **names)
        for n in range(1, 5001)
    ]
    await push(store, *events)
    (pages,), *_ = await store._database.read("PRAGMA page_count")

    assert len(events[-1].text) == 360
    assert pages * 4096 / len(events) < 220


async def test_a_new_epoch_is_another_one_of_the_same_server(store: SqliteStore) -> None:
    before = await store.get_meta()

    after = await store.begin_epoch()

    assert after.server_id == before.server_id
    assert after.epoch != before.epoch
