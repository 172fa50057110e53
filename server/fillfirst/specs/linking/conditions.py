"""Conditions: `when` and `uses`, expressions over the layout of the car and the settings of a visit.

The proof plays every layout, so a condition that changes what is done may only ask what has few
answers: choices and yes/no facts. A shopping list may also ask whether something is known.
"""

from __future__ import annotations

from fillfirst.errors import ExpressionError, KindError
from fillfirst.formulas import Tree, check_kind, names, parse
from fillfirst.specs.linking.context import Context
from fillfirst.specs.problems import Spot


def read_condition(
    context: Context, spot: Spot, text: str | None, settings: bool = True, loose: bool = False
) -> Tree | None:
    """The tree of a condition, or nothing when there is none or it does not fit (which is told).

    `settings` says whether it may ask what is chosen for one visit, `loose` whether it may ask anything
    that is known of the car, because nothing that is done depends on it.
    """
    if text is None:
        return None
    tree = _read(context, spot, text, settings, loose)
    if tree is None:
        context.unread_conditions.append(spot)
    return tree


def _read(context: Context, spot: Spot, text: str, settings: bool, loose: bool) -> Tree | None:
    try:
        tree = parse(text)
    except ExpressionError as cause:
        tell_expression(spot, cause)
        return None
    if _has_known(tree) and not loose:
        spot.problem(
            "known(…) is asked here",
            "a condition asks choices and yes/no facts, which the proof can go through",
            "Declare a yes/no fact and ask that.",
        )
        return None
    askable = [_is_askable(context, spot, name, settings, loose) for name in sorted(names(tree))]
    if not all(askable):
        return None
    try:
        kind = check_kind(tree, context.kinds, {})
    except KindError as cause:
        tell_expression(spot, cause)
        return None
    if kind.sort != "yes-no":
        spot.problem(
            f"the expression gives {kind}", "a condition is a yes or no", "Compare it with something."
        )
        return None
    return tree


def all_of(*trees: Tree | None) -> Tree | None:
    """One condition that holds when all of these do; nothing when there is nothing to ask."""
    asked = [tree for tree in trees if tree is not None]
    return ["and", *asked] if len(asked) > 1 else asked[0] if asked else None


def tell_expression(spot: Spot, cause: ExpressionError) -> None:
    """Tell what is wrong with an expression, in the words that the language has for it."""
    if isinstance(cause, KindError):
        where = cause.where.removeprefix("expression, ")
        spot.problem(f"{where}: {cause.found}", cause.expected, cause.do or "Correct the expression.")
    else:
        expected = f"expected is {cause.expected}"
        spot.problem(f"{cause.where}: found {cause.found}", expected, cause.do or "Correct the expression.")


def _has_known(tree: Tree) -> bool:
    return tree[0] == "known" or any(_has_known(part) for part in tree[1:] if isinstance(part, list))


def _is_askable(context: Context, spot: Spot, name: str, settings: bool, loose: bool) -> bool:
    known = context.find(spot, name, ("fact",))
    if known is None:
        return False
    if known.is_setting and not settings:
        spot.problem(
            f'"{name}" is chosen for one visit',
            "what the car is depends on facts of the car alone",
            "Ask another fact.",
        )
        return False
    if known.holds not in ("choice", "yes-no") and not loose:
        spot.problem(
            f'"{name}" is a {known.holds}',
            "a condition asks choices and yes/no facts, which the proof can go through",
            "Declare a choice or yes/no fact and ask that.",
        )
        return False
    return True
