"""The specs that travel with fillfirst: they load, and their worked examples hold."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from fillfirst.formulas import run_example, run_function_example
from fillfirst.specs import Problem, Specs, check, load
from fillfirst.specs.files import read_folder

FOLDER = Path(__file__).parents[2] / "specs"
FILES = sorted(read_folder(FOLDER))


@cache
def load_shipped() -> Specs:
    return load(FOLDER)


@cache
def check_shipped() -> list[Problem]:
    return check([FOLDER])


@pytest.mark.parametrize("path", FILES)
def test_a_file_has_no_problem(path: str) -> None:
    told = [str(problem) for problem in check_shipped() if problem.file.split(" (")[0] == f"specs/{path}"]

    assert told == []


def test_an_apostrophe_is_written_as_the_screens_write_it() -> None:
    straight = re.compile(r"[A-Za-z]'[a-z]")
    texts = {path: (FOLDER / path).read_text() for path in FILES}

    found = [
        f"specs/{path}: {line}"
        for path, text in texts.items()
        for line in text.splitlines()
        if not line.startswith("#") and straight.search(line)
    ]
    assert found == []


@pytest.mark.parametrize("id", load_shipped().formulas)
def test_every_worked_example_holds(id: str) -> None:
    specs = load_shipped()
    formula = specs.formulas[id]

    results = [run_example(formula, example, specs.tables) for example in formula.examples]

    assert results == [None] * len(results)
    assert results


@pytest.mark.parametrize("id", load_shipped().functions)
def test_every_worked_example_of_a_function_holds(id: str) -> None:
    function = load_shipped().functions[id]

    results = [run_function_example(function, example) for example in function.examples]

    assert results == [None] * len(results)
    assert results


def test_every_hazard_bites_at_some_step() -> None:
    specs = load_shipped()

    assert sorted(set(specs.hazards) - {hazard for step in specs.steps for hazard in step.hazards}) == []


def test_every_fluid_fills_a_circuit_or_is_bought() -> None:
    specs = load_shipped()
    filled = {variable.fluid for variable in specs.variables.values()}
    bought = {supply.fluid for job in specs.jobs.values() for supply in job.supplies}

    assert sorted(set(specs.fluids) - filled - bought) == []


def test_every_circuit_is_renewed_by_a_job() -> None:
    specs = load_shipped()
    circuits = {id for id, variable in specs.variables.items() if variable.kind == "circuit"}

    assert sorted(circuits - {circuit for job in specs.jobs.values() for circuit in job.renews}) == []


def test_every_variable_is_changed_by_some_step() -> None:
    specs = load_shipped()
    made = {id for step in specs.steps for id in step.makes}

    assert sorted(set(specs.variables) - made) == []
