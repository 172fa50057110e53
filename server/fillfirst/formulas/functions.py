"""Formulas that no expression can say: a fit, a choice, an order. Each is a function with a name.

They are declared in the specs like any other formula, with units, ranges, source and examples; here stands
which functions there are and what each takes and gives. A function works on plain numbers in SI base units.

`webui/core/functions.js` is the same in the other language; `tests/agreement/functions.json` drives both.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from fillfirst.formulas.due import find_due
from fillfirst.formulas.evaluate import excess, is_list, is_number, is_within
from fillfirst.formulas.odometer import find_rate
from fillfirst.formulas.outcome import Answer, FunctionOutcome, Impossible, OutOfRange
from fillfirst.formulas.packs import choose_packs
from fillfirst.formulas.shapes import FunctionFormula
from fillfirst.formulas.tightening import order_screws
from fillfirst.formulas.vin import read_vin
from fillfirst.formulas.warming import predict_crossing

#: What an input or a part holds; quantities are a list of numbers in one unit.
FunctionKind: TypeAlias = Literal["quantity", "quantities", "text", "yes-no"]
Given: TypeAlias = float | str | bool | Sequence[float] | None


@dataclass(frozen=True)
class Function:
    """One function, the kinds of its inputs and constants, and the kinds of the parts of its answer."""

    run: Callable[..., Answer | Impossible]
    takes: Mapping[str, FunctionKind]
    gives: Mapping[str, FunctionKind]
    optional: frozenset[str] = frozenset()


_MOMENTS = tuple(
    f"{what}_{when}" for what in ("enters", "leaves", "settles") for when in ("at", "from", "to")
)

FUNCTIONS: dict[str, Function] = {
    "predict-crossing": Function(
        predict_crossing,
        {
            "times": "quantities",
            "temperatures": "quantities",
            "window_from": "quantity",
            "window_to": "quantity",
            "reading_error": "quantity",
            "settles_at": "quantity",
        },
        {"outlook": "text", **dict.fromkeys(_MOMENTS, "quantity")},
        frozenset(["settles_at"]),
    ),
    "choose-packs": Function(
        choose_packs,
        {"need": "quantity", "sizes": "quantities", "prices": "quantities"},
        {"counts": "quantities", "volume": "quantity", "left_over": "quantity", "price": "quantity"},
        frozenset(["prices"]),
    ),
    "order-screws": Function(order_screws, {"x": "quantities", "y": "quantities"}, {"order": "quantities"}),
    "find-rate": Function(
        find_rate,
        {"days": "quantities", "distances": "quantities"},
        {"rate": "quantity", "rate_from": "quantity", "rate_to": "quantity"},
    ),
    "find-due": Function(
        find_due,
        {"last_date": "text", "time": "quantity", "distance": "quantity", "rate": "quantity"},
        {"date": "text", "by": "text"},
        frozenset(["time", "distance", "rate"]),
    ),
    "read-vin": Function(
        read_vin, {"vin": "text"}, {"check": "text", "agrees": "yes-no", "year": "quantity"}
    ),
}


def evaluate_function(formula: FunctionFormula, inputs: Mapping[str, Given]) -> FunctionOutcome:
    """Work out a formula that is a function; one number outside its range leaves all without a value."""
    given = {name: inputs[name] for name in formula.inputs if inputs.get(name) is not None}
    outside = [trouble for name, value in given.items() for trouble in _find_outside(formula, name, value)]
    if outside:
        return {"outside": outside}
    missing = [name for name, each in formula.inputs.items() if name not in given and not each.optional]
    if missing:
        return {"missing": missing}
    constants = {name: constant.value for name, constant in formula.constants.items()}
    return FUNCTIONS[formula.function].run(**given, **constants)


def _find_outside(formula: FunctionFormula, name: str, value: Given) -> list[OutOfRange]:
    declared = formula.inputs[name]
    values = value if is_list(value) else [value]
    return [
        excess(name, each, declared.from_, declared.to)
        for each in values
        if is_number(each) and not is_within(each, declared.from_, declared.to)
    ]
