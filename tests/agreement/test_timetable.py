"""The day as the phone lays it out, held against the server's own gate, over many plans."""

from __future__ import annotations

import random
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from going_through import stops_along

from fillfirst.specs import load
from fillfirst.visits.compose import compose

SPECS = load(Path(__file__).parents[2] / "specs")
CATALOG = SPECS.model_dump(mode="json", by_alias=True)
JOBS = [id for id, job in SPECS.jobs.items() if not job.shared]
PLANS = 30
#: What rounding may add, in seconds.
NOISE = 1e-6


def draw_plan(seed: int) -> dict[str, Any]:
    """Some services of some car, done in some way."""
    dice = random.Random(seed)
    car = SPECS.vehicles[dice.choice(sorted(SPECS.vehicles))]
    settings = {
        name: dice.choice(sorted(fact.options)) if fact.options else fact.default
        for name, fact in SPECS.facts.items()
        if fact.of == "visit" and fact.kind in ("choice", "quantity") and fact.default is not None
    }
    facts = settings | {name: fact.value for name, fact in car.facts.items()}
    chosen = dice.sample(JOBS, dice.randint(1, len(JOBS)))
    return dict(compose(SPECS, chosen, facts))


@pytest.fixture(scope="module")
def plans(core_page: Any) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """Compositions with the timetable of each; a car that none of its services fits has an empty day."""
    compositions = [draw_plan(seed) for seed in range(PLANS)]
    days = core_page.call_with(CATALOG, "timetable.js", "makeTimetable", compositions)
    return list(zip(compositions, days, strict=True))


def test_no_timetable_breaks_a_rule(plans: list[tuple[Any, Any]]) -> None:
    broken = [
        (id, stop["id"])
        for composition, day in plans
        for id, stop in stops_along(SPECS, composition, day["order"])
    ]

    assert broken == []


def test_every_step_is_done_once(plans: list[tuple[Any, Any]]) -> None:
    for composition, day in plans:
        assert sorted(day["order"]) == sorted(instance["id"] for instance in composition["steps"])


def test_hands_do_one_thing_at_a_time(plans: list[tuple[Any, Any]]) -> None:
    overlaps = [
        (one["id"], other["id"])
        for _, day in plans
        for one, other in pairwise(day["tasks"])
        if other["start_s"] < one["start_s"] + busy(one) - NOISE
    ]

    assert overlaps == []


def busy(task: Mapping[str, Any]) -> float:
    return float(task["work_s"] + (task["wait_s"] if task["attended"] else 0))


def test_no_day_beats_its_longest_chain(plans: list[tuple[Any, Any]]) -> None:
    assert [day["total_s"] for _, day in plans if day["total_s"] < day["bound_s"] - NOISE] == []


def test_no_day_is_longer_than_one_step_after_another(
    plans: list[tuple[dict[str, Any], dict[str, Any]]], core_page: Any
) -> None:
    compositions = [composition for composition, _ in plans]
    spent = core_page.call_with(CATALOG, "in-turn.js", "spendInTurn", compositions)
    in_turn = [each["work_s"] + each["wait_s"] for each in spent]

    longer = [day for (_, day), most in zip(plans, in_turn, strict=True) if day["total_s"] > most + NOISE]
    assert longer == []


def test_some_waits_are_filled_with_other_work(plans: list[tuple[Any, Any]]) -> None:
    assert sum(task["early"] for _, day in plans for task in day["tasks"]) > PLANS


def test_an_open_nipple_is_not_left(plans: list[tuple[Any, Any]]) -> None:
    """Steps of one block and item follow each other at once."""
    blocks = {step.id: step.block for step in SPECS.steps}
    for composition, day in plans:
        in_order = [instance["id"] for instance in composition["steps"]]
        follows = {one: other for one, other in pairwise(in_order) if of_one(one, other, blocks)}
        begun = [task["id"] for task in day["tasks"]]
        for one, other in follows.items():
            assert begun[begun.index(one) + 1] == other


def of_one(one: str, other: str, blocks: Mapping[str, str | None]) -> bool:
    (first, _, item), (second, _, item_too) = one.partition("@"), other.partition("@")
    is_block = blocks[first] is not None and blocks[first] == blocks[second]
    return is_block and item == item_too and first.split("/")[0] == second.split("/")[0]


def test_what_runs_is_seen_through(plans: list[tuple[Any, Any]]) -> None:
    """From the moment the engine runs until it is off lies inside one unbroken span."""
    for _, day in plans:
        started = [task for task in day["tasks"] if task["step"] == "running/start-engine"]
        stopped = [task for task in day["tasks"] if task["step"] == "running/engine-off"]
        for one, other in zip(started, stopped, strict=True):
            assert any(
                span["from_s"] <= one["end_s"] + NOISE and other["end_s"] <= span["to_s"] + NOISE
                for span in day["unbroken"]
            )


def test_cooling_counts_from_the_engine_s_stop(plans: list[tuple[Any, Any]]) -> None:
    waits = [
        (next(each for each in day["tasks"] if each["step"] == "running/engine-off"), task)
        for composition, day in plans
        if composition["facts"]["powertrain"] == "combustion"
        for task in day["tasks"]
        if task["step"] == "running/cold-again"
    ]

    assert waits
    for off, cold in waits:
        assert cold["end_s"] - off["end_s"] == pytest.approx(3600, abs=1) or cold["wait_s"] == 0


def test_own_visits_move_a_step_towards_what_they_showed(core_page: Any) -> None:
    catalog = {"steps": [{"id": "job/turn", "work_s": 60, "wait_s": 0, "hold": None}]}
    visit = [entry(0, "visit-opened"), *(entry(at * 100_000, "step-done", "job/turn") for at in range(1, 8))]

    learned = core_page.call("durations.js", "learnDurations", catalog, [visit])

    assert learned["steps"]["job/turn"] == {"count": 7, "median_s": 100}
    assert 1 < learned["pace"] < 100 / 60


def test_a_pause_is_no_work(core_page: Any) -> None:
    catalog = {"steps": [{"id": "job/turn", "work_s": 60, "wait_s": 0, "hold": None}]}
    visit = [
        entry(0, "visit-opened"),
        entry(3_600_000, "step-done", "job/turn"),
        entry(3_601_000, "step-done", "job/turn"),
    ]

    learned = core_page.call("durations.js", "learnDurations", catalog, [visit])

    assert learned["steps"] == {}
    assert learned["pace"] == 1


def test_a_step_taken_back_tells_nothing_of_how_long_it_takes(core_page: Any) -> None:
    catalog = {"steps": [{"id": "job/turn", "work_s": 60, "wait_s": 0, "hold": None}]}
    wrong, right = entry(20_000, "step-done", "job/turn"), entry(90_000, "step-done", "job/turn")
    back = entry(30_000, "undone") | {"payload": {"event": wrong["id"]}}

    learned = core_page.call(
        "durations.js", "learnDurations", catalog, [[entry(0, "visit-opened"), wrong, back, right]]
    )

    assert learned["steps"]["job/turn"] == {"count": 1, "median_s": 60}


def entry(ms: int, kind: str, step: str = "") -> dict[str, Any]:
    return {
        "id": f"{kind}-{ms}",
        "device": "phone",
        "kind": kind,
        "hlc": {"ms": ms, "c": 0},
        "payload": {"step": step},
    }
