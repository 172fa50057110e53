"""The tree of an expression: nested JSON arrays, the same on the server and on the phone.

It exists so that a formula travels in the catalog as data that neither side has to parse again. A tree
that comes from JSON is checked here before it is believed; the parser builds only trees that pass.

    ["number", 1.5]  ["text", "manual"]  ["yes-no", true]  ["name", "x"]  ["neg", a]  ["not", a]
    ["+" | "-" | "*" | "/" | "**" | "<" | "<=" | ">" | ">=" | "==" | "!=", a, b]
    ["and" | "or", a, b, …]  ["if", condition, then, else]  ["in", a, ["list", b, …] | ["name", "x"]]
    ["call", "min", a, b, …]  ["known", "x"]  ["table", "glycol-freezing-point", a]
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any, TypeAlias, TypeGuard

from fillfirst.errors import ExpressionError

Tree: TypeAlias = list[Any]

ARITHMETIC = ("+", "-", "*", "/", "**")
COMPARISONS = ("<", "<=", ">", ">=", "==", "!=")

#: How many arguments each function takes: (least, most).
FUNCTIONS: dict[str, tuple[int, int | None]] = {
    "min": (2, None),
    "max": (2, None),
    "abs": (1, 1),
    "sqrt": (1, 1),
    "exp": (1, 1),
    "log": (1, 1),
    "sin": (1, 1),
    "cos": (1, 1),
    "tan": (1, 1),
    "atan": (1, 1),
    "asin": (1, 1),
    "floor": (1, 1),
    "ceil": (1, 1),
}
#: Every word that may stand before "(", with those that have a node of their own.
CALLABLE = (*FUNCTIONS, "known", "table")

#: Deep enough for any formula a person would write, far below where recursion ends.
DEPTH_LIMIT = 60

_NAME = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def is_name(text: str) -> bool:
    """Whether this may name a fact, a reading, a figure or an input."""
    return _NAME.fullmatch(text) is not None and text not in CALLABLE


def is_id(text: str) -> bool:
    """Whether this may be the id of a table."""
    return _ID.fullmatch(text) is not None


def describe_functions(near: str) -> str:
    """Say which functions there are, the one nearest to `near` first."""
    nearest = get_close_matches(near, CALLABLE, n=1, cutoff=0.5)
    listed = "one of " + ", ".join(CALLABLE)
    return f'"{nearest[0]}" ({listed})' if nearest else listed


def describe_count(function: str) -> str:
    """Say how many arguments a function takes."""
    least, most = FUNCTIONS[function]
    if most is None:
        return f"at least {least} arguments"
    return f"{least} argument{'s' if least > 1 else ''}"


def has_right_count(function: str, count: int) -> bool:
    """Whether a function can take this many arguments."""
    least, most = FUNCTIONS[function]
    return count >= least and (most is None or count <= most)


def read_tree(value: object) -> Tree:
    """Check a tree that came from JSON and return it with every number as a float.

    Raises ExpressionError, whose `where` is the path into the arrays.
    """
    return _read(value, "tree", 1)


def names(tree: Tree) -> frozenset[str]:
    """Every name that the tree may read, those inside known() too."""
    return frozenset(_walk_names(tree))


def tables(tree: Tree) -> frozenset[str]:
    """The ids of every table that the tree may read."""
    return frozenset(node[1] for node in walk(tree) if node[0] == "table")


def walk(tree: Tree) -> Iterator[Tree]:
    """The tree and every tree inside it, outermost first."""
    yield tree
    for part in tree[1:]:
        if isinstance(part, list):
            yield from walk(part)


def _walk_names(tree: Tree) -> Iterator[str]:
    return (node[1] for node in walk(tree) if node[0] in ("name", "known"))


def _read(value: object, where: str, depth: int) -> Tree:
    if not isinstance(value, list) or not value or not isinstance(value[0], str):
        raise ExpressionError(where, _show(value), 'an array led by an operator, such as ["name", "x"]')
    if depth > DEPTH_LIMIT:
        raise ExpressionError(where, "a tree nested deeper than any formula", f"at most {DEPTH_LIMIT} levels")
    operator, parts = value[0], value[1:]
    if operator in ("number", "text", "yes-no", "name", "known"):
        return [operator, _read_leaf(operator, parts, where)]
    if operator == "call":
        return _read_call(parts, where, depth)
    if operator == "table":
        return _read_table(parts, where, depth)
    if operator == "in":
        return _read_membership(parts, where, depth)
    _check_count(operator, len(parts), where)
    return [operator, *_read_all(parts, where, depth, 1)]


def _read_leaf(operator: str, parts: list[object], where: str) -> str | float | bool:
    if len(parts) == 1:
        part = parts[0]
        if operator == "yes-no" and isinstance(part, bool):
            return part
        if operator == "number" and _is_finite_number(part):
            return float(part)
        if operator == "text" and isinstance(part, str):
            return part
        if operator in ("name", "known") and isinstance(part, str) and is_name(part):
            return part
    expected = {
        "number": "one finite number",
        "text": "one text",
        "yes-no": "true or false",
        "name": "one snake_case name",
        "known": "one snake_case name",
    }
    raise ExpressionError(f"{where}[1]", _show(parts[0] if len(parts) == 1 else parts), expected[operator])


def _read_call(parts: list[object], where: str, depth: int) -> Tree:
    function = parts[0] if parts else None
    if not isinstance(function, str) or function not in FUNCTIONS:
        near = function if isinstance(function, str) else ""
        raise ExpressionError(f"{where}[1]", _show(function), describe_functions(near))
    if not has_right_count(function, len(parts) - 1):
        raise ExpressionError(where, f"{function} with {len(parts) - 1}", describe_count(function))
    return ["call", function, *_read_all(parts[1:], where, depth, 2)]


def _read_table(parts: list[object], where: str, depth: int) -> Tree:
    if len(parts) != 2 or not isinstance(parts[0], str) or not is_id(parts[0]):
        raise ExpressionError(where, _show(parts), 'an id and a tree: ["table", "some-table", a]')
    return ["table", parts[0], *_read_all(parts[1:], where, depth, 2)]


def _read_membership(parts: list[object], where: str, depth: int) -> Tree:
    right = parts[1] if len(parts) == 2 else None
    if isinstance(right, list) and right[:1] == ["list"]:
        listed = ["list", *_read_all(right[1:], f"{where}[2]", depth + 1, 1)]
        return ["in", _read(parts[0], f"{where}[1]", depth + 1), listed]
    if isinstance(right, list) and right[:1] == ["name"]:
        return ["in", *_read_all(parts, where, depth, 1)]
    raise ExpressionError(where, _show(parts), 'a tree and ["list", …] or ["name", "x"]')


def _read_all(parts: list[object], where: str, depth: int, start: int) -> list[Tree]:
    return [_read(part, f"{where}[{at}]", depth + 1) for at, part in enumerate(parts, start)]


def _check_count(operator: str, count: int, where: str) -> None:
    if operator in ARITHMETIC or operator in COMPARISONS:
        expected, fits = "2 operands", count == 2
    elif operator in ("neg", "not"):
        expected, fits = "1 operand", count == 1
    elif operator in ("and", "or"):
        expected, fits = "at least 2 operands", count >= 2
    elif operator == "if":
        expected, fits = "a condition and two branches", count == 3
    else:
        raise ExpressionError(f"{where}[0]", f'"{operator}"', "an operator of the language")
    if not fits:
        raise ExpressionError(where, f'"{operator}" with {count}', expected)


def _is_finite_number(value: object) -> TypeGuard[float]:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


def _show(value: object) -> str:
    shown = repr(value)
    return shown if len(shown) <= 60 else shown[:57] + "…"
