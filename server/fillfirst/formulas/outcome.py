"""What comes of evaluating: a value, or the one reason why there is none.

It exists because "no value" is an answer a person must be able to act on: which reading is still to be
taken, which one is out of range and by how much, or what cannot be computed at all. Evaluating never raises.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias, TypedDict, final

#: What a fact, a reading or a setting may hold. Every number is a float in SI base units.
Value: TypeAlias = float | str | bool | Sequence[str]


@final
class Found(TypedDict):
    """The value."""

    value: Value


@final
class Missing(TypedDict):
    """Names that were needed and are not known, in the order they were met."""

    missing: list[str]


#: One value out of range: the name of the input, or the id of the table it was looked up in, and the range.
#: Written in this form because "from" is a word of Python.
OutOfRange = TypedDict("OutOfRange", {"name": str, "value": float, "from": float | None, "to": float | None})


@final
class Outside(TypedDict):
    """Every value that is outside the range in which the formula holds."""

    outside: list[OutOfRange]


@final
class Impossible(TypedDict):
    """Why there can be no value, such as "division by zero"."""

    impossible: str


Outcome: TypeAlias = Found | Missing | Outside | Impossible

#: What one part of an answer may hold; None where it cannot be told.
PartValue: TypeAlias = float | str | bool | Sequence[float] | None


@final
class Answer(TypedDict):
    """What a function gives: several things at once, by name."""

    value: dict[str, PartValue]


FunctionOutcome: TypeAlias = Answer | Missing | Outside | Impossible


def first_trouble(outcomes: Iterable[Outcome]) -> Outcome | None:
    """The one outcome that stands for several parts that were all needed, or None when all have values.

    Missing names come first and are told together, since a person can fill them in at once.
    """
    troubles = [outcome for outcome in outcomes if "value" not in outcome]
    missing = [name for outcome in troubles if "missing" in outcome for name in outcome["missing"]]
    if missing:
        return {"missing": list(dict.fromkeys(missing))}
    return troubles[0] if troubles else None
