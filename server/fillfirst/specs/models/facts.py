"""What may be known of a car or of a visit, and the demo cars of which it is known."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.models.base import AmountText, AnyValue, CitationEntry, Condition, Written


class FactIntervalEntry(Written):
    job: str
    by: Literal["maker", "component", "severe", "fluid", "own"]
    limit: Literal["distance", "time", "hours"]


class FactEntry(Written):
    title: str
    kind: Literal["quantity", "text", "choice", "list", "yes-no"]
    unit: str | None = None
    from_: AmountText | None = None
    to: AmountText | None = None
    odd_from: AmountText | None = None
    odd_to: AmountText | None = None
    judges: list[str] = []
    interval: FactIntervalEntry | None = None
    options: dict[str, str] | None = None
    when: Condition | None = None
    otherwise: AnyValue | None = None
    of: Literal["car", "visit"] = "car"
    default: AnyValue | None = None
    default_source: CitationEntry | None = None
    where: str = ""


class FactsFile(Written):
    title: str
    order: float
    facts: dict[str, FactEntry]


class VehicleSourceEntry(Written):
    kind: Literal["makers-manual", "label", "component-maker", "measured", "common-practice", "owner"]
    reference: str


class VehicleFactEntry(Written):
    value: AnyValue
    source: VehicleSourceEntry


class VehicleFile(Written):
    title: str
    plate: str
    note: str = ""
    owner: str = ""
    odometer: AmountText
    facts: dict[str, VehicleFactEntry]


class SheetSourceEntry(Written):
    kind: str
    reference: str


class SheetFactEntry(Written):
    value: AnyValue
    source: SheetSourceEntry
    confirmed: bool = True
    because: str | None = None
    doubt: str | None = None


class SheetFile(Written):
    """A car's sheet, which is none of the specs: numbers may be missing, and it travels with its id."""

    title: str
    plate: str
    id: str | None = None
    note: str | None = None
    owner: str | None = None
    vin: str | None = None
    market: str | None = None
    odometer: str | None = None
    facts: dict[str, SheetFactEntry]
