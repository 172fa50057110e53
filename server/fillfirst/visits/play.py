"""All visits played at once, step by step through the master order.

For everything about the car that steps change, and each value it may have, the play keeps the set of
visits in which it has that value now. It checks at every step what the step needs, every rule before and
after it, and at the end that all is as it must be left. Where a step may lead back, the way back is
played once too. In every state that is come to, it checks that the car could be closed up there and then.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from fillfirst.errors import ProofError
from fillfirst.specs.linked import Specs
from fillfirst.visits.choices import ALL, NONE, Visits
from fillfirst.visits.closing_up import ClosingUp
from fillfirst.visits.compose import back_target
from fillfirst.visits.gate import ONE_TIME_RULE
from fillfirst.visits.script import Cell, Script, Watch

# For every value of a variable, in the order of `values`, the visits in which it has that value.
Spread: TypeAlias = tuple[Visits, ...]
State: TypeAlias = dict[str, Spread]

FaultKind: TypeAlias = Literal["need", "rule", "end", "back", "safe"]

# Before the first step.
START = -1


@dataclass(frozen=True)
class Fault:
    """What goes wrong, where, and in which visits.

    `kind` says what `id` is: a variable that a step needs otherwise or that is left wrong at the end, a
    rule, a step that cannot be gone back to, or something that cannot be closed up from here ("safe"). `via`
    is the instance that led back before this happened.
    """

    position: int
    instance: str | None
    kind: FaultKind
    id: str
    via: str | None
    visits: Visits


class Play:
    """All visits on their way through the master order; `faults` says what went wrong."""

    def __init__(self, specs: Specs) -> None:
        self.specs = specs
        self.script = Script(specs)
        self.layouts = self.script.layouts
        self.choices = self.layouts.choices
        self.moments = self.script.moments
        self.faults: list[Fault] = []
        self._watches_on: dict[str, list[Watch]] = {}
        for watch in self.script.watches:
            for id in watch.variables:
                self._watches_on.setdefault(id, []).append(watch)
        self._broken: dict[tuple[object, ...], Visits] = {}
        self._via: str | None = None
        self._told: dict[tuple[object, ...], Visits] = {}
        self._closing_up = ClosingUp(specs, self.script, self._write, self._find_broken)

    def run(self) -> None:
        """The straight way from the first step to the last, then every way back once."""
        state = {id: self._start(id) for id in self.script.everything["variables"]}
        self._check_rules(self.script.watches, START, state, self.layouts.domain)
        before: list[State] = []
        for position, moment in enumerate(self.moments):
            before.append(state)
            state = self._pass(position, state, moment.visits)
        before.append(state)
        self._check_end(state, self.layouts.domain)
        self._check_safe(before)
        told = self._told
        for position, moment in enumerate(self.moments):
            if moment.step.back is not None and moment.visits != NONE:
                self._via = moment.instance["id"]
                self._told = dict(told)
                self._go_back(position, before)

    # One step -----------------------------------------------------------------------------------

    def _pass(self, position: int, state: State, visits: Visits) -> State:
        """Check a step in the visits that have it, and give the state after it."""
        if visits == NONE:
            return state
        moment = self.moments[position]
        for id, wrong in moment.needs:
            self._tell(position, "need", id, self.choices.both(visits, self._any(wrong, state)))
        where = moment.step.where
        if where is not None:
            watches = [watch for watch in self.script.watches if watch.places or watch.allowed_places]
            self._check_rules(watches, position, state, visits, where)
        after = self._write(state, moment.makes, visits)
        self._check_refitted(position, state, after, visits)
        changed = [id for id in after if after[id] is not state[id] and after[id] != state[id]]
        watches = list({watch.id: watch for id in changed for watch in self._watches_on.get(id, [])}.values())
        self._check_rules(watches, position, after, visits, where)
        return after

    def _go_back(self, position: int, before: list[State]) -> None:
        """From the moment before a step lead back, then on until all is as on the straight way."""
        moment = self.moments[position]
        target = back_target(self.specs, self.script.everything, moment.instance)
        start = self.script.everything["steps"].index(target) if target is not None else len(self.moments)
        if start > position:
            to = moment.step.back.to if moment.step.back is not None else ""
            raise ProofError(f'step "{moment.step.id}", back.to', f'"{to}"', "a step before it, or itself")
        visits = self.choices.both(moment.visits, self.moments[start].visits)
        self._tell(position, "back", self.moments[start].step.id, self.choices.without(moment.visits, visits))
        state = self._write(before[position], moment.way_back, visits)
        self._check_rules(self.script.watches, position, state, visits)
        states = [state]
        for at in range(start, len(self.moments)):
            state = self._pass(at, state, self.choices.both(self.moments[at].visits, visits))
            states.append(state)
            if at >= position and self._is_same(state, before[at + 1], visits):
                break
        else:
            self._check_end(state, visits)
        self._check_safe(states, start)

    def _is_same(self, state: State, other: State, visits: Visits) -> bool:
        both = self.choices.both
        return all(
            spread is other[id]
            or all(
                one == two or both(one, visits) == both(two, visits)
                for one, two in zip(spread, other[id], strict=True)
            )
            for id, spread in state.items()
        )

    def _write(self, state: State, writes: list[Cell], visits: Visits) -> State:
        """The state after these writes; one-time parts are used up as their closure leaves `closed`."""
        after = dict(state)
        made = {id for id, _ in writes}
        for id, at in writes:
            values = self.script.values(id)
            if "closed" not in values or values[at] == "closed":
                continue
            opened = self.choices.both(visits, state[id][values.index("closed")])
            for part in self.script.parts(id):
                if part not in made:
                    self._move(after, (part, self.script.values(part).index("used")), opened)
        for cell in writes:
            self._move(after, cell, visits)
        return after

    def _move(self, state: State, to: Cell, visits: Visits) -> None:
        id, at = to
        moved = self.choices.both(visits, self.script.present[id])
        state[id] = tuple(
            self.choices.either(held, moved) if place == at else self.choices.without(held, moved)
            for place, held in enumerate(state[id])
        )

    def _any(self, cells: list[Cell], state: State) -> Visits:
        """The visits in which any of these variables has its value."""
        return self.layouts.any_of(state[id][at] for id, at in cells)

    # Checks -------------------------------------------------------------------------------------

    def _tell(self, position: int, kind: FaultKind, id: str, visits: Visits) -> None:
        """Note a fault, unless it was told: a rule once broken stays broken for some steps."""
        if visits == NONE:
            return
        key = (kind, id) if kind in ("rule", "end", "safe") else (kind, id, position)
        told = self._told.get(key, NONE)
        new = self.choices.without(visits, told)
        if new == NONE:
            return
        self._told[key] = self.choices.either(told, new)
        is_step = 0 <= position < len(self.moments)
        instance = self.moments[position].instance["id"] if is_step else None
        self.faults.append(Fault(position, instance, kind, id, self._via, new))

    def _check_rules(
        self, watches: list[Watch], position: int, state: State, visits: Visits, where: str | None = None
    ) -> None:
        for watch in watches:
            broken = self._find_broken(watch, state, where)
            if broken != NONE:
                self._tell(position, "rule", watch.id, self.choices.both(visits, broken))

    def _find_broken(self, watch: Watch, state: State, where: str | None) -> Visits:
        """The visits that break a rule now; remembered, as most of what it asks seldom changes."""
        if watch.places is not None and where not in watch.places:
            return NONE
        is_misplaced = (
            watch.allowed_places is not None and where is not None and where not in watch.allowed_places
        )
        key = (watch.id, is_misplaced, *(state[id] for id in watch.variables))
        found = self._broken.get(key)
        if found is None:
            found = ALL if is_misplaced else self._any(watch.wrong, state)
            for cells in watch.applies:
                found = self.choices.both(found, self._any(cells, state))
            found = self.choices.both(found, watch.visits)
            self._broken[key] = found
        return found

    def _check_refitted(self, position: int, before: State, after: State, visits: Visits) -> None:
        for id, at in self.moments[position].makes:
            if self.script.values(id)[at] not in ("first-pass", "closed"):
                continue
            tightened = self.choices.without(self.choices.both(visits, after[id][at]), before[id][at])
            for part in self.script.parts(id):
                used = after[part][self.script.values(part).index("used")]
                self._tell(position, "rule", ONE_TIME_RULE.id, self.choices.both(tightened, used))

    def _check_safe(self, states: list[State], start: int = 0) -> None:
        """Check in each state after a step that the car could be closed up; not where faults spoil them."""
        for position, state in enumerate(states, start - 1):
            if any(fault.kind != "safe" for fault in self.faults):
                return
            stuck = self._closing_up.find_stuck(state)
            if stuck != NONE:
                self._tell(position, "safe", self._closing_up.name_open(state, stuck), stuck)

    def _check_end(self, state: State, visits: Visits) -> None:
        for id, base in self.script.everything["variables"].items():
            variable = self.specs.variables[base]
            wrong = [(id, at) for at, value in enumerate(variable.values) if value not in variable.ends]
            self._tell(len(self.moments), "end", id, self.choices.both(visits, self._any(wrong, state)))
        for job_id, job in self.specs.jobs.items():
            for circuit in job.renews if not job.shared else ():
                fluid = f"{circuit}.fluid"
                old = [(fluid, at) for at, value in enumerate(self.script.values(fluid)) if value != "new"]
                chosen = self.choices.both(visits, self.layouts.chosen(job_id))
                self._tell(len(self.moments), "end", fluid, self.choices.both(chosen, self._any(old, state)))

    def _start(self, id: str) -> Spread:
        starts = self.script.starts(id)
        return tuple(self.script.present[id] if value == starts else NONE for value in self.script.values(id))
