"""From every state that is played, a way to close the car up *to stand*: shown for all visits at once.

The way shown is not the shortest: it goes through the day in order and does whatever closes something and
opens nothing, without new fluid. Where that does not do, one visit is picked and `make_safe` is asked; its
list is then played in all visits that it fits. Only where `make_safe` finds none is there no way. (*To drive*
needs no proof of its own: the rest of the visit is a way, and the play has shown that it ends well.)
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeAlias

from fillfirst.specs.linked import Specs
from fillfirst.visits.choices import NONE, Visits
from fillfirst.visits.compose import compose
from fillfirst.visits.layouts import Layout
from fillfirst.visits.make_safe import make_safe
from fillfirst.visits.script import Cell, Moment, Script, Watch

State: TypeAlias = dict[str, tuple[Visits, ...]]
Write: TypeAlias = Callable[[State, list[Cell], Visits], State]
FindBroken: TypeAlias = Callable[[Watch, State, str | None], Visits]

# After that many rounds through the day nothing more is closed by going through it.
ROUNDS = 3


class ClosingUp:
    """How far the car can be closed up, in which visits."""

    def __init__(self, specs: Specs, script: Script, write: Write, find_broken: FindBroken) -> None:
        self._specs = specs
        self._script = script
        self._layouts = script.layouts
        self._choices = script.layouts.choices
        self._write = write
        self._find_broken = find_broken
        self._rests = {
            id: tuple(variable.values.index(value) for value in variable.rests or variable.ends)
            for id, base in script.everything["variables"].items()
            if (variable := specs.variables[base]).kind in ("closure", "condition")
        }
        self._ends = {
            id: tuple(at for at, value in enumerate(script.values(id)) if value in specs.variables[base].ends)
            for id, base in script.everything["variables"].items()
            if id in self._rests
        }
        self._levels = {
            id
            for id, base in script.everything["variables"].items()
            if specs.variables[base].kind in ("circuit", "fluid")
        }
        self._circuits = self._closures_by_circuit()
        order = {step.id: at for at, step in enumerate(specs.steps)}
        moments = [moment for moment in (*script.moments, *script.standby) if moment.makes]
        self._day = sorted(moments, key=lambda moment: order[moment.step.id])
        self._by_id = {moment.instance["id"]: moment for moment in moments}
        self._watches = {moment.instance["id"]: self._watches_on(moment) for moment in moments}
        self._asked = {moment.instance["id"]: self._asked_by(moment) for moment in moments}
        self._near = {
            moment.instance["id"]: [id for id, _ in (*moment.needs, *moment.makes)] for moment in moments
        }
        self._gains: dict[tuple[object, ...], Visits] = {}
        self._gained: dict[tuple[object, ...], State] = {}

    def find_stuck(self, state: State) -> Visits:
        """The visits in which nothing closes the car up from this state."""
        stuck = self._still_open(self._go_through(state, None))
        if stuck == NONE:
            return NONE
        # Some things can be closed only once what is behind them was opened: a filter above an open pan.
        stuck = self._still_open(self._go_through(self._go_through(state, stuck), None))
        return self._ask(state, stuck)

    def name_open(self, state: State, visits: Visits) -> str:
        """Something that stays open from this state, in the simplest of visits that are stuck."""
        after = self._go_through(self._go_through(self._go_through(state, None), visits), None)
        layout = self._layouts.simplest(visits)
        return next(
            id
            for id, rests in self._rests.items()
            for at, held in enumerate(after[id])
            if at not in rests and self._layouts.holds(held, layout)
        )

    def _go_through(self, state: State, opening: Visits | None) -> State:
        """Go through the day until it closes no more; in the visits of `opening` it may also open."""
        for _ in range(ROUNDS):
            before = state
            for moment in self._day:
                if opening is None:
                    state = self._gain(moment, state)
                else:
                    visits = self._choices.both(moment.visits, opening)
                    state, _ = self._do(moment, state, self._gaining(moment, state, visits, True))
            if all(state[id] == before[id] for id in state):
                break
        return state

    def _ask(self, state: State, visits: Visits) -> Visits:
        """Of these visits the ones for which `make_safe` finds nothing either."""
        while visits != NONE:
            layout = self._layouts.simplest(visits)
            composition = compose(self._specs, layout.jobs, layout.facts)
            variables = self.state_in(state, layout, composition["variables"])
            found = make_safe(self._specs, composition, variables, "to-stand", limit=None)
            if found is None:
                return visits
            after, fitting = state, visits
            for id in found["steps"]:
                moment = self._by_id[id]
                after, fitting = self._do(moment, after, self._choices.both(fitting, moment.visits))
            closed = self._choices.without(fitting, self._still_open(after))
            if closed == NONE:
                raise AssertionError(f"{found['steps']} closes the car up in {layout}, but not when played.")
            visits = self._choices.without(visits, closed)
        return NONE

    def state_in(self, state: State, layout: Layout, ids: Iterable[str]) -> dict[str, str]:
        """The state of one visit."""
        return {
            id: next(
                value
                for value, visits in zip(self._script.values(id), state[id], strict=True)
                if self._layouts.holds(visits, layout)
            )
            for id in ids
        }

    def _closures_by_circuit(self) -> dict[str, list[str]]:
        """For each closure of a circuit, all closures of it."""
        ids = self._script.everything["variables"]
        closures = [id for id in ids if self._specs.variables[ids[id]].kind == "closure"]
        circuits = {id: self._specs.variables[ids[id]].circuit for id in closures}
        return {
            id: [other for other in closures if circuits[other] == circuits[id]]
            for id in closures
            if circuits[id] is not None
        }

    def _still_open(self, state: State) -> Visits:
        found = NONE
        for id, rests in self._rests.items():
            for at, held in enumerate(state[id]):
                if at not in rests and held != NONE:
                    found = self._choices.either(found, self._choices.both(held, self._script.present[id]))
        return self._choices.both(found, self._layouts.domain)

    def _touched(self, moment: Moment) -> set[str]:
        made = [id for id, _ in moment.makes]
        closures = [id for id in made if "closed" in self._script.values(id)]
        return {*made, *(part for id in closures for part in self._script.parts(id))}

    def _watches_on(self, moment: Moment) -> list[Watch]:
        touched = self._touched(moment)
        return [
            watch
            for watch in self._script.watches
            if watch.places or watch.allowed_places or touched & set(watch.variables)
        ]

    def _asked_by(self, moment: Moment) -> list[str]:
        """All variables on which it depends what a step comes to."""
        watched = {id for watch in self._watches_on(moment) for id in watch.variables}
        return sorted({*(id for id, _ in moment.needs), *self._touched(moment), *watched})

    def _gain(self, moment: Moment, state: State) -> State:
        """The state after a step, done in those visits that have it, may do it, and gain by it.

        What it comes to is remembered by all that it depends on, which seldom changes from step to step.
        """
        id = moment.instance["id"]
        near = (id, *(state[each] for each in self._near[id]))
        visits = self._gains.get(near)
        if visits is None:
            visits = self._gains[near] = self._gaining(moment, state, moment.visits)
        if visits == NONE:
            return state
        key = (id, *(state[each] for each in self._asked[id]))
        found = self._gained.get(key)
        if found is None:
            after, _ = self._do(moment, state, visits)
            found = {each: after[each] for each in self._asked[id] if after[each] != state[each]}
            self._gained[key] = found
        return {**state, **found} if found else state

    def _do(self, moment: Moment, state: State, visits: Visits) -> tuple[State, Visits]:
        """The state after a step where the gate lets it through, and the visits of these in which it does."""
        both, without = self._choices.both, self._choices.without
        where, watches = moment.step.where, self._watches[moment.instance["id"]]
        for _, wrong in moment.needs:
            for id, at in wrong:
                visits = without(visits, state[id][at])
        for watch in watches if where is not None else ():
            if watch.places or watch.allowed_places:
                visits = without(visits, self._find_broken(watch, state, where))
        if visits == NONE:
            return state, NONE
        after = self._write(state, moment.makes, visits)
        broken = self._refitted(moment, state, after, visits)
        for watch in watches:
            broken = self._choices.either(broken, both(visits, self._find_broken(watch, after, where)))
        if broken != NONE:
            visits = without(visits, broken)
            after = self._write(state, moment.makes, visits) if visits != NONE else state
        return after, visits

    def _gaining(self, moment: Moment, state: State, visits: Visits, may_open: bool = False) -> Visits:
        """Where a step finds what it needs, changes something, opens and empties nothing, takes no new fluid.

        With `may_open` it may open what belongs to a circuit that is open already.
        """
        without, either = self._choices.without, self._choices.either
        changed = NONE
        for _, wrong in moment.needs:
            for id, at in wrong:
                visits = without(visits, state[id][at])
        closes = any("closed" in self._script.values(id) for id, _ in moment.makes)
        for id, at in moment.makes:
            spread, rests = state[id], self._rests.get(id, ())
            if id in self._levels:
                # What is full is emptied only where it has to be, to let something open be closed.
                worse = spread[at + 1 :] + (spread[:1] if at and not closes else ())
            else:
                worse = () if at in rests else tuple(spread[rest] for rest in rests)
            behind = self._open_beside(id, state) if may_open and worse else NONE
            for held in worse:
                visits = without(visits, without(held, behind))
            gains = without(self._script.present[id], spread[at])
            if at in self._ends.get(id, ()):
                # What may be left as it is need not be brought to its end: nobody has to lower the car.
                for rest in rests:
                    gains = without(gains, spread[rest])
            changed = either(changed, gains)
        return self._choices.both(visits, changed)

    def _open_beside(self, id: str, state: State) -> Visits:
        """The visits in which another closure of the same circuit is open."""
        others = [other for other in self._circuits.get(id, ()) if other != id]
        return self._layouts.any_of(
            state[other][self._script.values(other).index("open")] for other in others
        )

    def _refitted(self, moment: Moment, before: State, after: State, visits: Visits) -> Visits:
        """The visits in which a used one-time part is tightened again."""
        both, without = self._choices.both, self._choices.without
        found = NONE
        for id, at in moment.makes:
            if self._script.values(id)[at] in ("first-pass", "closed"):
                tightened = without(both(visits, after[id][at]), before[id][at])
                for part in self._script.parts(id):
                    used = after[part][self._script.values(part).index("used")]
                    found = self._choices.either(found, both(tightened, used))
        return found
