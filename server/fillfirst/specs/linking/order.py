"""The master order: one sorting of all steps of all jobs, of which every visit is a part.

Visits are never sorted again, so that the order a person works in is the order that was proved.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping
from itertools import pairwise

from fillfirst.specs.linked import Job, Phase, Step
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.cycles import find_cycle, tell_cycle
from fillfirst.specs.problems import Spot
from fillfirst.specs.shapes import Shapes

After = Mapping[str, list[str]]


def link_order(
    context: Context, shapes: Shapes, phases: list[Phase], jobs: Mapping[str, Job], steps: Mapping[str, Step]
) -> list[Step]:
    """All steps in master order; empty when there is none, which is told."""
    after = _read_after(context, shapes)
    if len(after) < sum(len(shaped.model.steps) for shaped in shapes.jobs):
        return []  # an id is given twice, which is told; what waits for which is not clear
    place = {phase.id: at for at, phase in enumerate(phases)}
    _check_phases(context, place, steps, after)
    _check_chains(context, place, shapes, steps)
    waits = {id: list(before) for id, before in after.items()}
    for shaped in shapes.jobs:
        for one, next_one in pairwise(shaped.model.steps):
            waits[f"{shaped.id}/{next_one.id}"].append(f"{shaped.id}/{one.id}")
    cycle = find_cycle(waits)
    if cycle:
        tell_cycle(context.index.steps[cycle[0]], "these steps wait for each other", cycle)
        return []
    indexes = {
        f"{shaped.id}/{step.id}": at for shaped in shapes.jobs for at, step in enumerate(shaped.model.steps)
    }
    keys = {
        id: (place.get(step.phase, 0), jobs[step.job].order, step.job, indexes[id])
        for id, step in steps.items()
    }
    return [steps[id] for id in _sort(waits, keys)]


def _read_after(context: Context, shapes: Shapes) -> dict[str, list[str]]:
    """For each step, the steps that its `after` names."""
    after: dict[str, list[str]] = {}
    for shaped in shapes.jobs:
        for at, step in enumerate(shaped.model.steps):
            spot = context.report.at(shaped.document, "steps", at, "after")
            named = [each if "/" in each else f"{shaped.id}/{each}" for each in step.after]
            after[f"{shaped.id}/{step.id}"] = [
                each for each in named if context.known(spot, each, "a step", context.index.steps)
            ]
    return after


def _check_phases(
    context: Context, place: Mapping[str, int], steps: Mapping[str, Step], after: After
) -> None:
    for id, befores in after.items():
        for before in befores:
            if before in steps and place.get(steps[before].phase, 0) > place.get(steps[id].phase, 0):
                context.index.steps[id].at("after").problem(
                    f'"{before}" is in a later phase, "{steps[before].phase}"',
                    f'this step is in "{steps[id].phase}"',
                    "Move one of the steps to another phase, or take the reference out.",
                )


def _check_chains(
    context: Context, place: Mapping[str, int], shapes: Shapes, steps: Mapping[str, Step]
) -> None:
    """A job goes through the day as the day goes."""
    for shaped in shapes.jobs:
        for one, next_one in pairwise(shaped.model.steps):
            if one.phase in place and next_one.phase in place and place[one.phase] > place[next_one.phase]:
                context.index.steps[f"{shaped.id}/{next_one.id}"].at("phase").problem(
                    f'the phase goes back from "{one.phase}" to "{next_one.phase}"',
                    "the steps of a job follow the order of the day",
                    "Move the step, or give it another phase.",
                )


def _sort(waits: Mapping[str, list[str]], keys: Mapping[str, tuple[int, float, str, int]]) -> list[str]:
    """The order that follows the keys wherever nothing has to wait."""
    open_count = {id: len(set(before) & set(keys)) for id, before in waits.items()}
    followers: dict[str, set[str]] = {id: set() for id in keys}
    for id, before in waits.items():
        for each in set(before) & set(keys):
            followers[each].add(id)
    ready = [(keys[id], id) for id in keys if open_count[id] == 0]
    heapq.heapify(ready)
    ordered: list[str] = []
    while ready:
        _, id = heapq.heappop(ready)
        ordered.append(id)
        for follower in followers[id]:
            open_count[follower] -= 1
            if open_count[follower] == 0:
                heapq.heappush(ready, (keys[follower], follower))
    return ordered


def check_flow(context: Context, ordered: list[Step], steps: Mapping[str, Step]) -> None:
    """What only the master order shows: whether going back goes back, and whether blocks stay together."""
    place = {step.id: at for at, step in enumerate(ordered)}
    for step in ordered:
        spot = context.index.steps[step.id]
        if step.back is not None and step.back.to in place and place[step.back.to] > place[step.id]:
            spot.at("back", "to").problem(
                f'"{step.back.to}" does not come before this step',
                "going back goes back",
                "Name an earlier step, or the step itself.",
            )
        if step.block is not None:
            _check_block(spot, step, ordered, place[step.id])


def _check_block(spot: Spot, step: Step, ordered: list[Step], at: int) -> None:
    """The steps of a block follow each other and go through the same list."""
    earlier = [other for other in ordered[:at] if (other.job, other.block) == (step.job, step.block)]
    if not earlier:
        return
    if ordered[at - 1] is not earlier[-1]:
        spot.at("block").problem(
            f'"{ordered[at - 1].id}" comes between the steps of the block "{step.block}"',
            "the steps of a block follow each other",
            "Move the steps together, or give them blocks of their own.",
        )
    if earlier[-1].each != step.each:
        spot.at("each").problem(
            f'the block "{step.block}" goes by "{earlier[-1].each}", this step by "{step.each}"',
            "a block goes through one list",
            "Give its steps the same each.",
        )
