"""Links units, sources, fluids, hazards and phases: what other specs name and what names little itself."""

from __future__ import annotations

from fillfirst.errors import QuantityError
from fillfirst.quantities import conversion
from fillfirst.specs.linked import Fluid, Hazard, Phase, Source, Unit
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.texts import check_plain
from fillfirst.specs.names import check_id
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


def link_phases(context: Context, shapes: Shapes) -> list[Phase]:
    phases: dict[str, Phase] = {}
    for at, entry in enumerate(shapes.order.phases):
        spot = context.report.at(shapes.singles["order"], "phases", at)
        check_id(spot.at("id"), entry.id, "a phase")
        if entry.id in phases:
            spot.problem(f'the phase "{entry.id}" is given twice', "the ids of phases differ", "Rename one.")
        phases[entry.id] = Phase(id=entry.id, title=entry.title)
    return list(phases.values())
