"""The same trees, formulas and figures through both evaluators."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from alike import is_alike
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

    outcome = core_page.call("figures.js", "evaluateFormula", formula, vector["inputs"], FORMULAS["tables"])

    assert is_alike(outcome, vector["outcome"]), outcome


@each(FIGURES)
def test_server_evaluates_figure_as_the_vector_says(vector: Any) -> None:
    outcome = evaluate_figure(as_specs(FIGURES), vector["figure"], vector["values"])

    assert is_alike(outcome, vector["outcome"]), outcome


@each(FIGURES)
def test_phone_evaluates_figure_as_the_vector_says(core_page: Any, vector: Any) -> None:
    outcome = core_page.call("figures.js", "evaluateFigure", FIGURES, vector["figure"], vector["values"])

    assert is_alike(outcome, vector["outcome"]), outcome


# Random trees. What decides (comparisons, floor, conditions) stands on arithmetic that IEEE 754 rounds
# alike everywhere; exp, sin and their kin may differ in the last bit and so decide nothing.

NUMBERS = st.integers(-64, 64).map(lambda eighths: eighths / 8)
TEXTS = st.sampled_from(["manual", "front-left", "x", ""])
#: Names by what they usually hold; "any" may hold anything, and every name may be missing.
HELD: dict[str, Any] = {
    "first": NUMBERS,
    "second": NUMBERS,
    "flag": st.booleans(),
    "word": TEXTS,
    "list": st.lists(TEXTS, max_size=3),
}
ANY = st.one_of(NUMBERS, TEXTS, st.booleans(), st.lists(TEXTS, max_size=3), st.none())

Trees = st.SearchStrategy[Any]


def node(*parts: Trees | str) -> Trees:
    """A node whose operator and operands are drawn."""
    return st.tuples(*(st.just(part) if isinstance(part, str) else part for part in parts)).map(list)


def one_in(count: int, rare: Trees, usual: Trees) -> Trees:
    """Mostly the usual, now and then the rare."""
    return st.integers(1, count).flatmap(lambda drawn: rare if drawn == 1 else usual)


NAMES = st.sampled_from([*HELD, "any"])
NUMBER_LEAVES = one_in(
    12, node("name", NAMES), node("number", NUMBERS) | node("name", st.sampled_from(["first", "second"]))
)
TEXT_LEAVES = node("text", TEXTS) | node("name", st.just("word"))
LISTS = one_in(
    8,
    node("name", NAMES),
    node("name", st.just("list")) | st.lists(TEXT_LEAVES, max_size=3).map(lambda parts: ["list", *parts]),
)
EXACT = st.recursive(
    NUMBER_LEAVES,
    lambda part: st.one_of(
        node(st.sampled_from(["+", "-", "*", "/"]), part, part),
        node("neg", part),
        node("call", st.sampled_from(["abs", "floor", "ceil"]), part),
        node("call", st.just("sqrt"), node("call", st.just("abs"), part)),
        node("call", st.sampled_from(["min", "max"]), part, part, part),
        one_in(4, node("table", st.sampled_from(["rising", "falling"]), part), part),
    ),
    max_leaves=6,
)
DECISIONS = st.recursive(
    st.one_of(
        node(st.sampled_from(["<", "<=", ">", ">=", "==", "!="]), EXACT, EXACT),
        node(st.sampled_from(["==", "!="]), TEXT_LEAVES, one_in(6, NUMBER_LEAVES, TEXT_LEAVES)),
        node("in", one_in(8, NUMBER_LEAVES, TEXT_LEAVES), LISTS),
        node("known", NAMES),
        one_in(6, node("name", NAMES), node("name", st.just("flag"))),
        node("yes-no", st.booleans()),
    ),
    lambda part: st.one_of(
        node(st.sampled_from(["and", "or"]), part, part),
        node(st.sampled_from(["and", "or"]), part, part, part),
        node("not", part),
    ),
    max_leaves=4,
)
SMOOTH = st.recursive(
    st.one_of(
        EXACT,
        node("call", st.sampled_from(["exp", "log", "sin", "cos", "atan", "asin"]), EXACT),
        node("**", EXACT, EXACT),
    ),
    lambda part: node(st.sampled_from(["*", "/"]), part, part) | node("if", DECISIONS, part, part),
    max_leaves=3,
)
VALUES = st.fixed_dictionaries(
    {}, optional={name: one_in(20, ANY, held) for name, held in HELD.items()} | {"any": ANY}
)
FULL_VALUES = st.fixed_dictionaries(HELD, optional={"any": ANY})
CASES = st.tuples(SMOOTH | DECISIONS, one_in(4, VALUES, FULL_VALUES))


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(cases=st.lists(CASES, min_size=40, max_size=60))
def test_both_evaluate_random_trees_alike(core_page: Any, cases: list[Any]) -> None:
    tables = as_tables(TREES["tables"])
    server = [evaluate(tree, values, tables) for tree, values in cases]

    phone = core_page.call_all("evaluate.js", "evaluate", [(*case, TREES["tables"]) for case in cases])

    apart = [each for each in zip(cases, server, phone, strict=True) if not is_alike(each[2], each[1])]
    assert apart == []
