"""What the models of all families are made of: citations, amounts, names, and what a value may be."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from fillfirst.errors import ExpressionError
from fillfirst.formulas import read_tree


def _read_tree(value: object) -> list[Any]:
    try:
        return read_tree(value)
    except ExpressionError as cause:
        raise ValueError(str(cause)) from cause


# An expression as nested arrays: ["+", ["name", "x"], ["number", 1.5]]; read back, it is checked.
Tree = Annotated[list[Any], BeforeValidator(_read_tree)]
# What a fact, reading or figure may hold at run time.
Value = float | str | bool | list[str]
# Lax on purpose: JSON has no tuples, and an array read back from a catalog arrives as a list.
Names = Annotated[tuple[str, ...], Field(strict=False)]
Place = Annotated[tuple[float, float], Field(strict=False)]
SourceKind = Literal["makers-manual", "label", "component-maker", "measured", "common-practice", "owner"]


class Linked(BaseModel):
    model_config = ConfigDict(
        strict=True,
        frozen=True,
        extra="forbid",
        validate_by_name=True,
        validate_by_alias=True,
        serialize_by_alias=True,
        alias_generator=lambda name: name.rstrip("_"),
    )


class Citation(Linked):
    """Where a number was taken from: a document in `sources`, and the place in it."""

    document: str
    page: int | str | None = None
    section: str | None = None


class Named(Linked):
    """A value that is looked up in the visit: the name of a fact, setting, reading or figure."""

    name: str


class Fixed(Linked):
    """A value written in the spec itself, in SI, beside what was typed."""

    value: float | str | bool
    shown: str


class Words(Linked):
    """A size or count that is words, not a value: "long extension"."""

    text: str


Amount = Named | Fixed
