"""What Make safe is asked: from which state, by which moves and under which laws, and how each end counts.

`webui/core/task.js` is the same in the other language.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fillfirst.visits.interchangeable import Family, find_families
from fillfirst.visits.moves import Law, Move, Moves, State
from fillfirst.visits.shapes import Aim
from fillfirst.visits.usefulness import Resting, find_usable, find_useful

# One step outweighs all minutes of a visit, and one thing left open outweighs all its steps.
STEP = 2**20
LEFT = 2**30

# So many states may be tried for one list: enough for a gearbox pan with twenty screws.
LIMIT = 20_000


class TooManyStates(Exception):  # noqa: N818  a sign to go another way, which nobody outside meets
    """The list is not found within the states that may be tried."""


class Budget:
    """The states that may still be tried; without a limit any number."""

    def __init__(self, limit: int | None) -> None:
        self._left = limit

    def spend(self) -> None:
        """Raises TooManyStates where none is left."""
        if self._left is None:
            return
        if self._left == 0:
            raise TooManyStates
        self._left -= 1


@dataclass(frozen=True)
class Task:
    """`usable` are the moves that a shortest list may have, `costs` what each counts by its id.

    `sizes` are how many values each variable has.
    """

    start: State
    usable: Sequence[Move]
    laws: Sequence[Law]
    resting: Resting
    levels: frozenset[int]
    costs: Mapping[str, int]
    sizes: Sequence[int]
    families: Sequence[Family]
    budget: Budget


def task_of(moves: Moves, start: State, aim: Aim, limit: int | None) -> Task:
    level, rests = levels(moves, aim), resting(moves, aim)
    laws = [law for law in moves.laws if not law.is_broken(start)]
    usable = find_useful(moves, find_usable(moves, laws, start, level), laws, start, rests)
    costs = {move.id: STEP + move.seconds for move in usable}
    sizes = [len(variable.values) for variable in moves.variables]
    return Task(start, usable, laws, rests, level, costs, sizes, find_families(moves), Budget(limit))


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


def rest_of(resting: Resting, variables: Sequence[int], state: State) -> int | None:
    """How bad it is to leave these variables in this state; None where they may not be left."""
    total = 0
    for v, value in zip(variables, state, strict=True):
        if v in resting:
            if value not in resting[v]:
                return None
            total += resting[v][value]
    return total
