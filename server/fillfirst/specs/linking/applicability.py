"""Does every car that reaches a step have what the step asks for?

A torque that exists only on cars with a drain plug must not stand in a step that cars without one go
through as well: they would be shown a dash where a number should be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from fillfirst.formulas import Tree, evaluate, names
from fillfirst.specs.linked import Fact, Job, Step, Value
from fillfirst.specs.linking.conditions import all_of
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.needs import Plan, name_supply, name_tool, name_uses
from fillfirst.specs.problems import Spot
from fillfirst.specs.shapes import Shapes

ASKED = "a car is asked only for what it has"


class Layouts:
    """The kinds of car that facts allow, as far as some conditions can tell them apart."""

    def __init__(self, facts: Mapping[str, Fact]) -> None:
        self._facts = facts
        waits = {name: sorted(names(fact.when)) if fact.when else [] for name, fact in facts.items()}
        try:
            self._order = list(TopologicalSorter(waits).static_order())
        except CycleError:  # told where the facts are linked
            self._order = []
        self._known: dict[str, dict[str, Value] | None] = {}

    def find(self, wanted: Tree | None, unwanted: Tree) -> dict[str, Value] | None:
        """A kind of car for which one condition holds and the other does not."""
        key = repr((wanted, unwanted))
        if key not in self._known:
            self._known[key] = self._search(all_of(wanted, ["not", unwanted]) or unwanted)
        return self._known[key]

    def _search(self, condition: Tree) -> dict[str, Value] | None:
        asked = self._close(names(condition))
        if not asked <= set(self._order) or not all(
            self._facts[name].kind in ("choice", "yes-no") for name in asked
        ):
            return None
        for layout in self._spread([name for name in self._order if name in asked], {}):
            if evaluate(condition, layout, {}).get("value") is True:
                return {name: value for name, value in layout.items() if name in names(condition)}
        return None

    def _close(self, asked: frozenset[str]) -> set[str]:
        """These facts and all that decide whether they apply."""
        closed: set[str] = set()
        waiting = list(asked)
        while waiting:
            name = waiting.pop()
            if name not in closed and name in self._facts:
                closed.add(name)
                when = self._facts[name].when
                waiting.extend(names(when) if when else ())
        return closed

    def _spread(self, left: list[str], layout: dict[str, Value]) -> Iterator[dict[str, Value]]:
        if not left:
            yield layout
            return
        fact = self._facts[left[0]]
        for value in self._answers(fact, layout):
            yield from self._spread(left[1:], {**layout, left[0]: value})

    def _answers(self, fact: Fact, layout: Mapping[str, Value]) -> list[Value]:
        if fact.when is not None and evaluate(fact.when, layout, {}).get("value") is not True:
            return [] if fact.otherwise is None else [fact.otherwise]
        return [True, False] if fact.kind == "yes-no" else list(fact.options or {})


def check_applicability(context: Context, shapes: Shapes, plan: Plan, layouts: Layouts) -> None:
    """Check every step, supply and tool of every job."""
    for step in plan.steps.values():
        when = all_of(plan.jobs[step.job].when, step.when)
        for key, name in name_uses(plan, step):
            _check(context.index.steps[step.id].at(key), layouts, plan, when, name)
        _check_makes(context.index.steps[step.id].at("makes"), layouts, plan, when, step)
    for shaped in shapes.jobs:
        _check_shopping(context.report.at(shaped.document), layouts, plan, plan.jobs[shaped.id])


def _check_makes(spot: Spot, layouts: Layouts, plan: Plan, when: Tree | None, step: Step) -> None:
    for id in step.makes:
        variable = plan.variables.get(id)
        layout = layouts.find(when, variable.when) if variable and variable.when else None
        if layout is not None:
            spot.at(id).problem(
                f'there is no "{id}" where {say_layout(layout)}',
                "a step changes only what the car has",
                "Say so in when, or leave it out.",
            )


def _check_shopping(spot: Spot, layouts: Layouts, plan: Plan, job: Job) -> None:
    for at, supply in enumerate(job.supplies):
        for name in name_supply(plan, supply):
            _check(spot.at("supplies", at), layouts, plan, all_of(job.when, supply.when), name)
    for at, tool in enumerate(job.tools):
        for name in name_tool(plan, tool):
            _check(spot.at("tools", at, "size"), layouts, plan, all_of(job.when, tool.when), name)


def _check(spot: Spot, layouts: Layouts, plan: Plan, when: Tree | None, name: str) -> None:
    fact = plan.facts.get(name)
    if fact is None or fact.when is None:
        return
    layout = layouts.find(when, fact.when)
    if layout is not None:
        spot.problem(
            f'"{name}" does not apply where {say_layout(layout)}',
            ASKED,
            "Say so in when, or correct the when of the fact.",
        )


def say_layout(layout: Mapping[str, Value]) -> str:
    """A kind of car in words: powertrain is "electric" and has_undertray is true."""
    return " and ".join(f"{name} is {_say(value)}" for name, value in layout.items())


def _say(value: Value) -> str:
    return {True: "true", False: "false"}[value] if isinstance(value, bool) else f'"{value}"'
