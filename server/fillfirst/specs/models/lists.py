"""Units, order of the day, sources, fluids and hazards: short lists that other files name."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.models.base import Written

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
