"""Gathers what a due list is worked out from: every car the log knows of, with what was told of it."""

from __future__ import annotations

from collections.abc import Sequence

from fillfirst.cars.fold import fold_car
from fillfirst.errors import FillfirstError
from fillfirst.records.due import DueCar, list_due
from fillfirst.records.due_shapes import CarDue
from fillfirst.records.finding import find_specs, read_catalog, read_events
from fillfirst.records.history import fold_afterwards, fold_history, read_visit
from fillfirst.records.writing import read_car
from fillfirst.specs.linked import Specs, Value
from fillfirst.store.interface import Store
from fillfirst.visits.compose import compose
from fillfirst.visits.events import Event
from fillfirst.visits.fold import fold
from fillfirst.visits.given import facts_in_force, given_facts


async def find_due(store: Store, catalog: tuple[str, bytes], today: str, *, only: str = "") -> list[CarDue]:
    """The due list of every car, or of one, by the procedures of this catalog."""
    openings, _ = read_events(await store.events.get_of_kind("visit-opened"))
    added, _ = read_events(await store.events.get_of_kind("car-added"))
    visits: dict[str, list[Event]] = {event.subject: [] for event in added if event.is_known}
    for event in openings:
        if event.is_known:
            visits.setdefault(read_car(event.payload).id, []).append(event)
    wanted = [id for id in visits if only in ("", id)]
    if not wanted:
        return []
    specs = read_catalog(*catalog)
    cars = [await _gather(store, specs, id, visits[id]) for id in wanted]
    return sorted(
        (list_due(specs, car, today) for car in cars if car is not None), key=lambda each: each.title
    )


async def _gather(store: Store, specs: Specs, id: str, openings: Sequence[Event]) -> DueCar | None:
    """What is known of a car; nothing of one that was taken away again."""
    events, _ = read_events(await store.events.get_of_subject(id))
    own = fold_car(events)
    if own["added"] is None and any(event.kind == "car-added" for event in events):
        return None
    named = (
        read_car(max(openings, key=lambda event: (event.hlc.ms, event.hlc.c)).payload) if openings else None
    )
    facts: dict[str, Value | None] = {}
    if own["added"] is not None:
        facts = {name: fact["value"] for name, fact in own["facts"].items()}
    elif id in specs.vehicles:
        facts = {name: fact.value for name, fact in specs.vehicles[id].facts.items()}
    elif openings:
        told = openings[-1].payload["facts"]
        facts = {name: fact.get("value") for name, fact in told.items()}
    history = fold_history(events)
    car: DueCar = {
        "id": id,
        "title": own["title"] or (named.title if named else ""),
        "plate": own["plate"] or (named.plate if named else ""),
        "facts": facts,
        "policies": history["policies"],
        "odometers": history["odometers"],
        "hours": history["hours"],
        "services": history["services"],
        "rechecks": [],
    }
    for visit in dict.fromkeys(event.subject for event in openings):
        await _add_visit(store, car, visit)
    return car


async def _add_visit(store: Store, car: DueCar, id: str) -> None:
    """What one visit tells of the car; one that cannot be read tells nothing and holds up no other."""
    events, _ = read_events(await store.events.get_of_subject(id))
    opened = min(
        (event for event in events if event.kind == "visit-opened" and event.is_known),
        key=lambda event: (event.hlc.ms, event.hlc.c, event.device, event.n),
    )
    try:
        specs = await find_specs(store, opened)
        facts = facts_in_force(opened.payload, *given_facts(events))
        composition = compose(specs, opened.payload["jobs"], facts)
        told = read_visit(specs, composition, fold(specs, composition, events), fold_afterwards(events))
    except FillfirstError:
        return
    car["services"] += told["services"]
    car["odometers"] += told["odometers"]
    car["rechecks"] += told["rechecks"]
