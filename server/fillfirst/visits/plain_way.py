"""A way to close the car up that is not known to be the shortest, for where that is not found in time.

*To stand* it is the way by which the proof shows that there is one (`closing_up`): through the day in its
order, again and again, doing whatever closes something and opens nothing, without new fluid. *To drive* it is
the rest of the day. What turns out not to be needed is left out. `webui/core/plain-way.js` is the same in the
other language.
"""

from __future__ import annotations

from collections.abc import Sequence

from fillfirst.visits.distances import pours
from fillfirst.visits.moves import OPEN, Move, Moves, State
from fillfirst.visits.shapes import Aim
from fillfirst.visits.task import Task, rest_of

# After that many rounds through the day nothing more is closed by going through it.
ROUNDS = 3


def find_plain(moves: Moves, task: Task, aim: Aim) -> tuple[list[Move], State] | None:
    """A list and the state it leaves; None where this way finds none."""
    listed = _rest_of_day(moves, task) if aim == "to-drive" else _go_through(moves, task)
    return None if listed is None else _leave_out(listed, task)


def _rest_of_day(moves: Moves, task: Task) -> list[Move] | None:
    """The day from the latest step from which it ends well, without what is stopped or changes nothing."""
    for at in reversed(range(len(moves.day) + 1)):
        state, listed = task.start, []
        for move in moves.day[at:]:
            after = _after(move, state, task)
            if after is not None and after != state:
                state = after
                listed.append(move)
        if _rest(state, task) is not None:
            return listed
    return None


def _go_through(moves: Moves, task: Task) -> list[Move] | None:
    """What closes the car up as it is; where that does not do, once what is behind it was opened."""
    # What runs is stopped before anything else, wherever that is let through.
    conditions = {v for v, variable in enumerate(moves.variables) if variable.kind == "condition"}
    stopping = [move for move in moves.course if all(v in conditions for v, _ in move.writes)]
    for first in (stopping, []):
        for openings in ((False,), (True, False)):
            state, listed = _close(moves, first, task, task.start, False)
            for may_open in openings:
                state, more = _close(moves, moves.course, task, state, may_open)
                listed += more
            if _rest(state, task) is not None:
                return listed
    return None


def _close(
    moves: Moves, course: Sequence[Move], task: Task, state: State, may_open: bool
) -> tuple[State, list[Move]]:
    """The state after going through these moves until none of them gains anything, and those that did."""
    listed: list[Move] = []
    for _ in range(ROUNDS):
        before = len(listed)
        for move in course:
            after = _after(move, state, task)
            if after is not None and _gains(moves, move, task, state, may_open):
                state = after
                listed.append(move)
        if len(listed) == before:
            break
    return state, listed


def _gains(moves: Moves, move: Move, task: Task, state: State, may_open: bool) -> bool:
    """Whether it betters something and spoils nothing; with `may_open` it may open beside an opening."""
    closes = any(moves.variables[v].kind == "closure" for v, _ in move.writes)
    gains = False
    for v, value in move.writes:
        rests = task.resting.get(v, {})
        if v in task.levels:
            # What is full is emptied only where it has to be, to let something open be closed.
            if value and not state[v] and not closes:
                return False
        elif value not in rests and state[v] in rests and not (may_open and _is_beside_open(moves, v, state)):
            return False
        # What may be left as it is need not be brought to its end: nobody has to lower the car.
        is_end = v in task.resting and moves.variables[v].values[value] in moves.variables[v].ends
        gains = gains or (state[v] != value and not (is_end and state[v] in rests))
    return gains


def _is_beside_open(moves: Moves, closure: int, state: State) -> bool:
    """Whether another closure of its circuit is open."""
    circuit = moves.variables[closure].circuit
    return circuit is not None and any(
        variable.kind == "closure" and variable.circuit == circuit and v != closure and state[v] == OPEN
        for v, variable in enumerate(moves.variables)
    )


def _leave_out(listed: list[Move], task: Task) -> tuple[list[Move], State]:
    """The same list without what it can do without, and the state it leaves."""
    end = _play(listed, task)
    assert end is not None  # every move of it was let through
    at = 0
    while at < len(listed):
        fewer = [*listed[:at], *listed[at + 1 :]]
        other = _play(fewer, task)
        if other is None or _is_worse(_rest(other, task), _rest(end, task)):
            at += 1
        else:
            listed, end = fewer, other
    return listed, end


def _play(listed: Sequence[Move], task: Task) -> State | None:
    """The state after these moves; None where one is not let through."""
    state: State | None = task.start
    for move in listed:
        state = None if state is None else _after(move, state, task)
    return state


def _after(move: Move, state: State, task: Task) -> State | None:
    after = move.after(state)
    if after is None or pours(task.levels, state, after):
        return None
    return None if any(law.is_broken(after) for law in task.laws) else after


def _rest(state: State, task: Task) -> int | None:
    return rest_of(task.resting, range(len(state)), state)


def _is_worse(one: int | None, other: int | None) -> bool:
    return one is None or (other is not None and one > other)
