"""Links demo cars: every value has its source and is plausible, and none that is needed is missing."""

from __future__ import annotations

from collections.abc import Mapping

from fillfirst.errors import QuantityError
from fillfirst.formulas import evaluate
from fillfirst.quantities import parse
from fillfirst.specs.linked import Fact, Fixed, Value, Vehicle, VehicleFact, VehicleSource
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.facts import read_value
from fillfirst.specs.linking.needs import Plan, fill_in, find_needed
from fillfirst.specs.models.facts import VehicleFactEntry
from fillfirst.specs.problems import Spot
from fillfirst.specs.shapes import Shapes


def link_vehicles(context: Context, shapes: Shapes, facts: Mapping[str, Fact]) -> dict[str, Vehicle]:
    vehicles: dict[str, Vehicle] = {}
    of_cars = {name: fact for name, fact in facts.items() if fact.of == "car"}
    for shaped in shapes.vehicles:
        spot, file = context.report.at(shaped.document), shaped.model
        found = {
            name: _link_fact(context, spot.at("facts", name), name, entry, of_cars)
            for name, entry in file.facts.items()
        }
        odometer = context.amount(spot.at("odometer"), file.odometer, "km")
        kept = {name: fact for name, fact in found.items() if fact is not None}
        _check_applicable(spot, of_cars, {name: fact.value for name, fact in kept.items()})
        vehicles[shaped.id] = Vehicle(
            title=file.title,
            plate=file.plate,
            note=file.note,
            owner=file.owner,
            odometer=odometer or Fixed(value=0.0, shown=file.odometer),
            facts=kept,
        )
    return vehicles


def _link_fact(
    context: Context, spot: Spot, name: str, entry: VehicleFactEntry, facts: Mapping[str, Fact]
) -> VehicleFact | None:
    declared = [each for each, known in context.index.facts().items() if known.of == "car"]
    if not context.known(spot, name, "a fact of a car", declared) or name not in facts:
        return None
    fact = facts[name]
    if not entry.source.reference.strip():
        spot.at("source", "reference").problem(
            "the reference is empty", "a source says where: a page, a plate, what was measured", "Write it."
        )
    value = read_value(context, spot.at("value"), name, fact, entry.value)
    if value is None:
        return None
    shown, unit = None, None
    if fact.kind == "quantity":
        shown = str(entry.value) if isinstance(entry.value, str) else f"{entry.value:g}"
        unit = _unit_of(context, spot.at("value"), shown)
    source = VehicleSource(kind=entry.source.kind, reference=entry.source.reference)
    return VehicleFact(value=value, shown=shown, unit=unit, source=source)


def _unit_of(context: Context, spot: Spot, shown: str) -> str | None:
    try:
        unit = parse(shown).unit
    except QuantityError:
        return None
    return unit if context.unit(spot, unit) else None


def _check_applicable(spot: Spot, facts: Mapping[str, Fact], values: Mapping[str, Value]) -> None:
    filled = fill_in(facts, values)
    for name in values:
        when = facts[name].when
        if when is not None and evaluate(when, filled, {}).get("value") is False:
            spot.at("facts", name).problem(
                "this fact does not apply to this car",
                "by its condition in specs/facts the car has no such thing",
                "Remove it, or correct the layout facts of the car.",
            )


def check_complete(context: Context, shapes: Shapes, vehicles: Mapping[str, Vehicle], plan: Plan) -> None:
    """Every demo car has a value for its layout and for all that its jobs need."""
    for shaped in shapes.vehicles:
        vehicle = vehicles[shaped.id]
        given = {name: fact.value for name, fact in vehicle.facts.items()}
        filled = fill_in(plan.facts, given)
        spot = context.report.at(shaped.document, "facts")
        for name, why in find_needed(plan, filled).items():
            if name not in filled and name not in shaped.model.facts:
                spot.problem(
                    f'the car has no value for "{name}"',
                    f"{why} needs it",
                    f"Add facts.{name} with its value and source.",
                )
