"""Who did what, by the rule of the server and of the phone."""

from __future__ import annotations

from typing import Any

from visit_vectors import as_events, each, read

from fillfirst.visits.events import read_event
from fillfirst.visits.people import find_person

VECTORS = read("people.json")


def events_of(vector: Any) -> list[Any]:
    made = [
        {
            "id": f"e{index}",
            "device": device,
            "kind": "song-sung",
            "payload": {"by": by} if by is not None else {},
        }
        for index, (device, by) in enumerate(vector["events"])
    ]
    return as_events(made)


@each(VECTORS)
def test_server_names_the_person(vector: Any) -> None:
    log = [read_event(event) for event in events_of(vector)]

    assert find_person(log, vector["entry"]["device"], vector["entry"].get("by")) == vector["is"]


@each(VECTORS)
def test_phone_names_the_same_person(vector: Any, core_page: Any) -> None:
    assert core_page.call("people.js", "personOf", events_of(vector), vector["entry"]) == vector["is"]
