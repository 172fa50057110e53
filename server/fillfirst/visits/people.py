"""Who made an entry. `webui/core/people.js` is the same in the other language, under the same vectors."""

from __future__ import annotations

from collections.abc import Iterable

from fillfirst.visits.events import Event


def find_person(log: Iterable[Event], device: str, by: object = None) -> str | None:
    """The person an entry names, else the one whom its device named first in this visit.

    `log` is the visit's, in clock order. None while the device named nobody.
    """
    if isinstance(by, str) and by:
        return by
    named = (each.payload.get("by") for each in log if each.device == device)
    return next((name for name in named if isinstance(name, str) and name), None)
