"""Formulas and tables as written: every number a quantity with its unit, every one with a source."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.models.base import (
    AmountOrParts,
    AmountText,
    CitationEntry,
    Row,
    Scalar,
    ScalarOrParts,
    Written,
)


class InputEntry(Written):
    label: str
    kind: Literal["quantity", "quantities", "text", "yes-no"] = "quantity"
    unit: str | None = None
    from_: AmountText | None = None
    to: AmountText | None = None
    optional: bool = False


class ConstantEntry(Written):
    label: str
    value: AmountText
    source: CitationEntry | None = None


class PartEntry(Written):
    """One of the things that a function gives."""

    label: str
    kind: Literal["quantity", "quantities", "text", "yes-no"] = "quantity"
    unit: str | None = None
    round_to: AmountText | None = None


class ResultEntry(Written):
    label: str
    kind: Literal["quantity", "judgement", "parts"] = "quantity"
    unit: str | None = None
    round_to: AmountText | None = None
    yes: str | None = None
    no: str | None = None
    parts: dict[str, PartEntry] = {}


class ExampleEntry(Written):
    from_: str
    given: dict[str, Scalar] = {}
    expect: ScalarOrParts
    within: AmountOrParts | None = None
    source: CitationEntry | None = None


class FormulaFile(Written):
    title: str
    why: str
    source: CitationEntry
    expression: str | None = None
    function: str | None = None
    inputs: dict[str, InputEntry] = {}
    constants: dict[str, ConstantEntry] = {}
    result: ResultEntry
    examples: list[ExampleEntry] = []


class ColumnEntry(Written):
    label: str
    unit: str


class TableFile(Written):
    title: str
    source: CitationEntry
    key: ColumnEntry
    value: ColumnEntry
    rows: list[Row]
