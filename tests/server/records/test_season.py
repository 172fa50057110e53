"""A year of three cars: twelve visits, slips included, and the due days as counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import httpx
import pytest
import vobject
from samples import NOW_MS
from season import KM, MONTH, Device, Season

from fillfirst.web.server import ServedCatalog, Server

pytestmark = pytest.mark.anyio

SEASON = Season()
# The server's clock stands on 2026-05-04.
OIL, BRAKES = "engine-oil", "brake-fluid"


def live_through(garage: Device, yard: Device, late: Device) -> None:
    """Tern goes 40 km a day, Gull 100, Heron as it comes."""
    tern = {"engine_oil_maker_distance": 15000 * KM, "engine_oil_maker_time": 12 * MONTH}
    tern |= {"engine_oil_severe_distance": 10000 * KM, "brake_fluid_maker_time": 36 * MONTH}
    SEASON.add_car(
        garage, "2025-04-09", "tern", "pippin-hatch", "Tern", **tern, brake_fluid_fluid_time=24 * MONTH
    )
    SEASON.add_car(garage, "2025-04-09", "gull", "pippin-hatch", "Gull", engine_oil_own_distance=12000 * KM)
    SEASON.add_car(garage, "2025-04-09", "heron", "fellside-estate", "Heron")
    garage.record("tern", "2025-04-09", "policy-chosen", policy="maker", because="it stands in a garage")
    garage.record("gull", "2025-04-09", "policy-chosen", policy="own", job=OIL)

    SEASON.visit(garage, "v1", "tern", "2025-04-10", 60000, [OIL, BRAKES])
    SEASON.visit(garage, "v2", "tern", "2025-10-07", 67200, [OIL])
    # Two digits swapped, and put right the day after.
    SEASON.visit(garage, "v3", "tern", "2026-04-05", 47400, [OIL])
    garage.record(
        "v3",
        "2026-04-06",
        "odometer-corrected",
        value=74400 * KM,
        typed="74400",
        unit="km",
        because="digits swapped",
    )
    # The brake fluid had not come: its steps were passed over.
    SEASON.visit(garage, "v4", "tern", "2026-04-20", 75000, ["coolant-main", BRAKES], but="brake-fluid/")
    garage.record("v4", "2026-04-21", "recheck-done", recheck="closing/next-day")

    SEASON.visit(yard, "v5", "gull", "2025-06-01", 120000, [OIL])
    undone = yard.record("v5", "2025-06-02", "step-skipped", step="engine-oil/open-cap", reason="wrong car")
    yard.record("v5", "2025-06-02", "undone", event=undone["id"])
    SEASON.visit(yard, "v6", "gull", "2025-09-09", 130000, [OIL], helper=garage)
    SEASON.visit(late, "v7", "gull", "2025-12-18", 140000, [OIL])
    # 150,000 typed as 105,000, and never put right.
    SEASON.visit(yard, "v8", "gull", "2026-03-28", 105000, [BRAKES])
    yard.record("gull", "2026-04-27", "odometer-read", value=153000 * KM, typed="153000", unit="km")

    elsewhere = {"kind": "owner", "reference": "invoice 77 of the garage in town"}
    garage.record(
        "heron",
        "2025-05-01",
        "service-noted",
        job="automatic-gearbox",
        date="2021-05-20",
        odometer_m=30000 * KM,
        source=elsewhere,
    )
    SEASON.visit(garage, "v9", "heron", "2025-05-09", 80000, [OIL])
    SEASON.visit(garage, "v10", "heron", "2025-11-05", 84500, ["front-final-drive"])
    SEASON.visit(garage, "v11", "heron", "2026-02-13", 88500, ["rear-final-drive"])
    SEASON.visit(garage, "v12", "heron", "2026-04-24", 91000, [OIL], is_closed=False)


@pytest.fixture
async def server(server: Server) -> Server:
    """A server of the shipped procedures."""
    catalog = SEASON.catalog
    await server.store.catalogs.keep(catalog.hash, catalog.json, made_from="season", now_ms=NOW_MS)
    return replace(server, catalog=ServedCatalog(catalog.hash, catalog.json))


@pytest.fixture
async def lived(phone: httpx.AsyncClient) -> httpx.AsyncClient:
    """A server that all three phones have told everything, one of them long after the others."""
    garage, yard, late = Device("garage", 1), Device("yard", 2), Device("late", 3)
    live_through(garage, yard, late)
    await garage.sync(phone)
    await yard.sync(phone)
    before = await due_of(phone, "Gull", OIL)
    assert before["last"]["date"] == "2025-09-09"
    await late.sync(phone)
    return phone


async def list_due(phone: httpx.AsyncClient) -> dict[str, Any]:
    answer = await phone.get("/api/due")
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.json()
    return {car["title"]: car for car in told["cars"]}


async def due_of(phone: httpx.AsyncClient, title: str, job: str) -> dict[str, Any]:
    services = (await list_due(phone))[title]["services"]
    found: dict[str, Any] = next(service for service in services if service["job"] == job)
    return found


def days(service: dict[str, Any]) -> tuple[str, str, str, str, str]:
    return tuple(service[key] for key in ("date", "date_from", "date_to", "by", "limit"))  # type: ignore[return-value]


def on(day: str, after: int) -> str:
    return (date.fromisoformat(day) + timedelta(days=after)).isoformat()


async def test_a_year_of_three_cars_comes_due_as_counted_by_hand(lived: httpx.AsyncClient) -> None:
    cars = await list_due(lived)
    due = {(title, service["job"]): service for title, car in cars.items() for service in car["services"]}

    # Tern: 14,400 km left at 40 km a day are 360 days from 2026-04-20, ten days after the year is over.
    assert cars["Tern"]["rate"]["rate"] * 86.4 == pytest.approx(40)
    assert days(due["Tern", OIL]) == ("2027-04-05", "2027-04-05", "2027-04-05", "maker", "time")
    told = {(each["by"], each["limit"]): each for each in due["Tern", OIL]["limits"]}
    assert told["maker", "distance"]["date"] == on("2026-04-20", 360)
    # Severe use would have said 9,400 km at 40 km a day, but the maker's schedule was chosen.
    assert told["severe", "distance"]["date"] == on("2026-04-20", 235)
    assert not told["severe", "distance"]["counts"]
    # The brakes were on the list again, and passed over: what counts is the first time.
    assert days(due["Tern", BRAKES])[0] == "2028-04-10"
    assert days(due["Tern", "coolant-main"])[::3] == ("2031-04-20", "practice")

    # Gull: due at 152,000 km, twelve thirteenths of the way from 140,000 to 153,000, and of the 130 days.
    assert cars["Gull"]["doubtful"] == [{"date": "2026-03-28", "value": 105000 * KM, "visit": "v8"}]
    assert days(due["Gull", OIL]) == ("2026-04-17", "2025-12-18", "2026-04-27", "own", "distance")
    assert due["Gull", OIL]["state"] == "due"
    assert [each["visit"] for each in due["Gull", OIL]["history"]] == ["v5", "v6", "v7"]
    assert days(due["Gull", BRAKES])[0] == "2028-03-28"

    # Heron: ten slopes from 25 to 40 km a day, their middle 33.85; 19,000 km left at 91,000.
    rate = cars["Heron"]["rate"]
    middle = (58500 / 1730 + 61000 / 1800) / 2
    assert [rate[key] * 86.4 for key in ("rate_from", "rate", "rate_to")] == pytest.approx([25, middle, 40])
    assert days(due["Heron", "automatic-gearbox"]) == (
        on("2026-04-24", 561),
        on("2026-04-24", 475),
        on("2026-04-24", 760),
        "practice",
        "distance",
    )
    assert due["Heron", "automatic-gearbox"]["last"]["reference"] == "invoice 77 of the garage in town"
    # The visit that nobody closed renewed nothing yet.
    assert days(due["Heron", OIL])[::3] == ("2026-05-09", "practice")
    assert due["Heron", OIL]["state"] == "soon"


async def test_a_recheck_is_there_until_somebody_looked(lived: httpx.AsyncClient) -> None:
    rechecks = {each["id"]: each for each in (await list_due(lived))["Tern"]["rechecks"]}

    assert rechecks["closing/after-a-week"]["date"] == "2026-04-27"
    assert rechecks["closing/after-a-week"]["state"] == "due"
    assert "closing/next-day" not in rechecks


async def test_services_close_together_save_what_composing_them_alone_costs(lived: httpx.AsyncClient) -> None:
    heron = (await list_due(lived))["Heron"]

    assert all(each["saves_s"] > 0 and len(each["jobs"]) > 1 for each in heron["together"])


async def test_another_parser_reads_the_calendar_as_it_was_meant(lived: httpx.AsyncClient) -> None:
    made = await lived.post("/api/links", json={"opens": "calendar", "subject": "heron", "name": "kitchen"})
    path = made.json()["path"]
    answer = await lived.get(path)
    events = {str(event.uid.value): event for event in vobject.readOne(answer.text).vevent_list}
    oil, gearbox = events["engine-oil.heron@fillfirst"], events["automatic-gearbox.heron@fillfirst"]

    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    assert all(uid.endswith(".heron@fillfirst") for uid in events)
    assert oil.summary.value == "Engine oil and filter: Heron (DEMO H)"
    assert (oil.dtstart.value, oil.dtend.value) == (date(2026, 5, 9), date(2026, 5, 10))
    # Nine months wide is no appointment: its most likely day, and the text says the rest.
    assert gearbox.dtstart.value == date.fromisoformat(on("2026-04-24", 561))
    assert on("2026-04-24", 475) in gearbox.description.value
    assert "80000 km, by common practice" in gearbox.description.value


async def test_a_calendar_taken_back_is_nowhere(lived: httpx.AsyncClient) -> None:
    made = (await lived.post("/api/links", json={"opens": "calendar", "name": "kitchen"})).json()
    await lived.delete(f"/api/links/{made['link']['id']}")

    assert (await lived.get(made["path"])).status_code == 404


async def test_what_is_overdue_stands_on_today_until_it_is_done(lived: httpx.AsyncClient) -> None:
    calendar = vobject.readOne((await lived.get("/api/due.ics")).text)
    oil = next(event for event in calendar.vevent_list if event.uid.value == "engine-oil.gull@fillfirst")

    assert oil.dtstart.value == date(2026, 5, 4)
    assert "About 2026-04-17" in oil.description.value


async def test_a_car_taken_away_is_not_due(lived: httpx.AsyncClient) -> None:
    again = Device("other", 9)
    again.record("wren", "2026-05-01", "car-added", title="Wren", plate="DEMO W")
    again.record("wren", "2026-05-01", "undone", event=again.made[0]["id"])
    await again.sync(lived)

    assert "Wren" not in await list_due(lived)


def test_the_shipped_specs_name_every_authority() -> None:
    said = {fact.interval.by for fact in SEASON.specs.facts.values() if fact.interval}

    assert said == {"maker", "component", "severe", "fluid", "own"}
