"""Make safe: the shortest list of steps that closes the car up from the state it is in.

Two aims. A car is closed up *to stand*: nothing is open, nothing runs, and no new fluid is needed; what is
empty stays empty and is told. Or *to drive*: it is full as well, as at the end of a visit, though perhaps
with its old fluid. Every step of a list is one that the gate lets through when its turn comes.

The search is exact: first that as little as possible is left, then the fewest steps, then the fewest
minutes. It tries ways of the shared part of the car only (`parts_of_car`); for each circuit it keeps what
every state of it has cost by then, since what is done there is no concern of the others.
`webui/core/make-safe.js` is the same in the other language, under the same vectors.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias, TypedDict

from fillfirst.specs.linked import Specs
from fillfirst.visits.distances import Distances, pours, rest_of
from fillfirst.visits.moves import Cells, Law, Move, Moves, State
from fillfirst.visits.parts_of_car import Part, take_apart
from fillfirst.visits.shapes import Aim, Composition
from fillfirst.visits.usefulness import find_usable, find_useful

# One step outweighs all minutes of a visit, and one thing left open outweighs all its steps.
STEP = 2**20
LEFT = 2**30


class SafeList(TypedDict):
    """`steps` are instances in order; `left`, by variable, is what then is not as at the end of a visit."""

    steps: list[str]
    seconds: int
    left: dict[str, str]


def make_safe(
    specs: Specs, composition: Composition, variables: Mapping[str, str], aim: Aim
) -> SafeList | None:
    """The shortest list that closes the car up; None where no steps of this visit can."""
    moves = Moves(specs, composition)
    found = _Search(moves, moves.state_of(variables), aim).run()
    if found is None:
        return None
    steps, end = found
    told = zip(moves.told(end).items(), moves.variables, strict=True)
    return {
        "steps": [move.id for move in steps],
        "seconds": sum(move.seconds for move in steps),
        "left": {id: value for (id, value), variable in told if value not in variable.ends},
    }


def resting(moves: Moves, aim: Aim) -> dict[int, dict[int, int]]:
    """For each variable the values in which it may be left, and how bad each is; the others do not matter."""
    found: dict[int, dict[int, int]] = {}
    for at, variable in enumerate(moves.variables):
        is_moved = variable.kind in ("closure", "condition")
        if variable.kind == "fluid" or (aim == "to-stand" and not is_moved):
            continue
        values = variable.rests if aim == "to-stand" and variable.rests else variable.ends
        found[at] = {
            variable.values.index(value): 0 if value in variable.ends else rank * LEFT
            for rank, value in enumerate(values)
        }
    return found


def levels(moves: Moves, aim: Aim) -> frozenset[int]:
    """What only new fluid can better, and must not get better: nothing, where there is new fluid."""
    if aim == "to-drive":
        return frozenset()
    return frozenset(
        at for at, variable in enumerate(moves.variables) if variable.kind in ("circuit", "fluid")
    )


# For each state what it has cost by now, and the move and state it came from last.
_Entries: TypeAlias = dict[State, tuple[int, Move | None, State]]


class _Reached:
    """The states of one circuit; one without a move was there before the shared part moved on.

    `later` remembers what becomes of them as it moves on again, `least` what is still ahead.
    """

    def __init__(self, entries: _Entries) -> None:
        self.entries = entries
        self.later: dict[object, _Reached | None] = {}
        self.least: int | None = None

    def is_no_dearer(self, other: _Reached) -> bool:
        if self is other:
            return True
        return all(
            state in self.entries and self.entries[state][0] <= cost
            for state, (cost, _, _) in other.entries.items()
        )


@dataclass(eq=False)
class _Way:
    """One way of the shared part: its state and cost, and all that the circuits may have done meanwhile."""

    state: State
    cost: int
    circuits: list[_Reached]
    move: Move | None = None
    before: _Way | None = None

    def is_no_dearer(self, other: _Way) -> bool:
        pairs = zip(self.circuits, other.circuits, strict=True)
        return self.cost <= other.cost and all(one.is_no_dearer(two) for one, two in pairs)

    def back_to_start(self) -> Iterator[_Way]:
        way: _Way | None = self
        while way is not None:
            yield way
            way = way.before


class _Search:
    def __init__(self, moves: Moves, start: State, aim: Aim) -> None:
        self._start = start
        self._count = 0
        self._levels = levels(moves, aim)
        self._resting = resting(moves, aim)
        laws = [law for law in moves.laws if not law.is_broken(start)]
        usable = find_usable(moves, laws, start, self._levels)
        usable = find_useful(moves, usable, laws, start, self._resting)
        self._order = {move.id: at for at, move in enumerate(usable)}
        self._costs = {move.id: STEP + move.seconds for move in usable}
        self._shared, self._circuits = take_apart(moves, usable, laws)
        self._far = [self._distances(part.variables, usable, laws) for part in self._circuits]
        self._shared_far = [
            self._distances(variables, usable, laws) for variables in self._shared.moved_together()
        ]
        own = set(self._shared.variables)
        # A move of the shared part, and what it asks of each circuit.
        self._shared_moves = [
            (
                replace(move, needs=tuple(cell for cell in move.needs if cell[0] in own)),
                [tuple(cell for cell in move.needs if cell[0] in part.variables) for part in self._circuits],
            )
            for move in self._shared.moves
        ]

    def _distances(self, variables: Sequence[int], usable: list[Move], laws: list[Law]) -> Distances:
        return Distances(variables, usable, laws, self._start, self._resting, self._levels, self._costs)

    def run(self) -> tuple[list[Move], State] | None:
        """The moves of the cheapest list and the state they leave."""
        circuits = [
            self._settle(part, {part.take(self._start): (0, None, part.take(self._start))}, self._start)
            for part in self._circuits
        ]
        queue: list[tuple[int, int, int, bool, _Way]] = []
        tried: dict[State, list[_Way]] = {}
        self._push(queue, self._estimate(first := _Way(self._start, 0, circuits)), False, first)
        while queue:
            *_, is_end, way = heapq.heappop(queue)
            if is_end:
                return self._trace(way)
            others = tried.setdefault(way.state, [])
            if any(other.is_no_dearer(way) for other in others):
                continue
            others.append(way)
            self._push(queue, self._total(way), True, way)
            for move, asks in self._shared_moves:
                on = self._go(way, move, asks)
                if on is not None:
                    self._push(queue, self._estimate(on), False, on)
        return None

    def _push(
        self, queue: list[tuple[int, int, int, bool, _Way]], total: int | None, is_end: bool, way: _Way
    ) -> None:
        """Of ways that promise the same, an end goes first, then the one that has come farthest."""
        if total is not None:
            self._count += 1
            heapq.heappush(queue, (total, -way.cost, self._count, is_end, way))

    # The shared part ------------------------------------------------------------------------------

    def _go(self, way: _Way, move: Move, asks: list[Cells]) -> _Way | None:
        after = move.after(way.state)
        if after is None or after == way.state or pours(self._levels, way.state, after):
            return None
        if any(law.is_broken(after) for law in self._shared.laws):
            return None
        circuits = []
        for part, reached, asked in zip(self._circuits, way.circuits, asks, strict=True):
            on = self._carry(part, reached, asked, way.state, after)
            if on is None:
                return None
            circuits.append(on)
        return _Way(after, way.cost + self._costs[move.id], circuits, move, way)

    def _carry(
        self, part: Part, reached: _Reached, asked: Cells, before: State, after: State
    ) -> _Reached | None:
        """What is left of a circuit's states, and what can be done from there, once the shared part is on."""
        around = tuple(after[v] for v in part.around)
        if not asked and around == tuple(before[v] for v in part.around):
            return reached
        key = (asked, around)
        if key not in reached.later:
            kept: _Entries = {
                state: (cost, None, state)
                for state, (cost, _, _) in reached.entries.items()
                if part.allows(state, asked, after)
            }
            reached.later[key] = self._settle(part, kept, after) if kept else None
        return reached.later[key]

    # One circuit -----------------------------------------------------------------------------------

    def _settle(self, part: Part, entries: _Entries, shared: State) -> _Reached:
        """Add all states of a circuit that can be come to while the shared part stays as it is."""
        queue = [(cost, at, state) for at, (state, (cost, _, _)) in enumerate(entries.items())]
        heapq.heapify(queue)
        count = len(queue)
        while queue:
            cost, _, state = heapq.heappop(queue)
            if cost > entries[state][0]:
                continue
            before = part.put(state, shared)
            for move in part.moves:
                after = move.after(before)
                if after is None or pours(self._levels, before, after):
                    continue
                if any(law.is_broken(after) for law in part.laws):
                    continue
                there, total = part.take(after), cost + self._costs[move.id]
                if there not in entries or total < entries[there][0]:
                    entries[there] = (total, move, state)
                    count += 1
                    heapq.heappush(queue, (total, count, there))
        return _Reached(entries)

    # Costs -----------------------------------------------------------------------------------------

    def _estimate(self, way: _Way) -> int | None:
        """What the whole list will cost at least; None where it cannot end."""
        total = way.cost
        for far in self._shared_far:
            cost = far.of(way.state)
            if cost is None:
                return None
            total += cost
        for far, reached in zip(self._far, way.circuits, strict=True):
            if reached.least is None:
                ahead = [
                    cost + left
                    for state, (cost, _, _) in reached.entries.items()
                    if (left := far.get(state)) is not None
                ]
                if not ahead:
                    return None
                reached.least = min(ahead)
            total += reached.least
        return total

    def _total(self, way: _Way) -> int | None:
        """What the list costs when it ends here; None where the car may not be left like this."""
        total = self._rest(self._shared, self._shared.take(way.state))
        if total is None:
            return None
        for part, reached in zip(self._circuits, way.circuits, strict=True):
            end = self._find_end(part, reached)
            if end is None:
                return None
            total += end[0]
        return way.cost + total

    def _find_end(self, part: Part, reached: _Reached) -> tuple[int, State] | None:
        """The cheapest state in which a circuit may be left, and its cost; of equal ones the first."""
        ends = [
            (cost + rest, at, state)
            for at, (state, (cost, _, _)) in enumerate(reached.entries.items())
            if (rest := self._rest(part, state)) is not None
        ]
        if not ends:
            return None
        total, _, state = min(ends)
        return total, state

    def _rest(self, part: Part, state: State) -> int | None:
        return rest_of(self._resting, part.variables, state)

    # The list ---------------------------------------------------------------------------------------

    def _trace(self, last: _Way) -> tuple[list[Move], State]:
        """The moves of all parts in one list, and the state at its end."""
        ways = list(last.back_to_start())[::-1]
        done: list[list[list[Move]]] = [[] for _ in ways]
        end = last.state
        for at, part in enumerate(self._circuits):
            found = self._find_end(part, last.circuits[at])
            assert found is not None  # only ways that may end here are traced
            end = part.put(found[1], end)
            for moves, sequence in zip(done, self._trace_circuit(ways, at, found[1]), strict=True):
                moves.append(sequence)
        listed: list[Move] = []
        for way, sequences in zip(ways, done, strict=True):
            listed += [way.move] if way.move is not None else []
            listed += self._merge(sequences)
        return listed, end

    def _trace_circuit(self, ways: list[_Way], at: int, state: State) -> list[list[Move]]:
        """What was done to a circuit, for each stretch between two moves of the shared part."""
        done: list[list[Move]] = [[] for _ in ways]
        for here in reversed(range(len(ways))):
            reached = ways[here].circuits[at]
            if here and reached is ways[here - 1].circuits[at]:
                continue
            _, move, before = reached.entries[state]
            while move is not None:
                done[here].insert(0, move)
                state = before
                _, move, before = reached.entries[state]
        return done

    def _merge(self, sequences: list[list[Move]]) -> Iterator[Move]:
        """What different circuits do in one stretch, in the order of the day."""
        waiting = [list(moves) for moves in sequences if moves]
        while waiting:
            first = min(waiting, key=lambda moves: self._order[moves[0].id])
            yield first.pop(0)
            waiting = [moves for moves in waiting if moves]
