"""Records as one table of comma-separated values, for spreadsheets.

Source: RFC 4180.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from fillfirst.records.record import Record, StepRecord
from fillfirst.records.words import say_findings

COLUMNS = ("visit", "car", "part", "id", "title", "status", "value", "unit", "by", "at", "note")
Row = tuple[str, ...]
# The wide forms are read as the plain ones in languages that write them.
FORMULA_SIGNS = tuple("=+-@＝＋－＠\t\r\n")


def write_table(records: Sequence[Record]) -> str:
    """All records below each other, one thing a row; `part` says what kind of thing."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for record in records:
        for row in _list_rows(record):
            writer.writerow(disarm(cell) for cell in (record.visit, record.car.plate, *row))
    return out.getvalue()


def disarm(cell: str) -> str:
    """A text that begins like a formula would be run by a spreadsheet; an apostrophe keeps it text.

    Source: OWASP, "CSV Injection", for the signs a formula may begin with.
    """
    if cell[:1] in FORMULA_SIGNS and not cell.lstrip("-").replace(".", "", 1).isdigit():
        return f"'{cell}"
    return cell


def _list_rows(record: Record) -> Iterator[Row]:
    yield _row("visit", record.visit, record.car.title, "opened", by=record.opened_by, at=record.opened_at)
    yield _row("visit", record.visit, record.car.title, "closed", by=record.closed_by, at=record.closed_at)
    yield _row("vin", "vin", "Vehicle identification number", value=record.vin)
    yield _row("odometer", "odometer", "Odometer", value=record.odometer_shown)
    for wrong in record.odometer_corrections:
        yield _row(
            "odometer-correction",
            "odometer",
            "Odometer",
            value=wrong.typed,
            unit=wrong.unit,
            by=wrong.by or "",
            at=wrong.at,
            note=wrong.because,
        )
    for job in record.jobs:
        yield _row("job", job.id, job.title)
    yield from _list_fluid_rows(record)
    for fact in record.facts:
        note = f"{fact.source.kind}: {fact.source.reference}" if fact.source else ""
        yield _row("fact", fact.name, fact.title, value=fact.shown, note=note)
    for step in record.steps:
        yield from _list_step_rows(step)
    for override in record.overrides:
        stops = ", ".join(stop.title for stop in override.stops)
        yield _row(
            "override",
            override.step,
            override.title,
            value=stops,
            by=override.by or "",
            at=override.at,
            note=override.reason,
        )
    for closing in record.closings:
        yield _row(
            "closing-up", closing.aim, "Closed up on the way", "closed up", by=closing.by or "", at=closing.at
        )
        if closing.again_at:
            by, at = closing.again_by or "", closing.again_at
            yield _row("closing-up", closing.aim, "Closed up on the way", "taken up again", by=by, at=at)
    for figure in record.figures:
        status = "agrees" if figure.agrees else "disagrees"
        note = figure.absence or ("" if figure.agrees else f"the phone had {figure.phone}")
        yield _row("figure", figure.name, figure.label, status, value=figure.shown, note=note)
    for left in record.left_open:
        yield _row(
            "left open", left.variable, left.title, left.found, note=f"expected {' or '.join(left.expected)}"
        )
    for disputed in record.disputed:
        yield _row("disputed", disputed.name, disputed.title, value=" / ".join(disputed.values))
    yield from _list_later_rows(record)


def _list_fluid_rows(record: Record) -> Iterator[Row]:
    for fluid in record.fluids:
        told = {
            "approval": fluid.approval,
            "grade": fluid.grade,
            "product": fluid.product,
            "batch": fluid.batch,
        }
        told |= {"out": fluid.out_shown, "in": fluid.in_shown, "label": fluid.label}
        note = "; ".join(f"{name} {value}" for name, value in told.items() if value)
        status = "renewed" if fluid.renewed else "not renewed"
        by, at = fluid.noted_by or "", fluid.noted_at or ""
        yield _row("fluid", fluid.circuit, fluid.title, status, value=fluid.fluid, by=by, at=at, note=note)


def _list_later_rows(record: Record) -> Iterator[Row]:
    """What came after the visit was closed."""
    for recheck in record.rechecks:
        status = (recheck.finding or "done") if recheck.done_at else "open"
        yield _row(
            "recheck",
            recheck.id,
            recheck.title,
            status,
            by=recheck.by or "",
            at=recheck.done_at or "",
            note=recheck.note or recheck.says,
        )
    for used in record.used_fluids:
        receipt = f"receipt {used.receipt}" if used.receipt else ""
        yield _row(
            "used-fluid",
            used.stream,
            used.place,
            value=used.shown,
            by=used.by or "",
            at=used.at,
            note=receipt,
        )
    for charge in record.charges:
        amount = f"{charge.amount:g} {charge.unit} at {charge.price:.2f}"
        yield _row(
            "charge", charge.what, charge.what, value=f"{charge.total:.2f}", unit=charge.currency, note=amount
        )
    for seen in record.acknowledged:
        value = "signed" if seen.signature else ""
        yield _row("acknowledged", seen.name, seen.name, value=value, at=seen.at, note=seen.note or "")


def _list_step_rows(step: StepRecord) -> Iterator[Row]:
    source = step.torque.source if step.torque else None
    where = f"{source.kind}: {source.reference}" if source else None
    notes = (*say_findings(step), step.reason, step.note, where)
    yield _row(
        "step",
        step.id,
        step.title,
        step.status,
        value=step.torque.shown if step.torque else "",
        by=step.by or "",
        at=step.at or "",
        note="; ".join(note for note in notes if note),
    )
    for reading in step.readings:
        yield _row(
            "reading",
            reading.name,
            reading.label,
            value=reading.typed,
            unit=reading.unit,
            by=reading.by or "",
            at=reading.at,
        )
    for judgement in step.judgements:
        status = {True: "holds", False: "does not hold", None: "no value"}[judgement.holds]
        yield _row("judgement", judgement.figure, judgement.label, status, note=judgement.says)
    if step.timer:
        status = "put right" if step.timer.corrected else ""
        yield _row("timer", step.id, step.title, status, by=step.timer.by or "")
    for photo in step.photos_taken:
        yield _row("photo", photo.sha256, step.title, by=photo.by or "", at=photo.at)


def _row(
    part: str,
    id: str,
    title: str,
    status: str = "",
    *,
    value: str = "",
    unit: str = "",
    by: str = "",
    at: str = "",
    note: str = "",
) -> Row:
    return (part, id, title, status, value, unit, by, at, note)
