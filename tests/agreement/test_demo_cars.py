"""The demo cars with all their services, from the first step to the last, on the server and on the phone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from visit_vectors import as_events

from fillfirst.specs import load
from fillfirst.specs.linked import Specs
from fillfirst.visits.compose import compose
from fillfirst.visits.events import read_event
from fillfirst.visits.fold import fold
from fillfirst.visits.gate import stops, unfinished

SPECS = load(Path(__file__).parents[2] / "specs")
CATALOG = SPECS.model_dump(mode="json", by_alias=True)
every_car = pytest.mark.parametrize("car", SPECS.vehicles)


def facts_of(specs: Specs, car: str) -> dict[str, Any]:
    """What is known of a demo car, and for each setting its default or the first that may be chosen."""
    settings = {
        name: fact.default if fact.default is not None else next(iter(fact.options or {}), 288.15)
        for name, fact in specs.facts.items()
        if fact.of == "visit"
    }
    return {**settings, **{name: fact.value for name, fact in specs.vehicles[car].facts.items()}}


def composed(car: str) -> Any:
    return compose(SPECS, list(SPECS.jobs), facts_of(SPECS, car))


def all_done(composition: Any) -> list[dict[str, Any]]:
    return as_events(
        [{"kind": "step-done", "payload": {"step": step["id"]}} for step in composition["steps"]]
    )


@every_car
def test_nothing_is_missing_to_compose_all_services(car: str) -> None:
    composition = composed(car)

    assert composition["missing"] == []
    assert len(composition["jobs"]) >= 3


@every_car
def test_no_step_is_stopped_where_all_before_it_are_done(car: str) -> None:
    composition = composed(car)
    events = [read_event(event) for event in all_done(composition)]
    states = [fold(SPECS, composition, events[:at])["variables"] for at in range(0, len(events), 10)]

    stopped = [
        stops(SPECS, composition, state, composition["steps"][10 * at]) for at, state in enumerate(states)
    ]

    assert [each for each in stopped if each] == []


@every_car
def test_all_is_as_it_must_be_left_when_every_step_is_done(car: str) -> None:
    composition = composed(car)

    visit = fold(SPECS, composition, [read_event(event) for event in all_done(composition)])

    assert visit["next"] is None
    assert unfinished(SPECS, composition, visit["variables"]) == []


@every_car
def test_phone_composes_a_demo_car_as_the_server_does(car: str, core_page: Any) -> None:
    facts = facts_of(SPECS, car)

    assert core_page.call("compose.js", "compose", CATALOG, list(SPECS.jobs), facts) == composed(car)


@every_car
def test_phone_folds_a_whole_visit_as_the_server_does(car: str, core_page: Any) -> None:
    composition = composed(car)
    events = all_done(composition)

    on_phone = core_page.call("fold.js", "fold", CATALOG, composition, events)

    assert on_phone == fold(SPECS, composition, [read_event(event) for event in events])


@every_car
def test_phone_stops_the_last_step_on_a_spoilt_car_as_the_server_does(car: str, core_page: Any) -> None:
    composition = composed(car)
    worst = {id: SPECS.variables[base].values[-1] for id, base in composition["variables"].items()}
    last = composition["steps"][-1]

    on_phone = core_page.call("gate.js", "stops", CATALOG, composition, worst, last)

    assert on_phone == stops(SPECS, composition, worst, last)
    assert on_phone != []
