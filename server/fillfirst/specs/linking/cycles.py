"""Circles: things that wait for each other, found and told as the path that comes back to its start."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from fillfirst.specs.problems import Spot


def find_cycle(graph: Mapping[str, Iterable[str]]) -> list[str]:
    """One circle in a graph that says for each thing what it waits for: [a, b, a]; empty without one."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as cause:
        path: list[str] = list(reversed(cause.args[1]))
        return path
    return []


def tell_cycle(spot: Spot, what: str, cycle: Iterable[str]) -> None:
    spot.problem(
        f"{what}: {' → '.join(cycle)}", "nothing can wait for itself", "Take one of the references out."
    )
