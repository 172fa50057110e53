"""A record as one plain page, for whoever was given a link to it: no script, no photo, nothing to press."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from fillfirst.records.record import Acknowledged, ClosedUp, FluidRecord, OverrideRecord, Record, StepRecord
from fillfirst.records.words import say_findings

STATUS = {"done": "Done", "skipped": "Skipped", "open": "Not done"}


def write_page(record: Record, *, style: str) -> str:
    """The whole page; `style` is the address of its style sheet."""
    car = f"{record.car.title}, {record.car.plate}" if record.car.plate else record.car.title
    parts = [
        _section("Done on this day", [_list(job.title for job in record.jobs)]),
        _section("Fluids", [_table(_fluid_row(fluid) for fluid in record.fluids)] if record.fluids else []),
        _section("To pay", _list_charges(record)),
        _section(
            "To look at again",
            [_list(f"{one.title}: {one.says}" for one in record.rechecks if not one.done_at)]
            if any(not one.done_at for one in record.rechecks)
            else [],
        ),
        _section("Seen by the customer", [_sign(one) for one in record.acknowledged]),
        _section("Worked out", [_table((f.label, f.shown) for f in record.figures if f.shown)]),
        _section("Step by step", [_table(_row(step) for step in record.steps)]),
        _section(
            "Set aside, with the reason",
            [_list(_tell_override(one) for one in record.overrides)] if record.overrides else [],
        ),
        _section(
            "Closed up on the way",
            [_list(_tell_closing(one) for one in record.closings)] if record.closings else [],
        ),
        _section(
            "Not as it should be at the end",
            [_list(f"{one.title}: {one.found}" for one in record.left_open)] if record.left_open else [],
        ),
    ]
    vin = f", VIN {record.vin}" if record.vin else ""
    when = escape(f"{record.opened_at[:10]}, {record.odometer_shown}, closed by {record.closed_by}{vin}")
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta name="robots" content="noindex">'
        f'<title>{escape(car)}</title><link rel="stylesheet" href="{escape(style)}">'
        f"<main><h1>{escape(car)}</h1><p>{when}</p>{''.join(parts)}</main></html>"
    )


def _fluid_row(fluid: FluidRecord) -> tuple[str, str, str]:
    pack = [fluid.product, fluid.batch and f"batch {fluid.batch}", fluid.approval, fluid.grade]
    amounts = [fluid.out_shown and f"{fluid.out_shown} out", fluid.in_shown and f"{fluid.in_shown} in"]
    status = "renewed" if fluid.renewed else "not renewed"
    said = "; ".join(each for each in (*amounts, *pack) if each)
    return fluid.title, status, said


def _sign(seen: Acknowledged) -> str:
    """The name and the moment, under the signature where one was drawn: in the box that phones draw in."""
    said = f"<p>{escape(seen.name)}, {escape(seen.at[:16].replace('T', ', '))}</p>"
    if not seen.signature:
        return said
    return (
        f'<svg viewBox="0 0 1000 400" width="300" role="img" aria-label="Signature of {escape(seen.name)}">'
        f'<path d="{escape(seen.signature)}" fill="none" stroke="currentColor" stroke-width="7" '
        f'stroke-linecap="round" stroke-linejoin="round"/></svg>{said}'
    )


def _tell_override(override: OverrideRecord) -> str:
    by = f", by {override.by}" if override.by else ""
    return f"{override.title}: {override.reason}{by}"


def _tell_closing(closing: ClosedUp) -> str:
    """When the car was closed up and when the visit went on, and by whom."""

    def tell(what: str, at: str, by: str | None) -> str:
        return ", ".join(each for each in (f"{what} {at[:10]}", at[11:16], by and f"by {by}") if each)

    said = tell("closed up", closing.at, closing.by)
    if closing.again_at:
        said += f"; {tell('taken up again', closing.again_at, closing.again_by)}"
    return f"{said[0].upper()}{said[1:]}"


def _list_charges(record: Record) -> list[str]:
    if not record.charges:
        return []
    rows = [
        (each.what, f"{each.amount:g} {each.unit} × {each.price:.2f}", f"{each.total:.2f} {each.currency}")
        for each in record.charges
    ]
    sums: dict[str, float] = {}
    for each in record.charges:
        sums[each.currency] = sums.get(each.currency, 0.0) + each.total
    return [_table([*rows, *(("Together", "", f"{total:.2f} {name}") for name, total in sums.items())])]


def _row(step: StepRecord) -> tuple[str, str, str]:
    notes = (*say_findings(step), step.reason, step.note)
    said = [note for note in notes if note]
    said += [f"{reading.label} {reading.typed} {reading.unit}" for reading in step.readings]
    if step.torque and step.torque.shown:
        source = step.torque.source
        said.append(f"{step.torque.shown} ({source.reference})" if source else step.torque.shown)
    people = dict.fromkeys([step.by, *(reading.by for reading in step.readings)])
    names = " and ".join(name for name in people if name)
    return step.title, STATUS[step.status] + (f" by {names}" if names else ""), "; ".join(said)


def _section(title: str, blocks: list[str]) -> str:
    return f"<section><h2>{escape(title)}</h2>{''.join(blocks)}</section>" if blocks else ""


def _list(items: Iterable[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(item)}</li>' for item in items)}</ul>"


def _table(rows: Iterable[tuple[str, ...]]) -> str:
    body = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows)
    return f"<table>{body}</table>"
