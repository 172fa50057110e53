"""What a record says beside the steps: fluids, re-checks, used fluids, prices, and who has seen it."""

from __future__ import annotations

import re

from fillfirst.formulas import evaluate_figure
from fillfirst.records.history import Afterwards, is_renewed, read_visit
from fillfirst.records.record import (
    Acknowledged,
    ChargeRecord,
    FluidRecord,
    OdometerCorrected,
    RecheckRecord,
    UsedFluid,
)
from fillfirst.records.words import show_fact, show_figure, show_quantity
from fillfirst.specs.linked import Named, Specs
from fillfirst.visits.shapes import Composition, Visit

_PLACE = re.compile(r"\{(\w+)\}")


def list_corrections(after: Afterwards) -> list[OdometerCorrected]:
    return [
        OdometerCorrected(
            value_m=each["value"],
            typed=each["typed"],
            unit=each["unit"],
            because=each["because"],
            at=each["at"],
            by=each["by"],
        )
        for each in after["corrections"]
    ]


def list_fluids(specs: Specs, composition: Composition, visit: Visit, after: Afterwards) -> list[FluidRecord]:
    """Every circuit that the chosen jobs renew, and this car has."""
    return [
        _write_fluid(specs, composition, visit, after, job, circuit)
        for job in composition["jobs"]
        for circuit in specs.jobs[job].renews
        if circuit in composition["variables"]
    ]


def _write_fluid(
    specs: Specs, composition: Composition, visit: Visit, after: Afterwards, job: str, circuit: str
) -> FluidRecord:
    variable = specs.variables[circuit]
    fluid = specs.fluids.get(variable.fluid or "")
    supply = next((each for each in specs.jobs[job].supplies if each.fluid == variable.fluid), None)
    noted = after["fluids"].get(circuit)

    def say(name: str | None) -> str:
        return _show(specs, visit, name) if name else ""

    def say_amount(input: str) -> str:
        return next(filter(None, map(say, _name_amounts(specs, job, input))), "")

    return FluidRecord(
        circuit=circuit,
        title=variable.title,
        fluid=fluid.title if fluid else "",
        approval=say(supply.approval if supply else None),
        grade=say(supply.grade if supply else None),
        product=noted["product"] if noted else None,
        batch=noted["batch"] if noted else None,
        label=noted["label"] if noted else None,
        noted_at=noted["at"] if noted else None,
        noted_by=noted["by"] if noted else None,
        out_shown=say_amount("drained"),
        in_shown=say_amount("filled"),
        renewed=is_renewed(specs, composition, visit, job),
    )


def _name_amounts(specs: Specs, job: str, input: str) -> list[str]:
    """What says how much came out ("drained") or went in ("filled"), by the figures that compare them."""
    compared = [
        each.with_
        for each in specs.figures.values()
        if each.job == job and {"drained", "filled"} <= each.with_.keys()
    ]
    amounts = (inputs[input] for inputs in compared)
    return list(dict.fromkeys(amount.name for amount in amounts if isinstance(amount, Named)))


def _show(specs: Specs, visit: Visit, name: str) -> str:
    """A fact, reading or figure as it stood at the end; nothing where it has no value."""
    if name in specs.figures:
        value = evaluate_figure(specs, name, visit["values"]).get("value")
        return "" if not isinstance(value, (bool, int, float, str)) else show_figure(specs, name, value)
    value = visit["values"].get(name)
    if value is None:
        return ""
    if name in specs.readings and isinstance(value, (int, float)):
        return show_quantity(specs, value, specs.readings[name].unit)
    return show_fact(specs, name, value)


def list_rechecks(
    specs: Specs, composition: Composition, visit: Visit, after: Afterwards
) -> list[RecheckRecord]:
    """What was to be looked at after the visit, and what was found."""
    rechecks: list[RecheckRecord] = []
    for asked in read_visit(specs, composition, visit, after)["rechecks"]:
        job, _, id = asked["id"].partition("/")
        told = next(each for each in specs.jobs[job].rechecks if each.id == id)
        done = after["rechecks"].get(asked["id"])
        rechecks.append(
            RecheckRecord(
                id=asked["id"],
                title=told.title,
                says=_PLACE.sub(lambda match: _show(specs, visit, match[1]) or "…", told.says),
                done_at=done["at"] if done else None,
                finding=done["finding"] if done else None,
                note=done["note"] if done else None,
                by=done["by"] if done else None,
            )
        )
    return rechecks


def list_used_fluids(specs: Specs, after: Afterwards) -> list[UsedFluid]:
    return [
        UsedFluid(
            stream=each["stream"],
            value_m3=each["value"],
            shown=f"{each['typed']} {each['unit']}" if each["typed"] and each["unit"] else "",
            place=each["place"],
            receipt=each["receipt"],
            at=each["at"],
            by=each["by"],
        )
        for each in after["used_fluids"]
    ]


def list_charges(after: Afterwards) -> list[ChargeRecord]:
    return [
        ChargeRecord(
            what=each["what"],
            amount=each["amount"],
            unit=each["unit"],
            price=each["price"],
            total=round(each["amount"] * each["price"], 2),
            currency=each["currency"],
        )
        for each in after["charges"]
    ]


def list_acknowledged(after: Afterwards) -> list[Acknowledged]:
    return [
        Acknowledged(name=each["name"], note=each["note"], signature=each["signature"], at=each["at"])
        for each in after["acknowledged"]
    ]
