"""The entries that the log of a visit or of a car may hold, and the check of each before it is believed.

A kind this version does not know, or a newer `v` of one it knows, is kept and counted; a known kind with
a bad body is an error. `webui/core/events.js` is the same in the other language, under the same vectors.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any, Protocol

from pydantic import BaseModel, ConfigDict, ValidationError

from fillfirst.errors import EventError
from fillfirst.visits.fields import find_wrong, read_fields
from fillfirst.visits.kinds import KINDS, VERSION


class Clock(BaseModel):
    """A hybrid logical clock: milliseconds, and a count within one of them."""

    model_config = ConfigDict(frozen=True, strict=True)

    ms: int
    c: int


class Event(BaseModel):
    """An immutable entry of the log. `seq` and `received_at` are the server's."""

    model_config = ConfigDict(frozen=True, strict=True, extra="ignore")

    id: str
    device: str
    n: int
    hlc: Clock
    seen: int
    wall: str
    kind: str
    v: int
    subject: str
    payload: dict[str, Any]
    seq: int | None = None
    received_at: str | None = None

    @property
    def is_known(self) -> bool:
        return self.kind in KINDS and self.v <= VERSION


_ENVELOPE = {
    "id": "text",
    "device": "text",
    "n": "count",
    "hlc": "clock",
    "seen": "count",
    "wall": "text",
    "kind": "text",
    "v": "count",
    "subject": "text",
    "payload": "object",
    "seq": "count?",
}

# Read once: every entry that comes is held against one of these.
_FIELDS = {kind: read_fields(shape) for kind, shape in KINDS.items()}
_ENVELOPE_FIELDS = read_fields(_ENVELOPE)


def read_event(raw: object) -> Event:
    """Check an entry before it is believed.

    Raises EventError with code "bad_event" (its frame) or "bad_body" (what a known kind carries).
    """
    if isinstance(raw, Event):
        raw = raw.model_dump()
    if not isinstance(raw, dict):
        raise EventError("bad_event", "An entry must be an object.")
    if wrong := find_wrong(raw, _ENVELOPE_FIELDS):
        raise EventError("bad_event", f"Entry {raw.get('id')}: {wrong}")
    try:
        event = Event.model_validate(raw)
    except ValidationError as cause:
        raise EventError("bad_event", f"Entry {raw['id']} is not one the log can hold.") from cause
    check_body(event)
    return event


class HasBody(Protocol):
    """What of an entry says what it carries."""

    @property
    def id(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def v(self) -> int: ...
    @property
    def payload(self) -> dict[str, Any]: ...


def check_body(event: HasBody) -> None:
    """Check what an entry of a known kind carries, its frame being checked already.

    Raises EventError with code "bad_body".
    """
    fields = _FIELDS.get(event.kind)
    if fields and event.v <= VERSION and (wrong := find_wrong(event.payload, fields)):
        raise EventError("bad_body", f"Entry {event.id}, {event.kind}: {wrong}")


def in_order(events: Iterable[Event]) -> list[Event]:
    """Entries in clock order, each once.

    Raises EventError with code "same_id_other_content" when one id names two different entries.
    """
    by_id: dict[str, Event] = {}
    for event in events:
        held = by_id.get(event.id)
        if held is not None and _content_of(held) != _content_of(event):
            raise EventError("same_id_other_content", f"Two different entries are both called {event.id}.")
        # Of two copies the one that the server has numbered says more.
        if held is None or held.seq is None:
            by_id[event.id] = event
    return sorted(
        by_id.values(), key=lambda event: (event.hlc.ms, event.hlc.c, event.device, event.n, event.id)
    )


def _content_of(event: Event) -> str:
    """What an entry says, apart from what the server adds."""
    return json.dumps(event.model_dump(exclude={"seq", "received_at"}), sort_keys=True)


def is_before(earlier: Event, later: Event) -> bool:
    """Whether whoever made `later` knew of `earlier`: by the device's own count, or by what it had seen."""
    if earlier.device == later.device:
        return earlier.n < later.n
    return earlier.seq is not None and earlier.seq <= later.seen
