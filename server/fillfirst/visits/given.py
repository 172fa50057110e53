"""Numbers that were missing when a visit began and were given at the step that needed them.

They hold for this visit: it is composed anew with them. Two that phones gave unseen by each other, and that
differ, are both kept and neither is believed until one is given again. `webui/core/fold.js` has the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from fillfirst.specs.linked import Value
from fillfirst.visits.events import Event, in_order, read_event
from fillfirst.visits.frontier import Frontiers, find_undone, write
from fillfirst.visits.shapes import DisputedFact, GivenFact


def given_facts(events: Iterable[Event]) -> tuple[dict[str, GivenFact], list[DisputedFact]]:
    """What was given during a visit and stands, and what is disputed."""
    known = [event for event in in_order(read_event(event) for event in events) if event.is_known]
    return settle_given(known, find_undone(known))


def settle_given(known: list[Event], undone: set[str]) -> tuple[dict[str, GivenFact], list[DisputedFact]]:
    """The same for entries in clock order of which it is known what was taken back."""
    frontiers: Frontiers[GivenFact] = {}
    for event in known:
        if event.kind == "fact-given" and event.id not in undone:
            write(frontiers, event.payload["fact"], _read(event), event)
    given: dict[str, GivenFact] = {}
    disputed: list[DisputedFact] = []
    for name, frontier in frontiers.items():
        first = frontier[0].value["value"]
        if all(is_same_value(each.value["value"], first) for each in frontier):
            given[name] = frontier[-1].value
        else:
            disputed.append({"fact": name, "events": [each.event.id for each in frontier]})
    return given, disputed


def facts_in_force(
    opening: Mapping[str, Any], given: Mapping[str, GivenFact], disputed: Iterable[DisputedFact]
) -> dict[str, Value | None]:
    """What a visit is composed with: the car as it was known, settings, and what was given since."""
    values = {name: fact.get("value") for name, fact in opening["facts"].items()} | opening["settings"]
    doubtful = {each["fact"] for each in disputed}
    values = {name: value for name, value in values.items() if name not in doubtful}
    return values | {name: fact["value"] for name, fact in given.items()}


def is_same_value(one: object, other: object) -> bool:
    """Whether two values are one; yes is not 1."""
    return one == other and isinstance(one, bool) == isinstance(other, bool)


def _read(event: Event) -> GivenFact:
    payload = event.payload
    return {
        "value": payload["value"],
        "typed": payload.get("typed"),
        "unit": payload.get("unit"),
        "source": payload["source"],
        "doubt": payload.get("doubt"),
        "step": payload.get("step"),
        "event": event.id,
        "at": event.wall,
        "device": event.device,
        "by": payload.get("by"),
    }
