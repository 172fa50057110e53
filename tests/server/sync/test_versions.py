"""Phones and servers of different versions: what was said once is understood for good.

`tests/fixtures/rounds` keeps a round of each version as its phones send it, and the keys that they read in
the answer. A version that changes either adds a file and leaves the others as they are.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import httpx
import pytest
from samples import make_event, make_id, make_round, write_text

from fillfirst.sync import request
from fillfirst.web.server import Server

pytestmark = pytest.mark.anyio

ROUNDS = Path(__file__).parents[2] / "fixtures" / "rounds"


def read(name: str) -> dict[str, Any]:
    return json.loads((ROUNDS / name).read_text())


@pytest.mark.parametrize("name", sorted(path.name for path in ROUNDS.glob("*.json")))
async def test_a_phone_of_every_version_syncs_with_this_server(phone: httpx.AsyncClient, name: str) -> None:
    kept = read(name)
    answer = (await phone.post("/api/sync", json=kept["sends"])).json()

    assert kept["reads"].keys() <= answer.keys()
    assert {key: type(answer[key]).__name__ for key in kept["reads"]} == kept["reads"]
    assert answer["accepted"] == [event["id"] for event in kept["sends"]["events"]]
    assert kept["reads_of_events"] == sorted(answer["events"][0])
    assert [one["event"] for one in answer["events"]] == kept["sends"]["events"]


async def test_a_newer_phone_goes_on_with_an_older_server(phone: httpx.AsyncClient) -> None:
    newer = [
        make_event(1, kind="song-sung", payload={"loud": True}),
        make_event(2, v=2, payload={"step": {"job": "engine-oil", "step": "drain"}}),
        make_event(3, mood="good"),
    ]
    answer = (await phone.post("/api/sync", json=make_round(*newer, app="9.0", wants=["songs"]))).json()

    assert answer["accepted"] == [make_id(n) for n in (1, 2, 3)]
    assert [write_text(one["event"]) for one in answer["events"]] == [write_text(event) for event in newer]


async def test_a_phone_that_speaks_otherwise_is_told_to_update_and_loses_nothing(
    phone: httpx.AsyncClient,
) -> None:
    answer = await phone.post("/api/sync", json={"from": 1, "entries": []})

    assert answer.status_code == 400
    assert answer.json()["next"] == "Update the app; nothing was taken and everything stays on the phone."


async def test_a_phone_that_is_too_old_is_told_so_and_nothing_is_taken(
    phone: httpx.AsyncClient, server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(request, "MIN_CLIENT", 2)
    answer = await phone.post("/api/sync", json=make_round(make_event(1)))

    assert (answer.status_code, answer.json()["code"]) == (409, "app_too_old")
    assert "newer version" in answer.json()["next"]
    assert await server.store.events.get_head() == 0
    assert (await phone.post("/api/sync", json=make_round(protocol=2))).status_code == 200


async def test_the_version_of_an_app_is_in_the_list_of_devices(phone: httpx.AsyncClient) -> None:
    before = (await phone.get("/api/devices")).json()["devices"][0]["app"]
    await phone.post("/api/sync", json=make_round(app="3f9c2a7e51d04b68"))

    assert (before, (await phone.get("/api/devices")).json()["devices"][0]["app"]) == (
        None,
        "3f9c2a7e51d04b68",
    )


async def test_an_entry_in_an_older_shape_is_refused_alone_with_what_to_do(phone: httpx.AsyncClient) -> None:
    older = make_event(1)
    del older["hlc"]
    answer = (await phone.post("/api/sync", json=make_round(older, make_event(2)))).json()

    assert answer["accepted"] == [make_id(2)]
    assert answer["refused"][0]["next"].startswith("Update the app.")
