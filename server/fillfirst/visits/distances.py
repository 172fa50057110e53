"""How far a part of the car is from where it may be left, were nothing else in the way.

`make_safe` searches along these distances. They are never too long: each takes one part by itself, and leaves
out what the rest of the car would forbid. `webui/core/distances.js` is the same in the other language.
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from fillfirst.visits.interchangeable import find_leads
from fillfirst.visits.moves import Law, Move, State
from fillfirst.visits.task import Task, rest_of


def pours(levels: Collection[int], before: Sequence[int], after: Sequence[int]) -> bool:
    """Whether this takes new fluid: some circuit is fuller than before, or its fluid newer."""
    return any(after[v] < before[v] for v in levels)


class Distances:
    """The cost from each state of some variables to the best in which they may be left.

    Raises TooManyStates where the task is out of states.
    """

    def __init__(self, variables: Sequence[int], task: Task) -> None:
        self.variables = variables
        edges = _explore(variables, task)
        self._costs = _spread(edges, {state: rest_of(task.resting, variables, state) for state in edges})

    def get(self, state: State) -> int | None:
        """The cost from a state of these variables; None where they can never be left."""
        return self._costs.get(state)

    def of(self, whole: State) -> int | None:
        """The same, from a state of the whole car."""
        return self._costs.get(tuple(whole[v] for v in self.variables))


def _within(usable: Sequence[Move], own: set[int]) -> list[Move]:
    return [
        replace(
            move,
            needs=tuple(cell for cell in move.needs if cell[0] in own),
            there=(),
        )
        for move in usable
        if move.touches & own
    ]


def _laws_within(laws: Sequence[Law], own: set[int]) -> list[Law]:
    return [
        Law(law.whiles, tuple(cell for cell in law.musts if cell[0] in own))
        for law in laws
        if all(v in own for group in law.whiles for v, _ in group)
    ]


def _explore(variables: Sequence[int], task: Task) -> dict[State, list[tuple[State, int]]]:
    """From every state that can be come to, the states one move on, each with its cost."""
    own = set(variables)
    moves, laws = _within(task.usable, own), _laws_within(task.laws, own)
    leads = find_leads(moves, task.families, variables)
    near = task.levels & own
    first = tuple(task.start[v] for v in variables)
    edges: dict[State, list[tuple[State, int]]] = {first: []}
    waiting = [first]
    whole = list(task.start)
    while waiting:
        task.budget.spend()
        here = waiting.pop()
        for v, value in zip(variables, here, strict=True):
            whole[v] = value
        for move in moves:
            if move.id in leads and leads[move.id].holds_back(whole):
                continue
            after = move.after(whole)
            if after is None or pours(near, whole, after) or any(law.is_broken(after) for law in laws):
                continue
            there = tuple(after[v] for v in variables)
            if there == here:
                continue
            edges[here].append((there, task.costs[move.id]))
            if there not in edges:
                edges[there] = []
                waiting.append(there)
    return edges


def _spread(
    edges: Mapping[State, list[tuple[State, int]]], ends: Mapping[State, int | None]
) -> dict[State, int]:
    """The least cost from each state to an end, the cost of that end included."""
    back: dict[State, list[tuple[State, int]]] = {state: [] for state in edges}
    for here, ways in edges.items():
        for there, cost in ways:
            back[there].append((here, cost))
    queue = [(cost, state) for state, cost in ends.items() if cost is not None]
    heapq.heapify(queue)
    least: dict[State, int] = {}
    while queue:
        cost, state = heapq.heappop(queue)
        if state in least:
            continue
        least[state] = cost
        for before, step in back[state]:
            if before not in least:
                heapq.heappush(queue, (cost + step, before))
    return least
