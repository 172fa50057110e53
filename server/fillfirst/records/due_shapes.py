"""The shape of a due list: per car and service, the day range, whose word it is, and what was done before.

It imports nothing of the specs: the server's start, which describes its answers, should not wait for them.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field

Authority = Literal["maker", "component", "severe", "fluid", "own", "practice"]
Limit = Literal["distance", "time", "hours"]
State = Literal["unknown", "due", "maybe", "soon", "later"]


class Rate(BaseModel):
    """How far a car goes, in m/s, or how long its engine runs, in s/s; the interval is at 95 percent."""

    rate: float
    rate_from: float | None = Field(description="null with readings on two days only")
    rate_to: float | None


class Reading(BaseModel):
    date: str
    value: float


class DoubtfulReading(Reading):
    visit: str | None


class Days(BaseModel):
    """A day, and the first and last that it may be."""

    date: str | None
    date_from: str | None
    date_to: str | None = Field(description="null where no last day can be told")


class LimitDue(Days):
    """One limit of one authority; `at` is what the meter then shows, in metres or seconds."""

    by: Authority
    limit: Limit
    value: float
    fact: str | None
    counts: bool = Field(description="whether the owner's policy goes by it")
    at: float | None


class Done(BaseModel):
    date: str
    odometer_m: float | None
    hours_s: float | None
    visit: str | None
    reference: str


class ServiceDue(Days):
    job: str
    title: str
    policy: str
    state: State
    by: Authority | None
    limit: Limit | None
    last: Done | None
    history: list[Done] = Field(description="oldest first")
    limits: list[LimitDue]


class RecheckDue(Days):
    id: str
    title: str
    visit: str
    state: State
    at: float | None = Field(description="what the odometer then shows, in metres")


class Together(BaseModel):
    """Services that fall close together: as one visit they take so many seconds less."""

    jobs: list[str]
    date: str
    saves_s: float


class CarDue(BaseModel):
    car: str
    title: str
    plate: str
    odometer: Reading | None = Field(description="the newest reading that can be true")
    rate: Rate | None
    doubtful: list[DoubtfulReading] = Field(description="readings that run backwards")
    services: list[ServiceDue]
    rechecks: list[RecheckDue]
    together: list[Together]


class DueList(BaseModel):
    format: Literal[1] = 1
    today: str
    cars: list[CarDue]
