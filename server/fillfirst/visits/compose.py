"""Which steps a visit consists of: chosen jobs and what is known of the car, laid over the one master order.

`webui/core/compose.js` is the same in the other language; tests/agreement drives both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import groupby

from fillfirst.errors import VisitError
from fillfirst.formulas import evaluate, names
from fillfirst.specs.linked import Specs, Step, Tree, Value
from fillfirst.visits.shapes import Composition, Instance

Note = Callable[[Iterable[str]], None]


def resolve(specs: Specs, facts: Mapping[str, Value | None]) -> tuple[dict[str, Value], dict[str, list[str]]]:
    """Facts as they hold on this car: an inapplicable one at its `otherwise`, one left open at its default.

    Also says, for a fact that may or may not apply, which unknown facts decide it.
    """
    values: dict[str, Value] = {}
    blame: dict[str, list[str]] = {}
    settled: set[str] = set()

    def settle(name: str) -> None:
        fact = specs.facts.get(name)
        if fact is None or name in settled:
            return
        settled.add(name)
        applies = True
        if fact.when is not None:
            for other in sorted(names(fact.when)):
                settle(other)
            outcome = evaluate(fact.when, values, specs.tables)
            if "missing" in outcome:
                blame[name] = [
                    cause for missed in outcome["missing"] for cause in blame.get(missed, [missed])
                ]
                return
            applies = "value" in outcome and outcome["value"] is True
        given = facts.get(name)
        value = (fact.default if given is None else given) if applies else fact.otherwise
        if value is not None:
            values[name] = value

    for name in specs.facts:
        settle(name)
    return values, blame


def compose(specs: Specs, jobs: Sequence[str], facts: Mapping[str, Value | None]) -> Composition:
    """Compose the visit: never sorts, only picks steps from the master order and expands `each` and `block`.

    What cannot be decided for want of a fact is left out and the fact is named in `missing`.

    Raises VisitError when the catalog has no such job.
    """
    for id in jobs:
        if id not in specs.jobs:
            raise VisitError(f'This catalog has no job "{id}".')
    values, blame = resolve(specs, facts)
    missing: set[str] = set()

    def miss(absent: Iterable[str]) -> None:
        missing.update(cause for name in absent for cause in blame.get(name, [name]))

    def holds(tree: Tree | None, note: Note = miss) -> bool:
        if tree is None:
            return True
        outcome = evaluate(tree, values, specs.tables)
        if "missing" in outcome:
            note(outcome["missing"])
        return "value" in outcome and outcome["value"] is True

    def items_of(name: str, note: Note = miss) -> list[str]:
        items = values.get(name)
        if isinstance(items, list):
            return items
        fact = specs.facts[name]
        if name in blame or holds(fact.when, _ignore):
            note([name])
        return []

    chosen = [id for id, job in specs.jobs.items() if id in jobs and not job.shared and holds(job.when)]

    def is_in(step: Step) -> bool:
        job = specs.jobs[step.job]
        if not job.shared:
            return step.job in chosen and holds(step.when)
        if step.serves is not None:
            uses = [specs.jobs[id].uses.get(step.serves) for id in chosen]
            if not any(use is not None and holds(use) for use in uses):
                return False
        return holds(job.when) and holds(step.when)

    steps: list[Instance] = []
    standby: list[Instance] = []
    touched: set[str] = set()
    for group in groups(specs.steps):
        present = [step for step in group if is_in(step)]
        touched.update(base for step in present for base in (*step.needs, *step.makes))
        each = present[0].each if present else None
        items: Sequence[str | None] = [None] if each is None else items_of(each)
        for index, item in enumerate(items):
            for step in present:
                id = step.id if item is None else f"{step.id}@{item}"
                place = standby if step.standby else steps
                place.append({"id": id, "step": step.id, "item": item, "index": index, "of": len(items)})

    variables: dict[str, str] = {}
    for base, variable in specs.variables.items():
        # What no step touches stays as it starts, so nobody is asked whether it exists.
        note = miss if base in touched else _ignore
        circuit = specs.variables[variable.circuit] if variable.circuit is not None else None
        if (circuit is not None and not holds(circuit.when, note)) or not holds(variable.when, note):
            continue
        if variable.each is None:
            variables[base] = base
        else:
            variables.update({f"{base}@{item}": base for item in items_of(variable.each, note)})

    return {
        "jobs": chosen,
        "steps": steps,
        "variables": variables,
        "missing": sorted(missing),
        "facts": values,
        "standby": standby,
    }


def _ignore(absent: Iterable[str]) -> None:
    pass


def groups(steps: Sequence[Step]) -> list[list[Step]]:
    """Steps that expand together: neighbours in the master order with the same job, block and list."""
    numbered = enumerate(steps)
    by_block = groupby(
        numbered, key=lambda at: (at[1].job, at[1].block, at[1].each) if at[1].block is not None else at[0]
    )
    return [[step for _, step in group] for _, group in by_block]


def members(specs: Specs, composition: Composition, base: str) -> list[str]:
    """The ids of a variable on this car: itself, every item of a family, or none."""
    if specs.variables[base].each is None:
        return [base] if base in composition["variables"] else []
    return [id for id, of in composition["variables"].items() if of == base]


def targets(specs: Specs, composition: Composition, instance: Instance, base: str) -> list[str]:
    """The ids a step means by a variable: this item's where step and variable go over one list, else all."""
    each = specs.variables[base].each
    if each is not None and step_of(specs, instance).each == each:
        own = f"{base}@{instance['item']}"
        return [own] if own in composition["variables"] else []
    return members(specs, composition, base)


def step_of(specs: Specs, instance: Instance) -> Step:
    """The step an instance is one of."""
    return specs.steps_by_id[instance["step"]]


def starting_variables(specs: Specs, composition: Composition) -> dict[str, str]:
    """The state a car arrives in."""
    return {id: specs.variables[base].starts for id, base in composition["variables"].items()}


def effects(
    specs: Specs,
    composition: Composition,
    variables: Mapping[str, str],
    instance: Instance,
    makes: Mapping[str, str] | None = None,
) -> dict[str, str]:
    """What a step writes, by variable id: its `makes`, or those of its way back.

    One-time parts are used up when their closure leaves `closed`, unless the step itself replaces them.
    """
    if makes is None:
        makes = step_of(specs, instance).makes
    made = {id: value for base, value in makes.items() for id in targets(specs, composition, instance, base)}
    opened = [id for id, value in made.items() if variables[id] == "closed" and value != "closed"]
    used_up = {part: "used" for id in opened for part in parts_of(specs, composition, id)}
    return used_up | made


def parts_of(specs: Specs, composition: Composition, closure: str) -> list[str]:
    """The one-time parts of a closure, by variable id: its own item's where they go over one list."""
    base, _, item = closure.partition("@")
    variable = specs.variables[base]
    parts: list[str] = []
    for part in variable.one_time:
        if item and specs.variables[part].each == variable.each:
            parts += [f"{part}@{item}"] if f"{part}@{item}" in composition["variables"] else []
        else:
            parts += members(specs, composition, part)
    return parts


def back_target(specs: Specs, composition: Composition, instance: Instance) -> Instance | None:
    """Where a step leads back to when it is missed or fails: the same item's instance, else the first."""
    back = step_of(specs, instance).back
    candidates = [other for other in composition["steps"] if back is not None and other["step"] == back.to]
    same_item = [other for other in candidates if other["item"] == instance["item"]]
    return next(iter(same_item or candidates), None)
