"""A formula, a table and a figure as the catalog carries them: every number in SI base units.

These are the shapes that both evaluators read. They hold no pint and no TOML: whoever links the spec
files builds them, whoever reads a catalog back validates it into them.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated, Literal, Protocol

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from fillfirst.errors import ExpressionError
from fillfirst.formulas.outcome import Value
from fillfirst.formulas.tree import Tree, read_tree


def _checked_tree(value: object) -> Tree:
    try:
        return read_tree(value)
    except ExpressionError as cause:
        raise ValueError(str(cause)) from cause


def _monotone(rows: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    keys = [key for key, _ in rows]
    rising = all(left < right for left, right in pairwise(keys))
    falling = all(left > right for left, right in pairwise(keys))
    if not rows or not (rising or falling):
        raise ValueError("the keys of a table must all rise or all fall")
    return rows


#: A tree read from JSON; a pydantic field of this type refuses whatever is not in the language.
CheckedTree = Annotated[Tree, BeforeValidator(_checked_tree)]


class Linked(BaseModel):
    """The manner of everything below: frozen, nothing unknown, `from` spelled as in the JSON."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)


class Source(Linked):
    """Where a number or a rule can be read: a document of specs/sources, and the place in it."""

    document: str
    page: int | str | None = None
    section: str | None = None


class Input(Linked):
    """One input of a formula; outside from..to the formula has no value."""

    label: str
    unit: str | None = None
    from_: float | None = Field(default=None, alias="from")
    to: float | None = None
    kind: Literal["quantity", "text", "yes-no"] = "quantity"
    optional: bool = False


class Constant(Linked):
    """A number that belongs to the formula, with the text its author wrote."""

    label: str
    unit: str
    value: float
    shown: str
    source: Source | None = None


class Result(Linked):
    """What a formula gives: a quantity in a unit, or a judgement with the words for yes and for no."""

    label: str
    unit: str | None = None
    round_to: float | None = None
    kind: Literal["quantity", "judgement"] = "quantity"
    yes: str | None = None
    no: str | None = None


class Example(Linked):
    """One worked example, as written: the numbers keep the units of the source they were copied from."""

    from_: str = Field(alias="from")
    given: dict[str, str | float | bool] = {}
    expect: str | float | bool
    within: str | float | None = None
    source: Source | None = None


class Formula(Linked):
    """One expression with the names it reads, where it is valid and where it was published."""

    title: str
    why: str
    expression: str
    tree: CheckedTree
    inputs: dict[str, Input]
    constants: dict[str, Constant] = {}
    result: Result
    source: Source
    examples: tuple[Example, ...] = ()


class Column(Linked):
    """What one column of a table holds."""

    label: str
    unit: str


class Table(Linked):
    """Published pairs with a key that only rises or only falls."""

    title: str
    source: Source
    key: Column
    value: Column
    rows: Annotated[tuple[tuple[float, float], ...], AfterValidator(_monotone)]


class Binding(Linked):
    """What a figure puts into one input: another name, or a value with the text it was written as."""

    name: str | None = None
    value: float | str | bool | None = None
    shown: str | None = None

    @model_validator(mode="after")
    def _one_of_two(self) -> Binding:
        if (self.name is None) == (self.value is None):
            raise ValueError("a binding is either a name or a value")
        return self


class Figure(Linked):
    """One use of a formula in a job. An input that is not bound reads the name it is called by."""

    formula: str
    with_: dict[str, Binding] = Field(default={}, alias="with")
    job: str = ""


class HasFigures(Protocol):
    """The part of the linked specs that a figure needs."""

    @property
    def figures(self) -> Mapping[str, Figure]: ...
    @property
    def formulas(self) -> Mapping[str, Formula]: ...
    @property
    def tables(self) -> Mapping[str, Table]: ...


__all__ = [
    "Binding",
    "CheckedTree",
    "Column",
    "Constant",
    "Example",
    "Figure",
    "Formula",
    "HasFigures",
    "Input",
    "Linked",
    "Result",
    "Source",
    "Table",
    "Value",
]
