"""How far a part of the car is from where it may be left, were nothing else in the way.

`make_safe` searches along these distances. They are never too long: each takes one part by itself, and leaves
out what the rest of the car would forbid. Only states are looked at through which a list may lead that costs
hardly more than the cheapest; more of them when that is not enough. `webui/core/distances.js` is the same in
the other language.
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from fillfirst.visits.interchangeable import find_leads
from fillfirst.visits.moves import USED, Law, Move, State
from fillfirst.visits.task import Task, rest_of


def pours(levels: Collection[int], before: Sequence[int], after: Sequence[int]) -> bool:
    """Whether this takes new fluid: some circuit is fuller than before, or its fluid newer."""
    return any(after[v] < before[v] for v in levels)


class Distances:
    """The cost from each state of some variables to the best in which they may be left.

    `far` is that of the state they are in now; None where they can never be left. `is_whole` says that no
    state is missing. Raises TooManyStates where the task is out of states.
    """

    def __init__(self, variables: Sequence[int], task: Task) -> None:
        self.variables = variables
        self._task = task
        own = set(variables)
        self._moves, self._laws = _within(task.usable, own), _laws_within(task.laws, own)
        self._leads = find_leads(self._moves, task.families, variables)
        self._levels = task.levels & own
        self._ahead = [_ahead_of(v, self._moves, task) for v in variables]
        self._whole = list(task.start)
        self._least: dict[State, int] = {}
        self.far: int | None = None

        # What each state costs from the start, the states one move before it, and those that wait.
        self._from_start: dict[State, int] = {}
        self._back: dict[State, list[tuple[State, int]]] = {}
        self._queue: list[tuple[int, int, State]] = []
        self._see(tuple(task.start[v] for v in variables), 0)
        while self._queue and (self.far is None or self._queue[0][0] < self.far):
            self._look_on()

    def extend(self, spare: int | None = None) -> None:
        """Look at all states through which it may cost so much more than it must, or at all there are."""
        while self._queue and (spare is None or self._queue[0][0] <= (self.far or 0) + spare):
            self._look_on()
        ends = {state: rest_of(self._task.resting, self.variables, state) for state in self._back}
        self._least = _spread(self._back, ends)

    @property
    def is_whole(self) -> bool:
        return not self._queue

    def get(self, state: State) -> int | None:
        """The cost from a state of these variables; None where it was not looked at or cannot be left."""
        return self._least.get(state)

    def of(self, whole: State) -> int | None:
        """The same, from a state of the whole car."""
        return self._least.get(tuple(whole[v] for v in self.variables))

    def _see(self, state: State, cost: int) -> None:
        """Wait with a state for its turn, unless one of its variables can never be left."""
        ahead = 0
        for value, known in zip(state, self._ahead, strict=True):
            if value not in known:
                return
            ahead += known[value]
        self._from_start[state] = cost
        self._back.setdefault(state, [])
        heapq.heappush(self._queue, (cost + ahead, cost, state))

    def _look_on(self) -> None:
        """Look at the state that promises most, and see those that are one move on."""
        _, cost, here = heapq.heappop(self._queue)
        if cost > self._from_start[here]:
            return
        self._task.budget.spend()
        rest = rest_of(self._task.resting, self.variables, here)
        if rest is not None and (self.far is None or cost + rest < self.far):
            self.far = cost + rest
        for v, value in zip(self.variables, here, strict=True):
            self._whole[v] = value
        for move in self._moves:
            there = self._after(move)
            if there is None or there == here:
                continue
            total = cost + self._task.costs[move.id]
            if total < self._from_start.get(there, total + 1):
                self._see(there, total)
            if there in self._back:
                self._back[there].append((here, self._task.costs[move.id]))

    def _after(self, move: Move) -> State | None:
        if move.id in self._leads and self._leads[move.id].holds_back(self._whole):
            return None
        after = move.after(self._whole)
        if after is None or pours(self._levels, self._whole, after):
            return None
        return (
            None
            if any(law.is_broken(after) for law in self._laws)
            else tuple(after[v] for v in self.variables)
        )


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


def _ahead_of(v: int, moves: Sequence[Move], task: Task) -> dict[int, int]:
    """What one variable by itself costs at least from each value; none where it can never be left.

    A move that writes several counts for each of them in parts, so that no sum is too high.
    """
    values = range(task.sizes[v])
    least = {at: rest for at in values if (rest := rest_of(task.resting, [v], (at,))) is not None}
    ways = [
        (value, task.costs[move.id] // len(move.touches), [among for at, among in move.needs if at == v])
        for move in moves
        for at, value in _writings(move)
        if at == v
    ]
    for _ in values:
        for value, cost, needs in ways:
            for at in values:
                if value in least and all(at in among for among in needs):
                    least[at] = min(least.get(at, least[value] + cost), least[value] + cost)
    return least


def _writings(move: Move) -> list[tuple[int, int]]:
    return [*move.writes, *((part, USED) for _, parts in move.opens for part in parts)]


def _spread(
    back: Mapping[State, list[tuple[State, int]]], ends: Mapping[State, int | None]
) -> dict[State, int]:
    """The least cost from each state to an end, the cost of that end included."""
    least = {state: cost for state, cost in ends.items() if cost is not None}
    queue = [(cost, state) for state, cost in least.items()]
    heapq.heapify(queue)
    while queue:
        cost, state = heapq.heappop(queue)
        if cost > least[state]:
            continue
        for before, step in back[state]:
            if cost + step < least.get(before, cost + step + 1):
                least[before] = cost + step
                heapq.heappush(queue, (cost + step, before))
    return least
