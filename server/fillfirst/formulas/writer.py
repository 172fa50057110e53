"""Tree to expression text, for messages that must quote a part of a formula."""

from __future__ import annotations

from fillfirst.formulas.tree import COMPARISONS, Tree

#: How tightly each operator binds; a looser one inside a tighter one needs brackets.
_STRENGTH = {
    "if": 0,
    "or": 1,
    "and": 2,
    "not": 3,
    **dict.fromkeys((*COMPARISONS, "in"), 4),
    "+": 5,
    "-": 5,
    "*": 6,
    "/": 6,
    "neg": 7,
    "**": 8,
}
_TIGHTEST = 9


def write(tree: Tree) -> str:
    """Write a tree as the expression that parses to it."""
    return _write(tree, 0)


def _write(tree: Tree, least: int) -> str:
    strength = _strength(tree)
    text = _operation(tree, strength)
    return f"({text})" if strength < least else text


def _strength(tree: Tree) -> int:
    if tree[0] == "number" and tree[1] < 0:
        return _STRENGTH["neg"]
    return _STRENGTH.get(tree[0], _TIGHTEST)


def _operation(tree: Tree, strength: int) -> str:
    operator = tree[0]
    if operator == "number":
        return f"{tree[1]:g}" if float(f"{tree[1]:g}") == tree[1] else repr(tree[1])
    if operator == "text":
        return '"' + str(tree[1]).replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
    if operator in ("yes-no", "name"):
        return str(tree[1])
    if operator == "known":
        return f"known({tree[1]})"
    if operator == "table":
        return f'table("{tree[1]}", {_write(tree[2], 0)})'
    if operator == "call":
        return f"{tree[1]}({', '.join(_write(part, 0) for part in tree[2:])})"
    if operator == "list":
        return f"[{', '.join(_write(part, 0) for part in tree[1:])}]"
    if operator == "neg":
        return f"-{_write(tree[1], strength)}"
    if operator == "not":
        return f"not {_write(tree[1], strength)}"
    if operator == "if":
        condition, then = (_write(part, 1) for part in tree[1:3])
        return f"{then} if {condition} else {_write(tree[3], 0)}"
    if operator in ("and", "or"):
        return f" {operator} ".join(_write(part, strength + 1) for part in tree[1:])
    if operator == "**":
        # A power binds its exponent from the right, a sign included.
        return f"{_write(tree[1], _TIGHTEST)}**{_write(tree[2], _STRENGTH['neg'])}"
    # Two comparisons side by side would read as a chain, so neither side may be one.
    left = strength + 1 if strength == _STRENGTH["in"] else strength
    return f"{_write(tree[1], left)} {operator} {_write(tree[2], strength + 1)}"
