"""Is a number there when a step needs it? A reading taken later, or in another job, is no help now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fillfirst.specs.linked import Amount, Named, Reading, Step
from fillfirst.specs.linking.applicability import Layouts, say_layout
from fillfirst.specs.linking.conditions import all_of
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.needs import Plan
from fillfirst.specs.linking.texts import find_places
from fillfirst.specs.problems import Spot


@dataclass(frozen=True)
class Readings:
    """Where every reading is taken, and which lie behind each figure."""

    plan: Plan
    readings: Mapping[str, Reading]
    layouts: Layouts

    def behind(self, name: str) -> set[str]:
        """The readings that a name needs, through all figures."""
        if name in self.readings:
            return {name}
        figure = self.plan.figures.get(name)
        if figure is None:
            return set()
        inputs = self.plan.formulas[figure.formula].inputs
        needed = [amount for each, amount in figure.with_.items() if not inputs[each].optional]
        bound = [amount.name for amount in needed if isinstance(amount, Named)]
        return {reading for each in bound for reading in self.behind(each)}

    def are_together(self, taken: Step, step: Step) -> bool:
        """Whether every visit that has the step also has the one where the reading is taken."""
        if taken.job == step.job:
            return taken.serves in (None, step.serves)
        if not self.plan.jobs[taken.job].shared:
            return False
        return (
            taken.serves is None
            or taken.serves == step.serves
            or taken.serves in self.plan.jobs[step.job].uses
        )


def check_readiness(context: Context, ordered: list[Step], known: Readings) -> None:
    """Check that what a step judges, shows or waits by is read at that step or before it, in every visit."""
    place = {step.id: at for at, step in enumerate(ordered)}
    for step in ordered:
        for key, name in _asked(step):
            spot = context.index.steps[step.id].at(key)
            for reading in sorted(known.behind(name)):
                taken = known.plan.steps.get(known.readings[reading].step)
                if taken is not None:
                    _check_one(spot, known, name, reading, taken, step, place)


def _check_one(
    spot: Spot, known: Readings, name: str, reading: str, taken: Step, step: Step, place: Mapping[str, int]
) -> None:
    needs = f'"{name}" is a reading' if name == reading else f'"{name}" needs the reading "{reading}"'
    if place[taken.id] > place[step.id]:
        spot.problem(
            f'{needs}, taken only later, at "{taken.id}"',
            "a step uses what has been read by then",
            "Move one of the steps, or leave it out here.",
        )
    elif not known.are_together(taken, step):
        spot.problem(
            f'{needs}, taken at "{taken.id}", which is not part of every visit that has this step',
            "a step uses what is read in its own job or in a shared one that it uses",
            "Take the reading in this job too, or leave it out here.",
        )
    elif taken.when is not None:
        layout = known.layouts.find(all_of(known.plan.jobs[step.job].when, step.when), taken.when)
        if layout is not None:
            spot.problem(
                f"{needs}, not taken where {say_layout(layout)}",
                "a step uses what has been read by then",
                "Give both steps the same when, or make the input optional.",
            )


def _asked(step: Step) -> Iterator[tuple[str, str]]:
    for key, names in (("judges", step.judges), ("shows", step.shows)):
        yield from ((key, name) for name in names)
    for key, text in (("title", step.title), ("says", step.says), ("does", step.does), ("why", step.why)):
        yield from ((key, name) for name in find_places(text))
    amounts: dict[str, list[Amount | None]] = {
        "hold": [step.hold.least, step.hold.most] if step.hold else [],
        "window": [step.window.from_, step.window.to] if step.window else [],
    }
    for key, given in amounts.items():
        yield from ((key, amount.name) for amount in given if isinstance(amount, Named))
