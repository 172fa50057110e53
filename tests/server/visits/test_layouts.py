"""Which visits there are, and which of them an expression picks out."""

from __future__ import annotations

from typing import Any

import pytest

from fillfirst.formulas import evaluate
from fillfirst.specs.linked import Specs
from fillfirst.visits.compose import compose
from fillfirst.visits.layouts import Layout, Layouts


@pytest.fixture(scope="module")
def layouts(small_specs: Specs) -> Layouts:
    return Layouts(small_specs)


@pytest.fixture(scope="module")
def every(layouts: Layouts) -> list[Layout]:
    return list(layouts.every())


PLUG = ["==", ["name", "rear_drive_drain"], ["text", "plug"]]
AUTOMATIC = ["==", ["name", "gearbox"], ["text", "automatic"]]


@pytest.mark.parametrize(
    "tree",
    [
        ["yes-no", True],
        ["yes-no", False],
        ["name", "has_rear_drive"],
        PLUG,
        ["not", PLUG],
        ["and", PLUG, AUTOMATIC, ["name", "has_undertray"]],
        ["or", PLUG, AUTOMATIC],
        ["!=", ["name", "powertrain"], ["text", "electric"]],
        ["if", ["name", "has_undertray"], PLUG, AUTOMATIC],
        ["in", ["name", "gearbox"], ["list", ["text", "none"], ["text", "manual"]]],
        ["in", ["text", "front-left"], ["name", "wheels"]],
        ["in", ["text", "spare"], ["name", "wheels"]],
        ["known", "rear_drive_additive"],
        ["known", "wheels"],
        ["known", "gearbox"],
    ],
    ids=str,
)
def test_an_expression_picks_out_the_visits_in_which_it_holds(
    tree: list[Any], layouts: Layouts, every: list[Layout]
) -> None:
    picked = [layout for layout in every if layouts.holds(layouts.where(tree), layout)]

    assert picked == [layout for layout in every if evaluate(tree, layout.facts, {})["value"] is True]


def test_no_visit_has_a_job_that_does_not_apply(small_specs: Specs, every: list[Layout]) -> None:
    composed = [compose(small_specs, layout.jobs, layout.facts)["jobs"] for layout in every]

    assert composed == [layout.jobs for layout in every]


def test_no_visit_leaves_a_fact_open(small_specs: Specs, every: list[Layout]) -> None:
    assert {tuple(compose(small_specs, each.jobs, each.facts)["missing"]) for each in every} == {()}


def test_inapplicable_facts_are_at_their_otherwise(every: list[Layout]) -> None:
    electric = {layout.facts["gearbox"] for layout in every if layout.facts["powertrain"] == "electric"}
    burning = {layout.facts["gearbox"] for layout in every if layout.facts["powertrain"] == "combustion"}

    assert electric == {"none"}
    assert burning == {"manual", "automatic"}


def test_what_does_not_apply_is_not_known(every: list[Layout]) -> None:
    known = [layout for layout in every if "rear_drive_additive" in layout.facts]

    assert {layout.facts["has_rear_drive"] for layout in known} == {True}


def test_the_simplest_visit_has_the_fewest_jobs(layouts: Layouts) -> None:
    assert len(layouts.simplest(layouts.domain).jobs) == 1


def test_deciding_facts_are_those_without_which_a_visit_would_not_be_in_the_set(layouts: Layouts) -> None:
    visits = layouts.choices.both(layouts.chosen("rear-drive"), layouts.where(PLUG))

    assert layouts.deciding(visits, layouts.simplest(visits)) == {"rear_drive_drain": "plug"}


def test_a_number_decides_by_being_known(layouts: Layouts) -> None:
    visits = layouts.choices.both(
        layouts.chosen("rear-drive"), layouts.where(["known", "rear_drive_additive"])
    )

    assert layouts.deciding(visits, layouts.simplest(visits)) == {"known(rear_drive_additive)": True}


def test_a_fact_with_a_default_is_known_wherever_it_applies(small_specs: Specs) -> None:
    additive = small_specs.facts["rear_drive_additive"].model_copy(update={"default": 0.0001})
    specs = small_specs.model_copy(update={"facts": {**small_specs.facts, "rear_drive_additive": additive}})
    layouts = Layouts(specs)

    assert layouts.where(["known", "rear_drive_additive"]) == layouts.where(["name", "has_rear_drive"])
