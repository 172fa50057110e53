"""What was told of the car when a visit began, and what was given or put right on the way."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fillfirst.records.closed_visit import ClosedVisit
from fillfirst.records.record import KnownFact, Provenance
from fillfirst.records.words import show_fact
from fillfirst.visits.events import is_before


def list_facts(closed: ClosedVisit) -> list[KnownFact]:
    """Facts that were given or assumed; what stands in for a part the car has not is no fact of it."""
    told = tell_facts(closed)
    given = told.keys() | closed.opened.payload["settings"].keys()
    facts = closed.specs.facts
    return [
        KnownFact(
            name=name,
            title=facts[name].title,
            value=value,
            shown=_show(closed, name, told.get(name, {})),
            source=read_source(told.get(name, {})),
        )
        for name, value in closed.composition["facts"].items()
        if name in given or value == facts[name].default
    ]


def tell_facts(closed: ClosedVisit) -> dict[str, Mapping[str, Any]]:
    """Every fact of the car as it was told, at the beginning or at the step that needed it."""
    given = {name: as_told(fact) for name, fact in closed.visit["given"].items()}
    return dict(closed.opened.payload["facts"]) | given


def tell_at(closed: ClosedVisit, name: str, done: str | None) -> Mapping[str, Any]:
    """A fact as whoever did a step knew it: a number corrected later does not change what was done.

    `done` is the entry that did the step; without one the fact is as it was told last.
    """
    at = closed.by_id.get(done or "")
    if at is None:
        return tell_facts(closed).get(name, {})
    told: Mapping[str, Any] = closed.opened.payload["facts"].get(name, {})
    for event in closed.log:
        is_given = event.kind == "fact-given" and event.id not in closed.visit["undone"]
        if is_given and event.payload["fact"] == name and is_before(event, at):
            told = as_told(event.payload)
    return told


def as_told(given: Mapping[str, Any]) -> dict[str, Any]:
    """What was given at a step, as the facts are told with which a visit begins."""
    typed, unit = given.get("typed"), given.get("unit")
    return {
        "value": given["value"],
        "shown": f"{typed} {unit}" if typed and unit else None,
        "source": given["source"],
    }


def read_source(told: Mapping[str, Any]) -> Provenance | None:
    source = told.get("source")
    if not isinstance(source, dict):
        return None
    return Provenance(kind=str(source.get("kind", "")), reference=str(source.get("reference", "")))


def _show(closed: ClosedVisit, name: str, told: Mapping[str, Any]) -> str:
    value = closed.composition["facts"][name]
    # What was written down is shown only where it is what holds.
    shown = told.get("shown") if told.get("value") == value else None
    return show_fact(closed.specs, name, value, shown if isinstance(shown, str) else None)
