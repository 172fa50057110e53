"""What a record says of each step: who did it and when, its numbers, its photos, and what was overruled."""

from __future__ import annotations

from fillfirst.records.closed_visit import ClosedVisit
from fillfirst.records.record import (
    FindingRecord,
    JudgementRecord,
    OverrideRecord,
    PhotoTaken,
    ReadingTaken,
    StepRecord,
    StopNamed,
    TimerRecord,
    TorqueRecord,
)
from fillfirst.records.told import read_source, tell_at
from fillfirst.records.words import show_fact, title_variable
from fillfirst.specs.linked import Specs, Step
from fillfirst.visits.events import Event
from fillfirst.visits.gate import ONE_TIME_RULE, judgements
from fillfirst.visits.shapes import Instance, Override


def list_steps(closed: ClosedVisit) -> list[StepRecord]:
    """Every step of the visit, in its order."""
    return [_write_step(closed, instance) for instance in closed.composition["steps"]]


def list_overrides(closed: ClosedVisit) -> list[OverrideRecord]:
    return [_write_override(closed, override) for override in closed.visit["overrides"]]


def _write_step(closed: ClosedVisit, instance: Instance) -> StepRecord:
    step = closed.specs.steps_by_id[instance["step"]]
    status = closed.visit["steps"].get(instance["id"])
    return StepRecord(
        id=instance["id"],
        item=instance["item"],
        job=step.job,
        phase=step.phase,
        kind=step.kind,
        title=closed.title(instance),
        status=status["status"] if status else "open",
        at=status["at"] if status else None,
        by=closed.find_person(status["device"], status["by"]) if status else None,
        by_device=status["device"] if status else None,
        finding=_find_finding(step, status["finding"]) if status and status["finding"] else None,
        found=[_find_finding(step, id) for id in closed.visit["found"].get(instance["id"], [])],
        reason=status["reason"] if status else None,
        note=status["note"] if status else None,
        torque=_write_torque(closed, step, status["event"] if status else None),
        readings=_list_readings(closed, step, instance),
        judgements=_list_judgements(closed, step) if status and status["status"] == "done" else [],
        photos=closed.visit["photos"].get(instance["id"], []),
        photos_taken=_list_photos(closed, instance["id"]),
        timer=_write_timer(closed, instance["id"]),
    )


def _find_finding(step: Step, id: str) -> FindingRecord:
    known = next((finding for finding in step.findings if finding.id == id), None)
    return FindingRecord(id=id, label=known.label if known else id, good=known.good if known else True)


def _write_torque(closed: ClosedVisit, step: Step, done: str | None) -> TorqueRecord | None:
    if step.torque is None:
        return None
    told = tell_at(closed, step.torque, done)
    value = told.get("value", closed.composition["facts"].get(step.torque))
    is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
    written = told.get("shown")
    shown = written if isinstance(written, str) else None
    return TorqueRecord(
        fact=step.torque,
        value=float(value) if is_number else None,
        shown=show_fact(closed.specs, step.torque, value, shown) if value is not None else "",
        source=read_source(told),
    )


def _list_readings(closed: ClosedVisit, step: Step, instance: Instance) -> list[ReadingTaken]:
    return [
        ReadingTaken(
            name=name,
            label=closed.specs.readings[name].label,
            value=taken["value"],
            typed=taken["typed"],
            unit=taken["unit"],
            at=taken["at"],
            by=closed.find_maker(taken["event"]),
            by_device=taken["device"],
        )
        for name in step.readings
        for taken in closed.visit["readings"].get(name, [])
        if taken["step"] == instance["id"]
    ]


def _list_judgements(closed: ClosedVisit, step: Step) -> list[JudgementRecord]:
    specs = closed.specs
    return [
        JudgementRecord(
            figure=judgement["figure"],
            label=specs.formulas[specs.figures[judgement["figure"]].formula].result.label,
            holds=judgement["holds"],
            says=judgement["says"] or "",
        )
        for judgement in judgements(specs, closed.visit["values"], step)
    ]


def _list_photos(closed: ClosedVisit, instance: str) -> list[PhotoTaken]:
    """Each photo once, as it was first taken."""
    taken: dict[str, Event] = {}
    for event in closed.log:
        is_here = event.kind == "photo-taken" and event.is_known and event.payload["step"] == instance
        if is_here and event.id not in closed.visit["undone"]:
            taken.setdefault(event.payload["sha256"], event)
    return [
        PhotoTaken(sha256=sha256, at=event.wall, by=closed.find_maker(event.id), by_device=event.device)
        for sha256, event in taken.items()
    ]


def _write_timer(closed: ClosedVisit, instance: str) -> TimerRecord | None:
    timer = closed.visit["timers"].get(instance)
    if timer is None:
        return None
    return TimerRecord(
        started_at_ms=timer["started_ms"],
        least_s=timer["least_s"],
        most_s=timer["most_s"],
        corrected=closed.by_id[timer["event"]].payload.get("corrects") is not None,
        by=closed.find_maker(timer["event"]),
        by_device=timer["device"],
    )


def _write_override(closed: ClosedVisit, override: Override) -> OverrideRecord:
    return OverrideRecord(
        step=override["step"],
        title=closed.title(closed.instances[override["step"]]),
        stops=[_name_stop(closed.specs, id) for id in override["stops"]],
        reason=override["reason"],
        at=override["at"],
        by=closed.find_maker(override["event"]),
        by_device=override["device"],
    )


def _name_stop(specs: Specs, id: str) -> StopNamed:
    rule = next((rule for rule in (*specs.rules, ONE_TIME_RULE) if rule.id == id), None)
    if rule is not None:
        return StopNamed(id=id, title=rule.title, reason=rule.reason)
    known = id.partition("@")[0] in specs.variables
    return StopNamed(id=id, title=title_variable(specs, id) if known else id, reason="")
