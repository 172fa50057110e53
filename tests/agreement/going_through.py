"""A visit gone through in an order of its own, and what the gate says of it."""

from __future__ import annotations

from typing import Any

from fillfirst.specs import Specs
from fillfirst.visits.compose import effects
from fillfirst.visits.gate import stops, unfinished


def start_of(specs: Specs, composition: Any) -> dict[str, str]:
    return {id: specs.variables[base].starts for id, base in composition["variables"].items()}


def stops_along(specs: Specs, composition: Any, order: list[str]) -> list[tuple[str, Any]]:
    """What the gate would say, were the steps done in this order."""
    instances = {instance["id"]: instance for instance in composition["steps"]}
    state, found = start_of(specs, composition), []
    for id in order:
        found += [(id, stop) for stop in stops(specs, composition, state, instances[id])]
        state |= effects(specs, composition, state, instances[id])
    if unfinished(specs, composition, state):
        found.append(("end", {"id": "unfinished"}))
    return found
