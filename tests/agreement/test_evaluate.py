"""The same trees, formulas and figures through both evaluators."""

from __future__ import annotations

import json
import math
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fillfirst.formulas import evaluate, evaluate_figure, evaluate_formula, parse

HERE = Path(__file__).parent
TREES = json.loads((HERE / "evaluate.json").read_text())
FORMULAS = json.loads((HERE / "evaluate-formulas.json").read_text())
FIGURES = json.loads((HERE / "evaluate-figures.json").read_text())


def each(vectors: dict[str, Any]) -> Any:
    return pytest.mark.parametrize(
        "vector", [pytest.param(each, id=each["name"]) for each in vectors["vectors"]]
    )


def as_tables(tables: dict[str, Any]) -> dict[str, Any]:
    return {
        name: SimpleNamespace(rows=[tuple(row) for row in table["rows"]]) for name, table in tables.items()
    }


def as_formula(formula: dict[str, Any]) -> Any:
    inputs = {
        name: SimpleNamespace(from_=each["from"], to=each["to"], kind=each["kind"], optional=each["optional"])
        for name, each in formula["inputs"].items()
    }
    constants = {name: SimpleNamespace(value=each["value"]) for name, each in formula["constants"].items()}
    return SimpleNamespace(tree=formula["tree"], inputs=inputs, constants=constants)


def as_specs(document: dict[str, Any]) -> Any:
    figures = {
        name: SimpleNamespace(
            formula=figure["formula"],
            with_={key: SimpleNamespace(**binding) for key, binding in figure["with"].items()},
        )
        for name, figure in document["figures"].items()
    }
    formulas = {name: as_formula(formula) for name, formula in document["formulas"].items()}
    return SimpleNamespace(figures=figures, formulas=formulas, tables=as_tables(document["tables"]))


def is_alike(found: Any, expected: Any) -> bool:
    """Equal, numbers to one part in a thousand million; a yes is not a one."""
    if isinstance(expected, bool) or isinstance(found, bool):
        return found is expected
    if isinstance(expected, (int, float)) and isinstance(found, (int, float)):
        return math.isclose(found, expected, rel_tol=1e-9, abs_tol=1e-12)
    if isinstance(expected, dict) and isinstance(found, dict):
        return found.keys() == expected.keys() and all(
            is_alike(found[key], expected[key]) for key in expected
        )
    if isinstance(expected, list) and isinstance(found, list):
        return len(found) == len(expected) and all(map(is_alike, found, expected))
    return bool(found == expected)


@each(TREES)
def test_parser_builds_the_tree_of_the_vector(vector: Any) -> None:
    assert parse(vector["expression"]) == vector["tree"]


@each(TREES)
def test_server_evaluates_tree_as_the_vector_says(vector: Any) -> None:
    outcome = evaluate(vector["tree"], vector["values"], as_tables(TREES["tables"]))

    assert is_alike(outcome, vector["outcome"]), outcome


@each(TREES)
def test_phone_evaluates_tree_as_the_vector_says(core_page: Any, vector: Any) -> None:
    outcome = core_page.call("evaluate.js", "evaluate", vector["tree"], vector["values"], TREES["tables"])

    assert is_alike(outcome, vector["outcome"]), outcome


@each(FORMULAS)
def test_server_evaluates_formula_as_the_vector_says(vector: Any) -> None:
    formula = as_formula(FORMULAS["formulas"][vector["formula"]])

    outcome = evaluate_formula(formula, vector["inputs"], as_tables(FORMULAS["tables"]))

    assert is_alike(outcome, vector["outcome"]), outcome


@each(FORMULAS)
def test_phone_evaluates_formula_as_the_vector_says(core_page: Any, vector: Any) -> None:
    formula = FORMULAS["formulas"][vector["formula"]]

    outcome = core_page.call("evaluate.js", "evaluateFormula", formula, vector["inputs"], FORMULAS["tables"])

    assert is_alike(outcome, vector["outcome"]), outcome


