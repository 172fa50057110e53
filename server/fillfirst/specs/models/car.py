"""What steps change: circuits with their closures and parts, the car's own, and the rules over them."""

from __future__ import annotations

from fillfirst.specs.models.base import Condition, OneOrMany, PlaceText, Written


class ClosureEntry(Written):
    title: str
    place: PlaceText | None = None
    when: Condition | None = None
    each: str | None = None
    one_time: list[str] = []
    rests: list[str] | None = None
    torque: str | None = None
    tags: list[str] = []


class PartEntry(Written):
    title: str
    when: Condition | None = None
    tags: list[str] = []


class ConditionEntry(Written):
    title: str
    values: list[str]
    starts: str
    ends: list[str] | None = None
    rests: list[str] | None = None
    labels: dict[str, str] = {}
    when: Condition | None = None
    tags: list[str] = []


class CarFile(Written):
    closures: dict[str, ClosureEntry] = {}
    parts: dict[str, PartEntry] = {}
    conditions: dict[str, ConditionEntry] = {}


class CircuitFile(CarFile):
    title: str
    fluid: str
    when: Condition | None = None
    place: PlaceText | None = None
    tags: list[str] = []


class RuleEntry(Written):
    title: str
    reason: str
    while_: dict[str, OneOrMany]
    must: dict[str, OneOrMany]
    when: Condition | None = None
    never: bool = False
    for_circuits_tagged: str | None = None
