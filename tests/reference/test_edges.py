"""Both edges of every range: on the edge a formula holds, a little beyond it says so instead of a number."""

from __future__ import annotations

from typing import Any

import pytest
from shipped_formulas import load_shipped

from fillfirst.formulas import evaluate_formula, evaluate_function
from fillfirst.formulas.examples import read_value
from fillfirst.formulas.function_examples import read_any

SPECS = load_shipped()
#: Of the width of a range: more than the noise of a conversion, less than anything that matters.
STEP = 1e-6


def name_edges(formulas: Any) -> list[Any]:
    return [
        pytest.param(id, name, end, id=f"{id}: {name} {end}")
        for id, formula in formulas.items()
        for name, declared in formula.inputs.items()
        if declared.unit is not None
        for end in ("from", "to")
    ]


def find_edge(declared: Any, end: str) -> tuple[float, float]:
    """The edge, and a place a little beyond it."""
    width = declared.to - declared.from_
    if end == "from":
        return declared.from_, declared.from_ - width * STEP - abs(declared.from_) * STEP
    return declared.to, declared.to + width * STEP + abs(declared.to) * STEP


@pytest.mark.parametrize(("id", "name", "end"), name_edges(SPECS.formulas))
def test_formula_holds_on_the_edge_of_a_range_and_not_beyond(id: str, name: str, end: str) -> None:
    formula = SPECS.formulas[id]
    given = {
        key: read_value(value, formula.inputs[key].kind, formula.inputs[key].unit, key)
        for key, value in formula.examples[0].given.items()
    }
    edge, beyond = find_edge(formula.inputs[name], end)

    on_it = evaluate_formula(formula, {**given, name: edge}, SPECS.tables)
    past_it = evaluate_formula(formula, {**given, name: beyond}, SPECS.tables)

    assert name not in [each["name"] for each in on_it.get("outside", [])]
    assert name in [each["name"] for each in past_it.get("outside", [])]


@pytest.mark.parametrize(("id", "name", "end"), name_edges(SPECS.functions))
def test_function_holds_on_the_edge_of_a_range_and_not_beyond(id: str, name: str, end: str) -> None:
    function = SPECS.functions[id]
    declared = function.inputs[name]
    given = {
        key: read_any(value, function.inputs[key].kind, function.inputs[key].unit, key)
        for key, value in function.examples[0].given.items()
    }
    edge, beyond = ([each] if declared.kind == "quantities" else each for each in find_edge(declared, end))

    on_it = evaluate_function(function, {**given, name: edge})
    past_it = evaluate_function(function, {**given, name: beyond})

    assert "outside" not in on_it
    assert name in [each["name"] for each in past_it.get("outside", [])]
