"""One test for every value from outside; the values and their sources stand in `values/`."""

from __future__ import annotations

from typing import Any

import pytest
from libraries import compute_checks
from published import Check, read_checks

from fillfirst.formulas import run_function_example
from fillfirst.quantities import conversion, parse
from fillfirst.specs.linked import FunctionExample

NUMBERS = [
    check
    for check in (*read_checks(), *compute_checks())
    if isinstance(check.expect, str) and check.expect != "outside"
]
JUDGEMENTS = [check for check in read_checks() if isinstance(check.expect, bool)]
OUTSIDE = [check for check in read_checks() if check.expect == "outside"]
FUNCTIONS = [check for check in read_checks() if check.is_function]


@pytest.mark.parametrize("check", NUMBERS, ids=str)
def test_formula_gives_the_published_number(shipped: Any, check: Check) -> None:
    amount = parse(check.expect)
    allowed = abs(amount.value) * check.relative
    if check.within is not None:
        within = parse(check.within)
        allowed = within.value - (conversion(within.unit).offset if within.unit != "1" else 0.0)

    outcome = shipped.outcome(check.formula, **check.given)

    assert outcome.get("value") == pytest.approx(amount.value, rel=1e-9, abs=allowed * (1 + 1e-9)), (
        check.source
    )


@pytest.mark.parametrize("check", JUDGEMENTS, ids=str)
def test_formula_judges_as_published(shipped: Any, check: Check) -> None:
    assert shipped.outcome(check.formula, **check.given) == {"value": check.expect}, check.source


@pytest.mark.parametrize("check", OUTSIDE, ids=str)
def test_formula_gives_no_number_where_nothing_is_published(shipped: Any, check: Check) -> None:
    assert "outside" in shipped.outcome(check.formula, **check.given), check.source


@pytest.mark.parametrize("check", FUNCTIONS, ids=str)
def test_function_gives_the_published_parts(shipped: Any, check: Check) -> None:
    example = FunctionExample(from_=check.source, given=check.given, expect=check.expect, within=check.within)

    assert run_function_example(shipped.specs.functions[check.formula], example) is None, check.source


def test_every_check_is_of_a_known_kind() -> None:
    assert {check.kind for check in read_checks()} == {"document", "library", "by hand", "practice"}


def test_every_formula_is_checked_from_outside(shipped: Any) -> None:
    everything = {*shipped.specs.formulas, *shipped.specs.functions}

    assert everything - {check.formula for check in read_checks()} == set()


def test_no_check_is_of_a_formula_that_is_gone(shipped: Any) -> None:
    everything = {*shipped.specs.formulas, *shipped.specs.functions}

    assert {check.formula for check in read_checks()} - everything == set()


def test_a_formula_that_rests_on_a_document_is_checked_against_one(shipped: Any) -> None:
    """Its own rule of arithmetic or the common practice of the trade is not enough for such a formula."""
    formulas = {**shipped.specs.formulas, **shipped.specs.functions}
    resting = {
        id
        for id, formula in formulas.items()
        if formula.source.document not in ("common-practice", "from-memory")
    }

    assert (
        resting - {check.formula for check in read_checks() if check.kind in ("document", "library")} == set()
    )
