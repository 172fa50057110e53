"""The shapes of a car as its entries tell it, exactly as the phone has them in JSON."""

from __future__ import annotations

from typing import Literal, TypedDict

from fillfirst.specs.linked import Value
from fillfirst.visits.shapes import DisputedFact


class Mark(TypedDict):
    """Who did something, when, by which entry."""

    event: str
    at: str
    device: str
    by: str | None


class KnownFact(TypedDict):
    """A fact as it stands; `confirmed` is None while nobody here has looked it up themselves."""

    value: Value
    typed: str | None
    unit: str | None
    source: dict[str, str]
    because: str | None
    doubt: str | None
    event: str
    at: str
    device: str
    by: str | None
    confirmed: Mark | None


class FactChange(TypedDict):
    """One entry about a fact. `of` is the entry that a confirmation speaks of."""

    kind: Literal["written", "withdrawn", "confirmed"]
    value: Value | None
    typed: str | None
    unit: str | None
    source: dict[str, str] | None
    because: str | None
    doubt: str | None
    of: str | None
    event: str
    at: str
    device: str
    by: str | None


class Description(TypedDict):
    """What was said of the car as a whole; None where the entry does not say it."""

    title: str | None
    plate: str | None
    note: str | None
    vin: str | None
    market: str | None
    because: str | None
    event: str
    at: str
    device: str
    by: str | None


class OdometerReading(TypedDict):
    value: float
    typed: str
    unit: str
    event: str
    at: str
    device: str
    by: str | None


class Car(TypedDict):
    """What the entries of a car say. `added` is None while its beginning has not come, or was taken back."""

    title: str
    plate: str
    note: str
    vin: str
    market: str
    added: Mark | None
    described: list[Description]
    facts: dict[str, KnownFact]
    history: dict[str, list[FactChange]]
    disputed_facts: list[DisputedFact]
    odometer: OdometerReading | None
    odometers: list[OdometerReading]
    undone: list[str]
    unknown: int
