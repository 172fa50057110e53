"""Which facts a car must have a value for, before its visits can be planned.

Used to hold demo cars to be whole: a step that shows a dash where a torque should be is a step that
nobody should be standing under.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from fillfirst.formulas import Tree, evaluate, names
from fillfirst.specs.linked import (
    Amount,
    Fact,
    Figure,
    Formula,
    Job,
    Named,
    Rule,
    Step,
    Supply,
    Tool,
    Value,
    Variable,
)
from fillfirst.specs.linking.texts import ITEM, find_places


@dataclass(frozen=True)
class Plan:
    """The linked specs as far as they say which facts are needed."""

    facts: Mapping[str, Fact]
    formulas: Mapping[str, Formula]
    figures: Mapping[str, Figure]
    variables: Mapping[str, Variable]
    rules: Iterable[Rule]
    jobs: Mapping[str, Job]
    steps: Mapping[str, Step]


def applies(when: Tree | None, facts: Mapping[str, Fact], values: Mapping[str, Value]) -> bool:
    """Whether a condition holds on this car for some choice of settings; one that lacks a fact does not."""
    if when is None:
        return True
    settings = [name for name in sorted(names(when)) if name in facts and facts[name].of == "visit"]
    choices = [list(_answers(facts[name])) for name in settings]
    return any(
        evaluate(when, {**values, **dict(zip(settings, chosen, strict=True))}, {}).get("value") is True
        for chosen in product(*choices)
    )


def _answers(fact: Fact) -> Iterator[Value]:
    yield from (True, False) if fact.kind == "yes-no" else list(fact.options or {})


def fill_in(facts: Mapping[str, Fact], values: Mapping[str, Value]) -> dict[str, Value]:
    """The values of a car, with what facts say where they do not apply, and defaults.

    What applies may hang on what another fact says, so it goes round until nothing is added.
    """
    filled = dict(values)
    while True:
        added = {
            name: value
            for name, fact in facts.items()
            if name not in filled and (value := _stand_in(fact, filled)) is not None
        }
        if not added:
            return filled
        filled |= added


def _stand_in(fact: Fact, values: Mapping[str, Value]) -> Value | None:
    if fact.of == "visit":
        return None
    outcome = evaluate(fact.when, values, {}) if fact.when is not None else {"value": True}
    if "value" not in outcome:
        return None
    return fact.default if outcome["value"] is True else fact.otherwise


def find_needed(plan: Plan, values: Mapping[str, Value]) -> dict[str, str]:
    """Every fact that this car needs, with a word on what for. `values` are filled in."""
    needed: dict[str, str] = {}
    for name in sorted(_layout_names(plan)):
        needed.setdefault(name, "the layout of the car")
    for job_id, job in plan.jobs.items():
        if job.shared or not applies(job.when, plan.facts, values):
            continue
        for name in _job_names(plan, job, values):
            needed.setdefault(name, f'the job "{job_id}"')
    used = _used_keys(plan, values)
    for step in plan.steps.values():
        job = plan.jobs[step.job]
        is_in = step.serves is None or step.serves in used
        if is_in and applies(job.when, plan.facts, values) and applies(step.when, plan.facts, values):
            for _, name in name_uses(plan, step):
                needed.setdefault(name, f'the step "{step.id}"')
    for id, variable in plan.variables.items():
        if variable.torque and applies(variable.when, plan.facts, values):
            needed.setdefault(variable.torque, f'"{id}"')
    return {name: why for name, why in needed.items() if _is_asked(plan, name, values)}


def _is_asked(plan: Plan, name: str, values: Mapping[str, Value]) -> bool:
    fact = plan.facts.get(name)
    return fact is not None and fact.of == "car" and applies(fact.when, plan.facts, values)


def _used_keys(plan: Plan, values: Mapping[str, Value]) -> set[str]:
    return {
        key
        for job in plan.jobs.values()
        if not job.shared and applies(job.when, plan.facts, values)
        for key, tree in job.uses.items()
        if applies(tree, plan.facts, values)
    }


def _layout_names(plan: Plan) -> set[str]:
    trees = [
        *(fact.when for fact in plan.facts.values()),
        *(variable.when for variable in plan.variables.values()),
        *(rule.when for rule in plan.rules),
        *(job.when for job in plan.jobs.values()),
        *(tree for job in plan.jobs.values() for tree in job.uses.values()),
        *(step.when for step in plan.steps.values()),
    ]
    asked = {name for tree in trees if tree is not None for name in names(tree)}
    return asked | {variable.each for variable in plan.variables.values() if variable.each}


def _job_names(plan: Plan, job: Job, values: Mapping[str, Value]) -> Iterator[str]:
    for supply in job.supplies:
        if applies(supply.when, plan.facts, values):
            yield from name_supply(plan, supply)
    for tool in job.tools:
        if applies(tool.when, plan.facts, values):
            yield from name_tool(plan, tool)


def name_supply(plan: Plan, supply: Supply) -> Iterator[str]:
    """The facts that a supply asks for."""
    direct = [
        supply.approval,
        supply.grade,
        *_named(supply.quantity, supply.count),
        *find_places(supply.title),
    ]
    return _resolve(plan, direct)


def name_tool(plan: Plan, tool: Tool) -> Iterator[str]:
    """The fact that the size of a tool asks for, if any."""
    return _resolve(plan, [tool.size.name] if isinstance(tool.size, Named) else [])


def name_uses(plan: Plan, step: Step) -> Iterator[tuple[str, str]]:
    """The facts that a step asks for, with the key of the step that does."""
    texts = {
        "title": step.title,
        "says": step.says,
        "does": step.does,
        "why": step.why,
        "photo": step.photo or "",
    }
    hold = (step.hold.least, step.hold.most) if step.hold else ()
    window = (step.window.from_, step.window.to) if step.window else ()
    direct: dict[str, Iterable[str | None]] = {
        "each": [step.each],
        "torque": [step.torque],
        "positions": [step.positions],
        "shows": step.shows,
        "judges": step.judges,
        "hold": _named(*hold),
        "window": _named(*window),
        "findings": [name for finding in step.findings for name in find_places(finding.says)],
        **{key: [name for name in find_places(text) if name != ITEM] for key, text in texts.items()},
    }
    for key, given in direct.items():
        yield from ((key, name) for name in _resolve(plan, given))


def _named(*amounts: Amount | None) -> list[str]:
    return [amount.name for amount in amounts if isinstance(amount, Named)]


def _resolve(plan: Plan, given: Iterable[str | None]) -> Iterator[str]:
    """The facts behind names: a figure stands for what its formula cannot do without."""
    for name in given:
        if name is None:
            continue
        figure = plan.figures.get(name)
        if figure is None:
            yield name
            continue
        inputs = plan.formulas[figure.formula].inputs
        needed = [each for each in figure.with_ if not inputs[each].optional]
        yield from _resolve(plan, _named(*(figure.with_[each] for each in needed)))
