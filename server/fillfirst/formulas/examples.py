"""Worked examples: does a formula give what its source says it gives?

Dimensions cannot find a missing factor of two; a number copied from a book can. An example keeps the units
of its source, and this module is where they become SI.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fillfirst.errors import KindError
from fillfirst.formulas.evaluate import is_number
from fillfirst.formulas.figures import evaluate_formula
from fillfirst.formulas.kinds import nearest
from fillfirst.formulas.outcome import Outcome, OutOfRange, Value
from fillfirst.formulas.shapes import Example, Formula, HasRows
from fillfirst.quantities import conversion, describe, dimension_of, from_si, is_scale, parse


@dataclass(frozen=True)
class Disagreement:
    """An example that does not hold, as two clauses for the checker's message."""

    found: str
    expected: str

    def __str__(self) -> str:
        return f"{self.found}; {self.expected}"


def run_example(formula: Formula, example: Example, tables: Mapping[str, HasRows]) -> Disagreement | None:
    """Work out one example; None when it holds.

    Raises QuantityError when a quantity of the example cannot be read, KindError when it is of another
    dimension than the input or the result (`where` is the key: "given.x", "expect", "within").
    """
    for name in example.given:
        if name not in formula.inputs:
            raise KindError(f"given.{name}", f'there is no input "{name}"', nearest(name, formula.inputs))
    given = {
        name: read_value(value, formula.inputs[name].kind, formula.inputs[name].unit, f"given.{name}")
        for name, value in example.given.items()
    }
    expect = read_value(example.expect, formula.result.kind, formula.result.unit, "expect")
    outcome = evaluate_formula(formula, given, tables)
    if "value" not in outcome:
        return Disagreement(
            f"the formula has no value here: {_say_trouble(outcome, formula)}", "it must have one"
        )
    value = outcome["value"]
    if not isinstance(expect, float) or not isinstance(value, float):
        return (
            None
            if value is expect
            else Disagreement(f"the formula gives {_say(value)}", f"the example expects {_say(expect)}")
        )
    within = read_within(example.within, formula.result.unit or "1")
    if abs(value - expect) <= within * (1 + 1e-9) + 1e-12 * abs(expect):
        return None
    unit = formula.result.unit or "1"
    found = f"the formula gives {show(value, unit)}"
    return Disagreement(found, f'the example expects "{example.expect}" within "{example.within or 0}"')


def read_value(value: str | float | bool, kind: str, unit: str | None, where: str) -> float | str | bool:
    """A value of an example in SI, held to the kind of the input or result it stands for."""
    if kind in ("judgement", "yes-no"):
        if not isinstance(value, bool):
            raise KindError(where, f"it is {value!r}", "it must be true or false")
        return value
    if kind == "text":
        return str(value)
    if is_number(value):
        value = f"{value:.17g}"
    if not isinstance(value, str):
        raise KindError(
            where, f"it is {str(value).lower()}", f'it must be a quantity in a unit such as "{unit}"'
        )
    amount = parse(value)
    check_like(amount.unit, unit or "1", where)
    return amount.value


def read_within(within: str | float | None, unit: str) -> float:
    """A tolerance is a difference: "0.5 degC" means half a kelvin, not a temperature."""
    if within is None:
        return 0.0
    amount = parse(within if isinstance(within, str) else f"{within:.17g}")
    if dimension_of(amount.unit) != dimension_of(unit):
        check_like(amount.unit, unit, "within")
    return amount.value - conversion(amount.unit).offset


def check_like(found: str, wanted: str, where: str) -> None:
    """Raise KindError when two units do not measure the same."""
    if (dimension_of(found), is_scale(found)) != (dimension_of(wanted), is_scale(wanted)):
        said = describe(dimension_of(found), is_scale(found))
        raise KindError(where, f'"{found}" is {said}', f'it must be like "{wanted}"')


def _say(value: Value) -> str:
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


def show(value: float, unit: str) -> str:
    """A number in SI as an example writes it: "25 N*m"."""
    return f'"{from_si(value, unit):.6g}' + ('"' if unit == "1" else f' {unit}"')


def _say_trouble(outcome: Outcome, formula: Formula) -> str:
    if "missing" in outcome:
        return f"{', '.join(outcome['missing'])} not given"
    if "outside" in outcome:
        first = outcome["outside"][0]
        unit = formula.inputs[first["name"]].unit if first["name"] in formula.inputs else None
        return say_outside(first, unit or "1")
    return str(outcome.get("impossible", ""))


def say_outside(found: OutOfRange, unit: str) -> str:
    """Say which value is outside its range, and the range."""
    low, high = ("open" if bound is None else show(bound, unit) for bound in (found["from"], found["to"]))
    return f"{found['name']} is {show(found['value'], unit)}, outside {low} to {high}"
