"""The shapes of a visit: what compose and fold return, exactly as the phone has them in JSON."""

from __future__ import annotations

from typing import Literal, TypeAlias, TypedDict

from fillfirst.formulas import Outcome
from fillfirst.specs.linked import Value
from fillfirst.visits.events import Event


class Instance(TypedDict):
    """One step of a visit; a step with `each` gives one per item, counted from 0 in `index`."""

    id: str
    step: str
    item: str | None
    index: int
    of: int


class Composition(TypedDict):
    """What a visit consists of, whatever happens in it.

    `jobs` are the chosen ones that apply to this car, `variables` maps "wheel@front-left" to "wheel",
    `missing` names facts without which the visit cannot be told, `facts` are those that hold here, and
    `standby` are steps outside the order of the day, with which the car can be closed up as it is.
    """

    jobs: list[str]
    steps: list[Instance]
    variables: dict[str, str]
    missing: list[str]
    facts: dict[str, Value]
    standby: list[Instance]


class StepStatus(TypedDict):
    status: Literal["done", "skipped"]
    event: str
    at: str
    device: str
    by: str | None
    finding: str | None
    note: str | None
    reason: str | None


class Taken(TypedDict):
    """One reading as it was taken: the value in SI beside what was typed."""

    value: float
    typed: str
    unit: str
    step: str
    event: str
    at: str
    device: str


class Timer(TypedDict):
    started_ms: float
    least_s: float | None
    most_s: float | None
    position: str | None
    event: str
    device: str


class Override(TypedDict):
    step: str
    stops: list[str]
    reason: str
    event: str
    at: str
    device: str


# How a car is closed up before the end of its visit: to stand, empty perhaps; or full, to drive.
Aim: TypeAlias = Literal["to-stand", "to-drive"]


class Who(TypedDict):
    """An entry, with who made it and when."""

    event: str
    at: str
    device: str
    by: str | None


class ClosingUp(Who):
    """One time a car was closed up before the end: by which steps, and who took the visit up again."""

    aim: Aim
    steps: list[str]
    again: Who | None


class Closings(TypedDict):
    """Every time a car was closed up; `closing_up` is the one that goes on.

    `disputed_closing` are entries, unseen by each other, that say two things of it.
    """

    closings: list[ClosingUp]
    closing_up: ClosingUp | None
    disputed_closing: list[str]


class Contradiction(TypedDict):
    """Writes to one variable that had not seen each other; the least safe of `values` stands."""

    variable: str
    values: list[str]
    events: list[str]


class DisputedReading(TypedDict):
    name: str
    step: str
    events: list[str]


class GivenFact(TypedDict):
    """A number of the car that was given during the visit, with where it was found."""

    value: Value
    typed: str | None
    unit: str | None
    source: dict[str, str]
    doubt: str | None
    step: str | None
    event: str
    at: str
    device: str
    by: str | None


class DisputedFact(TypedDict):
    """Writes of one fact that had not seen each other and differ; it has no value."""

    fact: str
    events: list[str]


class Visit(Closings):
    """What the entries of a visit say; steps, timers, photos and findings that led back by instance id."""

    variables: dict[str, str]
    steps: dict[str, StepStatus]
    readings: dict[str, list[Taken]]
    values: dict[str, Value]
    timers: dict[str, Timer]
    photos: dict[str, list[str]]
    overrides: list[Override]
    found: dict[str, list[str]]
    contradictions: list[Contradiction]
    disputed_readings: list[DisputedReading]
    given: dict[str, GivenFact]
    disputed_facts: list[DisputedFact]
    next: str | None
    opened: Event | None
    closed: Event | None
    undone: list[str]
    unknown: int


class Stop(TypedDict):
    """Why a step may not be done now; `id` is the rule, or the variable that is needed."""

    kind: Literal["need", "rule"]
    id: str
    variable: str
    found: str
    expected: list[str]
    title: str
    reason: str
    never: bool
    cure: str | None


class Unfinished(TypedDict):
    variable: str
    found: str
    expected: list[str]
    title: str


class Judgement(TypedDict):
    """A judgement figure of a step; `holds` is None while it has no value."""

    figure: str
    outcome: Outcome
    holds: bool | None
    says: str | None
