"""One service each: what it needs, buys and leaves, and when it is due again."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.linked.base import Amount, Citation, Fixed, Linked, Named, Names, Tree, Words


class Phase(Linked):
    id: str
    title: str


class Interval(Linked):
    distance: Amount | None = None
    time: Amount | None = None
    authority: str
    source: Citation


class Recheck(Linked):
    """Something to look at after the visit, once the step was done: so far on, or so long after."""

    id: str
    title: str
    says: str
    step: str
    distance: Amount | None = None
    time: Amount | None = None


class Supply(Linked):
    id: str
    title: str
    fluid: str | None = None
    approval: str | None = None
    grade: str | None = None
    quantity: Amount | None = None
    packs: list[Fixed] = []
    part: str | None = None
    number: str | None = None
    count: Amount | None = None
    when: Tree | None = None


class Tool(Linked):
    title: str
    size: Named | Words | None = None
    kept: Names = ()
    when: Tree | None = None


class Equipment(Linked):
    title: str
    why: str
    kept: Names = ()
    count: int = 1
    when: Tree | None = None


class Job(Linked):
    title: str
    summary: str
    order: float
    shared: bool = False
    when: Tree | None = None
    renews: Names = ()
    uses: dict[str, Tree] = {}
    risk: str = ""
    reserved: dict[str, Tree] = {}
    stream: str = ""
    home: Literal["fine", "with-equipment", "hand-over"] = "fine"
    intervals: list[Interval] = []
    rechecks: list[Recheck] = []
    supplies: list[Supply] = []
    tools: list[Tool] = []
    equipment: list[Equipment] = []
