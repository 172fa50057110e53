"""Short lists that jobs and facts name: documents, hazards, and what a garage may hold."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.linked.base import Linked


class Source(Linked):
    title: str
    publisher: str
    edition: str
    kind: Literal["standard", "regulation", "handbook", "data-sheet", "demo", "practice"]
    note: str = ""


class Hazard(Linked):
    title: str
    says: str
    level: Literal["caution", "danger"]


class Mark(Linked):
    """A number that a thing in the garage carries."""

    label: str
    unit: str
    from_: float
    to: float


class Kept(Linked):
    """A kind of thing that a garage may hold: a jack, a torque wrench, a second person."""

    title: str
    group: str
    order: float
    where: str = ""
    counted: bool = False
    several: bool = False
    marks: dict[str, Mark] = {}
