"""How a number is worked out: formulas, functions over lists, and tables."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.linked.base import Amount, Citation, Linked, Place, Tree

FunctionKind = Literal["quantity", "quantities", "text", "yes-no"]


class Input(Linked):
    label: str
    kind: Literal["quantity", "text", "yes-no"] = "quantity"
    unit: str | None = None
    from_: float | None = None
    to: float | None = None
    optional: bool = False


class Constant(Linked):
    label: str
    unit: str
    value: float
    shown: str
    source: Citation | None = None


class Result(Linked):
    label: str
    kind: Literal["quantity", "judgement"] = "quantity"
    unit: str | None = None
    round_to: float | None = None
    yes: str | None = None
    no: str | None = None


class Example(Linked):
    from_: str
    given: dict[str, str | float | bool]
    expect: str | float | bool
    within: str | float | None = None
    source: Citation | None = None


class Formula(Linked):
    title: str
    why: str
    expression: str
    tree: Tree
    inputs: dict[str, Input]
    constants: dict[str, Constant] = {}
    result: Result
    source: Citation
    examples: list[Example]


class FunctionInput(Linked):
    """What a function takes; quantities are a list of numbers in one unit, each held to the range."""

    label: str
    kind: FunctionKind = "quantity"
    unit: str | None = None
    from_: float | None = None
    to: float | None = None
    optional: bool = False


class Part(Linked):
    """One of the things that a function gives; it may be absent where it cannot be told."""

    label: str
    kind: FunctionKind = "quantity"
    unit: str | None = None
    round_to: float | None = None


class FunctionExample(Linked):
    from_: str
    given: dict[str, str | float | bool]
    expect: dict[str, str | float | bool]
    within: dict[str, str | float] = {}
    source: Citation | None = None


class FunctionFormula(Linked):
    """A formula that no expression can say: a named function of formulas.functions."""

    title: str
    why: str
    function: str
    inputs: dict[str, FunctionInput]
    constants: dict[str, Constant] = {}
    parts: dict[str, Part]
    source: Citation
    examples: list[FunctionExample]


class Column(Linked):
    label: str
    unit: str


class Table(Linked):
    """A published table; both columns in SI, the key rising or falling all the way."""

    title: str
    source: Citation
    key: Column
    value: Column
    rows: list[Place]


class Figure(Linked):
    """One use of a formula: which name or value each of its inputs takes."""

    formula: str
    with_: dict[str, Amount]
    job: str
