"""Sets of visits as decision diagrams, so that all of them can be played at once.

A visit is one option taken from each of a fixed row of choices: which jobs, what kind of car. A set of
visits is a diagram: a node asks one choice and has one child per option, equal nodes exist once, and what
was once worked out for two nodes is remembered. Sets of billions of visits stay small because most of
what happens to one part of a car does not depend on the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import TypeAlias

# A diagram is named by a number: two diagrams are the same set exactly when the numbers are equal.
Visits: TypeAlias = int

NONE: Visits = 0
ALL: Visits = 1

Join: TypeAlias = Callable[[Visits, Visits], Visits]

# Two diagrams are remembered under one number, which is found sooner than a pair: so many bits for each.
PAIR = 32


class Choices:
    """The choices in their order, and every diagram made of them."""

    def __init__(self, options: Sequence[int]) -> None:
        """`options` says how many options each choice has."""
        self.options = options
        end = len(options)
        self._level = [end, end]
        self._children: list[tuple[Visits, ...]] = [(), ()]
        self._known: dict[tuple[int, tuple[Visits, ...]], Visits] = {}
        self._both: dict[int, Visits] = {}
        self._either: dict[int, Visits] = {}
        self._without: dict[int, Visits] = {}
        self._counts: dict[Visits, int] = {NONE: 0, ALL: 1}

    def taking(self, choice: int, option: int) -> Visits:
        """Every visit that takes this option."""
        return self._node(
            choice, tuple(ALL if each == option else NONE for each in range(self.options[choice]))
        )

    def both(self, left: Visits, right: Visits) -> Visits:
        """The visits that are in both."""
        if left > right:
            left, right = right, left
        if left in (right, NONE):
            return left
        if left == ALL:
            return right
        pair = left << PAIR | right
        found = self._both.get(pair)
        if found is None:
            found = self._both[pair] = self._join(self.both, left, right)
        return found

    def either(self, left: Visits, right: Visits) -> Visits:
        """The visits that are in one of them or in both."""
        if left > right:
            left, right = right, left
        if left in (right, ALL):
            return left
        if left == NONE:
            return right
        pair = left << PAIR | right
        found = self._either.get(pair)
        if found is None:
            found = self._either[pair] = self._join(self.either, left, right)
        return found

    def without(self, left: Visits, right: Visits) -> Visits:
        """The visits of the left that are not in the right."""
        if left in (right, NONE) or right == ALL:
            return NONE
        if right == NONE:
            return left
        pair = left << PAIR | right
        found = self._without.get(pair)
        if found is None:
            found = self._without[pair] = self._join(self.without, left, right)
        return found

    def count(self, visits: Visits) -> int:
        """How many visits there are in a set."""
        return self._count(visits) * self._between(0, self._level[visits])

    def cheapest(self, visits: Visits, costs: Sequence[Sequence[float]]) -> list[int]:
        """One visit of a set, as the option taken for each choice: of all the one with the least cost.

        `costs` has one number for every option of every choice; of equal ones the first option wins.
        """
        best: dict[Visits, tuple[float, int]] = {NONE: (float("inf"), 0), ALL: (0, 0)}
        # What the choices before each one cost at least: that is what choices passed over will cost.
        least = [0, *accumulate(min(free) for free in costs)]

        def search(node: Visits) -> float:
            if node not in best:
                level = self._level[node]
                totals = [
                    cost + least[self._level[child]] - least[level + 1] + search(child)
                    for cost, child in zip(costs[level], self._children[node], strict=True)
                ]
                best[node] = min((total, option) for option, total in enumerate(totals))
            return best[node][0]

        search(visits)
        taken: list[int] = []
        for level, free in enumerate(costs):
            if self._level[visits] == level:
                option = best[visits][1]
                visits = self._children[visits][option]
            else:
                option = free.index(min(free))
            taken.append(option)
        return taken

    def has(self, visits: Visits, taken: Sequence[int]) -> bool:
        """Whether a set holds the visit that takes these options."""
        while visits > ALL:
            visits = self._children[visits][taken[self._level[visits]]]
        return visits == ALL

    @property
    def size(self) -> int:
        """How many nodes were made in all."""
        return len(self._level)

    def _node(self, level: int, children: tuple[Visits, ...]) -> Visits:
        first = children[0]
        if first == children[-1] and children.count(first) == len(children):
            return first
        key = (level, children)
        found = self._known.get(key)
        if found is None:
            found = len(self._level)
            self._level.append(level)
            self._children.append(children)
            self._known[key] = found
        return found

    def _join(self, join: Join, left: Visits, right: Visits) -> Visits:
        """Two sets joined option by option of the first choice that either of them asks."""
        level, right_level = self._level[left], self._level[right]
        if level == right_level:
            return self._node(level, tuple(map(join, self._children[left], self._children[right])))
        if level < right_level:
            return self._node(level, tuple([join(child, right) for child in self._children[left]]))
        return self._node(right_level, tuple([join(left, child) for child in self._children[right]]))

    def _between(self, start: int, end: int) -> int:
        product = 1
        for options in self.options[start:end]:
            product *= options
        return product

    def _count(self, visits: Visits) -> int:
        """Count from the choice the top node asks; choices passed over count with all their options."""
        found = self._counts.get(visits)
        if found is None:
            below = self._level[visits] + 1
            found = sum(
                self._count(child) * self._between(below, self._level[child])
                for child in self._children[visits]
            )
            self._counts[visits] = found
        return found
