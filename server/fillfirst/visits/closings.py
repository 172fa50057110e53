"""When a car was closed up in the middle of its visit, and when the visit was taken up again.

The state of the car does not depend on it: each step of the list is an entry by itself. What is kept here is
that somebody meant to close the car up, how it was to be left, and which steps that asked for; so every phone
knows of it, and the steps done before their turn come again. `webui/core/closings.js` is the same in the
other language, under the same vectors.
"""

from __future__ import annotations

from typing import Any, get_args

from fillfirst.visits.events import Event, is_before
from fillfirst.visits.shapes import Aim, Closings, ClosingUp, Who

KINDS = ("closing-up", "taken-up-again")


def settle_closings(known: list[Event], undone: set[str]) -> Closings:
    """What these entries, in clock order, say of closing up.

    Of entries unseen by each other that say two things the less safe one holds: the visit goes on, or else
    the car is closed up to stand.
    """
    log = [event for event in known if is_closing(event) and event.id not in undone]
    closings: list[ClosingUp] = []
    for event in log:
        going = closings[-1] if closings and closings[-1]["again"] is None else None
        if event.kind == "closing-up":
            if going is None:
                closings.append(_begin(event))
            else:
                going["aim"] = event.payload["aim"]
                going["steps"] += [id for id in event.payload["steps"] if id not in going["steps"]]
        elif going is not None:
            going["again"] = _who(event)
    standing = [event for event in log if not any(is_before(event, other) for other in log)]
    said = {event.payload["aim"] if event.kind == "closing-up" else event.kind for event in standing}
    going = closings[-1] if closings and "taken-up-again" not in said else None
    if going is not None and "to-stand" in said:
        going["aim"] = "to-stand"
    return {
        "closings": closings,
        "closing_up": going,
        "disputed_closing": [event.id for event in standing] if len(said) > 1 else [],
    }


def is_closing(event: Event) -> bool:
    """Whether an entry is one of these, and its aim one that this version knows."""
    if event.kind == "closing-up":
        return event.payload["aim"] in get_args(Aim)
    return event.kind in KINDS


def _begin(event: Event) -> ClosingUp:
    steps: list[Any] = event.payload["steps"]
    return {**_who(event), "aim": event.payload["aim"], "steps": list(dict.fromkeys(steps)), "again": None}


def _who(event: Event) -> Who:
    return {
        "event": event.id,
        "at": event.wall,
        "device": event.device,
        "by": event.payload.get("by"),
    }
