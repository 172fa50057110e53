"""Tree and values to outcome: one of the three interpreters that exist on the phone as well.

`webui/core/evaluate.js` is the same in the other language, under the same names; the vectors in
`tests/agreement/evaluate.json` drive both. Evaluating is total: it gives a value or says why there is none.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import TypeGuard

from fillfirst.formulas.outcome import Impossible, Outcome, OutOfRange, Value, first_trouble
from fillfirst.formulas.shapes import Tables
from fillfirst.formulas.tree import ARITHMETIC, COMPARISONS, Tree

#: A typed 140 °F must not be outside "up to 60 °C" by the last bit of the conversion.
EDGE = 1e-9


#: Facts, readings, settings and figures by name; None is not known.
Values = Mapping[str, Value | None]


def evaluate(tree: Tree, values: Values, tables: Tables) -> Outcome:
    """Work out what a tree gives for these values.

    `and`, `or` and `if` look no further than they must: a name missing where they do not look is not missed.
    """
    operator = tree[0]
    if operator in ("number", "text", "yes-no"):
        return {"value": tree[1]}
    if operator == "name":
        value = values.get(tree[1])
        return {"missing": [tree[1]]} if value is None else _give(value)
    if operator == "known":
        return {"value": values.get(tree[1]) is not None}
    if operator in ("and", "or"):
        return _connect(operator == "or", tree[1:], values, tables)
    if operator == "not":
        outcome = _as_yes_no(evaluate(tree[1], values, tables))
        return {"value": not outcome["value"]} if "value" in outcome else outcome
    if operator == "if":
        condition = _as_yes_no(evaluate(tree[1], values, tables))
        if "value" not in condition:
            return condition
        return evaluate(tree[2] if condition["value"] else tree[3], values, tables)
    if operator == "in":
        return _find(tree[1], tree[2], values, tables)
    if operator in ("==", "!="):
        return _equate(operator == "==", tree[1:], values, tables)
    return _compute(tree, values, tables)


def _give(value: Value) -> Outcome:
    if is_number(value):
        number = float(value)
        return {"value": number} if math.isfinite(number) else {"impossible": "a number that is not finite"}
    return {"value": value}


def _connect(settles: bool, parts: Sequence[Tree], values: Values, tables: Tables) -> Outcome:
    """`and` and `or`: left to right, until one part is the answer that settles it."""
    for part in parts:
        outcome = _as_yes_no(evaluate(part, values, tables))
        if "value" not in outcome or outcome["value"] is settles:
            return outcome
    return {"value": not settles}


def _find(left: Tree, right: Tree, values: Values, tables: Tables) -> Outcome:
    """`in`: whether the left is one of the list written out, or of the list that a name holds."""
    sought = _as_single(evaluate(left, values, tables))
    if right[0] == "list":
        listed = [_as_single(evaluate(element, values, tables)) for element in right[1:]]
    else:
        listed = [_as_list(evaluate(right, values, tables))]
    if "value" not in sought or first_trouble(listed) is not None:
        return first_trouble([sought, *listed]) or sought
    candidates: list[object] = []
    for outcome in listed:
        value = outcome.get("value")
        candidates.extend(value if is_list(value) else [value])
    return {"value": any(is_same(sought["value"], candidate) for candidate in candidates)}


def _equate(wanted: bool, parts: Sequence[Tree], values: Values, tables: Tables) -> Outcome:
    """`==` and `!=`: values of two kinds are never equal, so 1 is not yes."""
    left, right = (_as_single(evaluate(part, values, tables)) for part in parts)
    if "value" not in left or "value" not in right:
        return first_trouble([left, right]) or left
    return {"value": is_same(left["value"], right["value"]) is wanted}


def _compute(tree: Tree, values: Values, tables: Tables) -> Outcome:
    """Everything whose operands are all needed and are all numbers."""
    operator = tree[0]
    operands = tree[2:] if operator in ("call", "table") else tree[1:]
    outcomes = [_as_number(evaluate(operand, values, tables)) for operand in operands]
    trouble = first_trouble(outcomes)
    if trouble is not None:
        return trouble
    numbers = [value for outcome in outcomes if is_number(value := outcome.get("value"))]
    if operator in COMPARISONS:
        return {"value": _ORDERINGS[operator](*numbers)}
    if operator == "table":
        return _look_up(tree[1], numbers[0], tables)
    if operator == "neg":
        return {"value": -numbers[0]}
    compute = _ARITHMETIC[operator] if operator in ARITHMETIC else _FUNCTIONS[tree[1]]
    try:
        result = compute(*numbers)
    except _NoNumberError as cause:
        return {"impossible": str(cause)}
    except OverflowError:
        return {"impossible": _TOO_LARGE}
    return {"value": result} if math.isfinite(result) else {"impossible": _TOO_LARGE}


def _look_up(table_id: str, key: float, tables: Tables) -> Outcome:
    """Interpolate between the two rows around the key; outside the table there is no value."""
    table = tables.get(table_id)
    if table is None:
        return {"impossible": f'the table "{table_id}" is not here'}
    rows = sorted(table.rows)
    least, most = rows[0][0], rows[-1][0]
    if not is_within(key, least, most):
        return {"outside": [{"name": table_id, "value": key, "from": least, "to": most}]}
    above = next((at for at, row in enumerate(rows) if key <= row[0]), len(rows) - 1)
    if above == 0 or rows[above][0] <= key:
        return {"value": rows[above][1]}
    (low, start), (high, end) = rows[above - 1], rows[above]
    return {"value": start + (end - start) * ((key - low) / (high - low))}


def is_within(value: float, least: float | None, most: float | None) -> bool:
    """Whether a number is in a range, its edges included, up to the noise of unit conversion."""
    slack = EDGE * max(abs(value), abs(least or 0.0), abs(most or 0.0))
    return (least is None or value >= least - slack) and (most is None or value <= most + slack)


def excess(name: str, value: float, least: float | None, most: float | None) -> OutOfRange:
    """Say what is out of range and what the range is."""
    return {"name": name, "value": value, "from": least, "to": most}


def is_number(value: object) -> TypeGuard[float]:
    """Whether this is a number; a yes or no is not one, though Python would say so."""
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def is_list(value: object) -> TypeGuard[Sequence[object]]:
    """Whether this is a list of things; a text is not one."""
    return isinstance(value, Sequence) and not isinstance(value, str)


def is_same(left: object, right: object) -> bool:
    """Whether two values are of one kind and equal."""
    return _kind(left) == _kind(right) and left == right


def _as_number(outcome: Outcome) -> Outcome:
    if "value" in outcome and not is_number(outcome["value"]):
        return _mismatch("a number", outcome["value"])
    return outcome


def _as_yes_no(outcome: Outcome) -> Outcome:
    if "value" in outcome and not isinstance(outcome["value"], bool):
        return _mismatch("a yes or no", outcome["value"])
    return outcome


def _as_single(outcome: Outcome) -> Outcome:
    if "value" in outcome and is_list(outcome["value"]):
        return _mismatch("a single value", outcome["value"])
    return outcome


def _as_list(outcome: Outcome) -> Outcome:
    if "value" in outcome and not is_list(outcome["value"]):
        return _mismatch("a list", outcome["value"])
    return outcome


def _mismatch(needed: str, value: object) -> Impossible:
    return {"impossible": f"{needed} was needed, {_kind(value)} was found"}


def _kind(value: object) -> str:
    if isinstance(value, bool):
        return "a yes or no"
    if isinstance(value, str):
        return "a text"
    return "a list" if is_list(value) else "a number"


_TOO_LARGE = "a number too large to hold"


class _NoNumberError(Exception):
    """An operation that has no number for these operands; the text is what the person reads."""


def _divide(left: float, right: float) -> float:
    if right == 0:
        raise _NoNumberError("division by zero")
    return left / right


def _raise_to(base: float, exponent: float) -> float:
    if base == 0 and exponent < 0:
        raise _NoNumberError("division by zero")
    if base < 0 and not exponent.is_integer():
        raise _NoNumberError("a broken power of a negative number")
    return float(base**exponent)


def _sqrt(value: float) -> float:
    if value < 0:
        raise _NoNumberError("the square root of a negative number")
    return math.sqrt(value)


def _log(value: float) -> float:
    if value <= 0:
        raise _NoNumberError("the logarithm of a number that is not above zero")
    return math.log(value)


def _asin(value: float) -> float:
    if abs(value) > 1:
        raise _NoNumberError("the arcsine of a number beyond one")
    return math.asin(value)


_ARITHMETIC: dict[str, Callable[..., float]] = {
    "+": lambda left, right: left + right,
    "-": lambda left, right: left - right,
    "*": lambda left, right: left * right,
    "/": _divide,
    "**": _raise_to,
}
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "min": min,
    "max": max,
    "abs": abs,
    "sqrt": _sqrt,
    "exp": math.exp,
    "log": _log,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "atan": math.atan,
    "asin": _asin,
    "floor": lambda value: float(math.floor(value)),
    "ceil": lambda value: float(math.ceil(value)),
}
_ORDERINGS: dict[str, Callable[[float, float], bool]] = {
    "<": lambda left, right: left < right,
    "<=": lambda left, right: left <= right,
    ">": lambda left, right: left > right,
    ">=": lambda left, right: left >= right,
}
