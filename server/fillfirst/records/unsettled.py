"""What a visit ended with and should not have: things left open, and what two phones tell differently."""

from __future__ import annotations

from fillfirst.records.closed_visit import ClosedVisit
from fillfirst.records.record import Disputed, LeftOpen
from fillfirst.records.told import as_told
from fillfirst.records.words import show_state, title_variable
from fillfirst.visits.gate import unfinished


def list_left_open(closed: ClosedVisit) -> list[LeftOpen]:
    specs = closed.specs
    return [
        LeftOpen(
            variable=one["variable"],
            title=title_variable(specs, one["variable"]),
            found=show_state(specs, one["variable"], one["found"]),
            expected=[show_state(specs, one["variable"], value) for value in one["expected"]],
        )
        for one in unfinished(specs, closed.composition, closed.visit["variables"])
    ]


def list_disputed(closed: ClosedVisit) -> list[Disputed]:
    """States of the car, readings and facts, in this order."""
    return [*_list_states(closed), *_list_readings(closed), *_list_facts(closed)]


def _list_states(closed: ClosedVisit) -> list[Disputed]:
    return [
        Disputed(
            name=one["variable"],
            title=title_variable(closed.specs, one["variable"]),
            values=[show_state(closed.specs, one["variable"], value) for value in one["values"]],
        )
        for one in closed.visit["contradictions"]
    ]


def _list_readings(closed: ClosedVisit) -> list[Disputed]:
    return [
        Disputed(
            name=one["name"],
            title=closed.specs.readings[one["name"]].label,
            values=[
                f"{taken['typed']} {taken['unit']}"
                for taken in closed.visit["readings"][one["name"]]
                if taken["event"] in one["events"]
            ],
        )
        for one in closed.visit["disputed_readings"]
    ]


def _list_facts(closed: ClosedVisit) -> list[Disputed]:
    facts = closed.specs.facts
    return [
        Disputed(
            name=one["fact"],
            title=facts[one["fact"]].title if one["fact"] in facts else one["fact"],
            values=[
                str(as_told(event.payload)["shown"] or event.payload["value"])
                for event in closed.log
                if event.id in one["events"]
            ],
        )
        for one in closed.visit["disputed_facts"]
    ]
