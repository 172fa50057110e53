"""The script of all visits: every step in the master order, and which visits have it.

It exists so that what is played (`play`) is laid out once: steps expanded over their lists and blocks as
`compose` does, what each needs and makes, and every rule with its variables looked up. Lists are played with
the items they usually have.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from fillfirst.specs.linked import Rule, Specs, Step
from fillfirst.visits.choices import Visits
from fillfirst.visits.compose import groups, parts_of, targets
from fillfirst.visits.layouts import Layouts
from fillfirst.visits.shapes import Composition, Instance

# A variable, and the place of a value in its `values`.
Cell: TypeAlias = tuple[str, int]


@dataclass(frozen=True)
class Moment:
    """One instance of a step in the master order, and the visits that have it."""

    instance: Instance
    step: Step
    visits: Visits
    needs: list[tuple[str, list[Cell]]]
    makes: list[Cell]
    way_back: list[Cell]


@dataclass(frozen=True)
class Watch:
    """A rule, its variables looked up: it is broken where all of `applies` meet any of `wrong`."""

    id: str
    visits: Visits
    applies: list[list[Cell]]
    wrong: list[Cell]
    places: tuple[str, ...] | None
    allowed_places: tuple[str, ...] | None

    @property
    def variables(self) -> list[str]:
        return list(dict.fromkeys(id for cells in (*self.applies, self.wrong) for id, _ in cells))


class Script:
    """What there is to play, for a car that has everything."""

    def __init__(self, specs: Specs) -> None:
        self._specs = specs
        self.layouts = Layouts(specs)
        self._choices = self.layouts.choices
        self.present: dict[str, Visits] = {}
        self.everything = self._compose_everything()
        self._expand()
        self.moments = [self._moment(instance) for instance in self.everything["steps"]]
        self.standby = [self._moment(instance) for instance in self.everything["standby"]]
        self.watches = [self._watch(rule) for rule in specs.rules]

    def values(self, id: str) -> tuple[str, ...]:
        """The values a variable may have, safest first."""
        return self._specs.variables[self.everything["variables"][id]].values

    def starts(self, id: str) -> str:
        return self._specs.variables[self.everything["variables"][id]].starts

    def parts(self, closure: str) -> list[str]:
        """The one-time parts of a closure."""
        return parts_of(self._specs, self.everything, closure)

    def _compose_everything(self) -> Composition:
        """A composition of a car that has everything, so that ids are made as for any other."""
        variables: dict[str, str] = {}
        for base, variable in self._specs.variables.items():
            circuit = self._specs.variables[variable.circuit] if variable.circuit is not None else None
            present = self._choices.both(
                self.layouts.where(variable.when),
                self.layouts.where(circuit.when if circuit is not None else None),
            )
            present = self._choices.both(present, self._listing(variable.each))
            items = self.layouts.lists[variable.each] if variable.each is not None else None
            ids = [base] if items is None else [f"{base}@{item}" for item in items]
            variables.update(dict.fromkeys(ids, base))
            self.present.update(dict.fromkeys(ids, present))
        return {
            "jobs": list(self._specs.jobs),
            "steps": [],
            "variables": variables,
            "missing": [],
            "facts": {},
            "standby": [],
        }

    def _expand(self) -> None:
        places: dict[bool, list[Instance]] = {
            False: self.everything["steps"],
            True: self.everything["standby"],
        }
        for group in groups(self._specs.steps):
            each = group[0].each
            items: list[str | None] = [None] if each is None else [*self.layouts.lists[each]]
            for index, item in enumerate(items):
                for step in group:
                    id = step.id if item is None else f"{step.id}@{item}"
                    places[step.standby].append(
                        {"id": id, "step": step.id, "item": item, "index": index, "of": len(items)}
                    )

    def _moment(self, instance: Instance) -> Moment:
        step = self._specs.steps_by_id[instance["step"]]
        needs: list[tuple[str, list[Cell]]] = []
        for base, expected in step.needs.items():
            for id in targets(self._specs, self.everything, instance, base):
                wrong = [(id, at) for at, value in enumerate(self.values(id)) if value not in expected]
                needs.append((id, wrong))
        makes = self._cells(instance, step.makes)
        way_back = self._cells(instance, step.back.makes if step.back is not None else {})
        return Moment(instance, step, self._visits_with(step), needs, makes, way_back)

    def _cells(self, instance: Instance, makes: Mapping[str, str]) -> list[Cell]:
        return [
            (id, self.values(id).index(value))
            for base, value in makes.items()
            for id in targets(self._specs, self.everything, instance, base)
        ]

    def _visits_with(self, step: Step) -> Visits:
        job, layouts, both = self._specs.jobs[step.job], self.layouts, self._choices.both
        if not job.shared:
            served = layouts.chosen(step.job)
        elif step.serves is None:
            served = layouts.domain
        else:
            served = layouts.any_of(
                both(layouts.chosen(id), layouts.condition(other.uses[step.serves]))
                for id, other in self._specs.jobs.items()
                if not other.shared and step.serves in other.uses
            )
        present = both(layouts.condition(job.when), layouts.condition(step.when))
        present = both(both(served, present), self._listing(step.each))
        return both(layouts.domain, present)

    def _listing(self, name: str | None) -> Visits:
        """The visits in which a list has items."""
        return self.layouts.condition(self._specs.facts[name].when if name is not None else None)

    def _watch(self, rule: Rule) -> Watch:
        def cells(base: str, is_among: bool, values: tuple[str, ...]) -> Iterator[Cell]:
            for id in self._family(base):
                for at, value in enumerate(self.values(id)):
                    if (value in values) is is_among:
                        yield id, at

        return Watch(
            id=rule.id,
            visits=self.layouts.where(rule.when),
            applies=[
                list(cells(base, True, values)) for base, values in rule.while_.items() if base != "place"
            ],
            wrong=[
                cell
                for base, values in rule.must.items()
                if base != "place"
                for cell in cells(base, False, values)
            ],
            places=rule.while_.get("place"),
            allowed_places=rule.must.get("place"),
        )

    def _family(self, base: str) -> list[str]:
        return [id for id, of in self.everything["variables"].items() if of == base]
