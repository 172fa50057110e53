"""Events of a closed visit → its record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from fillfirst.records.beside import (
    list_acknowledged,
    list_charges,
    list_corrections,
    list_fluids,
    list_rechecks,
    list_used_fluids,
)
from fillfirst.records.figures import compare_figures
from fillfirst.records.history import Afterwards, fold_afterwards
from fillfirst.records.record import (
    CarName,
    ClosedUp,
    Disputed,
    FindingRecord,
    JobName,
    JudgementRecord,
    KnownFact,
    LeftOpen,
    OverrideRecord,
    PhotoTaken,
    Provenance,
    ReadingTaken,
    Record,
    StepRecord,
    StopNamed,
    TimerRecord,
    TorqueRecord,
)
from fillfirst.records.words import show_fact, show_quantity, show_state, title_step, title_variable
from fillfirst.specs.linked import Specs, Step, Value
from fillfirst.visits.compose import compose
from fillfirst.visits.events import Event, in_order, is_before
from fillfirst.visits.fold import fold
from fillfirst.visits.gate import ONE_TIME_RULE, judgements, unfinished
from fillfirst.visits.given import facts_in_force, given_facts
from fillfirst.visits.people import find_person
from fillfirst.visits.shapes import ClosingUp, Composition, Instance, Override, Visit


def find_opening(events: Sequence[Event]) -> Event | None:
    """What the visit began with: the earliest such entry in clock order."""
    openings = [event for event in events if event.kind == "visit-opened" and event.is_known]
    return min(openings, key=lambda e: (e.hlc.ms, e.hlc.c, e.device, e.n), default=None)


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
    return _Writing(specs, composition, visit, after, opened, closed, in_order(events)).write(
        vin, unread_count
    )


@dataclass(frozen=True)
class _Writing:
    """One record being written."""

    specs: Specs
    composition: Composition
    visit: Visit
    after: Afterwards
    opened: Event
    closed: Event
    log: Sequence[Event]

    def write(self, vin: str, unread_count: int) -> Record:
        specs, visit, opening, after = self.specs, self.visit, self.opened.payload, self.after
        corrections = list_corrections(after)
        odometer = corrections[-1].value_m if corrections else opening["odometer_m"]
        present = {step["step"].partition("/")[0] for step in self.composition["steps"]}
        figures = compare_figures(
            specs, present | set(opening["jobs"]), visit["values"], self.closed.payload["figures"]
        )
        return Record(
            visit=self.opened.subject,
            car=read_car(opening),
            vin=str(opening["car"].get("vin", "")) or vin,
            odometer_m=odometer,
            odometer_shown=show_quantity(specs, odometer, "km"),
            odometer_corrections=corrections,
            opened_at=self.opened.wall,
            opened_by=opening["by"],
            closed_at=self.closed.wall,
            closed_by=self.closed.payload["by"],
            catalog=opening["catalog"],
            jobs=[JobName(id=id, title=specs.jobs[id].title) for id in opening["jobs"]],
            fluids=list_fluids(specs, self.composition, visit, after),
            facts=self._list_facts(),
            steps=[self._write_step(instance) for instance in self.composition["steps"]],
            overrides=[self._write_override(override) for override in visit["overrides"]],
            closings=[self._write_closing(one) for one in visit["closings"]],
            figures=figures,
            disagreements=[figure.name for figure in figures if not figure.agrees],
            left_open=self._list_left_open(),
            rechecks=list_rechecks(specs, self.composition, visit, after),
            used_fluids=list_used_fluids(specs, after),
            charges=list_charges(after),
            acknowledged=list_acknowledged(after),
            disputed=self._list_disputed(),
            undone_count=len(visit["undone"]),
            unread_count=unread_count + visit["unknown"],
        )

    @cached_property
    def _instances(self) -> dict[str, Instance]:
        """A stop may be overruled at a step on standby too, as when the car is made safe."""
        steps = [*self.composition["steps"], *self.composition["standby"]]
        return {instance["id"]: instance for instance in steps}

    def _title(self, instance: Instance) -> str:
        return title_step(self.specs, instance, self.composition["facts"])

    @cached_property
    def _told(self) -> dict[str, Mapping[str, Any]]:
        """Every fact of the car as it was told, at the beginning or at the step that needed it."""
        given = {name: _as_told(fact) for name, fact in self.visit["given"].items()}
        return dict(self.opened.payload["facts"]) | given

    def _told_at(self, name: str, done: str | None) -> Mapping[str, Any]:
        """A fact as whoever did a step knew it: a number corrected later does not change what was done."""
        at = next((event for event in self.log if event.id == done), None)
        if at is None:
            return self._told.get(name, {})
        told: Mapping[str, Any] = self.opened.payload["facts"].get(name, {})
        for event in self.log:
            is_given = event.kind == "fact-given" and event.id not in self.visit["undone"]
            if is_given and event.payload["fact"] == name and is_before(event, at):
                told = _as_told(event.payload)
        return told

    def _list_facts(self) -> list[KnownFact]:
        return [
            KnownFact(
                name=name,
                title=self.specs.facts[name].title,
                value=value,
                shown=self._show_fact(name),
                source=self._find_source(name),
            )
            for name, value in self.composition["facts"].items()
            if self._is_told(name, value)
        ]

    def _is_told(self, name: str, value: Value) -> bool:
        """Whether a fact was given or assumed; what stands in for a part the car has not is no fact of it."""
        given = self._told.keys() | self.opened.payload["settings"].keys()
        return name in given or value == self.specs.facts[name].default

    def _show_fact(self, name: str) -> str:
        own = self._told.get(name, {})
        value = self.composition["facts"][name]
        # What was written down is shown only where it is what holds.
        shown = own.get("shown") if own.get("value") == value else None
        return show_fact(self.specs, name, value, shown if isinstance(shown, str) else None)

    def _find_source(self, name: str) -> Provenance | None:
        return _read_source(self._told.get(name, {}))

    def _write_step(self, instance: Instance) -> StepRecord:
        step = self.specs.steps_by_id[instance["step"]]
        status = self.visit["steps"].get(instance["id"])
        return StepRecord(
            id=instance["id"],
            item=instance["item"],
            job=step.job,
            phase=step.phase,
            kind=step.kind,
            title=self._title(instance),
            status=status["status"] if status else "open",
            at=status["at"] if status else None,
            by=self._find_person(status["device"], status["by"]) if status else None,
            by_device=status["device"] if status else None,
            finding=_find_finding(step, status["finding"]) if status and status["finding"] else None,
            found=[_find_finding(step, id) for id in self.visit["found"].get(instance["id"], [])],
            reason=status["reason"] if status else None,
            note=status["note"] if status else None,
            torque=self._write_torque(step, status["event"] if status else None),
            readings=self._list_readings(step, instance),
            judgements=self._list_judgements(step) if status and status["status"] == "done" else [],
            photos=self.visit["photos"].get(instance["id"], []),
            photos_taken=self._list_photos(instance["id"]),
            timer=self._write_timer(instance["id"]),
        )

    def _find_person(self, device: str, by: str | None) -> str | None:
        return find_person(self.log, device, by)

    def _find_maker(self, id: str) -> str | None:
        """Who made the entry of this id."""
        event = self._by_id[id]
        return find_person(self.log, event.device, event.payload.get("by"))

    @cached_property
    def _by_id(self) -> dict[str, Event]:
        return {event.id: event for event in self.log}

    def _list_photos(self, instance: str) -> list[PhotoTaken]:
        """Each photo once, as it was first taken."""
        taken: dict[str, Event] = {}
        for event in self.log:
            is_here = event.kind == "photo-taken" and event.is_known and event.payload["step"] == instance
            if is_here and event.id not in self.visit["undone"]:
                taken.setdefault(event.payload["sha256"], event)
        return [
            PhotoTaken(sha256=sha256, at=event.wall, by=self._find_maker(event.id), by_device=event.device)
            for sha256, event in taken.items()
        ]

    def _write_timer(self, instance: str) -> TimerRecord | None:
        timer = self.visit["timers"].get(instance)
        if timer is None:
            return None
        return TimerRecord(
            started_at_ms=timer["started_ms"],
            least_s=timer["least_s"],
            most_s=timer["most_s"],
            corrected=self._by_id[timer["event"]].payload.get("corrects") is not None,
            by=self._find_maker(timer["event"]),
            by_device=timer["device"],
        )

    def _write_closing(self, closing: ClosingUp) -> ClosedUp:
        again = closing["again"]
        return ClosedUp(
            aim=closing["aim"],
            at=closing["at"],
            by=self._find_person(closing["device"], closing["by"]),
            by_device=closing["device"],
            again_at=again["at"] if again else None,
            again_by=self._find_person(again["device"], again["by"]) if again else None,
            again_by_device=again["device"] if again else None,
        )

    def _write_torque(self, step: Step, done: str | None) -> TorqueRecord | None:
        if step.torque is None:
            return None
        told = self._told_at(step.torque, done)
        value = told.get("value", self.composition["facts"].get(step.torque))
        is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
        shown = told.get("shown")
        return TorqueRecord(
            fact=step.torque,
            value=float(value) if is_number else None,
            shown=show_fact(self.specs, step.torque, value, shown if isinstance(shown, str) else None)
            if value is not None
            else "",
            source=_read_source(told),
        )

    def _list_readings(self, step: Step, instance: Instance) -> list[ReadingTaken]:
        return [
            ReadingTaken(
                name=name,
                label=self.specs.readings[name].label,
                value=taken["value"],
                typed=taken["typed"],
                unit=taken["unit"],
                at=taken["at"],
                by=self._find_maker(taken["event"]),
                by_device=taken["device"],
            )
            for name in step.readings
            for taken in self.visit["readings"].get(name, [])
            if taken["step"] == instance["id"]
        ]

    def _list_judgements(self, step: Step) -> list[JudgementRecord]:
        return [
            JudgementRecord(
                figure=judgement["figure"],
                label=self.specs.formulas[self.specs.figures[judgement["figure"]].formula].result.label,
                holds=judgement["holds"],
                says=judgement["says"] or "",
            )
            for judgement in judgements(self.specs, self.visit["values"], step)
        ]

    def _write_override(self, override: Override) -> OverrideRecord:
        return OverrideRecord(
            step=override["step"],
            title=self._title(self._instances[override["step"]]),
            stops=[self._name_stop(id) for id in override["stops"]],
            reason=override["reason"],
            at=override["at"],
            by=self._find_maker(override["event"]),
            by_device=override["device"],
        )

    def _name_stop(self, id: str) -> StopNamed:
        rule = next((rule for rule in (*self.specs.rules, ONE_TIME_RULE) if rule.id == id), None)
        if rule is not None:
            return StopNamed(id=id, title=rule.title, reason=rule.reason)
        known = id.partition("@")[0] in self.specs.variables
        return StopNamed(id=id, title=title_variable(self.specs, id) if known else id, reason="")

    def _list_left_open(self) -> list[LeftOpen]:
        return [
            LeftOpen(
                variable=one["variable"],
                title=title_variable(self.specs, one["variable"]),
                found=show_state(self.specs, one["variable"], one["found"]),
                expected=[show_state(self.specs, one["variable"], value) for value in one["expected"]],
            )
            for one in unfinished(self.specs, self.composition, self.visit["variables"])
        ]

    def _list_disputed(self) -> list[Disputed]:
        states = [
            Disputed(
                name=one["variable"],
                title=title_variable(self.specs, one["variable"]),
                values=[show_state(self.specs, one["variable"], value) for value in one["values"]],
            )
            for one in self.visit["contradictions"]
        ]
        readings = [
            Disputed(
                name=one["name"],
                title=self.specs.readings[one["name"]].label,
                values=[
                    f"{taken['typed']} {taken['unit']}"
                    for taken in self.visit["readings"][one["name"]]
                    if taken["event"] in one["events"]
                ],
            )
            for one in self.visit["disputed_readings"]
        ]
        facts = [
            Disputed(
                name=one["fact"],
                title=self.specs.facts[one["fact"]].title if one["fact"] in self.specs.facts else one["fact"],
                values=[
                    str(_as_told(event.payload)["shown"] or event.payload["value"])
                    for event in self.log
                    if event.id in one["events"]
                ],
            )
            for one in self.visit["disputed_facts"]
        ]
        return states + readings + facts


def _as_told(given: Mapping[str, Any]) -> dict[str, Any]:
    """What was given at a step, as the facts are told with which a visit begins."""
    typed, unit = given.get("typed"), given.get("unit")
    return {
        "value": given["value"],
        "shown": f"{typed} {unit}" if typed and unit else None,
        "source": given["source"],
    }


def _read_source(told: Mapping[str, Any]) -> Provenance | None:
    source = told.get("source")
    if not isinstance(source, dict):
        return None
    return Provenance(kind=str(source.get("kind", "")), reference=str(source.get("reference", "")))


def _find_finding(step: Step, id: str) -> FindingRecord:
    known = next((finding for finding in step.findings if finding.id == id), None)
    return FindingRecord(id=id, label=known.label if known else id, good=known.good if known else True)


def read_car(opening: Mapping[str, Any]) -> CarName:
    """The car as the visit names it."""
    car = opening["car"]
    return CarName(
        id=str(car.get("id", "")), title=str(car.get("title", "")), plate=str(car.get("plate", ""))
    )
