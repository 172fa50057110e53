"""The same inputs through the functions of both languages; what is told agrees with tests/reference."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from alike import is_alike

from fillfirst.formulas import FUNCTIONS, evaluate_function

WRITTEN = json.loads((Path(__file__).parent / "functions.json").read_text())
VECTORS = [pytest.param(vector, id=vector["name"]) for vector in WRITTEN["vectors"]]


def as_formula(formula: dict[str, Any]) -> Any:
    inputs = {
        name: SimpleNamespace(from_=each["from"], to=each["to"], kind=each["kind"], optional=each["optional"])
        for name, each in formula["inputs"].items()
    }
    constants = {name: SimpleNamespace(value=each["value"]) for name, each in formula["constants"].items()}
    return SimpleNamespace(function=formula["function"], inputs=inputs, constants=constants)


@pytest.mark.parametrize("vector", VECTORS)
def test_server_answers_as_the_vector_says(vector: Any) -> None:
    outcome = evaluate_function(as_formula(WRITTEN["formulas"][vector["formula"]]), vector["inputs"])

    assert is_alike(outcome, vector["outcome"]), outcome


@pytest.mark.parametrize("vector", VECTORS)
def test_phone_answers_as_the_vector_says(core_page: Any, vector: Any) -> None:
    formula = WRITTEN["formulas"][vector["formula"]]

    outcome = core_page.call("functions.js", "evaluateFunction", formula, vector["inputs"])

    assert is_alike(outcome, vector["outcome"]), outcome


def test_every_function_has_vectors() -> None:
    used = {WRITTEN["formulas"][vector["formula"]]["function"] for vector in WRITTEN["vectors"]}

    assert used == set(FUNCTIONS)


def test_phone_says_which_function_there_is_not(core_page: Any) -> None:
    formula = {"function": "predict-rain", "inputs": {}, "constants": {}}

    with pytest.raises(Exception, match='there is no function "predict-rain"'):
        core_page.call("functions.js", "evaluateFunction", formula, {})
