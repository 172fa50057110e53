"""A closed visit, written out: everything that was done, and a mark wherever something does not hold."""

from __future__ import annotations

import csv
import io
from typing import Any

import httpx
import pytest
from played import MINI_CATALOG, Phone
from samples import NOW_MS, make_event, make_id, make_round

from fillfirst.records.figures import is_same
from fillfirst.store.sqlite import SqliteStore

pytestmark = pytest.mark.anyio

OIL = {"engine_oil_out": 0.004, "engine_oil_in": 0.0042}
MEASURE, FILL, LEVEL = "engine-oil/measure-out", "engine-oil/fill", "engine-oil/set-level"


@pytest.fixture
async def phone(phone: httpx.AsyncClient, store: SqliteStore) -> httpx.AsyncClient:
    """A phone of a server that has served the small catalog."""
    await store.catalogs.keep(MINI_CATALOG.hash, MINI_CATALOG.json, made_from="mini", now_ms=NOW_MS)
    return phone


async def get(phone: httpx.AsyncClient, path: str = "/api/visits/visit-1/record") -> dict[str, Any]:
    answer = await phone.get(path)
    assert answer.status_code == 200, answer.text
    record: dict[str, Any] = answer.json()
    return record


async def get_played(phone: httpx.AsyncClient, played: Phone) -> dict[str, Any]:
    await played.sync(phone)
    return await get(phone)


def find(things: list[dict[str, Any]], key: str, value: str) -> dict[str, Any]:
    return next(thing for thing in things if thing[key] == value)


