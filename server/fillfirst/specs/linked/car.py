"""What on a car can be open, empty, used or running, and what must hold at every moment."""

from __future__ import annotations

from typing import Literal

from fillfirst.specs.linked.base import Linked, Names, Place, Tree

VariableKind = Literal["circuit", "fluid", "closure", "part", "condition"]


class Rule(Linked):
    """Something that holds at every moment; tags and circuits are already written out."""

    id: str
    title: str
    reason: str
    while_: dict[str, Names]
    must: dict[str, Names]
    when: Tree | None = None
    never: bool = False


class Variable(Linked):
    """Something about the car that steps change; `values` runs from the safest to the least safe.

    `rests` are those in which a car that cannot leave may be left standing, the best first; empty as `ends`.
    """

    title: str
    kind: VariableKind
    values: Names
    starts: str
    ends: Names
    rests: Names = ()
    when: Tree | None = None
    each: str | None = None
    place: Place | None = None
    circuit: str | None = None
    fluid: str | None = None
    torque: str | None = None
    one_time: Names = ()
    labels: dict[str, str] = {}
