"""What may be known of a car, and in which units; a car with what is known of it."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.linked.base import Citation, Fixed, Linked, Names, SourceKind, Tree, Value

FactKind = Literal["quantity", "text", "choice", "list", "yes-no"]


class Unit(Linked):
    """A unit the phone may show; si = shown * factor + offset."""

    symbol: str
    spoken: str
    measure: str
    decimals: int
    systems: list[str] = []
    also: list[str] = []
    factor: float
    offset: float


class FactGroup(Linked):
    """One heading of the form; `facts` keeps the order in which they were written, which JSON does not."""

    id: str
    title: str
    order: float
    facts: Names = ()


class FactInterval(Linked):
    """Of which service a fact says how long a filling lasts, who says so, and in what it is counted."""

    job: str
    by: Literal["maker", "component", "severe", "fluid", "own"]
    limit: Literal["distance", "time", "hours"]


class Fact(Linked):
    """One thing that may be known; `answers` keeps the order in which its options were written."""

    group: str
    title: str
    kind: FactKind
    unit: str | None = None
    from_: float | None = None
    to: float | None = None
    odd_from: float | None = None
    odd_to: float | None = None
    judges: Names = ()
    interval: FactInterval | None = None
    options: dict[str, str] | None = None
    answers: Names = ()
    when: Tree | None = None
    otherwise: Value | None = None
    of: Literal["car", "visit"] = "car"
    default: Value | None = None
    default_source: Citation | None = None
    where: str = ""


class Fluid(Linked):
    title: str
    colour: str
    stream: str
    family: str
    caution: str = ""
    mixing: str = ""


class VehicleSource(Linked):
    kind: SourceKind
    reference: str


class VehicleFact(Linked):
    value: Value
    shown: str | None = None
    unit: str | None = None
    source: VehicleSource


class Vehicle(Linked):
    title: str
    plate: str
    note: str = ""
    owner: str = ""
    odometer: Fixed
    facts: dict[str, VehicleFact]
