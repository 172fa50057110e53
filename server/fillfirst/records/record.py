"""The shape of a record: everything one closed visit leaves behind, for people and for other programs.

Numbers are in SI base units; beside each stands `shown`, in the unit of the procedures, for reading.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field

# Not from the specs, whose loading this would bring along: a start of the server should not wait for it.
from fillfirst.formulas import Value


class CarName(BaseModel):
    id: str
    title: str
    plate: str


class JobName(BaseModel):
    id: str
    title: str


class Provenance(BaseModel):
    """Where a value of the car was found."""

    kind: str
    reference: str


class KnownFact(BaseModel):
    """A fact of the car, or a choice made for this visit, as it stood when the visit began."""

    name: str
    title: str
    value: Value
    shown: str
    source: Provenance | None = Field(description="null for a choice, and for what the procedures assume")


class ReadingTaken(BaseModel):
    """A reading as it was taken; all are kept, also those taken again."""

    name: str
    label: str
    value: float
    typed: str
    unit: str
    at: str
    by: str | None
    by_device: str


class JudgementRecord(BaseModel):
    """What a formula says of the readings of a step."""

    figure: str
    label: str
    holds: bool | None
    says: str


class TorqueRecord(BaseModel):
    """What a fastener was to be tightened to."""

    fact: str
    value: float | None
    shown: str
    source: Provenance | None


class FindingRecord(BaseModel):
    id: str
    label: str
    good: bool


class PhotoTaken(BaseModel):
    """A photo of a step, by its SHA-256."""

    sha256: str
    at: str
    by: str | None
    by_device: str


class TimerRecord(BaseModel):
    """A wait as it is judged: a start that a wrong clock told and that was put right is the later one."""

    started_at_ms: float
    least_s: float | None
    most_s: float | None
    corrected: bool
    by: str | None
    by_device: str


class StepRecord(BaseModel):
    """One step of the visit; `status` is "open" where nobody did or skipped it."""

    id: str
    item: str | None
    job: str
    phase: str
    kind: str
    title: str
    status: Literal["done", "skipped", "open"]
    at: str | None
    by: str | None
    by_device: str | None
    finding: FindingRecord | None
    found: list[FindingRecord] = Field(description="what was found before, and led back")
    reason: str | None
    note: str | None
    torque: TorqueRecord | None
    readings: list[ReadingTaken]
    judgements: list[JudgementRecord]
    photos: list[str]
    photos_taken: list[PhotoTaken] = Field(description="who took each of the photos")
    timer: TimerRecord | None


class StopNamed(BaseModel):
    id: str
    title: str
    reason: str


class OverrideRecord(BaseModel):
    """A stop that somebody set aside, and why."""

    step: str
    title: str
    stops: list[StopNamed]
    reason: str
    at: str
    by: str | None
    by_device: str


class ClosedUp(BaseModel):
    """One time the car was closed up before the end of the visit, and when that went on."""

    aim: Literal["to-stand", "to-drive"]
    at: str
    by: str | None
    by_device: str
    again_at: str | None = Field(description="when the visit was taken up again")
    again_by: str | None
    again_by_device: str | None


class FigureRecord(BaseModel):
    """A figure worked out again from the readings, beside what the phone had."""

    name: str
    label: str
    job: str
    value: Value | None
    shown: str
    absence: str | None = Field(description="why there is no value")
    phone: Value | None
    agrees: bool


class LeftOpen(BaseModel):
    """Something about the car that was not as it should be at the end."""

    variable: str
    title: str
    found: str
    expected: list[str]


class Disputed(BaseModel):
    """Something on which two phones differed, neither having seen the other."""

    name: str
    title: str
    values: list[str]


class OdometerCorrected(BaseModel):
    """What was read wrongly when the visit began; `odometer_m` of the record is the last of these."""

    value_m: float
    typed: str
    unit: str
    because: str
    at: str
    by: str | None


class FluidRecord(BaseModel):
    """One fluid of the visit: what it must carry, what was on the pack, how much came out and went in."""

    circuit: str
    title: str
    fluid: str
    approval: str
    grade: str
    product: str | None
    batch: str | None
    label: str | None = Field(description="the photo of the label, by its SHA-256")
    noted_at: str | None = Field(description="when somebody last noted what was on the pack")
    noted_by: str | None
    out_shown: str
    in_shown: str
    renewed: bool


class UsedFluid(BaseModel):
    """Where used fluid was handed in."""

    stream: str
    value_m3: float | None
    shown: str
    place: str
    receipt: str | None = Field(description="the photo of the receipt, by its SHA-256")
    at: str
    by: str | None


class RecheckRecord(BaseModel):
    """Something to look at after the visit."""

    id: str
    title: str
    says: str
    done_at: str | None
    finding: str | None
    note: str | None
    by: str | None


class ChargeRecord(BaseModel):
    what: str
    amount: float
    unit: str
    price: float = Field(description="of one")
    total: float
    currency: str


class Acknowledged(BaseModel):
    """A customer has seen this record."""

    name: str
    note: str | None
    signature: str | None = Field(description="as it was drawn: SVG path data in a box of 1000 by 400")
    at: str


class Record(BaseModel):
    """One closed visit."""

    format: Literal[1] = 1
    visit: str
    car: CarName
    vin: str
    odometer_m: float
    odometer_shown: str
    odometer_corrections: list[OdometerCorrected]
    opened_at: str
    opened_by: str
    closed_at: str
    closed_by: str
    catalog: str
    jobs: list[JobName]
    fluids: list[FluidRecord]
    facts: list[KnownFact]
    steps: list[StepRecord]
    overrides: list[OverrideRecord]
    closings: list[ClosedUp]
    figures: list[FigureRecord]
    disagreements: list[str] = Field(description="names of the figures that do not agree")
    left_open: list[LeftOpen]
    rechecks: list[RecheckRecord]
    used_fluids: list[UsedFluid]
    charges: list[ChargeRecord]
    acknowledged: list[Acknowledged]
    disputed: list[Disputed]
    undone_count: int
    unread_count: int = Field(description="entries this version cannot read; they are kept")


class VehicleRecord(BaseModel):
    """Every closed visit of one car, oldest first."""

    format: Literal[1] = 1
    car: CarName
    visits: list[Record]
