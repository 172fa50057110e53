"""All that may be done to one circuit while the rest of the car is as it is.

What is done to a circuit is no concern of the others, so `shortest_list` keeps for each of its states what it
has cost by then, and asks here what becomes of them when the shared part of the car moves on.
`webui/core/circuit-states.js` is the same in the other language.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from typing import TypeAlias

from fillfirst.visits.distances import Distances, pours
from fillfirst.visits.interchangeable import find_leads
from fillfirst.visits.moves import Cells, Law, Move, State
from fillfirst.visits.parts_of_car import Part
from fillfirst.visits.task import Task, rest_of

# For each state what it has cost by now, and the move and state it came from last.
Entries: TypeAlias = dict[State, tuple[int, Move | None, State]]


class Reached:
    """The states of one circuit; one without a move was there before the shared part moved on.

    `under` are states of the car in which nothing more comes of them. `later` remembers what becomes of them
    as the shared part moves on again, `least` what the circuit costs to its end, `end` where that is.
    """

    def __init__(self, entries: Entries, under: State) -> None:
        self.entries = entries
        self.under = [under]
        self.later: dict[object, Reached | None] = {}
        self.least: int | None = None
        self.end: tuple[int, State] | None = None

    def is_no_dearer(self, other: Reached) -> bool:
        if self is other:
            return True
        return all(
            state in self.entries and self.entries[state][0] <= cost
            for state, (cost, _, _) in other.entries.items()
        )


class Circuit:
    """One circuit of the car. Raises TooManyStates where the task is out of states."""

    def __init__(self, part: Part, task: Task) -> None:
        self.part = part
        self._task = task
        self._far = Distances(part.variables, task)
        self._most = 0
        self.is_cut = False
        #: What it costs at least from where it is; None where it can never be left.
        self.far = self._far.far
        self._around = set(part.around)
        self._leads = find_leads(part.moves, task.families, part.variables)

    def begin(self, spare: int) -> None:
        """Its states from the start; what comes dearer than it must by more than `spare` is cut off."""
        self._far.extend(spare)
        self._most = (self.far or 0) + spare
        self.is_cut = False
        own = self.part.take(self._task.start)
        self.first = self._settle({own: (0, None, own)}, self._task.start, self.part.moves)

    def carry(self, reached: Reached, asked: Cells, before: State, after: State) -> Reached | None:
        """What is left of its states, and what can be done from there, once the shared part is on."""
        around = tuple(after[v] for v in self.part.around)
        if not asked and around == tuple(before[v] for v in self.part.around):
            return reached
        key = (asked, around)
        if key not in reached.later:
            reached.later[key] = self._move_on(reached, asked, before, after)
        return reached.later[key]

    def _move_on(self, reached: Reached, asked: Cells, before: State, after: State) -> Reached | None:
        laws = [law for law in self.part.laws if _is_eased(law, after, before)]
        # What was let through before was done already, unless what came of it was left behind.
        fresh = [move for move in self.part.moves if asked or self._is_freed(move, reached.under, after)]
        kept: Entries = {
            state: (cost, None, state)
            for state, (cost, _, _) in reached.entries.items()
            if not (asked or laws) or self._stays(state, asked, after, laws)
        }
        if not fresh and len(kept) == len(reached.entries):
            reached.under.append(after)
            return reached
        return self._settle(kept, after, fresh) if kept else None

    def _stays(self, own: State, asked: Cells, whole: State, laws: Sequence[Law]) -> bool:
        state = self.part.put(own, whole)
        return all(state[v] in among for v, among in asked) and not any(law.is_broken(state) for law in laws)

    def _is_freed(self, move: Move, under: Sequence[State], after: State) -> bool:
        """Whether it may be let through now where it was stopped however the car stood before."""
        around = [cell for cell in move.needs if cell[0] in self._around]
        if any(after[v] not in among for v, among in around) or any(
            law.is_broken(after) for law in move.there
        ):
            return False
        laws = [law for law in self.part.laws if law.variables & move.touches]
        return all(
            any(before[v] not in among for v, among in around)
            or any(law.is_broken(before) for law in move.there)
            or any(_is_eased(law, before, after) for law in laws)
            for before in under
        )

    def least(self, reached: Reached) -> int | None:
        """What it costs at least until it may be left; None where it never can be."""
        if reached.least is None:
            ahead = [
                cost + left
                for state, (cost, _, _) in reached.entries.items()
                if (left := self._far.get(state)) is not None
            ]
            reached.least = min(ahead, default=None)
        return reached.least

    def end(self, reached: Reached) -> tuple[int, State] | None:
        """The cheapest state in which it may be left, and its cost; of equal ones the first."""
        if reached.end is None:
            ends = [
                (cost + rest, at, state)
                for at, (state, (cost, _, _)) in enumerate(reached.entries.items())
                if (rest := rest_of(self._task.resting, self.part.variables, state)) is not None
            ]
            total, _, state = min(ends, default=(0, 0, None))
            reached.end = None if state is None else (total, state)
        return reached.end

    def _settle(self, entries: Entries, shared: State, fresh: Sequence[Move]) -> Reached:
        """Add all its states that can be come to while the shared part stays as it is.

        From the states that are there only the `fresh` moves are tried.
        """
        if not fresh:
            return Reached(entries, shared)
        queue = [(cost, at, state) for at, (state, (cost, _, _)) in enumerate(entries.items())]
        heapq.heapify(queue)
        count = len(queue)
        while queue:
            cost, _, state = heapq.heappop(queue)
            known, last, _ = entries[state]
            if cost > known:
                continue
            self._task.budget.spend()
            before = self.part.put(state, shared)
            for move in fresh if last is None else self.part.moves:
                after = self._after(move, before)
                if after is None:
                    continue
                there, total = self.part.take(after), cost + self._task.costs[move.id]
                if there in entries and total >= entries[there][0]:
                    continue
                if self._is_of_use(there, total):
                    entries[there] = (total, move, state)
                    count += 1
                    heapq.heappush(queue, (total, count, there))
        return Reached(entries, shared)

    def _is_of_use(self, state: State, cost: int) -> bool:
        ahead = self._far.get(state)
        is_dear = not self._far.is_whole if ahead is None else cost + ahead > self._most
        self.is_cut = self.is_cut or is_dear
        return ahead is not None and not is_dear

    def _after(self, move: Move, before: State) -> State | None:
        if move.id in self._leads and self._leads[move.id].holds_back(before):
            return None
        after = move.after(before)
        if after is None or pours(self._task.levels, before, after):
            return None
        return None if any(law.is_broken(after) for law in self.part.laws) else after


def _is_eased(law: Law, before: State, after: State) -> bool:
    """Whether a law may be broken in the one state of the car and no longer in the other."""
    return any(before[v] not in among and after[v] in among for v, among in law.musts) or any(
        before[v] in among and after[v] not in among for group in law.whiles for v, among in group
    )


def trace_circuit(stretches: Sequence[Reached], state: State) -> list[list[Move]]:
    """How a circuit came to this state, for each stretch between two moves of the shared part."""
    done: list[list[Move]] = [[] for _ in stretches]
    for here in reversed(range(len(stretches))):
        reached = stretches[here]
        if here and reached is stretches[here - 1]:
            continue
        _, move, before = reached.entries[state]
        while move is not None:
            done[here].insert(0, move)
            state = before
            _, move, before = reached.entries[state]
    return done
