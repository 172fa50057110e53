"""Make safe: the shortest list of steps that closes the car up from the state it is in.

Two aims. A car is closed up *to stand*: nothing is open, nothing runs, and no new fluid is needed; what is
empty stays empty and is told. Or *to drive*: it is full as well, as at the end of a visit, though perhaps
with its old fluid. Every step of a list is one that the gate lets through when its turn comes.

Where the shortest is not found in as many states as may be tried, the list is another one (`plain_way`) and
says so. `webui/core/make-safe.js` is the same in the other language, under the same vectors.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from fillfirst.specs.linked import Specs
from fillfirst.visits.moves import Moves
from fillfirst.visits.plain_way import find_plain
from fillfirst.visits.shapes import Aim, Composition
from fillfirst.visits.shortest_list import find_shortest
from fillfirst.visits.task import LIMIT, TooManyStates, task_of


class SafeList(TypedDict):
    """`steps` are instances in order; `left`, by variable, is what then is not as at the end of a visit.

    `shortest` is whether none can be better; false where that would have taken too long to find out.
    """

    steps: list[str]
    seconds: int
    left: dict[str, str]
    shortest: bool


def make_safe(
    specs: Specs,
    composition: Composition,
    variables: Mapping[str, str],
    aim: Aim,
    limit: int | None = LIMIT,
) -> SafeList | None:
    """The shortest list that closes the car up, or another one where that takes more than `limit` states.

    None where no list is known: there is none, or after `limit` states none was found.
    """
    moves = Moves(specs, composition)
    task = task_of(moves, moves.state_of(variables), aim, limit)
    try:
        found, shortest = find_shortest(moves, task), True
    except TooManyStates:
        found, shortest = find_plain(moves, task, aim), False
    if found is None:
        return None
    steps, end = found
    told = zip(moves.told(end).items(), moves.variables, strict=True)
    return {
        "steps": [move.id for move in steps],
        "seconds": sum(move.seconds for move in steps),
        "left": {id: value for (id, value), variable in told if value not in variable.ends},
        "shortest": shortest,
    }
