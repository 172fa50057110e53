"""Kinds: what a name or a part of an expression is, before any value is known.

A number has a dimension and may be a temperature on a scale; a text may have a closed set of options. Two
things meet in a sum, a comparison or the branches of a choice only when they are of one kind.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Literal

from fillfirst.quantities import NUMBER, Dimension, describe, dimension_of, is_scale

Sort = Literal["number", "text", "yes-no", "list"]


@dataclass(frozen=True)
class Kind:
    """What something is.

    `scale` marks a temperature read off a scale (degC): it may be compared and subtracted, not multiplied.
    `zero` marks a written 0, which is nothing of any unit. `options` are the only texts that it may be.
    """

    sort: Sort
    dimension: Dimension = NUMBER
    scale: bool = False
    zero: bool = False
    options: frozenset[str] | None = None

    def __str__(self) -> str:
        if self.sort == "number":
            return describe(self.dimension, self.scale)
        return {"text": "a text", "yes-no": "a yes or no", "list": "a list"}[self.sort]


PURE = Kind("number")
ZERO = Kind("number", zero=True)
TEXT = Kind("text")
YES_NO = Kind("yes-no")
LIST = Kind("list")


def number_in(unit: str) -> Kind:
    """The kind of a quantity in this unit: degC and degF are a scale, K and delta_degC are differences.

    Raises QuantityError when there is no such unit.
    """
    return Kind("number", dimension_of(unit), scale=is_scale(unit))


def text_of(options: Iterable[str]) -> Kind:
    """The kind of a text that can only be one of these."""
    return replace(TEXT, options=frozenset(options))


def list_of(options: Iterable[str]) -> Kind:
    """The kind of a list that can only hold these."""
    return replace(LIST, options=frozenset(options))


def meet(left: Kind, right: Kind) -> Kind | None:
    """The kind that both are of, or None when they are not alike."""
    if left.sort != right.sort:
        return None
    if left.sort != "number":
        return left if left.options == right.options else replace(left, options=None)
    if left.zero and not right.scale:
        return right
    if right.zero and not left.scale:
        return left
    alike = (left.dimension, left.scale) == (right.dimension, right.scale)
    return replace(left, zero=left.zero and right.zero) if alike else None


def nearest(word: str, options: Iterable[str]) -> str:
    """Offer the options, the nearest one by name."""
    listed = sorted(options)
    close = get_close_matches(word, listed, n=1, cutoff=0.5)
    if close:
        return f'"{close[0]}" is the nearest there is'
    return "there is " + ", ".join(f'"{option}"' for option in listed) if listed else "there is none"
