"""Who wrote what without having seen whom: the writes of one thing that no later one has seen.

One write in a frontier stands; several are a contradiction, and what then holds is for the fold to say.
`webui/core/fold.js` has the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from fillfirst.visits.events import Event, is_before

T = TypeVar("T")


@dataclass(frozen=True)
class Write(Generic[T]):
    value: T
    event: Event


Frontiers = dict[str, list[Write[T]]]


def write(frontiers: Frontiers[T], key: str, value: T, event: Event) -> None:
    """Add a write to those that no later one has seen."""
    frontier = frontiers.get(key, [])
    if any(is_before(event, other.event) for other in frontier):
        return
    frontiers[key] = [other for other in frontier if not is_before(other.event, event)] + [
        Write(value, event)
    ]


#: What a log begins with is never taken back: without it there is nothing to fold.
_BEGINNINGS = ("visit-opened",)


def find_undone(log: list[Event]) -> set[str]:
    """Entries taken back, of a log in clock order.

    Taking back a taking back puts the entry in force again.
    """
    position = {event.id: index for index, event in enumerate(log)}
    undone: set[str] = set()
    for index, event in reversed(list(enumerate(log))):
        if event.kind != "undone" or event.id in undone:
            continue
        target = position.get(event.payload["event"])
        if target is not None and target < index and log[target].kind not in _BEGINNINGS:
            undone.add(log[target].id)
    return undone
