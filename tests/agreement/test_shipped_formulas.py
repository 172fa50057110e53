"""Every shipped formula and function through both languages, over inputs drawn from their declared ranges."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from alike import is_alike
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fillfirst.formulas import evaluate_formula, evaluate_function
from fillfirst.formulas.function_examples import read_any
from fillfirst.formulas.tree import walk
from fillfirst.specs import Specs, load

SPECS_FOLDER = Path(__file__).parents[2] / "specs"
RANDOM = settings(
    max_examples=3, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True, database=None
)


@cache
def load_shipped() -> Specs:
    return load(SPECS_FOLDER)


@cache
def write_shipped() -> dict[str, Any]:
    return load_shipped().model_dump(by_alias=True)


def draw_input(declared: Any, texts: list[str]) -> st.SearchStrategy[Any]:
    if declared.kind == "text":
        return st.sampled_from([*texts, "something else"])
    if declared.kind == "yes-no":
        return st.booleans()
    # A little beyond the range too, so that what is outside is told alike.
    width = declared.to - declared.from_
    inside = st.floats(declared.from_, declared.to)
    beyond = st.floats(declared.from_ - width / 10, declared.to + width / 10)
    return st.one_of(
        inside, inside, inside, inside, inside, inside, beyond, st.just(declared.from_), st.just(declared.to)
    )


def draw_inputs(formula: Any) -> st.SearchStrategy[dict[str, Any]]:
    texts = [node[1] for node in walk(formula.tree) if node[0] == "text"]
    drawn = {name: draw_input(each, texts) for name, each in formula.inputs.items()}
    return st.fixed_dictionaries(
        {name: each for name, each in drawn.items() if not formula.inputs[name].optional},
        optional={name: each for name, each in drawn.items() if formula.inputs[name].optional},
    )


@pytest.mark.parametrize("id", load_shipped().formulas)
def test_both_work_out_a_shipped_formula_alike(core_page: Any, id: str) -> None:
    specs, catalog = load_shipped(), write_shipped()
    formula = specs.formulas[id]

    @RANDOM
    @given(cases=st.lists(draw_inputs(formula), min_size=60, max_size=60))
    def compare(cases: list[dict[str, Any]]) -> None:
        server = [evaluate_formula(formula, case, specs.tables) for case in cases]
        calls = [(catalog["formulas"][id], case, catalog["tables"]) for case in cases]

        phone = core_page.call_all("figures.js", "evaluateFormula", calls)

        apart = [each for each in zip(cases, server, phone, strict=True) if not is_alike(each[2], each[1])]
        assert apart == []

    compare()


# Inputs as a person would have them: readings of a curve, packs of a shop, screws of a pan.


@st.composite
def draw_readings(draw: Any) -> dict[str, Any]:
    end, start = draw(st.floats(280, 390)), draw(st.floats(275, 385))
    constant = draw(st.floats(120, 3000))
    times = sorted(draw(st.sets(st.integers(0, 60), min_size=2, max_size=10)))
    noise = [draw(st.floats(-0.5, 0.5)) for _ in times]
    low = draw(st.floats(275, 380))
    drawn = {
        "times": [60.0 * time for time in times],
        "temperatures": [
            end + (start - end) * 2.718281828459045 ** (-60 * time / constant) + each
            for time, each in zip(times, noise, strict=True)
        ],
        "window_from": low,
        "window_to": low + draw(st.floats(1, 20)),
    }
    return drawn | ({"settles_at": end} if draw(st.booleans()) else {})


@st.composite
def draw_basket(draw: Any) -> dict[str, Any]:
    sizes = draw(
        st.lists(st.sampled_from([0.25, 0.5, 0.946352946, 1, 1.5, 4, 5, 20]), min_size=1, max_size=4)
    )
    prices = [draw(st.integers(100, 20000)) / 100 for _ in sizes]
    need = draw(st.integers(0, 30000)) / 1e6
    return {
        "need": need,
        "sizes": [size / 1e3 for size in sizes],
        "prices": draw(st.sampled_from([prices, None])),
    }


@st.composite
def draw_screws(draw: Any) -> dict[str, Any]:
    places = draw(
        st.lists(st.tuples(st.integers(0, 400), st.integers(0, 300)), min_size=1, max_size=24, unique=True)
    )
    return {"x": [x / 1e3 for x, _ in places], "y": [y / 1e3 for _, y in places]}


@st.composite
def draw_log(draw: Any) -> dict[str, Any]:
    days = draw(st.lists(st.integers(0, 900), min_size=1, max_size=12))
    return {
        "days": [86400.0 * day for day in days],
        "distances": [1e3 * draw(st.integers(20000, 90000)) for _ in days],
    }


@st.composite
def draw_service(draw: Any) -> dict[str, Any]:
    month = 365.25 * 86400 / 12
    drawn = {
        "last_date": draw(st.dates().map(str) | st.sampled_from(["2024-02-29", "2024-13-01", "yesterday"])),
        "time": draw(st.none() | st.integers(1, 240).map(lambda count: count * month)),
        "distance": draw(st.none() | st.integers(100, 500000).map(lambda km: km * 1e3)),
        "rate": draw(st.none() | st.floats(0, 2000).map(lambda km: km * 1e3 / 86400)),
    }
    return {name: value for name, value in drawn.items() if value is not None}


VINS = st.text("0123456789ABCDEFGHJKLMNPRSTUVWXYZ", min_size=17, max_size=17) | st.text(max_size=18)

DRAWN: dict[str, st.SearchStrategy[dict[str, Any]]] = {
    "window-prediction": draw_readings(),
    "cheapest-packs": draw_basket(),
    "tightening-sequence": draw_screws(),
    "odometer-rate": draw_log(),
    "next-due": draw_service(),
    "vin-check": st.fixed_dictionaries({"vin": VINS}),
}


@pytest.mark.parametrize("id", load_shipped().functions)
def test_both_work_out_a_shipped_function_alike(core_page: Any, id: str) -> None:
    function, written = load_shipped().functions[id], write_shipped()["functions"][id]

    @RANDOM
    @given(cases=st.lists(DRAWN[id], min_size=20, max_size=20))
    def compare(cases: list[dict[str, Any]]) -> None:
        server = [evaluate_function(function, case) for case in cases]

        phone = core_page.call_all("functions.js", "evaluateFunction", [(written, case) for case in cases])

        apart = [each for each in zip(cases, server, phone, strict=True) if not is_alike(each[2], each[1])]
        assert apart == []

    compare()


@pytest.mark.parametrize("id", load_shipped().functions)
def test_phone_gives_the_worked_examples_of_a_function(core_page: Any, id: str) -> None:
    """Those that the server has been held to when the specs were loaded."""
    function, written = load_shipped().functions[id], write_shipped()["functions"][id]
    cases = [
        {
            name: read_any(value, function.inputs[name].kind, function.inputs[name].unit, name)
            for name, value in example.given.items()
        }
        for example in function.examples
    ]

    phone = core_page.call_all("functions.js", "evaluateFunction", [(written, case) for case in cases])

    server = [evaluate_function(function, case) for case in cases]
    assert all(map(is_alike, phone, server)), list(zip(phone, server, strict=True))
