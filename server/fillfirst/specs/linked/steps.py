"""The steps of a day, small and typed."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.linked.base import Amount, Linked, Names, Tree

StepKind = Literal["act", "measure", "tighten", "hold", "cycle", "watch", "inspect"]
Where = Literal["under", "beside", "bonnet", "cabin"]
Across = Literal["last", "sum", "min", "max"]


class Reading(Linked):
    step: str
    label: str
    unit: str
    from_: float
    to: float
    across: Across = "last"


class Hold(Linked):
    least: Amount | None = None
    most: Amount | None = None


class Window(Linked):
    reading: str
    from_: Amount
    to: Amount
    every_s: float


class Finding(Linked):
    id: str
    label: str
    good: bool
    says: str = ""


class Back(Linked):
    to: str
    says: str
    makes: dict[str, str] = {}


class Step(Linked):
    id: str
    job: str
    phase: str
    kind: StepKind
    title: str
    says: str
    does: str
    why: str = ""
    when: Tree | None = None
    each: str | None = None
    block: str | None = None
    where: Where | None = None
    needs: dict[str, Names] = {}
    makes: dict[str, str] = {}
    hazards: Names = ()
    photo: str | None = None
    work_s: float = 0.0
    wait_s: float = 0.0
    since: Names = ()
    people: int = 1
    meanwhile: bool = False
    serves: str | None = None
    torque: str | None = None
    shows: Names = ()
    readings: Names = ()
    judges: Names = ()
    hold: Hold | None = None
    positions: str | None = None
    window: Window | None = None
    findings: list[Finding] = []
    back: Back | None = None
    standby: bool = False