async def test_a_whole_visit_is_written_out(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(values=OIL)
    played.close()
    record = await get_played(phone, played)

    assert record["car"] == {"id": "demo", "title": "Demo hatch", "plate": "DEMO 1"}
    assert record["odometer_shown"] == "84210\u00a0km"
    assert (record["opened_by"], record["closed_by"]) == ("Ada", "Ada")
    assert record["catalog"] == MINI_CATALOG.hash
    assert [step["id"] for step in record["steps"]] == [step["id"] for step in played.composition["steps"]]
    assert {step["status"] for step in record["steps"]} == {"done"}
    assert record["left_open"] == []
    assert record["disagreements"] == []
    assert record["disputed"] == []


async def test_every_figure_is_worked_out_again_and_agrees(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(values=OIL)
    played.close()
    record = await get_played(phone, played)

    agrees = find(record["figures"], "name", "engine_oil_agrees")
    assert agrees["value"] is agrees["phone"] is agrees["agrees"] is True
    assert agrees["shown"] == "They agree."
    buy = find(record["figures"], "name", "engine_oil_to_buy")
    assert buy["shown"].startswith(f"{buy['value'] * 1000:.1f}")


@pytest.mark.parametrize("wrong", [0.0044000001, "4.4 l", None, True])
async def test_a_figure_that_the_phone_had_otherwise_is_marked(
    phone: httpx.AsyncClient, wrong: object
) -> None:
    played = Phone()
    played.do_all(values=OIL)
    played.close(engine_oil_to_buy=wrong)
    record = await get_played(phone, played)

    assert record["disagreements"] == ["engine_oil_to_buy"]


async def test_a_reading_that_comes_from_another_phone_after_the_close_is_marked(
    phone: httpx.AsyncClient,
) -> None:
    played = Phone()
    played.do_all(values=OIL)
    played.close()
    await played.sync(phone)
    late = {"step": FILL, "reading": "engine_oil_in", "value": 0.009, "typed": "9", "unit": "l"}
    event = make_event(
        1,
        id=make_id(1, device=2),
        device="phone-2",
        kind="reading-taken",
        payload=late,
        seen=len(played.events),
    ) | {"hlc": {"ms": NOW_MS + 10**6, "c": 0}}
    await phone.post("/api/sync", json=make_round(event))

    assert (await get(phone))["disagreements"] == ["engine_oil_agrees"]


async def test_a_figure_without_a_value_says_why(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(but=[MEASURE], values=OIL)
    played.close()
    record = await get_played(phone, played)

    figure = find(record["figures"], "name", "engine_oil_agrees")
    assert (figure["value"], figure["agrees"]) == (None, True)
    assert figure["absence"] == "not known: engine_oil_out"


async def test_a_torque_comes_with_its_value_and_source(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(values=OIL)
    played.close()
    torque = find((await get_played(phone, played))["steps"], "id", "engine-oil/tighten-plug")["torque"]

    fact = played.specs.vehicles["demo"].facts["engine_oil_plug_torque"]
    assert torque == {
        "fact": "engine_oil_plug_torque",
        "value": fact.value,
        "shown": fact.shown,
        "source": {"kind": fact.source.kind, "reference": fact.source.reference},
    }


GIVEN = {"typed": "30", "unit": "N*m", "source": {"kind": "label", "reference": "on the pan"}}


async def test_a_torque_given_at_its_step_comes_with_where_it_was_found(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.record("fact-given", fact="engine_oil_plug_torque", value=30.0, **GIVEN)
    played.do_all(values=OIL)
    played.close()
    record = await get_played(phone, played)

    torque = find(record["steps"], "id", "engine-oil/tighten-plug")["torque"]
    assert (torque["value"], torque["shown"], torque["source"]) == (30.0, "30 N*m", GIVEN["source"])
    fact = find(record["facts"], "name", "engine_oil_plug_torque")
    assert (fact["value"], fact["shown"], fact["source"]) == (30.0, "30 N*m", GIVEN["source"])


async def test_a_torque_corrected_later_does_not_change_what_was_done(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(values=OIL)
    played.record("fact-given", fact="engine_oil_plug_torque", value=30.0, **GIVEN)
    played.close()
    record = await get_played(phone, played)

    torque = find(record["steps"], "id", "engine-oil/tighten-plug")["torque"]
    assert torque["value"] == played.specs.vehicles["demo"].facts["engine_oil_plug_torque"].value


async def test_a_number_that_two_phones_gave_differently_is_disputed(phone: httpx.AsyncClient) -> None:
    played, other = Phone(), Phone(device="phone-2")
    other.events.clear()
    played.record("fact-given", fact="engine_oil_plug_torque", value=30.0, **GIVEN)
    other.record("fact-given", fact="engine_oil_plug_torque", value=33.0, **{**GIVEN, "typed": "33"})
    played.do_all(values=OIL)
    played.close()
    await other.sync(phone)
    record = await get_played(phone, played)

    disputed = find(record["disputed"], "name", "engine_oil_plug_torque")
    assert sorted(disputed["values"]) == ["30 N*m", "33 N*m"]


async def test_a_reading_taken_again_leaves_both(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.take(MEASURE, "engine_oil_out", 0.001)
    played.do_all(values=OIL)
    played.close()
    readings = find((await get_played(phone, played))["steps"], "id", MEASURE)["readings"]

    assert [reading["value"] for reading in readings] == [0.001, 0.004]


async def test_what_was_skipped_is_told_with_its_reason(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(but=[LEVEL], values=OIL)
    played.record("step-skipped", step=LEVEL, reason="No dipstick")
    played.close()
    record = await get_played(phone, played)

    step = find(record["steps"], "id", LEVEL)
    assert (step["status"], step["reason"]) == ("skipped", "No dipstick")
    assert [left["variable"] for left in record["left_open"]] == ["engine-oil"]


async def test_a_stop_set_aside_at_a_step_on_standby_is_told_too(phone: httpx.AsyncClient) -> None:
    played = Phone()
    [standby, *_] = played.composition["standby"]
    played.record("stop-overridden", step=standby["id"], stops=["heat"], reason="It rains")
    played.do_all(values=OIL)
    played.close()
    [override] = (await get_played(phone, played))["overrides"]

    assert (override["step"], override["reason"]) == (standby["id"], "It rains")


async def test_what_nobody_did_is_open_and_left_open(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(but=["engine-oil/close-cap"], values=OIL)
    played.close()
    record = await get_played(phone, played)

    assert find(record["steps"], "id", "engine-oil/close-cap")["status"] == "open"
    left = find(record["left_open"], "variable", "engine-oil-cap")
    assert (left["found"], left["expected"]) == ("open", ["closed"])


async def test_a_stop_set_aside_is_told_with_the_rule_and_the_reason(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.record("stop-overridden", step="engine-oil/start", stops=["engine-filled", "heat"], reason="Asked")
    played.do_all(values=OIL)
    played.close()
    override = (await get_played(phone, played))["overrides"][0]

    assert (override["step"], override["reason"]) == ("engine-oil/start", "Asked")
    assert [stop["id"] for stop in override["stops"]] == ["engine-filled", "heat"]
    assert override["stops"][0]["reason"] == "Bearings run dry are scored within seconds."


async def test_photos_findings_and_undone_entries_are_told(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.record("photo-taken", step=LEVEL, sha256="a" * 64, type="image/jpeg")
    mistaken = played.record("step-done", step="engine-oil/drain")
    played.record("undone", event=mistaken["id"])
    played.do_all(values=OIL)
    played.close()
    record = await get_played(phone, played)

    level = find(record["steps"], "id", LEVEL)
    assert level["photos"] == ["a" * 64]
    assert level["finding"] == {"id": "good", "label": "At the upper mark", "good": True}
    assert record["undone_count"] == 1


async def test_two_phones_that_differ_are_told(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(values=OIL)
    played.close()
    await played.sync(phone)
    other = make_event(
        1,
        id=make_id(5, device=2),
        device="phone-2",
        kind="state-confirmed",
        payload={"variable": "engine-oil-cap", "value": "open"},
    )
    await phone.post("/api/sync", json=make_round(other))
    record = await get(phone)

    assert find(record["disputed"], "name", "engine-oil-cap")["values"] == ["open", "closed"]
    assert [left["variable"] for left in record["left_open"]] == ["engine-oil-cap"]


async def test_entries_of_a_kind_not_known_are_counted(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.record("song-sung", loud=True)
    played.do_all(values=OIL)
    played.close()

    assert (await get_played(phone, played))["unread_count"] == 1


async def test_half_a_sign_in_a_note_does_not_spoil_the_record(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(but=[LEVEL], values=OIL)
    played.record("step-skipped", step=LEVEL, reason="cut \ud83d")
    played.close()
    record = await get_played(phone, played)

    assert find(record["steps"], "id", LEVEL)["reason"] == "cut ?"


async def test_titles_are_whole_sentences(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(values=OIL)
    played.close()
    titles = [step["title"] for step in (await get_played(phone, played))["steps"]]

    assert not [title for title in titles if "{" in title]


@pytest.mark.parametrize(
    ("path", "status", "code"),
    [
        ("/api/visits/none/record", 404, "visit_not_known"),
        ("/api/visits/none/record.csv", 404, "visit_not_known"),
        ("/api/vehicles/none/record", 404, "car_not_known"),
    ],
)
async def test_what_is_not_here_is_not_found(
    phone: httpx.AsyncClient, path: str, status: int, code: str
) -> None:
    answer = await phone.get(path)

    assert (answer.status_code, answer.json()["code"]) == (status, code)


async def test_an_open_visit_has_no_record_yet(phone: httpx.AsyncClient) -> None:
    played = Phone()
    played.do_all(values=OIL)
    await played.sync(phone)
    answer = await phone.get("/api/visits/visit-1/record")

    assert (answer.status_code, answer.json()["code"]) == (409, "visit_not_closed")


async def test_a_visit_of_another_server_s_catalog_cannot_be_written_out(phone: httpx.AsyncClient) -> None:
    played = Phone(catalog="0" * 64)
    played.close()
    await played.sync(phone)
    answer = await phone.get("/api/visits/visit-1/record")

    assert (answer.status_code, answer.json()["code"]) == (409, "catalog_not_known")


async def test_the_records_of_a_car_are_its_closed_visits_oldest_first(phone: httpx.AsyncClient) -> None:
    for visit, device in (("visit-2", "phone-2"), ("visit-1", "phone-1"), ("visit-3", "phone-3")):
        played = Phone(visit=visit, device=device)
        if visit == "visit-1":
            played.events[0]["wall"] = "2026-01-01T08:00:00+01:00"
        if visit != "visit-3":
            played.close()
        await played.sync(phone)
    record = await get(phone, "/api/vehicles/demo/record")

    assert [one["visit"] for one in record["visits"]] == ["visit-1", "visit-2"]
    assert record["car"]["id"] == "demo"


@pytest.mark.parametrize("path", ["/api/visits/visit-1/record.json", "/api/vehicles/demo/record.json"])
async def test_the_name_of_the_file_may_say_json(phone: httpx.AsyncClient, path: str) -> None:
    played = Phone()
    played.close()
    await played.sync(phone)

    assert await get(phone, path) == await get(phone, path.removesuffix(".json"))


@pytest.mark.parametrize("path", ["/api/visits/visit-1/record.csv", "/api/vehicles/demo/record.csv"])
async def test_a_spreadsheet_reads_the_same_things(phone: httpx.AsyncClient, path: str) -> None:
    played = Phone()
    played.do_all(but=[LEVEL], values=OIL)
    played.record("step-skipped", step=LEVEL, reason="=HYPERLINK(1)")
    played.close(engine_oil_to_buy=1.0)
    await played.sync(phone)
    answer = await phone.get(path)
    rows = list(csv.DictReader(io.StringIO(answer.text)))

    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    assert find(rows, "id", LEVEL)["note"] == "'=HYPERLINK(1)"
    assert find(rows, "id", "engine_oil_to_buy")["status"] == "disagrees"
    assert find(rows, "id", "engine_oil_out")["value"] == "5"
    assert find(rows, "part", "left open")["id"] == "engine-oil"
    assert find(rows, "id", "engine_oil_plug_torque")["note"] != ""


@pytest.mark.parametrize(
    ("own", "phone", "same"),
    [
        (1.0, 1, True),
        (1.0, 1 + 9e-10, True),
        (1.0, 1 + 2e-9, False),
        (0.0, 0.0, True),
        (0.0, 1e-300, False),
        (True, True, True),
        (True, 1, False),
        (False, 0, False),
        (None, None, True),
        (None, 0.0, False),
        (1.0, None, False),
        ("a", "a", True),
        ("a", "b", False),
    ],
)
def test_figures_agree_to_the_last_digits_of_a_double(own: object, phone: object, same: bool) -> None:
    assert is_same(own, phone) is same
