"""Events of a closed visit → its record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fillfirst.records.beside import (
    list_acknowledged,
    list_charges,
    list_corrections,
    list_fluids,
    list_rechecks,
    list_used_fluids,
)
from fillfirst.records.closed_visit import ClosedVisit
from fillfirst.records.figures import compare_figures
from fillfirst.records.history import fold_afterwards
from fillfirst.records.record import CarName, ClosedUp, JobName, Record
from fillfirst.records.steps import list_overrides, list_steps
from fillfirst.records.told import list_facts
from fillfirst.records.unsettled import list_disputed, list_left_open
from fillfirst.records.words import show_quantity
from fillfirst.specs.linked import Specs
from fillfirst.visits.compose import compose
from fillfirst.visits.events import Event, in_order
from fillfirst.visits.fold import fold
from fillfirst.visits.given import facts_in_force, given_facts
from fillfirst.visits.shapes import ClosingUp


def find_opening(events: Sequence[Event]) -> Event | None:
    """What the visit began with: the earliest such entry in clock order."""
    openings = [event for event in events if event.kind == "visit-opened" and event.is_known]
    return min(openings, key=lambda e: (e.hlc.ms, e.hlc.c, e.device, e.n), default=None)


def read_car(opening: Mapping[str, Any]) -> CarName:
    """The car as the visit names it."""
    car = opening["car"]
    return CarName(
        id=str(car.get("id", "")), title=str(car.get("title", "")), plate=str(car.get("plate", ""))
    )


def write_record(
    specs: Specs, events: Sequence[Event], *, vin: str = "", unread_count: int = 0
) -> Record | None:
    """The record of a visit that was opened with this catalog; None while it is not closed.

    `vin` is told where the visit itself does not say it.

    Raises VisitError if the visit's jobs are not in the catalog, EventError if one id names two entries.
    """
    opened = find_opening(events)
    if opened is None:
        return None
    facts = facts_in_force(opened.payload, *given_facts(events))
    composition = compose(specs, opened.payload["jobs"], facts)
    visit = fold(specs, composition, events)
    closed = visit["closed"]
    if closed is None:
        return None
    after = fold_afterwards(events)
    return _write(
        ClosedVisit(specs, composition, visit, after, opened, closed, in_order(events)), vin, unread_count
    )


def _write(closed: ClosedVisit, vin: str, unread_count: int) -> Record:
    specs, composition, visit, after = closed.specs, closed.composition, closed.visit, closed.after
    opening, closing = closed.opened.payload, closed.closed.payload
    corrections = list_corrections(after)
    odometer = corrections[-1].value_m if corrections else opening["odometer_m"]
    present = {step["step"].partition("/")[0] for step in composition["steps"]}
    figures = compare_figures(specs, present | set(opening["jobs"]), visit["values"], closing["figures"])
    return Record(
        visit=closed.opened.subject,
        car=read_car(opening),
        vin=str(opening["car"].get("vin", "")) or vin,
        odometer_m=odometer,
        odometer_shown=show_quantity(specs, odometer, "km"),
        odometer_corrections=corrections,
        opened_at=closed.opened.wall,
        opened_by=opening["by"],
        closed_at=closed.closed.wall,
        closed_by=closing["by"],
        catalog=opening["catalog"],
        jobs=[JobName(id=id, title=specs.jobs[id].title) for id in opening["jobs"]],
        fluids=list_fluids(specs, composition, visit, after),
        facts=list_facts(closed),
        steps=list_steps(closed),
        overrides=list_overrides(closed),
        closings=[_write_closing(closed, one) for one in visit["closings"]],
        figures=figures,
        disagreements=[figure.name for figure in figures if not figure.agrees],
        left_open=list_left_open(closed),
        rechecks=list_rechecks(specs, composition, visit, after),
        used_fluids=list_used_fluids(specs, after),
        charges=list_charges(after),
        acknowledged=list_acknowledged(after),
        disputed=list_disputed(closed),
        undone_count=len(visit["undone"]),
        unread_count=unread_count + visit["unknown"],
    )


def _write_closing(closed: ClosedVisit, closing: ClosingUp) -> ClosedUp:
    again = closing["again"]
    return ClosedUp(
        aim=closing["aim"],
        at=closing["at"],
        by=closed.find_person(closing["device"], closing["by"]),
        by_device=closing["device"],
        again_at=again["at"] if again else None,
        again_by=closed.find_person(again["device"], again["by"]) if again else None,
        again_by_device=again["device"] if again else None,
    )