@each(FIGURES)
def test_server_evaluates_figure_as_the_vector_says(vector: Any) -> None:
    outcome = evaluate_figure(as_specs(FIGURES), vector["figure"], vector["values"])

    assert is_alike(outcome, vector["outcome"]), outcome


@each(FIGURES)
def test_phone_evaluates_figure_as_the_vector_says(core_page: Any, vector: Any) -> None:
    outcome = core_page.call("evaluate.js", "evaluateFigure", FIGURES, vector["figure"], vector["values"])

    assert is_alike(outcome, vector["outcome"]), outcome


# Random trees. What decides (comparisons, floor, conditions) stands on arithmetic that IEEE 754 rounds
# alike everywhere; exp, sin and their kin may differ in the last bit and so decide nothing.

NAMES = ["a", "b", "c", "d"]
NUMBERS = st.integers(-64, 64).map(lambda eighths: eighths / 8)
TEXTS = st.sampled_from(["manual", "front-left", "x", ""])


def exact_numbers(leaves: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    def grow(part: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
        return st.one_of(
            st.tuples(st.sampled_from(["+", "-", "*", "/"]), part, part).map(list),
            part.map(lambda one: ["neg", one]),
            st.tuples(st.sampled_from(["abs", "sqrt", "floor", "ceil"]), part).map(
                lambda two: ["call", *two]
            ),
            st.tuples(st.sampled_from(["min", "max"]), part, part, part).map(lambda two: ["call", *two]),
            st.tuples(st.just("table"), st.sampled_from(["rising", "falling"]), part).map(list),
        )

    return st.recursive(leaves, grow, max_leaves=6)


def whole_trees() -> st.SearchStrategy[Any]:
    name = st.sampled_from(NAMES).map(lambda each: ["name", each])
    exact = exact_numbers(NUMBERS.map(lambda number: ["number", number]) | name)
    leaf = (
        exact | name | TEXTS.map(lambda text: ["text", text]) | st.booleans().map(lambda yes: ["yes-no", yes])
    )
    listed = st.lists(leaf, max_size=3).map(lambda parts: ["list", *parts])
    decided = st.one_of(
        st.tuples(st.sampled_from(["<", "<=", ">", ">=", "==", "!="]), exact, exact).map(list),
        st.tuples(st.just("in"), leaf, listed | name).map(list),
        st.sampled_from(NAMES).map(lambda each: ["known", each]),
        leaf,
    )
    yes_no = st.recursive(
        decided,
        lambda part: st.one_of(
            st.lists(part, min_size=2, max_size=3).map(lambda parts: ["and", *parts]),
            st.lists(part, min_size=2, max_size=3).map(lambda parts: ["or", *parts]),
            part.map(lambda one: ["not", one]),
        ),
        max_leaves=4,
    )
    smooth = st.one_of(
        exact,
        st.tuples(st.sampled_from(["exp", "log", "sin", "cos", "atan", "asin"]), exact).map(
            lambda two: ["call", *two]
        ),
        st.tuples(st.just("**"), exact, exact).map(list),
    )
    chosen = st.tuples(st.just("if"), yes_no, smooth, leaf).map(list)
    return st.one_of(yes_no, chosen, st.tuples(st.sampled_from(["*", "/"]), chosen, smooth).map(list))


VALUES = st.one_of(NUMBERS, TEXTS, st.booleans(), st.lists(TEXTS, max_size=3), st.none())
CASES = st.tuples(whole_trees(), st.dictionaries(st.sampled_from(NAMES), NUMBERS | VALUES, min_size=2))


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(cases=st.lists(CASES, min_size=40, max_size=60))
def test_both_evaluate_random_trees_alike(core_page: Any, cases: list[Any]) -> None:
    tables = as_tables(TREES["tables"])
    server = [evaluate(tree, values, tables) for tree, values in cases]

    phone = core_page.call_all("evaluate.js", "evaluate", [(*case, TREES["tables"]) for case in cases])

    apart = [apart for apart in zip(cases, server, phone, strict=True) if not is_alike(apart[2], apart[1])]
    assert apart == []
