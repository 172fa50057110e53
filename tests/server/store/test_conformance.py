"""What every store does, whichever database and shelf it is made of."""

from __future__ import annotations

import asyncio
import hashlib
import json
from collections.abc import AsyncIterator
from typing import Any

import pytest
from samples import JPEG, JPEG_SHA256, NOW_MS, make_event, make_id, make_new

from fillfirst.store.interface import Device, NewEvent, NewRefusal, StoredEvent, Verdict
from fillfirst.store.sql import SqlStore

pytestmark = pytest.mark.anyio
CODE, TOKEN, OTHER = (bytes([n]) * 32 for n in range(3))


@pytest.fixture
def store(any_store: SqlStore) -> SqlStore:
    return any_store


async def let_in(store: SqlStore, code: bytes = CODE, token: bytes = TOKEN, **changes: Any) -> Device | None:
    given = {"replaces": None, "now_ms": NOW_MS} | changes
    return await store.devices.let_in(code, token, "garage phone", **given)


async def offer(store: SqlStore, code: bytes = CODE) -> None:
    await store.devices.offer_code(code, role="helper", expires_at_ms=NOW_MS + 1, now_ms=NOW_MS)


async def stream(*chunks: bytes) -> AsyncIterator[bytes]:
    for chunk in chunks:
        yield chunk


async def push(store: SqlStore, *events: NewEvent, refusals: tuple[NewRefusal, ...] = ()) -> list[Verdict]:
    return await store.events.push(events, refusals, pushed_by=1, now_ms=NOW_MS)


async def read_all(store: SqlStore) -> list[StoredEvent]:
    return list((await store.events.get_after(0, limit=1000, limit_bytes=10**9)).events)


async def test_events_come_back_in_the_order_they_were_pushed(store: SqlStore) -> None:
    events = [make_new(2), make_new(1), make_new(3)]

    await push(store, *events)

    assert await read_all(store) == [
        StoredEvent(seq, NOW_MS, event.text) for seq, event in enumerate(events, start=1)
    ]


async def test_what_is_at_hand_is_given_as_it_lies_in_the_log(store: SqlStore) -> None:
    """Pages after every cursor, from a store that took the events and from one that was opened later."""
    await push(store, make_new(1), make_new(2))
    await push(store, make_new(2), make_new(3, wall="2026-05-04T10:42:00.1234Z"))
    await push(store, make_new(4), make_new(5, text=make_new(5).text.replace(":", ": ")))
    head = await store.events.get_head()
    cold = type(store.events)(store.database)

    for cursor in range(head + 1):
        for limit in (1, 2, 9):
            assert await store.events.get_after(cursor, limit=limit, limit_bytes=10**9) == (
                await cold.get_after(cursor, limit=limit, limit_bytes=10**9)
            )


async def test_what_another_process_took_is_given_in_its_place(store: SqlStore) -> None:
    other = type(store.events)(store.database)
    await push(store, make_new(1))
    await other.push([make_new(2)], [], pushed_by=1, now_ms=NOW_MS)
    await push(store, make_new(3))
    await other.push([make_new(4)], [], pushed_by=1, now_ms=NOW_MS)

    assert [event.text for event in await read_all(store)] == [make_new(n).text for n in (1, 2, 3, 4)]


async def test_pushing_twice_is_pushing_once(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(2))

    assert await push(store, make_new(2), make_new(1)) == [Verdict.ACCEPTED, Verdict.ACCEPTED]
    assert len(await read_all(store)) == 2


async def test_an_event_twice_in_one_batch_is_kept_once(store: SqlStore) -> None:
    assert await push(store, make_new(1), make_new(1)) == [Verdict.ACCEPTED, Verdict.ACCEPTED]
    assert len(await read_all(store)) == 1


async def test_the_first_text_stays_when_the_same_event_is_spelled_otherwise(store: SqlStore) -> None:
    await push(store, make_new(1))

    spaced = make_new(1, text=json.dumps(make_event(1)))
    assert await push(store, spaced) == [Verdict.ACCEPTED]
    assert (await read_all(store))[0].text == make_new(1).text


async def test_other_content_under_a_known_id_is_refused_alone(store: SqlStore) -> None:
    await push(store, make_new(1))

    verdicts = await push(store, make_new(1, payload={"step": "other"}), make_new(2))

    assert verdicts == [Verdict.SAME_ID_OTHER_CONTENT, Verdict.ACCEPTED]
    assert [event.text for event in await read_all(store)] == [make_new(1).text, make_new(2).text]


