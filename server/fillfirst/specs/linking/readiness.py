"""Is a number there when a step needs it? A reading that is taken later cannot judge now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fillfirst.specs.linked import Amount, Figure, Named, Reading, Step
from fillfirst.specs.linking.context import Context


def check_readiness(
    context: Context, ordered: list[Step], figures: Mapping[str, Figure], readings: Mapping[str, Reading]
) -> None:
    """Check that what a step judges, shows or waits by is read at that step or before it."""
    place = {step.id: at for at, step in enumerate(ordered)}
    for step in ordered:
        for key, name in _asked(step):
            for reading in sorted(set(_readings_behind(name, figures, readings))):
                taken = readings[reading].step
                if place.get(taken, 0) > place[step.id]:
                    context.index.steps[step.id].at(key).problem(
                        f'"{name}" needs the reading "{reading}", which is taken only later, at "{taken}"',
                        "a step uses what has been read by then",
                        "Move one of the steps, or leave it out here.",
                    )


def _asked(step: Step) -> Iterator[tuple[str, str]]:
    yield from (("judges", name) for name in step.judges)
    yield from (("shows", name) for name in step.shows)
    amounts: dict[str, list[Amount | None]] = {
        "hold": [step.hold.least, step.hold.most] if step.hold else [],
        "window": [step.window.from_, step.window.to] if step.window else [],
    }
    for key, given in amounts.items():
        yield from ((key, amount.name) for amount in given if isinstance(amount, Named))


def _readings_behind(
    name: str, figures: Mapping[str, Figure], readings: Mapping[str, Reading]
) -> Iterator[str]:
    if name in readings:
        yield name
    elif name in figures:
        for amount in figures[name].with_.values():
            if isinstance(amount, Named) and amount.name != name:
                yield from _readings_behind(amount.name, figures, readings)
