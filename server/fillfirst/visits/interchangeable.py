"""Items of one list that are as good as one another, so that `make_safe` offers only the first of them.

Ten screws that are all in by hand make no difference: whichever has its turn first, the list is as long. Two
items are interchangeable where exchanging them, with every variable that either has, turns each move of the
visit into one that takes as long, and leaves each law as it is. It is tried on the numbers of the visit, so a
rule, a step or a part that speaks of one item alone keeps it apart.

No shortest list is lost: where two such items are in equal states, a list that begins with the later one
turns into one as short that begins with the first. `webui/core/interchangeable.js` is the same in the other
language.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from fillfirst.visits.moves import Law, Move, Moves

# The variables of one item, and interchangeable items in the order of the list.
Item: TypeAlias = tuple[int, ...]
Family: TypeAlias = tuple[Item, ...]


@dataclass(frozen=True)
class Lead:
    """The item that a move writes, and the items before it of the same family."""

    own: Item
    earlier: tuple[Item, ...]

    def holds_back(self, state: Sequence[int]) -> bool:
        """Whether an earlier item is in the same state, so that it has its turn first."""
        mine = [state[v] for v in self.own]
        return any([state[v] for v in item] == mine for item in self.earlier)


def find_families(moves: Moves) -> list[Family]:
    """Items that are interchangeable in every state of the visit; none that stands alone."""
    laws = set(moves.laws) | {law for move in moves.all for law in move.there}
    found: list[Family] = []
    for items in _items(moves):
        families: list[list[Item]] = []
        for item in items:
            near = (family for family in families if _are_alike(moves.all, laws, family[0], item))
            family = next(near, None)
            if family is None:
                families.append([item])
            else:
                family.append(item)
        found += [tuple(family) for family in families if len(family) > 1]
    return found


def _items(moves: Moves) -> list[list[Item]]:
    """For each list that variables go through, the variables of its items."""
    lists: dict[str, dict[str, list[int]]] = {}
    for at, (id, variable) in enumerate(zip(moves.ids, moves.variables, strict=True)):
        if variable.each is not None:
            lists.setdefault(variable.each, {}).setdefault(id.partition("@")[2], []).append(at)
    return [[tuple(item) for item in items.values()] for items in lists.values()]


def _are_alike(moves: Sequence[Move], laws: Collection[Law], one: Item, other: Item) -> bool:
    """Whether the visit is the same with these two exchanged."""
    if len(one) != len(other):
        return False
    swap = {**dict(zip(one, other, strict=True)), **dict(zip(other, one, strict=True))}
    if any(_law_as(law, swap) != _law_as(law, {}) for law in laws if law.variables & swap.keys()):
        return False
    near = [move for move in moves if _spoken_of(move) & swap.keys()]
    return {_move_as(move, swap) for move in near} == {_move_as(move, {}) for move in near}


def _spoken_of(move: Move) -> set[int]:
    parts = {part for _, _, parts in move.tightens for part in parts}
    return move.touches | parts | {v for v, _ in move.needs}


def _law_as(law: Law, swap: Mapping[int, int]) -> object:
    """All that a law says, with some variables exchanged."""
    groups = frozenset(frozenset((swap.get(v, v), among) for v, among in group) for group in law.whiles)
    return groups, frozenset((swap.get(v, v), among) for v, among in law.musts)


def _move_as(move: Move, swap: Mapping[int, int]) -> object:
    """All that a move does and asks, with some variables exchanged."""

    def at(v: int) -> int:
        return swap.get(v, v)

    return (
        move.seconds,
        move.there,
        frozenset((at(v), among) for v, among in move.needs),
        frozenset((at(v), value) for v, value in move.writes),
        frozenset((at(v), frozenset(map(at, parts))) for v, parts in move.opens),
        frozenset((at(v), value, frozenset(map(at, parts))) for v, value, parts in move.tightens),
    )


def find_leads(
    moves: Sequence[Move], families: Sequence[Family], variables: Collection[int]
) -> dict[str, Lead]:
    """For each move that writes one item only, those before it in a family that lies among the variables."""
    own = set(variables)
    inside = [family for family in families if all(own.issuperset(item) for item in family)]
    return {move.id: lead for move in moves for lead in _leads_of(move, inside)}


def _leads_of(move: Move, families: Sequence[Family]) -> Iterator[Lead]:
    for family in families:
        written = [at for at, item in enumerate(family) if move.touches.intersection(item)]
        if len(written) == 1 and written[0]:
            yield Lead(family[written[0]], family[: written[0]])