async def test_another_event_with_a_known_count_is_refused_alone(store: SqlStore) -> None:
    await push(store, make_new(1))

    assert await push(store, make_new(1, id=make_id(99))) == [Verdict.SAME_COUNT_OTHER_EVENT]
    assert len(await read_all(store)) == 1


async def test_pages_follow_each_other_without_a_gap(store: SqlStore) -> None:
    await push(store, *(make_new(n) for n in range(1, 6)))

    first = await store.events.get_after(0, limit=2, limit_bytes=10**9)
    second = await store.events.get_after(first.events[-1].seq, limit=3, limit_bytes=10**9)

    assert [event.seq for event in first.events] == [1, 2]
    assert first.more
    assert [event.seq for event in second.events] == [3, 4, 5]
    assert not second.more


async def test_a_page_holds_one_event_however_long(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(2))

    page = await store.events.get_after(0, limit=10, limit_bytes=1)

    assert [event.seq for event in page.events] == [1]
    assert page.more


async def test_ack_stops_before_a_gap(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(2), make_new(4), make_new(7))

    assert await store.events.get_standing("phone-1") == (2, 7)
    assert await store.events.get_gaps("phone-1", above=2, limit=10) == [(3, 3), (5, 6)]


async def test_ack_passes_a_gap_once_it_is_filled(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(3))
    await push(store, make_new(2))

    assert await store.events.get_standing("phone-1") == (3, 3)


async def test_ack_passes_what_was_refused(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(3), refusals=(NewRefusal("phone-1", 2, "bad_shape"),))

    assert await store.events.get_standing("phone-1") == (3, 3)


async def test_ack_counts_one_device_alone(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(1, id=make_id(1, device=2), device="phone-2"))

    assert await store.events.get_standing("phone-2") == (1, 1)
    assert await store.events.get_standing("phone-3") == (0, 0)


async def test_an_event_refused_before_may_be_taken_later(store: SqlStore) -> None:
    await push(store, refusals=(NewRefusal("phone-1", 1, "bad_body"),))

    assert await push(store, make_new(1)) == [Verdict.ACCEPTED]
    assert await store.events.get_standing("phone-1") == (1, 1)


async def test_events_are_found_by_visit(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(2, subject="visit-2"))

    assert [event.text for event in await store.events.get_of_subject("visit-2")] == [
        make_new(2, subject="visit-2").text
    ]
    assert await store.events.get_of_subject("visit-3") == []


async def test_events_are_found_by_kind(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(2, kind="undone"))

    assert [event.seq for event in await store.events.get_of_kind("undone")] == [2]


async def test_many_writers_at_once_all_get_their_own_numbers(store: SqlStore) -> None:
    await asyncio.gather(*(push(store, make_new(n)) for n in range(1, 41)))

    assert [event.seq for event in await read_all(store)] == list(range(1, 41))
    assert await store.events.get_standing("phone-1") == (40, 40)


async def test_a_large_batch_is_compared_in_parts(store: SqlStore) -> None:
    events = [make_new(n) for n in range(1, 1201)]
    await push(store, *events)

    assert await push(store, *events) == [Verdict.ACCEPTED] * 1200
    assert await store.events.get_standing("phone-1") == (1200, 1200)


async def test_a_new_epoch_is_another_one_of_the_same_server(store: SqlStore) -> None:
    before = await store.get_meta()

    after = await store.begin_epoch()

    assert after.server_id == before.server_id
    assert after.epoch != before.epoch


async def test_of_two_that_begin_a_new_epoch_at_once_one_does(store: SqlStore) -> None:
    before = await store.get_meta()

    first, second = await asyncio.gather(*(store.begin_epoch(instead_of=before.epoch) for _ in range(2)))

    assert first == second != before


async def test_a_text_that_cannot_be_put_together_again_comes_back_as_it_came(store: SqlStore) -> None:
    texts = [
        json.dumps(make_event(1)),
        make_new(2, wall="2026-05-04T10:42:00.123456789Z").text,
        make_new(3, wall="2026-05-04T10:42:00.120-03:30").text,
        make_new(4, payload={"note": "ölig · 油 · \u0000 · \\u2028"}).text,
    ]
    events = [make_new(n, text=text, wall=json.loads(text)["wall"]) for n, text in enumerate(texts, 1)]
    await push(store, *events)

    assert [event.text for event in await read_all(store)] == texts


async def test_what_only_was_refused_is_remembered(store: SqlStore) -> None:
    await push(store, refusals=(NewRefusal("phone-1", 1, "bad_shape"),))

    assert await store.events.get_standing("phone-1") == (1, 1)


