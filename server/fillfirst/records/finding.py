"""Finds a visit's events and its catalog in the store, and has its record written."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from fillfirst.cars.fold import fold_car
from fillfirst.catalog import Catalog
from fillfirst.errors import EventError, FillfirstError, RequestError
from fillfirst.records.record import Record, VehicleRecord
from fillfirst.records.writing import find_opening, read_car, write_record
from fillfirst.specs.linked import Specs
from fillfirst.store.interface import Store, StoredEvent
from fillfirst.visits.events import Event, read_event

KEEP = "Nothing is lost: its entries are here and on the phones."


async def find_record(store: Store, visit: str) -> Record:
    """The record of one closed visit. Raises RequestError."""
    events, unread_count = read_events(await store.events.get_of_subject(visit))
    opened = find_opening(events)
    if opened is None:
        raise RequestError(
            404, "visit_not_known", "The server holds no such visit.", "Sync the phone it is on."
        )
    specs = await find_specs(store, opened)
    try:
        vin = await _find_vin(store, read_car(opened.payload).id)
        record = write_record(specs, events, vin=vin, unread_count=unread_count)
    except FillfirstError as error:
        raise RequestError(
            409, "visit_not_readable", f"This visit cannot be written out. {error}", KEEP
        ) from error
    if record is None:
        raise RequestError(
            409, "visit_not_closed", "This visit is still open.", "Close it on the phone, and sync."
        )
    return record


async def _find_vin(store: Store, car: str) -> str:
    """The number of a car that somebody typed in; nothing of a demo car."""
    events, _ = read_events(await store.events.get_of_subject(car))
    return fold_car(events)["vin"]


async def find_vehicle_record(store: Store, car: str) -> VehicleRecord:
    """The records of all closed visits of a car, oldest first; visits still open are left out.

    Raises RequestError.
    """
    openings, _ = read_events(await store.events.get_of_kind("visit-opened"))
    own = [event for event in openings if event.is_known and read_car(event.payload).id == car]
    if not own:
        raise RequestError(
            404, "car_not_known", "The server holds no visit of this car.", "Sync the phone it is on."
        )
    records = [
        record
        for visit in dict.fromkeys(event.subject for event in own)
        if (record := await _find_closed(store, visit)) is not None
    ]
    newest = max(own, key=lambda event: (event.hlc.ms, event.hlc.c))
    return VehicleRecord(car=read_car(newest.payload), visits=sorted(records, key=lambda one: one.opened_at))


async def _find_closed(store: Store, visit: str) -> Record | None:
    try:
        return await find_record(store, visit)
    except RequestError as error:
        if error.code == "visit_not_closed":
            return None
        raise


def read_events(stored: Iterable[StoredEvent]) -> tuple[list[Event], int]:
    """The events, and how many this version cannot read though it knows their kind."""
    events: list[Event] = []
    unread_count = 0
    for one in stored:
        try:
            events.append(read_event({**_mend(json.loads(one.text)), "seq": one.seq}))
        except EventError:
            unread_count += 1
    return events, unread_count


def _mend(value: Any) -> Any:
    """Put a mark in place of half a sign, which a phone's text field may cut off and no document can hold."""
    if isinstance(value, str):
        return value if value.isascii() else value.encode("utf-8", "replace").decode()
    if isinstance(value, list):
        return [_mend(inner) for inner in value]
    if isinstance(value, dict):
        return {_mend(key): _mend(inner) for key, inner in value.items()}
    return value


async def find_specs(store: Store, opened: Event) -> Specs:
    """The catalog the visit began with, whatever the current one is. Raises RequestError."""
    hash = str(opened.payload["catalog"])
    json = await store.catalogs.get(hash)
    if json is None:
        raise RequestError(
            409,
            "catalog_not_known",
            "This visit began with procedures that this server never served.",
            f"Ask the server that it began with. {KEEP}",
        )
    return read_catalog(hash, json)


@lru_cache(maxsize=4)
def read_catalog(hash: str, json: bytes) -> Specs:
    return Catalog.parse(json, hash)
