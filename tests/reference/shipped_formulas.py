"""Formulas of the shipped specs, worked out in the units that the published tables print."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from fillfirst import specs
from fillfirst.formulas import Outcome, evaluate_formula
from fillfirst.quantities import from_si, parse

SPECS = Path(__file__).parents[2] / "specs"


@cache
def load_shipped() -> specs.Specs:
    return specs.load(SPECS)


class Shipped:
    """The shipped formulas, asked in quantities as a book prints them."""

    def __init__(self) -> None:
        self.specs = load_shipped()

    def outcome(self, formula: str, **given: str | bool) -> Outcome:
        """What a formula gives, or why it gives nothing."""
        declared = self.specs.formulas[formula].inputs
        inputs = {
            name: parse(str(each)).value if declared[name].kind == "quantity" else each
            for name, each in given.items()
        }
        return evaluate_formula(self.specs.formulas[formula], inputs, self.specs.tables)

    def number(self, formula: str, unit: str, **given: str | bool) -> float:
        """What a formula gives, in a unit."""
        outcome = self.outcome(formula, **given)
        assert "value" in outcome, outcome
        assert isinstance(outcome["value"], float)
        return from_si(outcome["value"], unit)
