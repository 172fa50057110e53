"""The same entries about a car through both folds: who said what of it, and what stands."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Error
from visit_vectors import Phone, as_events, differences, each, read

from fillfirst.cars.fold import fold_car
from fillfirst.errors import EventError
from fillfirst.visits.events import read_event

VECTORS = read("fold-car.json")
SHOWN = [vector for vector in VECTORS if "shows" in vector]
REFUSED = [vector for vector in VECTORS if "error" in vector]


def fold_on_server(events: list[Any]) -> Any:
    return fold_car([read_event(event) for event in events])


def random_car(random: Random, length: int) -> list[dict[str, Any]]:
    """What two phones write of one car that meet the server now and then."""
    phones = [Phone("garage"), Phone("yard")]
    server: list[dict[str, Any]] = []
    for index in range(length):
        phone = random.choice(phones)
        phone.clock += random.choice([0, 1, 7])
        kind, payload = random_body(random, [event["id"] for event in server + phone.made])
        phone.made.append(
            {
                "id": f"{phone.name}-{index}",
                "device": phone.name,
                "n": len(phone.made) + 1,
                "hlc": {"ms": phone.clock, "c": index},
                "seen": phone.cursor,
                "wall": "2026-05-04T10:00:00+02:00",
                "kind": kind,
                "v": 1,
                "subject": "car",
                "payload": payload,
            }
        )
        if random.random() < 0.2:
            for unsent in phone.made:
                if "seq" not in unsent:
                    unsent["seq"] = len(server) + 1
                    server.append(unsent)
            phone.cursor = len(server)
            phone.clock = max([phone.clock, *(one["hlc"]["ms"] for one in server)])
    return [event for phone in phones for event in phone.made]


def random_body(random: Random, ids: list[str]) -> tuple[str, dict[str, Any]]:
    fact, value = random.choice(["fuel", "wheels", "has_undertray"]), random.choice([1, True, "x", ["x"]])
    source = {"kind": "label", "reference": random.choice(["here", "there"])}
    some = random.choice(ids) if ids else "none"
    bodies: dict[str, dict[str, Any]] = {
        "car-added": {"title": "Tern", "plate": "DEMO"},
        "car-described": {"title": random.choice(["Tern", "Gull", None]), "note": random.choice([None, "n"])},
        "fact-written": {"fact": fact, "value": value, "source": source},
        "fact-withdrawn": {"fact": fact, "because": "no such thing"},
        "fact-confirmed": {"fact": fact, "event": some},
        "odometer-read": {"value": random.random(), "typed": "1", "unit": "km"},
        "undone": {"event": some},
        "from-the-future": {},
    }
    if random.random() < 0.2:
        bodies["fact-written"]["confirmed"] = False
    kind = random.choice([*bodies, "fact-written", "fact-written", "fact-confirmed", "fact-confirmed"])
    return kind, bodies[kind]


@each(SHOWN)
def test_server_folds_a_car_as_the_vector_shows(vector: Any) -> None:
    assert differences(fold_on_server(as_events(vector["events"])), vector["shows"]) == []


@each(SHOWN)
def test_phone_folds_a_car_to_the_last_word_as_the_server(vector: Any, core_page: Any) -> None:
    events = as_events(vector["events"])

    assert core_page.call("car.js", "foldCar", events) == fold_on_server(events)


@each(REFUSED)
def test_server_refuses_bad_entries_about_a_car(vector: Any) -> None:
    with pytest.raises(EventError) as refusal:
        fold_on_server(as_events(vector["events"]))

    assert {"code": refusal.value.code, "message": str(refusal.value)} == vector["error"]


@each(REFUSED)
def test_phone_refuses_bad_entries_about_a_car(vector: Any, core_page: Any) -> None:
    with pytest.raises(Error) as refusal:
        core_page.call("car.js", "foldCar", as_events(vector["events"]))

    assert f"EventError: {vector['error']['message']}" in str(refusal.value)


def test_server_and_phone_fold_random_cars_alike(core_page: Any) -> None:
    logs = [random_car(Random(seed), 40) for seed in range(120)]

    assert core_page.call_all("car.js", "foldCar", [[log] for log in logs]) == [
        fold_on_server(log) for log in logs
    ]


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32), data=st.data())
def test_the_fold_of_a_car_does_not_depend_on_order_or_copies(seed: int, data: st.DataObject) -> None:
    log = random_car(Random(seed), 25)
    delivered = data.draw(st.permutations(log + data.draw(st.lists(st.sampled_from(log), max_size=10))))

    assert fold_on_server(delivered) == fold_on_server(log)
