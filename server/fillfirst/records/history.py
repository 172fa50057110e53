"""What entries tell of a car over the years: services, meters, policies; and what follows a closed visit.

A visit that renewed a fluid says so itself; what was done elsewhere is an entry of the car. Both are read
here, beside the folds of visit and car, which pass these entries over. `webui/core/history.js` is the same in
the other language; tests/agreement/due.json drives both.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypedDict, cast

from fillfirst.formulas import evaluate_figure
from fillfirst.specs.linked import Amount, Fixed, Specs
from fillfirst.visits.events import Event, in_order, read_event
from fillfirst.visits.frontier import find_undone
from fillfirst.visits.people import find_person
from fillfirst.visits.shapes import Composition, Visit

POLICIES = ("strictest", "maker", "severe", "own")
#: The key of a policy that is for all services.
ALL = ""


class MeterReading(TypedDict):
    """What a meter showed on a day: metres, or seconds; `visit` where it was read for one."""

    date: str
    value: float
    visit: str | None


class ServiceDone(TypedDict):
    """A service that was done; `reference` says what shows it, where no visit does."""

    job: str
    date: str
    odometer_m: float | None
    hours_s: float | None
    visit: str | None
    reference: str


class Recheck(TypedDict):
    """Something to look at after a visit, and whether somebody has. `id` is "job/recheck"."""

    id: str
    visit: str
    date: str
    odometer_m: float | None
    distance: float | None
    time: float | None
    is_done: bool


class CarHistory(TypedDict):
    services: list[ServiceDone]
    odometers: list[MeterReading]
    hours: list[MeterReading]
    policies: dict[str, str]


class Mark(TypedDict):
    """Which entry, when, and who made it; `by` is null while its device named nobody."""

    event: str
    at: str
    device: str
    by: str | None


class FluidNoted(Mark):
    product: str | None
    batch: str | None
    label: str | None


class UsedFluid(Mark):
    stream: str
    value: float | None
    typed: str | None
    unit: str | None
    place: str
    receipt: str | None


class Correction(Mark):
    value: float
    typed: str
    unit: str
    because: str


class RecheckDone(Mark):
    finding: str | None
    note: str | None


class Charge(Mark):
    what: str
    amount: float
    unit: str
    price: float
    currency: str


class Acknowledged(Mark):
    name: str
    note: str | None
    signature: str | None


class Afterwards(TypedDict):
    """What was added to a visit beside its steps; fluids by circuit, re-checks by "job/recheck"."""

    corrections: list[Correction]
    fluids: dict[str, FluidNoted]
    used_fluids: list[UsedFluid]
    rechecks: dict[str, RecheckDone]
    charges: list[Charge]
    acknowledged: list[Acknowledged]


class VisitTells(TypedDict):
    services: list[ServiceDone]
    odometers: list[MeterReading]
    rechecks: list[Recheck]


def fold_history(events: Iterable[Event]) -> CarHistory:
    """What the entries of one car say of its past.

    Raises EventError when an entry has a bad body, or one id names two different entries.
    """
    history: CarHistory = {"services": [], "odometers": [], "hours": [], "policies": {}}
    for event in _standing(in_order(read_event(event) for event in events)):
        payload, date = event.payload, event.wall[:10]
        if event.kind == "odometer-read":
            history["odometers"].append({"date": date, "value": payload["value"], "visit": None})
        elif event.kind == "hours-read":
            history["hours"].append({"date": date, "value": payload["value"], "visit": None})
        elif event.kind == "policy-chosen" and payload["policy"] in POLICIES:
            history["policies"][payload.get("job") or ALL] = payload["policy"]
        elif event.kind == "service-noted":
            _note_service(history, payload)
    return history


def _note_service(history: CarHistory, payload: dict[str, Any]) -> None:
    odometer, hours, date = payload.get("odometer_m"), payload.get("hours_s"), payload["date"]
    history["services"].append(
        {
            "job": payload["job"],
            "date": date,
            "odometer_m": odometer,
            "hours_s": hours,
            "visit": None,
            "reference": payload["source"]["reference"],
        }
    )
    if odometer is not None:
        history["odometers"].append({"date": date, "value": odometer, "visit": None})
    if hours is not None:
        history["hours"].append({"date": date, "value": hours, "visit": None})


_LISTED = {
    "odometer-corrected": ("corrections", ("value", "typed", "unit", "because")),
    "used-fluid-taken": ("used_fluids", ("stream", "value", "typed", "unit", "place", "receipt")),
    "charge-noted": ("charges", ("what", "amount", "unit", "price", "currency")),
    "acknowledged": ("acknowledged", ("name", "note", "signature")),
}


def fold_afterwards(events: Iterable[Event]) -> Afterwards:
    """What the entries of one visit say beside its steps. Raises EventError, as fold does."""
    lists: dict[str, list[dict[str, Any]]] = {key: [] for key, _ in _LISTED.values()}
    fluids: dict[str, dict[str, Any]] = {}
    rechecks: dict[str, dict[str, Any]] = {}
    log = in_order(read_event(event) for event in events)
    for event in _standing(log):
        mark = _mark(log, event)
        if event.kind in _LISTED:
            key, names = _LISTED[event.kind]
            lists[key].append({**_pick(event, *names), **mark})
        elif event.kind == "fluid-noted":
            # What one entry leaves out, an earlier one may have said.
            before, circuit = fluids.get(event.payload["circuit"], {}), event.payload["circuit"]
            told = _pick(event, "product", "batch", "label")
            fluids[circuit] = {**{key: told[key] or before.get(key) for key in told}, **mark}
        elif event.kind == "recheck-done":
            rechecks[event.payload["recheck"]] = {**_pick(event, "finding", "note"), **mark}
    return cast("Afterwards", {**lists, "fluids": fluids, "rechecks": rechecks})


def read_visit(specs: Specs, composition: Composition, visit: Visit, after: Afterwards) -> VisitTells:
    """What one visit tells of its car: only a closed one tells of services, any of the odometer."""
    opened = visit["opened"]
    if opened is None:
        return {"services": [], "odometers": [], "rechecks": []}
    id = opened.subject
    odometer = after["corrections"][-1]["value"] if after["corrections"] else opened.payload["odometer_m"]
    odometers: list[MeterReading] = [{"date": opened.wall[:10], "value": odometer, "visit": id}]
    if visit["closed"] is None:
        return {"services": [], "odometers": odometers, "rechecks": []}
    services: list[ServiceDone] = [
        {
            "job": job,
            "date": _last_day(composition, visit, f"{job}/") or visit["closed"].wall[:10],
            "odometer_m": odometer,
            "hours_s": None,
            "visit": id,
            "reference": "",
        }
        for job in composition["jobs"]
        if is_renewed(specs, composition, visit, job)
    ]
    rechecks = _find_rechecks(specs, composition, visit, after, odometer)
    return {"services": services, "odometers": odometers, "rechecks": rechecks}


def is_renewed(specs: Specs, composition: Composition, visit: Visit, job: str) -> bool:
    """Whether every circuit that the job renews, and this car has, ended with new fluid."""
    circuits = [each for each in specs.jobs[job].renews if each in composition["variables"]]
    return bool(circuits) and all(visit["variables"].get(f"{each}.fluid") == "new" for each in circuits)


def _find_rechecks(
    specs: Specs, composition: Composition, visit: Visit, after: Afterwards, odometer: float
) -> list[Recheck]:
    found: list[Recheck] = []
    for job, each in ((job, each) for job, told in specs.jobs.items() for each in told.rechecks):
        date = _last_day(composition, visit, each.step)
        if date is None or visit["opened"] is None:
            continue
        found.append(
            {
                "id": f"{job}/{each.id}",
                "visit": visit["opened"].subject,
                "date": date,
                "odometer_m": odometer,
                "distance": _amount(specs, visit, each.distance),
                "time": _amount(specs, visit, each.time),
                "is_done": f"{job}/{each.id}" in after["rechecks"],
            }
        )
    return found


def _last_day(composition: Composition, visit: Visit, step: str) -> str | None:
    """The last day on which this step was done, or where it ends in a slash, any step of the job."""
    done = [
        status["at"][:10]
        for instance in composition["steps"]
        if (instance["step"] == step or (step.endswith("/") and instance["step"].startswith(step)))
        and (status := visit["steps"].get(instance["id"])) is not None
        and status["status"] == "done"
    ]
    return max(done, default=None)


def _amount(specs: Specs, visit: Visit, amount: Amount | None) -> float | None:
    if amount is None:
        return None
    if isinstance(amount, Fixed):
        value: object = amount.value
    elif amount.name in specs.figures:
        value = evaluate_figure(specs, amount.name, visit["values"]).get("value")
    else:
        value = visit["values"].get(amount.name)
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def _standing(log: Iterable[Event]) -> list[Event]:
    """Known entries of a log in clock order that were not taken back."""
    known = [event for event in log if event.is_known]
    undone = find_undone(known)
    return [event for event in known if event.id not in undone]


def _pick(event: Event, *names: str) -> dict[str, Any]:
    return {name: event.payload.get(name) for name in names}


def _mark(log: Iterable[Event], event: Event) -> Mark:
    by = find_person(log, event.device, event.payload.get("by"))
    return {"event": event.id, "at": event.wall, "device": event.device, "by": by}
