"""The same cars through both due lists: which day, by whose interval, and what follows a visit."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random
from typing import Any

from visit_vectors import SPECS, as_events, differences, each

from fillfirst.records.due import list_due
from fillfirst.records.history import fold_afterwards, fold_history, read_visit
from fillfirst.specs.linked import Specs
from fillfirst.visits.compose import compose
from fillfirst.visits.events import read_event
from fillfirst.visits.fold import fold

WRITTEN = json.loads((Path(__file__).parent / "due.json").read_text())
VECTORS = WRITTEN["vectors"]
RECHECKS = ["closing/wheels", "closing/next-day"]
CAR = {
    "powertrain": "combustion",
    "gearbox": "manual",
    "has_rear_drive": False,
    "has_undertray": False,
}


def with_intervals() -> Specs:
    """The small catalog of the other vectors, with intervals and re-checks."""
    whole = SPECS.model_dump(mode="json", by_alias=True)
    for name, (job, by, limit) in WRITTEN["facts"].items():
        interval = {"job": job, "by": by, "limit": limit}
        whole["facts"][name] = {"group": "car", "title": name, "kind": "quantity", "interval": interval}
    for job, pair in WRITTEN["practice"].items():
        distance, time = [None if amount is None else {"value": amount, "shown": ""} for amount in pair]
        interval = {"distance": distance, "time": time, "authority": "Practice"}
        whole["jobs"][job]["intervals"] = [interval | {"source": {"document": "common-practice"}}]
    whole["jobs"]["closing"]["rechecks"] = WRITTEN["rechecks"]
    return Specs.model_validate_json(json.dumps(whole))


DUE_SPECS = with_intervals()
CATALOG = DUE_SPECS.model_dump(mode="json", by_alias=True)


def whole_car(short: dict[str, Any]) -> Any:
    def reading(date: str, value: float, visit: str | None = None) -> dict[str, Any]:
        return {"date": date, "value": value, "visit": visit}

    def service(
        job: str, date: str, odometer: float | None, visit: str | None = None, hours: float | None = None
    ) -> dict[str, Any]:
        done = {"job": job, "date": date, "odometer_m": odometer, "hours_s": hours, "visit": visit}
        return done | {"reference": "" if visit else "invoice"}

    return {
        "id": "car",
        "title": "Tern",
        "plate": "DEMO",
        "facts": CAR | short.get("facts", {}),
        "policies": short.get("policies", {}),
        "odometers": [reading(*each) for each in short.get("odometers", [])],
        "hours": [reading(*each) for each in short.get("hours", [])],
        "services": [service(*each) for each in short.get("services", [])],
        "rechecks": short.get("rechecks", []),
    }


def list_on_server(car: Any, today: str) -> Any:
    return list_due(DUE_SPECS, car, today).model_dump(mode="json")


def list_on_phone(core_page: Any, cars: list[Any], today: str) -> Any:
    return core_page.call_all("due-list.js", "listDue", [[CATALOG, car, today] for car in cars])


@each(VECTORS)
def test_server_lists_what_is_due_as_the_vector_shows(vector: Any) -> None:
    assert differences(list_on_server(whole_car(vector["car"]), vector["today"]), vector["shows"]) == []


@each(VECTORS)
def test_phone_lists_what_is_due_to_the_last_word_as_the_server(vector: Any, core_page: Any) -> None:
    car = whole_car(vector["car"])

    assert list_on_phone(core_page, [car], vector["today"]) == [list_on_server(car, vector["today"])]


def random_day(random: Random) -> str:
    return f"{random.randint(2023, 2026)}-{random.randint(1, 12):02}-{random.randint(1, 28):02}"


def random_car(random: Random) -> Any:
    """A car whose past may be thin, and whose readings may be wrong."""
    day = 86400
    names = random.sample(sorted(WRITTEN["facts"]), random.randint(0, 6))
    spans = [random.choice([7.5e6, 15e6, 900000.0, 365.25 * day, 730.5 * day, 0.0]) for _ in names]
    readings = [[random_day(random), random.randint(0, 90) * 1e6] for _ in range(random.randint(0, 7))]
    visits = ["v1", "v2", None]
    return whole_car(
        {
            "facts": dict(zip(names, spans, strict=True)),
            "policies": {"": random.choice(["strictest", "maker", "severe", "own"])},
            "odometers": [[*reading, random.choice(visits)] for reading in readings],
            "hours": [[random_day(random), random.randint(0, 900) * 3600.0] for _ in range(4)],
            "services": [
                [
                    random.choice(["engine-oil", "brake-fluid", "coolant"]),
                    random.choice([random_day(random), "2024-02-30"]),
                    random.choice([None, random.randint(0, 90) * 1e6]),
                    random.choice(visits),
                    random.choice([None, 3.6e6]),
                ]
                for _ in range(random.randint(0, 5))
            ],
            "rechecks": [
                {
                    "id": random.choice([*RECHECKS, "closing/gone", "gone/wheels"]),
                    "visit": "v1",
                    "date": random_day(random),
                    "odometer_m": random.choice([None, 5e7]),
                    "distance": random.choice([None, 50000.0]),
                    "time": random.choice([None, 86400.0, 604800.0, 2629800.0]),
                    "is_done": random.random() < 0.3,
                }
                for _ in range(2)
            ],
        }
    )


def test_server_and_phone_list_random_cars_alike(core_page: Any) -> None:
    cars = [random_car(Random(seed)) for seed in range(150)]

    assert list_on_phone(core_page, cars, "2026-03-10") == [list_on_server(car, "2026-03-10") for car in cars]


def folded_on_server(fold_entries: Any, vector: Any) -> Any:
    return fold_entries([read_event(event) for event in as_events(vector["events"])])


@each(WRITTEN["histories"])
def test_both_fold_the_past_of_a_car_as_the_vector_shows(vector: Any, core_page: Any) -> None:
    history = folded_on_server(fold_history, vector)

    assert differences(history, vector["shows"]) == []
    assert core_page.call("history.js", "foldHistory", as_events(vector["events"])) == history


@each(WRITTEN["afterwards"])
def test_both_fold_what_follows_a_visit_as_the_vector_shows(vector: Any, core_page: Any) -> None:
    after = folded_on_server(fold_afterwards, vector)

    assert differences(after, vector["shows"]) == []
    assert core_page.call("history.js", "foldAfterwards", as_events(vector["events"])) == after


def test_both_read_a_visit_alike(core_page: Any) -> None:
    """Brakes done and oil skipped: one service, and the re-checks of what was done."""
    composition = compose(DUE_SPECS, ["engine-oil", "brake-fluid"], CAR)
    skipped = {"engine-oil/fill", "engine-oil/level"}
    opening = {"odometer_m": 5e7, "catalog": "", "jobs": [], "facts": {}, "settings": {}, "by": "Ann"}
    correction = {"value": 6e7, "typed": "60000", "unit": "km", "because": "misread"}
    events = as_events(
        [
            {"kind": "visit-opened", "payload": {"car": {"id": "car"}, **opening}},
            *(
                {
                    "kind": "step-skipped" if step["step"] in skipped else "step-done",
                    "payload": {"step": step["id"], "reason": "no oil here"},
                }
                for step in composition["steps"]
            ),
            {"kind": "odometer-corrected", "payload": correction},
            {"kind": "visit-closed", "payload": {"figures": {}, "by": "Ann"}},
        ]
    )
    visit = fold(DUE_SPECS, composition, [read_event(event) for event in events])
    after = fold_afterwards([read_event(event) for event in events])

    told = read_visit(DUE_SPECS, composition, visit, after)

    assert [(each["job"], each["odometer_m"]) for each in told["services"]] == [("brake-fluid", 6e7)]
    assert [each["id"] for each in told["rechecks"]] == ["closing/wheels", "closing/next-day"]
    phone = core_page.call("fold.js", "fold", CATALOG, composition, events)
    assert core_page.call("history.js", "readVisit", CATALOG, composition, phone, after) == told
