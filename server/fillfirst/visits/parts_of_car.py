"""A visit taken apart: what all of the car shares, and circuits that have to do with that alone.

Whether a fill plug can go back depends on its own unit and on how the car stands, not on the other units.
So `make_safe` works out each circuit by itself, for every way of the shared part.
`webui/core/car-parts.js` is the same in the other language.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from fillfirst.visits.moves import Law, Move, Moves, State


@dataclass
class Part:
    """Some variables of the car with the moves that write them, and the laws that speak of them.

    `around` are variables of the shared part on which its moves and laws depend.
    """

    variables: list[int]
    moves: list[Move] = field(default_factory=list)
    laws: list[Law] = field(default_factory=list)
    around: list[int] = field(default_factory=list)

    def take(self, whole: State) -> State:
        """Its own state, out of that of the whole car."""
        return tuple(whole[v] for v in self.variables)

    def put(self, own: State, whole: State) -> State:
        """The state of the whole car with its own in it."""
        state = list(whole)
        for v, value in zip(self.variables, own, strict=True):
            state[v] = value
        return tuple(state)

    def moved_together(self) -> list[list[int]]:
        """Its variables in groups, such that no move writes into two of them."""
        group = {v: {v} for v in self.variables}
        for move in self.moves:
            joined = set().union(*(group[v] for v in move.touches))
            group.update(dict.fromkeys(joined, joined))
        return [sorted(each) for each in {id(each): each for each in group.values()}.values()]


def take_apart(moves: Moves, usable: list[Move], laws: list[Law]) -> tuple[Part, list[Part]]:
    """The shared part, and the circuits that depend on nothing but it and themselves."""
    groups = _Groups(moves)
    for move in usable:
        groups.join(move.touches)
        groups.share(v for law in move.there for v in law.variables)
        if not groups.shared_by(move.touches):
            groups.join([*move.touches, *(v for v, _ in move.needs if not groups.is_shared(v))])
    for law in laws:
        asked = [v for group in law.whiles for v, _ in group if not groups.is_shared(v)]
        if asked:
            groups.join([*asked, *(v for v in law.variables if not groups.is_shared(v))])
    shared, *circuits = groups.parts()
    common = set(shared.variables)
    for part in (shared, *circuits):
        own = set(part.variables)
        part.moves = [move for move in usable if move.touches & own]
        part.laws = [law for law in (_within(law, own, common) for law in laws) if law.musts]
        near = {v for move in part.moves for v, _ in move.needs}
        near |= {v for move in part.moves for law in move.there for v in law.variables}
        near |= {v for law in part.laws for v in law.variables}
        part.around = sorted(near & common - own)
    return shared, circuits


def _within(law: Law, own: set[int], common: set[int]) -> Law:
    """What a law asks of one part; nothing where it does not speak of it."""
    asked = {v for group in law.whiles for v, _ in group} - common
    if asked:
        return law if asked <= own else Law(law.whiles, ())
    return Law(law.whiles, tuple((v, among) for v, among in law.musts if v in own))


class _Groups:
    """Variables that belong together; 0 is the shared group."""

    def __init__(self, moves: Moves) -> None:
        names = {variable.circuit for variable in moves.variables if variable.circuit is not None}
        numbers = {name: at for at, name in enumerate(sorted(names), 1)}
        self._of = [numbers.get(variable.circuit or "", 0) for variable in moves.variables]
        for closure, variable in enumerate(moves.variables):
            if variable.one_time:
                self.join([closure, *moves.parts(closure)])

    def is_shared(self, v: int) -> bool:
        return self._of[v] == 0

    def shared_by(self, variables: Iterable[int]) -> bool:
        return any(self.is_shared(v) for v in variables)

    def share(self, variables: Iterable[int]) -> None:
        for v in list(variables):
            self._rename(self._of[v], 0)

    def join(self, variables: Iterable[int]) -> None:
        """One group of all these: the shared one, if it is among them."""
        groups = sorted({self._of[v] for v in variables})
        for group in groups[1:]:
            self._rename(group, groups[0])

    def parts(self) -> list[Part]:
        numbers = [0, *sorted(set(self._of) - {0})]
        return [Part([v for v, of in enumerate(self._of) if of == number]) for number in numbers]

    def _rename(self, old: int, new: int) -> None:
        if old != new:
            self._of = [new if of == old else of for of in self._of]
