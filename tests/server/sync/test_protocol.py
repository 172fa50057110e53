"""The rounds that PROTOCOL.md shows and promises, over HTTP as a phone holds them."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

import httpx
import pytest
from samples import JPEG, JPEG_SHA256, NOW_MS, ORIGIN, make_event, make_id, make_round, write_text

import fillfirst.sync
from fillfirst.access.doorkeeper import Doorkeeper
from fillfirst.access.secrets import hash_secret
from fillfirst.store.sqlite import SqliteStore, open_store
from fillfirst.sync.messages import Code
from fillfirst.web.app import create_app
from fillfirst.web.server import ServedCatalog, Server

pytestmark = pytest.mark.anyio

PROTOCOL = (Path(fillfirst.sync.__file__).parent / "PROTOCOL.md").read_text()
PHONE_TWO = {"device": "phone-2"}


def read_example(name: str) -> str:
    match = re.search(rf"```json {name}\n(.*?)```", PROTOCOL, re.DOTALL)
    assert match is not None
    return match[1]


async def hold(phone: httpx.AsyncClient, *events: dict[str, Any], **changes: Any) -> dict[str, Any]:
    answer = await phone.post("/api/sync", json=make_round(*events, **changes))
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def list_ids(answer: dict[str, Any]) -> list[str]:
    return [passed_on["event"]["id"] for passed_on in answer["events"]]


async def test_the_example_of_the_page_is_true(server: Server, store: SqliteStore) -> None:
    expected = json.loads(read_example("answer"))

    async def rename(connection: Any) -> None:
        await connection.execute(
            "UPDATE meta SET server_id = ?, epoch = ?", (expected["server_id"], expected["epoch"])
        )

    await store._database.write(rename)
    told = replace(server, catalog=ServedCatalog(expected["catalog"], b"{}"))
    code = "BCDFGHJK"
    await store.devices.offer_code(hash_secret(code), role="owner", expires_at_ms=NOW_MS + 1, now_ms=NOW_MS)
    transport = httpx.ASGITransport(create_app(told))
    async with httpx.AsyncClient(transport=transport, base_url=ORIGIN, headers={"origin": ORIGIN}) as phone:
        await phone.post("/api/pair", json={"code": code})
        answer = await phone.post(
            "/api/sync", content=read_example("request"), headers={"content-type": "application/json"}
        )

    assert answer.json() == expected


def test_every_code_is_on_the_page() -> None:
    assert [code for code in get_args(Code) if f"| `{code}` |" not in PROTOCOL] == []


async def test_one_bad_event_is_refused_alone(phone: httpx.AsyncClient) -> None:
    answer = await hold(phone, make_event(1), make_event(2, wall="?"), make_event(3))

    assert answer["accepted"] == [make_id(1), make_id(3)]
    assert [(one["index"], one["id"], one["code"]) for one in answer["refused"]] == [
        (1, make_id(2), "bad_shape")
    ]
    assert answer["ack"] == 3


async def test_the_same_batch_twice_changes_nothing(phone: httpx.AsyncClient) -> None:
    first = await hold(phone, make_event(1), make_event(2))
    second = await hold(phone, make_event(1), make_event(2), epoch=first["epoch"])

    assert second == first


async def test_a_reply_that_was_lost_is_made_good_by_the_next_round(phone: httpx.AsyncClient) -> None:
    lost = await hold(phone, make_event(1), make_event(2))
    answer = await hold(phone, make_event(1), make_event(2), make_event(3), epoch=lost["epoch"])

    assert answer["accepted"] == [make_id(1), make_id(2), make_id(3)]
    assert list_ids(answer) == [make_id(1), make_id(2), make_id(3)]


async def test_other_content_under_a_known_id_is_refused(phone: httpx.AsyncClient) -> None:
    await hold(phone, make_event(1))
    changed = make_event(1, payload={"step": "engine-oil/drain", "reason": "another"})
    answer = await hold(phone, changed, make_event(2))

    assert answer["accepted"] == [make_id(2)]
    assert answer["refused"] == [
        {
            "index": 0,
            "id": make_id(1),
            "code": "same_id_other_content",
            "message": f"The server already holds event {make_id(1)} with other content.",
            "next": "Export it from this phone and compare."
            " It stays on this phone and can be exported; nothing is overwritten.",
        }
    ]
    assert answer["ack"] == 2


async def test_two_copies_of_one_phone_are_told_apart(phone: httpx.AsyncClient) -> None:
    await hold(phone, make_event(1))
    answer = await hold(phone, make_event(1, id=make_id(77)))

    assert [one["code"] for one in answer["refused"]] == ["same_count_other_event"]


async def test_an_unknown_kind_is_passed_on_byte_for_byte(phone: httpx.AsyncClient) -> None:
    text = write_text(make_event(kind="song-sung", payload={})).replace(
        '"payload":{}', '"payload" : { "z":1.50, "a":"\\u00e9", "z":2 }, "mood":null'
    )
    body = write_text(make_round()).replace('"events":[]', f'"events":[ {text} ]')
    answer = await phone.post("/api/sync", content=body, headers={"content-type": "application/json"})

    assert f'"event":{text}}}]' in answer.text


async def test_every_phone_is_given_the_events_of_the_others(phone: httpx.AsyncClient) -> None:
    await hold(phone, make_event(1))
    answer = await hold(phone, **PHONE_TWO)

    assert list_ids(answer) == [make_id(1)]
    assert answer["ack"] == 0


async def test_a_phone_may_push_what_its_earlier_device_recorded(phone: httpx.AsyncClient) -> None:
    answer = await hold(
        phone, make_event(1), make_event(1, id=make_id(1, device=2), device="phone-2"), **PHONE_TWO
    )

    assert len(answer["accepted"]) == 2
    assert answer["ack"] == 1


async def test_rounds_go_on_from_the_cursor_until_there_is_no_more(
    phone: httpx.AsyncClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fillfirst.sync.rounds.PAGE_LIMIT", 2)
    first = await hold(phone, make_event(1), make_event(2), make_event(3))
    second = await hold(phone, epoch=first["epoch"], cursor=first["cursor"], ack=first["ack"])
    third = await hold(phone, epoch=first["epoch"], cursor=second["cursor"], ack=first["ack"])

    assert [answer["more"] for answer in (first, second, third)] == [True, False, False]
    assert list_ids(first) + list_ids(second) == [make_id(1), make_id(2), make_id(3)]
    assert third["events"] == []
    assert third["cursor"] == 3


async def test_a_gap_is_reported_and_holds_the_ack_back(phone: httpx.AsyncClient) -> None:
    answer = await hold(phone, make_event(1), make_event(4))

    assert answer["ack"] == 1
    assert answer["missing"] == [{"first": 2, "last": 3}]


async def test_an_epoch_the_server_does_not_tell_starts_from_the_first_event(
    phone: httpx.AsyncClient,
) -> None:
    first = await hold(phone, make_event(1))
    answer = await hold(phone, make_event(2), epoch="another", cursor=40, ack=40)

    assert answer["epoch"] == first["epoch"]
    assert list_ids(answer) == [make_id(1), make_id(2)]
    assert answer["ack"] == 2


async def test_a_restore_with_a_new_epoch_is_told_to_every_phone(
    phone: httpx.AsyncClient, store: SqliteStore
) -> None:
    before = await hold(phone, make_event(1))
    meta = await store.begin_epoch()
    answer = await hold(phone, epoch=before["epoch"], cursor=1, ack=1)

    assert answer["epoch"] == meta.epoch != before["epoch"]
    assert answer["server_id"] == before["server_id"]
    assert list_ids(answer) == [make_id(1)]


@pytest.fixture
async def put_back(tmp_path: Path, server: Server, phone: httpx.AsyncClient) -> Any:
    """A phone of a server whose files were put back to an older copy, with one event, without telling it."""
    await hold(phone, make_event(1))
    await server.store.close()
    shutil.copytree(tmp_path / "data", tmp_path / "older")
    newer = await open_store(tmp_path / "data", now_ms=NOW_MS)
    await newer.events.push([], [], pushed_by=1, now_ms=NOW_MS)
    await newer.close()
    store = await open_store(tmp_path / "older", now_ms=NOW_MS)
    older = replace(server, store=store, doorkeeper=Doorkeeper(store))
    transport = httpx.ASGITransport(create_app(older))
    async with httpx.AsyncClient(
        transport=transport, base_url=ORIGIN, headers={"origin": ORIGIN}, cookies=phone.cookies
    ) as client:
        yield client, (await store.get_meta()).epoch
    await store.close()


@pytest.mark.parametrize("known", [{"cursor": 2, "ack": 1}, {"cursor": 1, "ack": 2}], ids=["cursor", "ack"])
async def test_a_server_put_back_in_silence_notices_by_the_first_phone(
    put_back: Any, known: dict[str, int]
) -> None:
    client, old_epoch = put_back
    answer = await hold(client, epoch=old_epoch, **known)

    assert answer["epoch"] != old_epoch
    assert answer["ack"] == 1
    assert list_ids(answer) == [make_id(1)]


async def test_phones_that_offer_everything_again_restore_what_was_lost(put_back: Any) -> None:
    client, old_epoch = put_back
    told = await hold(client, epoch=old_epoch, cursor=3, ack=2)
    of_another = make_event(1, id=make_id(1, device=2), device="phone-2")
    answer = await hold(client, make_event(1), make_event(2), of_another, epoch=told["epoch"])

    assert len(answer["accepted"]) == 3
    assert len(list_ids(answer)) == 3
    assert answer["ack"] == 2


async def test_nothing_is_taken_of_a_request_that_is_no_round(
    phone: httpx.AsyncClient, store: SqliteStore
) -> None:
    body = write_text(make_round(make_event(1), cursor=-1))
    answer = await phone.post("/api/sync", content=body, headers={"content-type": "application/json"})

    assert answer.status_code == 400
    assert answer.json()["code"] == "bad_request"
    assert await store.events.get_head() == 0


async def test_a_photo_and_its_event_come_in_either_order(phone: httpx.AsyncClient) -> None:
    payload = {"step": "engine-oil/drain", "sha256": JPEG_SHA256, "type": "image/jpeg"}
    answer = await hold(phone, make_event(1, kind="photo-taken", payload=payload))

    assert answer["accepted"] == [make_id(1)]
    put = await phone.put(f"/api/photos/{JPEG_SHA256}", content=JPEG, headers={"content-type": "image/jpeg"})
    assert put.status_code == 200


async def test_a_full_server_takes_nothing_and_says_so(phone: httpx.AsyncClient, store: SqliteStore) -> None:
    async def limit(connection: Any) -> None:
        rows = await connection.fetch("PRAGMA page_count")
        await connection.execute(f"PRAGMA max_page_count = {rows[0][0]}")

    await store._database.write(limit)
    large = make_event(1, kind="song-sung", payload={"words": "la" * 50_000})
    answer = await phone.post("/api/sync", json=make_round(large))

    assert answer.status_code == 507
    assert answer.json()["code"] == "server_full"
    assert await store.events.get_head() == 0


async def test_each_round_sends_the_cookie_anew(phone: httpx.AsyncClient) -> None:
    answer = await phone.post("/api/sync", json=make_round())

    assert answer.headers["set-cookie"] == (
        f"device={phone.cookies['device']}; HttpOnly; SameSite=Strict; Path=/; Max-Age=34560000"
    )


async def test_the_clock_of_a_phone_is_compared_and_never_refused(
    phone: httpx.AsyncClient, store: SqliteStore, clock: Any
) -> None:
    clock.ms += 60_000
    await hold(phone, make_event(1, hlc={"ms": NOW_MS * 2, "c": 0}), client_now=clock.ms - 3_600_000)

    assert (await store.devices.list_all())[0].clock_offset_ms == 3_600_000
