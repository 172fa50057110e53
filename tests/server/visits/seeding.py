"""Careless changes to specs, made on purpose: what an author may forget, swap or leave out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from fillfirst.specs.linked import Specs, Step


def with_steps(specs: Specs, steps: Iterable[Step]) -> Specs:
    changed = specs.model_copy(update={"steps": list(steps)})
    # The look-up by id is worked out again from the new steps.
    changed.__dict__.pop("steps_by_id", None)
    return changed


def change(specs: Specs, id: str, **changes: Any) -> Specs:
    """One step made otherwise."""
    assert id in specs.steps_by_id
    return with_steps(
        specs, (step.model_copy(update=changes) if step.id == id else step for step in specs.steps)
    )


def forget(specs: Specs, id: str, *variables: str) -> Specs:
    """One step no longer makes these true."""
    step = specs.steps_by_id[id]
    assert set(variables) <= set(step.makes)
    return change(
        specs, id, makes={base: value for base, value in step.makes.items() if base not in variables}
    )


def trust(specs: Specs, *ids: str) -> Specs:
    """These steps no longer ask what they need, so that only rules and the end can find the fault."""
    for id in ids:
        specs = change(specs, id, needs={})
    return specs


def drop(specs: Specs, *ids: str) -> Specs:
    """These steps are left out."""
    assert set(ids) <= set(specs.steps_by_id)
    return with_steps(specs, (step for step in specs.steps if step.id not in ids))


def move(specs: Specs, id: str, before: str) -> Specs:
    """One step is done earlier or later."""
    moved = specs.steps_by_id[id]
    rest = [step for step in specs.steps if step.id != id]
    at = next(index for index, step in enumerate(rest) if step.id == before)
    return with_steps(specs, [*rest[:at], moved, *rest[at:]])


Seed = Callable[[Specs], Specs]
