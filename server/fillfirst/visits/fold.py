"""What the entries of a visit say: the state of the car, what is done, and what was measured.

The order of arrival does not matter and neither do copies: entries are taken in clock order. Where two
phones contradict each other and neither had seen the other, the less safe state stands until someone
confirms. `webui/core/fold.js` is the same in the other language; tests/agreement drives both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from fillfirst.specs.linked import Specs, Step
from fillfirst.visits.closings import is_closing, settle_closings
from fillfirst.visits.compose import back_target, effects, starting_variables, step_of
from fillfirst.visits.events import Event, in_order, read_event
from fillfirst.visits.frontier import Frontiers, Write, find_undone, write
from fillfirst.visits.given import settle_given
from fillfirst.visits.kinds import READ_APART
from fillfirst.visits.shapes import Composition, Instance, StepStatus, Visit


@dataclass(frozen=True)
class Place:
    """Where in the visit an entry belongs."""

    instance: Instance
    step: Step
    index: int


def fold(specs: Specs, composition: Composition, events: Iterable[Event]) -> Visit:
    """Say what these entries of one visit amount to.

    Raises EventError when an entry has a bad body, or one id names two different entries.
    """
    return _Folding(specs, composition, in_order(read_event(event) for event in events)).visit


class _Folding:
    """One fold: what stands so far, and for everything written by whom it was not yet seen."""

    def __init__(self, specs: Specs, composition: Composition, log: list[Event]) -> None:
        self.specs = specs
        self.composition = composition
        self.places = {
            instance["id"]: Place(instance, step_of(specs, instance), index)
            for index, instance in enumerate([*composition["steps"], *composition["standby"]])
        }
        self.states: Frontiers[str] = {}
        self.statuses: Frontiers[StepStatus | None] = {}
        self.stands: dict[str, Frontiers[float | None]] = {}
        known = [event for event in log if event.is_known]
        undone = find_undone(known)
        given, disputed = settle_given(known, undone)
        self.visit: Visit = {
            "variables": starting_variables(specs, composition),
            "steps": {},
            "readings": {},
            "values": dict(composition["facts"]),
            "timers": {},
            "photos": {},
            "overrides": [],
            "found": {},
            "contradictions": [],
            "disputed_readings": [],
            "given": given,
            "disputed_facts": disputed,
            **settle_closings(known, undone),
            "next": None,
            "opened": None,
            "closed": None,
            "undone": [event.id for event in log if event.id in undone],
            "unknown": len(log) - len(known),
        }
        for event in known:
            if event.id not in undone:
                self._take(event)
        self._settle()

    def _take(self, event: Event) -> None:
        visit, payload = self.visit, event.payload
        place = self.places.get(payload.get("step", payload.get("from", "")))
        if event.kind == "visit-opened":
            visit["opened"] = visit["opened"] or event
        elif event.kind == "visit-closed":
            visit["closed"] = event
        elif event.kind == "state-confirmed" and self._can_be(payload["variable"], payload["value"]):
            self._write_states({payload["variable"]: payload["value"]}, event)
        elif place is not None and event.kind in _AT_STEP:
            _AT_STEP[event.kind](self, event, place)
        elif event.kind not in ("undone", "fact-given", *READ_APART) and not is_closing(event):
            # A step this visit does not have, as after a correction of its facts: counted, not believed.
            visit["unknown"] += 1

    def _write_states(self, writes: Mapping[str, str], event: Event) -> None:
        for id, value in writes.items():
            write(self.states, id, value, event)
            values = self.specs.variables[self.composition["variables"][id]].values
            self.visit["variables"][id] = max((each.value for each in self.states[id]), key=values.index)

    def _can_be(self, id: str, value: str) -> bool:
        base = self.composition["variables"].get(id)
        return base is not None and value in self.specs.variables[base].values

    def _take_done(self, event: Event, place: Place) -> None:
        write(self.statuses, place.instance["id"], _status_of("done", event), event)
        # A bad finding is an answer, not a success: the step made nothing true.
        if _is_good(place.step, event.payload.get("finding")):
            variables = self.visit["variables"]
            self._write_states(effects(self.specs, self.composition, variables, place.instance), event)

    def _take_skipped(self, event: Event, place: Place) -> None:
        write(self.statuses, place.instance["id"], _status_of("skipped", event), event)

    def _take_reading(self, event: Event, place: Place) -> None:
        name, step = event.payload["reading"], place.instance["id"]
        if name not in place.step.readings:
            self.visit["unknown"] += 1
            return
        self.visit["readings"].setdefault(name, []).append(
            {
                "value": event.payload["value"],
                "typed": event.payload["typed"],
                "unit": event.payload["unit"],
                "step": step,
                "event": event.id,
                "at": event.wall,
                "device": event.device,
            }
        )
        write(self.stands.setdefault(name, {}), step, event.payload["value"], event)

    def _take_timer(self, event: Event, place: Place) -> None:
        self.visit["timers"][place.instance["id"]] = {
            "started_ms": event.payload["started_ms"],
            "least_s": event.payload.get("least_s"),
            "most_s": event.payload.get("most_s"),
            "position": event.payload.get("position"),
            "event": event.id,
            "device": event.device,
        }

    def _take_override(self, event: Event, place: Place) -> None:
        self.visit["overrides"].append(
            {
                "step": place.instance["id"],
                "stops": event.payload["stops"],
                "reason": event.payload["reason"],
                "event": event.id,
                "at": event.wall,
                "device": event.device,
            }
        )

    def _take_photo(self, event: Event, place: Place) -> None:
        photos = self.visit["photos"].setdefault(place.instance["id"], [])
        if event.payload["sha256"] not in photos:
            photos.append(event.payload["sha256"])

    def _take_back(self, event: Event, place: Place) -> None:
        """Clear what lies between, as nobody knows any longer that it holds."""
        to = self.places.get(event.payload["to"])
        if to is None:
            target = back_target(self.specs, self.composition, place.instance)
            to = self.places[target["id"]] if target is not None else place
        for cleared in self.composition["steps"][to.index : place.index + 1]:
            write(self.statuses, cleared["id"], None, event)
            self.visit["timers"].pop(cleared["id"], None)
            for reading in step_of(self.specs, cleared).readings:
                write(self.stands.setdefault(reading, {}), cleared["id"], None, event)
        if isinstance(event.payload.get("finding"), str):
            self.visit["found"].setdefault(place.instance["id"], []).append(event.payload["finding"])
        if place.step.back is not None:
            variables, makes = self.visit["variables"], place.step.back.makes
            self._write_states(effects(self.specs, self.composition, variables, place.instance, makes), event)

    def _settle(self) -> None:
        visit = self.visit
        for id, statuses in self.statuses.items():
            status = _least_certain(self.places[id].step, statuses)
            if status is not None:
                visit["steps"][id] = status
        for id, states in self.states.items():
            values = [each.value for each in states]
            if len(set(values)) > 1:
                ids = [each.event.id for each in states]
                visit["contradictions"].append({"variable": id, "values": values, "events": ids})
        for name, by_step in self.stands.items():
            self._settle_reading(name, by_step)
        remaining = (each["id"] for each in self.composition["steps"] if each["id"] not in visit["steps"])
        visit["next"] = next(remaining, None)

    def _settle_reading(self, name: str, by_step: Frontiers[float | None]) -> None:
        """Give a reading the value that formulas use: the last of every step, then across steps.

        Two that are unseen by each other and differ are disputed: no value until someone measures again.
        """
        standing: list[tuple[float, Event]] = []
        is_disputed = False
        for instance in self.composition["steps"]:
            frontier = by_step.get(instance["id"], [])
            values = [each.value for each in frontier if each.value is not None]
            if not frontier or len(values) < len(frontier):
                continue
            if len(set(values)) > 1:
                ids = [each.event.id for each in frontier]
                self.visit["disputed_readings"].append({"name": name, "step": instance["id"], "events": ids})
                is_disputed = True
            standing.append((values[-1], frontier[-1].event))
        if not is_disputed and standing:
            self.visit["values"][name] = _across(self.specs.readings[name].across, standing)


_AT_STEP: dict[str, Callable[[_Folding, Event, Place], None]] = {
    "step-done": _Folding._take_done,
    "step-skipped": _Folding._take_skipped,
    "reading-taken": _Folding._take_reading,
    "timer-started": _Folding._take_timer,
    "stop-overridden": _Folding._take_override,
    "photo-taken": _Folding._take_photo,
    "went-back": _Folding._take_back,
}


def _status_of(status: Literal["done", "skipped"], event: Event) -> StepStatus:
    payload = event.payload
    return {
        "status": status,
        "event": event.id,
        "at": event.wall,
        "device": event.device,
        "by": payload.get("by"),
        "finding": payload.get("finding"),
        "note": payload.get("note"),
        "reason": payload.get("reason"),
    }


def _is_good(step: Step, finding: str | None) -> bool:
    return next((each.good for each in step.findings if each.id == finding), True)


def _least_certain(step: Step, frontier: list[Write[StepStatus | None]]) -> StepStatus | None:
    """Of statuses unseen by each other the one that leaves most to do; of equal ones the latest."""

    def rank(status: StepStatus | None) -> int:
        if status is None:
            return 3
        if not _is_good(step, status["finding"]):
            return 2
        return 1 if status["status"] == "done" else 0

    return max(reversed([each.value for each in frontier]), key=rank)


def _across(how: str, standing: list[tuple[float, Event]]) -> float:
    values = [value for value, _ in standing]
    if how == "sum":
        return sum(values)
    if how in ("min", "max"):
        return min(values) if how == "min" else max(values)
    latest = in_order(event for _, event in standing)[-1]
    return next(value for value, event in standing if event == latest)
