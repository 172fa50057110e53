"""Make safe on both sides: the same list, step for step, from the same state of the same car."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
from visit_vectors import CATALOG, SPECS, each, read

from fillfirst.specs import Specs, load
from fillfirst.visits.compose import compose, effects, starting_variables
from fillfirst.visits.layouts import Layouts
from fillfirst.visits.make_safe import make_safe
from fillfirst.visits.shapes import Composition
from fillfirst.visits.task import LIMIT

VECTORS = read("make-safe.json")
AIMS = ("to-stand", "to-drive")
SHIPPED = Path(__file__).parents[2] / "specs"


def setting(vector: Any) -> tuple[Composition, dict[str, str]]:
    """The visit of a vector, and the state it is in."""
    composition = compose(SPECS, vector["jobs"], vector["facts"])
    return composition, starting_variables(SPECS, composition) | vector.get("state", {})


@each(VECTORS)
def test_server_makes_the_list_of_the_vector(vector: Any) -> None:
    assert make_safe(SPECS, *setting(vector), vector["aim"], vector.get("limit", LIMIT)) == vector["list"]


@each(VECTORS)
def test_phone_makes_the_list_of_the_vector(vector: Any, core_page: Any) -> None:
    composition, state = setting(vector)

    limit = vector.get("limit", LIMIT)
    found = core_page.call("make-safe.js", "makeSafe", CATALOG, composition, state, vector["aim"], limit)

    assert found == vector["list"]


@cache
def load_shipped() -> Specs:
    return load(SHIPPED)


@cache
def write_shipped() -> Any:
    return load_shipped().model_dump(mode="json", by_alias=True)


@cache
def lay_out() -> Layouts:
    return Layouts(load_shipped())


def interrupted_visit(random: Random) -> tuple[Composition, dict[str, str]]:
    """A visit of any car and any jobs, stopped after any of its steps, of which some were passed over."""
    specs, layouts = load_shipped(), lay_out()
    costs = [[random.random() for _ in range(options)] for options in layouts.choices.options]
    layout = layouts.layout_of(layouts.choices.cheapest(layouts.domain, costs))
    composition = compose(specs, layout.jobs, layout.facts)
    state = starting_variables(specs, composition)
    for instance in composition["steps"][: random.randrange(len(composition["steps"]))]:
        if random.random() > 0.01:
            state = state | effects(specs, composition, state, instance)
    return composition, state


@pytest.mark.parametrize("share", range(4))
def test_both_make_the_same_list_on_the_cars_that_are_served(share: int, core_page: Any) -> None:
    random = Random(share)
    asked = [(*interrupted_visit(random), aim, limit) for aim in AIMS for limit in (LIMIT, LIMIT, 0)]

    calls = [[write_shipped(), *one] for one in asked]
    on_phone = core_page.call_all("make-safe.js", "makeSafe", calls)

    assert on_phone == [make_safe(load_shipped(), *one) for one in asked]
