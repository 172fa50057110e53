"""Which moves a list may need at all, so that `make_safe` tries no others.

Some moves can never be made from here (`find_usable`). Of the others, those are of use that bring about
something wanted which is not so now, or which another useful move puts at risk (`find_useful`). The shortest
list has no others in it: take them out, and every move that is left still finds what it needs.
`webui/core/usefulness.js` is the same in the other language.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import TypeAlias

from fillfirst.visits.moves import CLOSED, USED, Law, Move, Moves, State

# For every value in which a variable may be left, how bad that is; no entry where it does not matter.
Resting: TypeAlias = Mapping[int, Mapping[int, int]]


def find_usable(moves: Moves, laws: Sequence[Law], start: State, levels: Collection[int]) -> list[Move]:
    """The moves that may ever be made from here, were everything once reached there for good."""
    reached = [{value} for value in start]
    waiting = {move.id: move for move in moves.all}
    laws_on = _laws_on(moves.all, laws)
    usable: set[str] = set()
    while True:
        ready = [move for move in waiting.values() if _may_be_made(move, laws_on[move.id], reached, levels)]
        if not ready:
            return [move for move in moves.all if move.id in usable]
        for move in ready:
            del waiting[move.id]
            usable.add(move.id)
            for v, value in move.writes:
                reached[v].add(value)
            for closure, parts in move.opens:
                for part in parts if CLOSED in reached[closure] else ():
                    reached[part].add(USED)


def _laws_on(moves: Sequence[Move], laws: Sequence[Law]) -> dict[str, list[Law]]:
    """For each move the laws that speak of what it writes."""
    return {move.id: [law for law in laws if law.variables & move.touches] for move in moves}


def _may_be_made(
    move: Move, laws: Sequence[Law], reached: Sequence[set[int]], levels: Collection[int]
) -> bool:
    written = dict(move.writes)
    return (
        all(reached[v] & among for v, among in move.needs)
        and not any(v in levels and min(reached[v]) > value for v, value in move.writes)
        and not any(
            reached[part] == {USED} and part not in written
            for closure, value, parts in move.tightens
            for part in parts
            if reached[closure] != {value}
        )
        and not any(_is_surely_broken(law, {}, reached) for law in move.there)
        and not any(_is_surely_broken(law, written, reached) for law in (*move.there, *laws))
    )


def _is_surely_broken(law: Law, written: Mapping[int, int], reached: Sequence[set[int]]) -> bool:
    def can_be(v: int) -> set[int]:
        return {written[v]} if v in written else reached[v]

    holds = all(any(can_be(v) <= among for v, among in group) for group in law.whiles)
    return holds and any(not can_be(v) & among for v, among in law.musts)


def find_useful(
    moves: Moves, usable: Sequence[Move], laws: Sequence[Law], start: State, resting: Resting
) -> list[Move]:
    """Of the usable moves those that may be in the shortest list."""
    counts = [len(variable.values) for variable in moves.variables]
    laws_on = _laws_on(usable, laws)
    # What each variable may come to by useful moves, and what is wanted of it.
    comes_to = [{value} for value in start]
    wanted: list[set[int]] = [set() for _ in start]
    useful: set[str] = set()
    while True:
        for v, values in resting.items():
            worst = max(values.get(value, len(values) << 40) for value in comes_to[v])
            wanted[v].update(value for value, cost in values.items() if cost < worst)
        for move in usable:
            for v, among in _wishes(move, laws_on[move.id], comes_to, counts) if move.id in useful else ():
                if not comes_to[v] <= among:
                    wanted[v] |= among
        more = [
            move
            for move in usable
            if move.id not in useful and any(value in wanted[v] for v, value in move.writes)
        ]
        if not more:
            return [move for move in usable if move.id in useful]
        for move in more:
            useful.add(move.id)
            for v, value in move.writes:
                comes_to[v].add(value)
            for _, parts in move.opens:
                for part in parts:
                    comes_to[part].add(USED)


def _wishes(
    move: Move, laws: Sequence[Law], comes_to: Sequence[set[int]], counts: Sequence[int]
) -> Iterator[tuple[int, frozenset[int]]]:
    """All that has to be so, or might have to be, for a move to be made."""
    yield from move.needs
    written = dict(move.writes)
    for _, _, parts in move.tightens:
        yield from ((part, frozenset({0, 1})) for part in parts if part not in written)
    for law in move.there:
        yield from _ways_to_keep(law, {}, comes_to, counts)
    for law in laws:
        yield from _ways_to_keep(law, written, comes_to, counts)


def _ways_to_keep(
    law: Law, written: Mapping[int, int], comes_to: Sequence[set[int]], counts: Sequence[int]
) -> Iterator[tuple[int, frozenset[int]]]:
    """What keeps a law from being broken once this is written; nothing where it cannot be."""
    for group in law.whiles:
        if not any(({written[v]} if v in written else comes_to[v]) & among for v, among in group):
            return
    if all(v in written and written[v] in among for v, among in law.musts):
        return
    yield from ((v, among) for v, among in law.musts if v not in written)
    for group in law.whiles:
        yield from ((v, frozenset(range(counts[v])) - among) for v, among in group if v not in written)
