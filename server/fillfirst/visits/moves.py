"""One visit in numbers: what every step does to the car, and when it may be done.

It exists so that `make_safe` can try thousands of states. The meaning is that of `compose.effects` and
`gate.stops`; `webui/core/moves.js` is the same in the other language, under the same vectors.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from fillfirst.specs.linked import Rule, Specs
from fillfirst.visits.compose import members, parts_of, step_of, targets
from fillfirst.visits.gate import rules_in_force, speaks_of_place
from fillfirst.visits.shapes import Composition, Instance

# A variable by its place among the visit's variables, and values by their places in its `values`.
Cells: TypeAlias = tuple[tuple[int, frozenset[int]], ...]
State: TypeAlias = tuple[int, ...]


@dataclass(frozen=True)
class Law:
    """A rule: broken where each group of `whiles` has one cell that holds and one of `musts` does not."""

    whiles: tuple[Cells, ...]
    musts: Cells

    @property
    def variables(self) -> set[int]:
        return {v for group in (*self.whiles, self.musts) for v, _ in group}

    def is_broken(self, state: Sequence[int]) -> bool:
        for group in self.whiles:
            if not any(state[v] in among for v, among in group):
                return False
        return any(state[v] not in among for v, among in self.musts)


@dataclass(frozen=True)
class Move:
    """One step of the visit that changes something.

    `opens` are closures it takes from closed, each with the parts that are then used up; `tightens` are
    closures it tightens, each with the parts that must not be used. `there` are the laws of its place.
    """

    id: str
    seconds: int
    needs: Cells
    writes: tuple[tuple[int, int], ...]
    opens: tuple[tuple[int, tuple[int, ...]], ...]
    tightens: tuple[tuple[int, int, tuple[int, ...]], ...]
    there: tuple[Law, ...]

    @property
    def touches(self) -> set[int]:
        """All it may write."""
        return {v for v, _ in self.writes} | {part for _, parts in self.opens for part in parts}

    def after(self, state: Sequence[int]) -> State | None:
        """The state it leaves, or None where the gate would not let it; laws of no place are not asked."""
        for v, among in self.needs:
            if state[v] not in among:
                return None
        for law in self.there:
            if law.is_broken(state):
                return None
        left = list(state)
        for closure, parts in self.opens:
            if state[closure] == CLOSED:
                for part in parts:
                    left[part] = USED
        for v, value in self.writes:
            left[v] = value
        for closure, value, parts in self.tightens:
            if state[closure] != value and any(left[part] == USED for part in parts):
                return None
        for law in self.there:
            if law.is_broken(left):
                return None
        return tuple(left)


# Places in CLOSURE_VALUES and PART_VALUES.
CLOSED, OPEN, USED = 0, 3, 2


class Moves:
    """All moves of a visit, the laws that count in it, and its variables as numbers.

    `day` is what the visit goes through, `course` all of them with those on standby where they belong.
    """

    def __init__(self, specs: Specs, composition: Composition) -> None:
        self.specs = specs
        self.composition = composition
        self.ids = list(composition["variables"])
        self.variables = [specs.variables[base] for base in composition["variables"].values()]
        self._place = {id: at for at, id in enumerate(self.ids)}
        rules = rules_in_force(specs, composition)
        self.laws = [self._law(rule, None) for rule in rules if not speaks_of_place(rule)]
        placed = [rule for rule in rules if speaks_of_place(rule)]
        instances = [*composition["steps"], *composition["standby"]]
        there = {
            where: tuple(law for rule in placed if (law := self._law(rule, where)) is not None)
            for where in ("under", "beside", "bonnet", "cabin")
        }
        moves = [
            (step, self._move(instance, there.get(step.where or "", ())))
            for instance in instances
            if (step := step_of(specs, instance)).makes
        ]
        order = {step.id: at for at, step in enumerate(specs.steps)}
        self.all = [move for _, move in moves]
        self.day = [move for step, move in moves if not step.standby]
        self.course = [move for _, move in sorted(moves, key=lambda each: order[each[0].id])]

    def state_of(self, variables: Mapping[str, str]) -> State:
        return tuple(
            variable.values.index(variables[id])
            for id, variable in zip(self.ids, self.variables, strict=True)
        )

    def told(self, state: State) -> dict[str, str]:
        """A state as the fold has it."""
        return {
            id: variable.values[value]
            for id, variable, value in zip(self.ids, self.variables, state, strict=True)
        }

    def _move(self, instance: Instance, there: tuple[Law, ...]) -> Move:
        step = step_of(self.specs, instance)
        made = [
            (self._place[id], self.variables[self._place[id]].values.index(value))
            for base, value in step.makes.items()
            for id in targets(self.specs, self.composition, instance, base)
        ]
        written = {v for v, _ in made}
        closures = [(v, value) for v, value in made if self.variables[v].kind == "closure"]
        opens = [
            (v, tuple(part for part in self.parts(v) if part not in written))
            for v, value in closures
            if value != CLOSED
        ]
        tightens = [(v, value, self.parts(v)) for v, value in closures if value <= 1]
        return Move(
            id=instance["id"],
            seconds=round(step.work_s + step.wait_s),
            needs=tuple(
                (self._place[id], self._among(base, expected))
                for base, expected in step.needs.items()
                for id in targets(self.specs, self.composition, instance, base)
            ),
            writes=tuple(made),
            opens=tuple((v, parts) for v, parts in opens if parts),
            tightens=tuple((v, value, parts) for v, value, parts in tightens if parts),
            there=there,
        )

    def parts(self, closure: int) -> tuple[int, ...]:
        return tuple(self._place[part] for part in parts_of(self.specs, self.composition, self.ids[closure]))

    def _among(self, base: str, values: Sequence[str]) -> frozenset[int]:
        known = self.specs.variables[base].values
        return frozenset(known.index(value) for value in values)

    def _law(self, rule: Rule, where: str | None) -> Law:
        """A rule as it counts for somebody at a place; one that speaks of another place is never broken."""
        away = where not in rule.while_.get("place", (where,))
        astray = where is not None and where not in rule.must.get("place", (where,))
        whiles = [tuple(self._cells(base, values)) for base, values in rule.while_.items() if base != "place"]
        musts = [
            cell
            for base, values in rule.must.items()
            if base != "place"
            for cell in self._cells(base, values)
        ]
        if astray:
            anything = next((v for group in whiles for v, _ in group), 0)
            musts = [*musts, (anything, frozenset())]
        return Law(((),) if away else tuple(whiles), tuple(musts))

    def _cells(self, base: str, values: Sequence[str]) -> Iterator[tuple[int, frozenset[int]]]:
        # A rule names a family, or one variable of its own.
        for id in members(self.specs, self.composition, base):
            yield self._place[id], self._among(base, values)
