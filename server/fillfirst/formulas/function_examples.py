"""Worked examples of functions: does each part come out as the source says?

Their lists are written as one text with one unit, "0, 5, 10 min", and a part that nobody can tell is "none".
"""

from __future__ import annotations

from fillfirst.errors import KindError
from fillfirst.formulas.evaluate import is_list, is_number
from fillfirst.formulas.examples import Disagreement, check_like, read_value, read_within, say_outside, show
from fillfirst.formulas.functions import Given, evaluate_function
from fillfirst.formulas.kinds import nearest
from fillfirst.formulas.outcome import FunctionOutcome, PartValue
from fillfirst.formulas.shapes import DeclaredFunction, FunctionExample
from fillfirst.quantities import parse


def run_function_example(formula: DeclaredFunction, example: FunctionExample) -> Disagreement | None:
    """Work out one example of a function; the parts that it expects must come out, "none" where nothing can.

    Raises QuantityError and KindError as run_example does.
    """
    for key, named, known in (
        ("given", example.given, formula.inputs),
        ("expect", example.expect, formula.parts),
        ("within", example.within, example.expect),
    ):
        for name in named:
            if name not in known:
                raise KindError(f"{key}.{name}", f'there is no "{name}"', nearest(name, known))
    given = {
        name: read_any(value, formula.inputs[name].kind, formula.inputs[name].unit, f"given.{name}")
        for name, value in example.given.items()
    }
    outcome = evaluate_function(formula, given)
    if "value" not in outcome:
        return Disagreement(
            f"the function has no answer here: {_say_trouble(outcome, formula)}", "it must have one"
        )
    for name, expected in example.expect.items():
        kind, unit = formula.parts[name].kind, formula.parts[name].unit
        found = outcome["value"][name]
        wanted = None if expected == "none" else read_any(expected, kind, unit, f"expect.{name}")
        within = read_within(example.within.get(name), unit or "1")
        if not _is_near(found, wanted, within):
            shown = "none" if found is None else _say_part(found, unit or "1")
            return Disagreement(
                f"the function gives {shown} for {name}",
                f'the example expects "{expected}" within "{example.within.get(name, 0)}"',
            )
    return None


def read_any(value: str | float | bool, kind: str, unit: str | None, where: str) -> Given:
    """A value of an example in SI; a list of quantities is written "0, 5, 10 min"."""
    if kind != "quantities":
        return read_value(value, kind, unit, where)
    *numbers, last = str(value).split(", ")
    written = parse(last).unit
    check_like(written, unit or "1", where)
    suffix = "" if written == "1" else f" {written}"
    return [parse(f"{number}{suffix}").value for number in numbers] + [parse(last).value]


def _is_near(found: PartValue, wanted: Given, within: float) -> bool:
    if is_number(found) and is_number(wanted):
        return abs(found - wanted) <= within * (1 + 1e-9) + 1e-12 * abs(wanted)
    if is_list(found) and is_list(wanted):
        return len(found) == len(wanted) and all(
            is_number(one) and is_number(other) and _is_near(one, other, within)
            for one, other in zip(found, wanted, strict=True)
        )
    return type(found) is type(wanted) and found == wanted


def _say_part(value: PartValue, unit: str) -> str:
    if is_list(value):
        return ", ".join(_say_part(each, unit) for each in value if is_number(each))
    return (
        show(value, unit)
        if is_number(value)
        else f'"{value}"'
        if isinstance(value, str)
        else _say_bool(value)
    )


def _say_bool(value: object) -> str:
    return "yes" if value is True else "no"


def _say_trouble(outcome: FunctionOutcome, formula: DeclaredFunction) -> str:
    if "missing" in outcome:
        return f"{', '.join(outcome['missing'])} not given"
    if "outside" in outcome:
        first = outcome["outside"][0]
        return say_outside(first, formula.inputs[first["name"]].unit or "1")
    return str(outcome.get("impossible", ""))
