"""What the vectors of fold cannot say: entries that are no entries, and what is read beside them."""

from __future__ import annotations

from typing import Any

import pytest

from fillfirst.errors import EventError
from fillfirst.visits.events import Event, read_event

ENTRY: dict[str, Any] = {
    "id": "e1",
    "device": "phone",
    "n": 1,
    "hlc": {"ms": 1, "c": 0},
    "seen": 0,
    "wall": "2026-05-04T10:00:00+02:00",
    "kind": "undone",
    "v": 1,
    "subject": "visit",
    "payload": {"event": "e0"},
}


@pytest.mark.parametrize(
    ("raw", "message"),
    [
        ("e1", "An entry must be an object."),
        ({}, 'Entry None: "id" must be a text.'),
        ({**ENTRY, "n": 2**60}, 'Entry e1: "n" must be a count.'),
        ({**ENTRY, "received_at": 5}, "Entry e1 is not one the log can hold."),
    ],
    ids=["text", "empty", "beyond-whole-numbers", "odd-time"],
)
def test_what_is_no_entry_is_refused(raw: object, message: str) -> None:
    with pytest.raises(EventError) as refusal:
        read_event(raw)

    assert (refusal.value.code, str(refusal.value)) == ("bad_event", message)


def test_an_entry_read_twice_is_the_same() -> None:
    event = read_event(ENTRY)

    assert read_event(event) == event


def test_what_a_newer_app_adds_is_let_be() -> None:
    event = read_event({**ENTRY, "mood": "good", "payload": {"event": "e0", "because": "slip"}})

    assert isinstance(event, Event)
    assert event.payload["because"] == "slip"
