"""Links the short lists: units, sources, fluids, hazards, equipment and phases."""

from __future__ import annotations

from fillfirst.errors import QuantityError
from fillfirst.quantities import conversion
from fillfirst.specs.linked import Fluid, Hazard, Kept, Mark, Phase, Source, Unit
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.texts import check_plain
from fillfirst.specs.models.lists import MarkEntry
from fillfirst.specs.names import check_id
from fillfirst.specs.problems import Spot
from fillfirst.specs.shapes import Shapes


def link_units(context: Context, shapes: Shapes) -> dict[str, Unit]:
    units: dict[str, Unit] = {}
    for key, entry in shapes.units.items():
        spot = context.report.at(shapes.singles["units"], key)
        try:
            found = conversion(key)
        except QuantityError as cause:
            spot.problem(f"{cause.found} cannot be read", f"expected is {cause.expected}", "Correct the key.")
            continue
        if not 0 <= entry.decimals <= 6:
            spot.at("decimals").problem(
                f"{entry.decimals} decimals", "0 to 6 can be shown", "Correct the number."
            )
        units[key] = Unit(**entry.model_dump(), factor=found.factor, offset=found.offset)
    return units


def link_sources(shapes: Shapes) -> dict[str, Source]:
    return {shaped.id: Source(**shaped.model.model_dump()) for shaped in shapes.sources}


def link_fluids(shapes: Shapes) -> dict[str, Fluid]:
    return {shaped.id: Fluid(**shaped.model.model_dump()) for shaped in shapes.fluids}


def link_hazards(context: Context, shapes: Shapes) -> dict[str, Hazard]:
    hazards: dict[str, Hazard] = {}
    for id, entry in shapes.hazards.items():
        spot = context.report.at(shapes.singles["hazards"], id)
        check_id(spot, id, "a hazard")
        check_plain(spot.at("says"), entry.says)
        hazards[id] = Hazard(**entry.model_dump())
    return hazards


def link_equipment(context: Context, shapes: Shapes) -> dict[str, Kept]:
    kinds: dict[str, Kept] = {}
    for id, entry in shapes.equipment.items():
        spot = context.report.at(shapes.singles["equipment"], id)
        check_id(spot, id, "a kind of equipment")
        for key in ("title", "group", "where"):
            check_plain(spot.at(key), getattr(entry, key))
        marks = {
            name: _link_mark(context, spot.at("marks", name), each) for name, each in entry.marks.items()
        }
        kinds[id] = Kept(
            title=entry.title,
            group=entry.group,
            order=entry.order,
            where=entry.where,
            counted=entry.counted,
            several=entry.several,
            marks={name: mark for name, mark in marks.items() if mark is not None},
        )
    return kinds


def _link_mark(context: Context, spot: Spot, entry: MarkEntry) -> Mark | None:
    check_plain(spot.at("label"), entry.label)
    if not context.unit(spot.at("unit"), entry.unit):
        return None
    least = context.amount(spot.at("from"), entry.from_, entry.unit)
    most = context.amount(spot.at("to"), entry.to, entry.unit)
    if least is None or most is None:
        return None
    low, high = float(least.value), float(most.value)
    if low >= high:
        spot.problem("from is not below to", "a range runs from the least to the most", "Correct the range.")
    return Mark(label=entry.label, unit=entry.unit, from_=low, to=high)


def link_phases(context: Context, shapes: Shapes) -> list[Phase]:
    phases: dict[str, Phase] = {}
    for at, entry in enumerate(shapes.order.phases):
        spot = context.report.at(shapes.singles["order"], "phases", at)
        check_id(spot.at("id"), entry.id, "a phase")
        if entry.id in phases:
            spot.problem(f'the phase "{entry.id}" is given twice', "the ids of phases differ", "Rename one.")
        phases[entry.id] = Phase(id=entry.id, title=entry.title)
    return list(phases.values())
