"""The shortest list of moves that closes the car up.

It leaves as little as possible, then takes the fewest steps, then the fewest minutes. The search is exact.
It tries ways of the shared part of the car only (`parts_of_car`), and keeps for each of them all that the
circuits may have done meanwhile (`circuit_states`). `webui/core/shortest-list.js` is the same in the other
language.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass, replace

from fillfirst.visits.circuit_states import Circuit, Reached, trace_circuit
from fillfirst.visits.distances import Distances, pours
from fillfirst.visits.interchangeable import find_leads
from fillfirst.visits.moves import Cells, Move, Moves, State
from fillfirst.visits.parts_of_car import take_apart
from fillfirst.visits.task import STEP, Task, rest_of

# A list is looked for that costs so much more than it must at least, and where there is none, more and more.
SPARE = 8 * STEP
MORE = 4


@dataclass(eq=False)
class _Way:
    """One way of the shared part: its state and cost, and all that the circuits may have done meanwhile."""

    state: State
    cost: int
    circuits: list[Reached]
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


def find_shortest(moves: Moves, task: Task) -> tuple[list[Move], State] | None:
    """The moves of the cheapest list and the state they leave; None where there is no list.

    Raises TooManyStates where the task is out of them.
    """
    return _Search(moves, task).run()


class _Search:
    def __init__(self, moves: Moves, task: Task) -> None:
        self._task = task
        self._count = 0
        self._order = {move.id: at for at, move in enumerate(task.usable)}
        self._shared, parts = take_apart(moves, list(task.usable), list(task.laws))
        self._circuits = [Circuit(part, task) for part in parts]
        self._far = [Distances(variables, task) for variables in self._shared.moved_together()]
        for far in self._far:
            far.extend()
        self._leads = find_leads(self._shared.moves, task.families, self._shared.variables)
        own = set(self._shared.variables)
        # A move of the shared part, and what it asks of each circuit.
        self._moves = [
            (
                replace(move, needs=tuple(cell for cell in move.needs if cell[0] in own)),
                [tuple(cell for cell in move.needs if cell[0] in part.variables) for part in parts],
            )
            for move in self._shared.moves
        ]

    def run(self) -> tuple[list[Move], State] | None:
        """Lists that cost hardly more than they must at least are looked for first, then dearer ones."""
        least = self._least_of_all()
        if least is None:
            return None
        spare = SPARE
        while True:
            self._is_cut = False
            for circuit in self._circuits:
                circuit.begin(spare)
            last = self._find_end(least + spare)
            if last is not None:
                return self._trace(last)
            if not (self._is_cut or any(circuit.is_cut for circuit in self._circuits)):
                return None
            spare *= MORE

    def _find_end(self, most: int) -> _Way | None:
        """The cheapest way that ends, of those that count no more than this."""
        queue: list[tuple[int, int, int, bool, _Way]] = []
        tried: dict[State, list[_Way]] = {}
        first = _Way(self._task.start, 0, [circuit.first for circuit in self._circuits])
        self._push(queue, self._estimate(first), False, first)
        while queue:
            total, _, _, is_end, way = heapq.heappop(queue)
            if total > most:
                self._is_cut = True
                return None
            if is_end:
                return way
            others = tried.setdefault(way.state, [])
            if any(other.is_no_dearer(way) for other in others):
                continue
            self._task.budget.spend()
            others.append(way)
            self._push(queue, self._total(way), True, way)
            for move, asks in self._moves:
                on = self._go(way, move, asks)
                if on is not None:
                    self._push(queue, self._estimate(on), False, on)
        return None

    def _least_of_all(self) -> int | None:
        """What any list costs at least; None where there is none."""
        far = [*(circuit.far for circuit in self._circuits), *(distances.far for distances in self._far)]
        known = [cost for cost in far if cost is not None]
        return sum(known) if len(known) == len(far) else None

    def _push(
        self, queue: list[tuple[int, int, int, bool, _Way]], total: int | None, is_end: bool, way: _Way
    ) -> None:
        """Of ways that promise the same, the one that has come farthest goes first."""
        if total is not None:
            self._count += 1
            heapq.heappush(queue, (total, -way.cost, self._count, is_end, way))

    def _go(self, way: _Way, move: Move, asks: list[Cells]) -> _Way | None:
        if move.id in self._leads and self._leads[move.id].holds_back(way.state):
            return None
        after = move.after(way.state)
        if after is None or after == way.state or pours(self._task.levels, way.state, after):
            return None
        if any(law.is_broken(after) for law in self._shared.laws):
            return None
        circuits = []
        for circuit, reached, asked in zip(self._circuits, way.circuits, asks, strict=True):
            on = circuit.carry(reached, asked, way.state, after)
            if on is None:
                return None
            circuits.append(on)
        return _Way(after, way.cost + self._task.costs[move.id], circuits, move, way)

    def _estimate(self, way: _Way) -> int | None:
        """What the whole list will cost at least; None where it cannot end."""
        total = way.cost
        for far in self._far:
            cost = far.of(way.state)
            if cost is None:
                return None
            total += cost
        for circuit, reached in zip(self._circuits, way.circuits, strict=True):
            least = circuit.least(reached)
            if least is None:
                return None
            total += least
        return total

    def _total(self, way: _Way) -> int | None:
        """What the list costs when it ends here; None where the car may not be left like this."""
        total = rest_of(self._task.resting, self._shared.variables, self._shared.take(way.state))
        if total is None:
            return None
        for circuit, reached in zip(self._circuits, way.circuits, strict=True):
            end = circuit.end(reached)
            if end is None:
                return None
            total += end[0]
        return way.cost + total

    def _trace(self, last: _Way) -> tuple[list[Move], State]:
        """The moves of all parts in one list, and the state at its end."""
        ways = list(last.back_to_start())[::-1]
        done: list[list[list[Move]]] = [[] for _ in ways]
        end = last.state
        for at, circuit in enumerate(self._circuits):
            found = circuit.end(last.circuits[at])
            assert found is not None  # only ways that may end here are traced
            end = circuit.part.put(found[1], end)
            sequences = trace_circuit([way.circuits[at] for way in ways], found[1])
            for moves, sequence in zip(done, sequences, strict=True):
                moves.append(sequence)
        listed: list[Move] = []
        for way, stretch in zip(ways, done, strict=True):
            listed += [way.move] if way.move is not None else []
            listed += self._merge(stretch)
        return listed, end

    def _merge(self, sequences: list[list[Move]]) -> Iterator[Move]:
        """What different circuits do in one stretch, in the order of the day."""
        waiting = [list(moves) for moves in sequences if moves]
        while waiting:
            first = min(waiting, key=lambda moves: self._order[moves[0].id])
            yield first.pop(0)
            waiting = [moves for moves in waiting if moves]
