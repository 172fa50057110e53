"""Units, order of the day, sources, fluids, hazards and equipment: short lists that other files name."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.models.base import AmountText, Written

Colour = Literal["oil", "coolant", "coolant-low-temperature", "gear", "gearbox", "brake", "steering"]


class UnitEntry(Written):
    symbol: str
    spoken: str
    measure: str
    decimals: int
    systems: list[Literal["metric", "us", "imperial", "mixed"]] = []
    also: list[str] = []


class PhaseEntry(Written):
    id: str
    title: str


class OrderFile(Written):
    phases: list[PhaseEntry]


class SourceFile(Written):
    title: str
    publisher: str
    edition: str
    kind: Literal["standard", "regulation", "handbook", "data-sheet", "demo", "practice"]
    note: str = ""


class FluidFile(Written):
    title: str
    colour: Colour
    stream: str
    family: str
    caution: str = ""
    mixing: str = ""


class HazardEntry(Written):
    title: str
    says: str
    level: Literal["caution", "danger"]


class MarkEntry(Written):
    """A number that a thing in the garage carries, such as the rating of a stand."""

    label: str
    unit: str
    from_: AmountText
    to: AmountText


class KeptEntry(Written):
    """A kind of thing that a garage may hold."""

    title: str
    group: str
    order: float
    where: str = ""
    counted: bool = False
    several: bool = False
    marks: dict[str, MarkEntry] = {}
