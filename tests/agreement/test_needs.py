"""What a step needs to know of a car, by the phone and by the checker of demo cars."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fillfirst.specs import load
from fillfirst.specs.linking.needs import Plan, fill_in, find_needed, name_uses
from fillfirst.visits.compose import compose

SPECS = load(Path(__file__).parents[2] / "specs")
CATALOG = SPECS.model_dump(mode="json", by_alias=True)
PLAN = Plan(
    SPECS.facts,
    SPECS.formulas,
    SPECS.figures,
    SPECS.variables,
    SPECS.rules,
    SPECS.jobs,
    {step.id: step for step in SPECS.steps},
)
JOBS = [id for id, job in SPECS.jobs.items() if not job.shared]


def facts_of(car: str) -> dict[str, Any]:
    settings = {
        name: fact.default if fact.default is not None else next(iter(fact.options or {}), 288.15)
        for name, fact in SPECS.facts.items()
        if fact.of == "visit"
    }
    return settings | {name: fact.value for name, fact in SPECS.vehicles[car].facts.items()}


def ask_numbers(core_page: Any, facts: dict[str, Any]) -> set[str]:
    return set(core_page.call("needs.js", "numbersFor", CATALOG, compose(SPECS, JOBS, facts)))


def test_phone_finds_the_facts_of_a_step_as_the_checker_does(core_page: Any) -> None:
    on_phone = core_page.call_with(CATALOG, "needs.js", "namesNeeded", CATALOG["steps"])

    expected = [{name for _, name in name_uses(PLAN, step) if name in SPECS.facts} for step in SPECS.steps]
    assert [set(names) for names in on_phone] == expected


@pytest.mark.parametrize("car", SPECS.vehicles)
def test_nothing_is_missing_on_a_demo_car(car: str, core_page: Any) -> None:
    composition = compose(SPECS, JOBS, facts_of(car))

    assert core_page.call("needs.js", "missingByJob", CATALOG, composition) == {}


@pytest.mark.parametrize("car", SPECS.vehicles)
def test_a_form_asks_what_the_checker_asks_of_a_demo_car(car: str, core_page: Any) -> None:
    facts = facts_of(car)
    needed = find_needed(PLAN, fill_in(SPECS.facts, facts))

    questions = core_page.call("needs.js", "questionsFor", CATALOG, facts)
    numbers = ask_numbers(core_page, {**facts, "lifting": "lift"}) | ask_numbers(
        core_page, {**facts, "lifting": "stands"}
    )

    assert set(needed) - set(questions) - numbers == set()
    assert set(questions) & numbers == set()


def test_a_number_left_out_is_missing_at_the_steps_that_show_it(core_page: Any) -> None:
    facts = {name: value for name, value in facts_of("pippin-hatch").items() if name != "wheel_torque"}
    composition = compose(SPECS, JOBS, facts)
    asking = [
        step for step in composition["steps"] if SPECS.steps_by_id[step["step"]].torque == "wheel_torque"
    ]

    by_job = core_page.call("needs.js", "missingByJob", CATALOG, composition)
    at_step = core_page.call("needs.js", "missingFor", CATALOG, composition, asking[0])

    assert at_step == ["wheel_torque"]
    named = {step for each in by_job.values() for one in each for step in one["steps"]}
    assert {step["step"] for step in asking} <= named
    assert {one["name"] for each in by_job.values() for one in each} == {"wheel_torque"}


def test_a_blank_car_is_asked_first_what_drives_it(core_page: Any) -> None:
    questions = core_page.call("needs.js", "questionsFor", CATALOG, {})

    assert questions[0] == "powertrain"
    assert "fuel" not in questions