async def test_a_gap_is_told(store: SqlStore) -> None:
    await push(store, make_new(1), make_new(4), make_new(6))

    assert await store.events.get_gaps("phone-1", above=1, limit=9) == [(2, 3), (5, 5)]
    assert await store.events.get_gaps("phone-1", above=1, limit=1) == [(2, 3)]
    assert await store.events.get_gaps("phone-9", above=0, limit=9) == []


async def test_a_code_lets_one_device_in_once(store: SqlStore) -> None:
    await offer(store)

    device = await let_in(store)
    assert device is not None
    assert (device.name, device.role) == ("garage phone", "helper")
    assert await store.devices.find(TOKEN) == device
    assert await let_in(store, token=OTHER) is None


async def test_a_code_lets_in_one_of_many_that_try_it_at_once(store: SqlStore) -> None:
    await offer(store)

    tries = await asyncio.gather(*(let_in(store, token=bytes([n]) * 32) for n in range(8)))
    assert sum(device is not None for device in tries) == 1


async def test_wrong_codes_use_up_the_tries_of_the_right_one(store: SqlStore) -> None:
    await offer(store)
    for _ in range(5):
        assert await let_in(store, code=OTHER) is None

    assert await let_in(store) is None


async def test_of_many_tries_at_once_ten_a_minute_are_let_through(store: SqlStore) -> None:
    tries = await asyncio.gather(*(store.devices.count_try(now_ms=NOW_MS) for _ in range(12)))

    assert sum(tries) == 10
    assert not await store.devices.count_try(now_ms=NOW_MS + 59_999)
    assert await store.devices.count_try(now_ms=NOW_MS + 60_000)


async def test_a_clock_that_was_put_back_keeps_nobody_out(store: SqlStore) -> None:
    for _ in range(10):
        await store.devices.count_try(now_ms=NOW_MS)

    assert await store.devices.count_try(now_ms=NOW_MS - 1)


async def test_a_device_is_changed_seen_and_sent_away(store: SqlStore) -> None:
    await offer(store)
    device = await let_in(store)
    assert device is not None
    await store.devices.change(device.id, name="yard phone", role=None)
    await store.devices.note_seen(device.id, clock_offset_ms=None, app="newer", now_ms=NOW_MS + 5)

    (seen,) = await store.devices.list_all()
    assert (seen.name, seen.role, seen.last_seen_at_ms) == ("yard phone", "helper", NOW_MS + 5)
    assert seen.app == "newer"
    assert await store.devices.revoke(device.id, now_ms=NOW_MS)
    assert not await store.devices.revoke(device.id, now_ms=NOW_MS)
    assert await store.devices.find(TOKEN) is None


async def test_a_link_is_added_seen_and_taken_back(store: SqlStore) -> None:
    link = await store.links.add(TOKEN, "record", "visit-1", "for the owner", created_by=1, now_ms=NOW_MS)
    await store.links.note_seen(link.id, now_ms=NOW_MS + 5)

    (seen,) = await store.links.list_all()
    assert (seen.opens, seen.subject, seen.last_seen_at_ms) == ("record", "visit-1", NOW_MS + 5)
    assert await store.links.find(TOKEN) == seen
    assert await store.links.revoke(link.id, now_ms=NOW_MS)
    assert await store.links.find(TOKEN) is None


async def test_a_catalog_is_kept_by_its_hash_and_by_what_made_it(store: SqlStore) -> None:
    await store.catalogs.keep("a", b'{"a":1}', made_from="x", now_ms=NOW_MS)
    await store.catalogs.keep("a", b'{"a":1}', made_from="y", now_ms=NOW_MS)

    assert await store.catalogs.get("a") == b'{"a":1}'
    assert await store.catalogs.get("b") is None
    assert await store.catalogs.find_made_from("y") == ("a", b'{"a":1}')
    assert await store.catalogs.find_made_from("x") is None


async def test_a_photo_comes_back_byte_for_byte(store: SqlStore) -> None:
    kept = await store.photos.put(JPEG_SHA256, stream(JPEG[:3], JPEG[3:]), pushed_by=1, now_ms=NOW_MS)

    assert await store.photos.put(JPEG_SHA256, stream(), pushed_by=1, now_ms=NOW_MS) == kept
    assert await store.photos.get(JPEG_SHA256) == kept
    assert (kept.type, kept.size) == ("image/jpeg", len(JPEG))
    assert b"".join([chunk async for chunk in store.photos.read(JPEG_SHA256)]) == JPEG


async def test_a_photo_that_never_came_is_not_there(store: SqlStore) -> None:
    assert await store.photos.get(hashlib.sha256(b"").hexdigest()) is None
