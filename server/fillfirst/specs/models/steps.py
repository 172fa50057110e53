"""A step: small and typed, one thing that one person does."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from fillfirst.specs.models.base import AmountText, Condition, OneOrMany, Written

# A phone held at arm's length shows this much in one heading, and this much on one button.
TITLE_LENGTH = 60
DOES_LENGTH = 32


class ReadingEntry(Written):
    name: str
    label: str
    unit: str
    from_: AmountText
    to: AmountText
    across: Literal["last", "sum", "min", "max"] = "last"


class HoldEntry(Written):
    least: AmountText | None = None
    most: AmountText | None = None


class WindowEntry(Written):
    reading: str
    from_: AmountText
    to: AmountText
    every: AmountText


class FindingEntry(Written):
    id: str
    label: str
    good: bool
    says: str = ""


class BackEntry(Written):
    to: str
    says: str
    makes: dict[str, str] = {}


class StepEntry(Written):
    id: str
    phase: str
    kind: Literal["act", "measure", "tighten", "hold", "cycle", "watch", "inspect"]
    title: Annotated[str, Field(max_length=TITLE_LENGTH)]
    says: str
    does: Annotated[str, Field(max_length=DOES_LENGTH)]
    why: str = ""
    when: Condition | None = None
    after: list[str] = []
    each: str | None = None
    block: str | None = None
    where: Literal["under", "beside", "bonnet", "cabin"] | None = None
    needs: dict[str, OneOrMany] = {}
    makes: dict[str, str] = {}
    hazards: list[str] = []
    photo: str | None = None
    work: AmountText | None = None
    wait: AmountText | None = None
    since: OneOrMany = []
    people: int = 1
    meanwhile: bool = False
    serves: str | None = None
    torque: str | None = None
    shows: list[str] = []
    readings: list[ReadingEntry] = []
    judges: list[str] = []
    hold: HoldEntry | None = None
    positions: str | None = None
    window: WindowEntry | None = None
    findings: list[FindingEntry] = []
    back: BackEntry | None = None
    standby: bool = False
