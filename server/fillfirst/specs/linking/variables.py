"""Links circuits, closures, parts and conditions into the variables that steps change.

Each circuit makes two: how full it is, and whether the fluid in it is new.
"""

from __future__ import annotations

from collections.abc import Mapping

from fillfirst.formulas import Tree
from fillfirst.specs.linked import Variable
from fillfirst.specs.linking.conditions import all_of, read_condition
from fillfirst.specs.linking.context import Context
from fillfirst.specs.models.car import CarFile, CircuitFile, ClosureEntry, ConditionEntry
from fillfirst.specs.names import CIRCUIT_VALUES, CLOSURE_VALUES, FLUID_VALUES, PART_VALUES
from fillfirst.specs.problems import Spot, quote_all
from fillfirst.specs.shapes import Shaped, Shapes

CIRCUIT_LABELS = {
    "full": "full",
    "filled": "filled, level still to be set",
    "part": "partly filled",
    "empty": "empty",
}
FLUID_LABELS = {"new": "new", "old": "old"}
CLOSURE_LABELS = {
    "closed": "closed",
    "first-pass": "tightened once, not yet to its torque",
    "hand-tight": "hand-tight",
    "open": "open",
}
PART_LABELS = {"new": "new", "fitted": "as it was", "used": "disturbed, not to be fitted again"}


def link_variables(context: Context, shapes: Shapes) -> dict[str, Variable]:
    """Every variable by id: the car's own first, then circuit by circuit."""
    variables: dict[str, Variable] = {}
    if shapes.car is not None:
        variables |= _link_owned(context, shapes.car, None, None, None)
    for shaped in shapes.circuits:
        file = shaped.model
        spot = context.report.at(shaped.document)
        when = read_condition(context, spot.at("when"), file.when, settings=False)
        context.known(spot.at("fluid"), file.fluid, "a fluid of specs/fluids", context.index.fluids)
        variables |= _link_circuit(shaped, when)
        variables |= _link_owned(context, shaped, shaped.id, when, file.place)
    return variables


def _link_circuit(shaped: Shaped[CircuitFile], when: Tree | None) -> dict[str, Variable]:
    id, file = shaped.id, shaped.model
    level = Variable(
        title=file.title,
        kind="circuit",
        values=CIRCUIT_VALUES,
        starts="full",
        ends=("full",),
        when=when,
        place=file.place,
        circuit=id,
        fluid=file.fluid,
        labels=CIRCUIT_LABELS,
    )
    fluid = Variable(
        title=f"{file.title}: fluid",
        kind="fluid",
        values=FLUID_VALUES,
        starts="old",
        ends=FLUID_VALUES,
        when=when,
        place=file.place,
        circuit=id,
        fluid=file.fluid,
        labels=FLUID_LABELS,
    )
    return {id: level, f"{id}.fluid": fluid}


def _link_owned(
    context: Context,
    shaped: Shaped[CarFile] | Shaped[CircuitFile],
    circuit: str | None,
    when: Tree | None,
    place: tuple[float, float] | None,
) -> dict[str, Variable]:
    """What a circuit, or the car as a whole, has beside its fluid."""
    owned: dict[str, Variable] = {}
    file, top = shaped.model, context.report.at(shaped.document)
    for id, closure in file.closures.items():
        spot = top.at("closures", id)
        own = all_of(when, read_condition(context, spot.at("when"), closure.when, settings=False))
        owned[id] = _link_closure(context, spot, closure, own, circuit, closure.place or place)
    for id, part in file.parts.items():
        own = read_condition(context, top.at("parts", id, "when"), part.when, settings=False)
        owned[id] = Variable(
            title=part.title,
            kind="part",
            values=PART_VALUES,
            starts="fitted",
            ends=("new", "fitted"),
            when=all_of(when, own),
            place=place,
            circuit=circuit,
            labels=PART_LABELS,
        )
    for id, condition in file.conditions.items():
        spot = top.at("conditions", id)
        own = all_of(when, read_condition(context, spot.at("when"), condition.when, settings=False))
        owned[id] = _link_condition(spot, condition, own, circuit, place)
    return owned


def _link_closure(
    context: Context,
    spot: Spot,
    closure: ClosureEntry,
    when: Tree | None,
    circuit: str | None,
    place: tuple[float, float] | None,
) -> Variable:
    if closure.each is not None:
        context.find(spot.at("each"), closure.each, ("fact",), ("list",))
    if closure.torque is not None:
        context.amount_or_name(spot.at("torque"), closure.torque, "N*m", ("fact",))
    parts = [id for id, variable in context.index.variables.items() if variable.kind == "part"]
    for part in closure.one_time:
        context.known(
            spot.at("one_time"), part, "a part", parts, "Correct the name, or declare it under [parts]."
        )
    _check_among(spot.at("rests"), closure.rests or [], list(CLOSURE_VALUES), "closure")
    return Variable(
        title=closure.title,
        kind="closure",
        values=CLOSURE_VALUES,
        starts="closed",
        ends=("closed",),
        rests=tuple(closure.rests or ()),
        when=when,
        each=closure.each,
        place=place,
        circuit=circuit,
        torque=closure.torque,
        one_time=tuple(closure.one_time),
        labels=CLOSURE_LABELS,
    )


def _link_condition(
    spot: Spot,
    condition: ConditionEntry,
    when: Tree | None,
    circuit: str | None,
    place: tuple[float, float] | None,
) -> Variable:
    values = condition.values
    if len(values) < 2 or len(set(values)) < len(values):
        spot.at("values").problem(
            "this is no choice of values",
            "a condition has two or more that differ, the safest first",
            "Correct them.",
        )
    _check_among(spot.at("starts"), [condition.starts], values)
    _check_among(spot.at("ends"), condition.ends or [], values)
    _check_among(spot.at("rests"), condition.rests or [], values)
    _check_among(spot.at("labels"), list(condition.labels), values)
    if condition.ends == []:
        spot.at("ends").problem(
            "no value may end a visit", "at least one does", "Name it, or leave ends out."
        )
    return Variable(
        title=condition.title,
        kind="condition",
        values=tuple(values),
        starts=condition.starts,
        ends=tuple(condition.ends or values),
        rests=tuple(condition.rests or ()),
        when=when,
        place=place,
        circuit=circuit,
        labels={value: condition.labels.get(value, value.replace("-", " ")) for value in values},
    )


def _check_among(spot: Spot, given: list[str], values: list[str], what: str = "condition") -> None:
    for each in given:
        if each not in values:
            spot.problem(
                f'"{each}" is not a value of this {what}', f"they are {quote_all(values)}", "Correct it."
            )


def check_state(
    context: Context,
    spot: Spot,
    state: Mapping[str, list[str]],
    extra: Mapping[str, tuple[str, ...]] | None = None,
) -> bool:
    """Whether every variable of a state exists and can have the values given; told when not.

    `extra` are pseudo-variables that may be asked here as well.
    """
    fine = True
    for id, given in state.items():
        here = spot.at(id)
        known = {each: variable.values for each, variable in context.index.variables.items()} | dict(
            extra or {}
        )
        if not context.known(here, id, "a circuit, closure, part or condition", known):
            fine = False
            continue
        for value in given:
            if value not in known[id]:
                here.problem(
                    f'"{id}" is never "{value}"', f"it is {quote_all(known[id])}", "Correct the value."
                )
                fine = False
    return fine
