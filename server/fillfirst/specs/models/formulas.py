"""Formulas and tables as written: every number a quantity with its unit, every one with a source."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.models.base import AmountText, CitationEntry, Row, Scalar, Written


class InputEntry(Written):
    label: str
    kind: Literal["quantity", "text", "yes-no"] = "quantity"
    unit: str | None = None
    from_: AmountText | None = None
    to: AmountText | None = None
    optional: bool = False


class ConstantEntry(Written):
    label: str
    value: AmountText
    source: CitationEntry | None = None


class ResultEntry(Written):
    label: str
    kind: Literal["quantity", "judgement"] = "quantity"
    unit: str | None = None
    round_to: AmountText | None = None
    yes: str | None = None
    no: str | None = None


class ExampleEntry(Written):
    from_: str
    given: dict[str, Scalar] = {}
    expect: Scalar
    within: AmountText | None = None
    source: CitationEntry | None = None


class FormulaFile(Written):
    title: str
    why: str
    source: CitationEntry
    expression: str
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
