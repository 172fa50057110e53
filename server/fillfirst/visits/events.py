"""The entries that the log of a visit or of a car may hold, and the check of each before it is believed.

A kind this version does not know, or a newer `v` of one it knows, is kept and counted; a known kind with
a bad body is an error. `webui/core/events.js` is the same in the other language, under the same vectors.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple, Protocol

from pydantic import BaseModel, ConfigDict, ValidationError

from fillfirst.errors import EventError

# What each kind carries; a question mark marks what may be left out.
KINDS: dict[str, dict[str, str]] = {
    "visit-opened": {
        "car": "object",
        "odometer_m": "number",
        "catalog": "text",
        "jobs": "list of texts",
        "facts": "object",
        "settings": "object",
        "by": "text",
    },
    "step-done": {"step": "text", "finding": "text?", "note": "text?", "by": "text?"},
    "step-skipped": {"step": "text", "reason": "text", "by": "text?"},
    "reading-taken": {
        "step": "text",
        "reading": "text",
        "value": "number",
        "typed": "text",
        "unit": "text",
        "by": "text?",
    },
    "timer-started": {
        "step": "text",
        "position": "text?",
        "started_ms": "number",
        "least_s": "number?",
        "most_s": "number?",
        "corrects": "text?",
        "by": "text?",
    },
    "stop-overridden": {"step": "text", "stops": "list of texts", "reason": "text", "by": "text?"},
    "photo-taken": {"step": "text", "sha256": "sha256", "type": "text", "by": "text?"},
    "undone": {"event": "text", "by": "text?"},
    "went-back": {"from": "text", "to": "text", "finding": "text?", "by": "text?"},
    "state-confirmed": {"variable": "text", "value": "text", "by": "text?"},
    "closing-up": {"aim": "text", "steps": "list of texts", "by": "text?"},
    "taken-up-again": {"by": "text?"},
    "fact-given": {
        "fact": "text",
        "value": "value",
        "typed": "text?",
        "unit": "text?",
        "source": "source",
        "doubt": "text?",
        "step": "text?",
        "by": "text?",
    },
    "visit-closed": {"figures": "object", "by": "text"},
    "car-added": {
        "title": "text",
        "plate": "text",
        "note": "text?",
        "vin": "text?",
        "market": "text?",
        "by": "text?",
    },
    "car-described": {
        "title": "text?",
        "plate": "text?",
        "note": "text?",
        "vin": "text?",
        "market": "text?",
        "because": "text?",
        "by": "text?",
    },
    "fact-written": {
        "fact": "text",
        "value": "value",
        "typed": "text?",
        "unit": "text?",
        "source": "source",
        "because": "text?",
        "doubt": "text?",
        "confirmed": "yes-no?",
        "by": "text?",
    },
    "fact-withdrawn": {"fact": "text", "because": "text?", "by": "text?"},
    "fact-confirmed": {"fact": "text", "event": "text", "by": "text?"},
    "odometer-read": {"value": "number", "typed": "text", "unit": "text", "by": "text?"},
    "service-decided": {
        "job": "text",
        "choice": "text",
        "verdict": "text?",
        "because": "text?",
        "by": "text?",
    },
    "line-ticked": {"line": "text", "done": "yes-no", "by": "text?"},
    "thing-kept": {
        "thing": "text",
        "of": "text",
        "title": "text?",
        "count": "number?",
        "marks": "object?",
        "by": "text?",
    },
    "thing-gone": {"thing": "text", "because": "text?", "by": "text?"},
    "price-written": {"of": "text", "value": "number", "currency": "text?", "by": "text?"},
    "price-withdrawn": {"of": "text", "by": "text?"},
    "hours-read": {"value": "number", "typed": "text", "unit": "text", "by": "text?"},
    "service-noted": {
        "job": "text",
        "date": "text",
        "odometer_m": "number?",
        "hours_s": "number?",
        "typed": "text?",
        "unit": "text?",
        "source": "source",
        "by": "text?",
    },
    "policy-chosen": {"policy": "text", "job": "text?", "because": "text?", "by": "text?"},
    "odometer-corrected": {
        "value": "number",
        "typed": "text",
        "unit": "text",
        "because": "text",
        "by": "text?",
    },
    "fluid-noted": {
        "circuit": "text",
        "product": "text?",
        "batch": "text?",
        "label": "sha256?",
        "by": "text?",
    },
    "used-fluid-taken": {
        "stream": "text",
        "value": "number?",
        "typed": "text?",
        "unit": "text?",
        "place": "text",
        "receipt": "sha256?",
        "by": "text?",
    },
    "recheck-done": {"recheck": "text", "finding": "text?", "note": "text?", "by": "text?"},
    "charge-noted": {
        "what": "text",
        "amount": "number",
        "unit": "text",
        "price": "number",
        "currency": "text",
        "by": "text?",
    },
    "acknowledged": {"name": "text", "note": "text?", "signature": "drawing?", "by": "text?"},
}

# What the folds of a visit and of a car pass over, because something else reads it.
READ_APART = frozenset(
    [
        "hours-read",
        "service-noted",
        "policy-chosen",
        "odometer-corrected",
        "fluid-noted",
        "used-fluid-taken",
        "recheck-done",
        "charge-noted",
        "acknowledged",
        "service-decided",
        "line-ticked",
    ]
)

# The newest version of every kind.
VERSION = 1


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


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


# JSON numbers beyond this are not whole on the phone.
_LARGEST_COUNT = 2**53 - 1


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _LARGEST_COUNT


def _is_clock(value: object) -> bool:
    return isinstance(value, dict) and _is_count(value.get("ms")) and _is_count(value.get("c"))


def _is_list_of_texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(item, str) for item in value)


def _is_value(value: object) -> bool:
    return isinstance(value, str | bool) or _is_number(value) or _is_list_of_texts(value)


def _is_source(value: object) -> bool:
    """A kind, and where exactly: a page, a plate, what was measured."""
    return isinstance(value, dict) and all(isinstance(value.get(key), str) for key in ("kind", "reference"))


_STROKES = re.compile(r"(M[0-9]{1,4} [0-9]{1,4}(L[0-9]{1,4} [0-9]{1,4})+)+")
_LONGEST_DRAWING = 20_000


def _is_drawing(value: object) -> bool:
    """Strokes as SVG path data, of M and L alone: "M12 34L56 78M…", in a box of 1000 by 400."""
    return isinstance(value, str) and len(value) <= _LONGEST_DRAWING and _STROKES.fullmatch(value) is not None


_CHECKS: dict[str, Callable[[object], bool]] = {
    "object": lambda value: isinstance(value, dict),
    "number": _is_number,
    "count": _is_count,
    "clock": _is_clock,
    "text": lambda value: isinstance(value, str),
    "list of texts": _is_list_of_texts,
    "yes-no": lambda value: isinstance(value, bool),
    "value": _is_value,
    "source": _is_source,
    "drawing": _is_drawing,
    "sha256": lambda value: isinstance(value, str) and re.fullmatch("[0-9a-f]{64}", value) is not None,
}

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


def read_event(raw: object) -> Event:
    """Check an entry before it is believed.

    Raises EventError with code "bad_event" (its frame) or "bad_body" (what a known kind carries).
    """
    if isinstance(raw, Event):
        raw = raw.model_dump()
    if not isinstance(raw, dict):
        raise EventError("bad_event", "An entry must be an object.")
    if wrong := _find_wrong(raw, _ENVELOPE_FIELDS):
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
    if fields and event.v <= VERSION and (wrong := _find_wrong(event.payload, fields)):
        raise EventError("bad_body", f"Entry {event.id}, {event.kind}: {wrong}")


class _Field(NamedTuple):
    """A key, whether it may be left out, what its value is, and whether a value is that."""

    name: str
    is_optional: bool
    kind: str
    is_right: Callable[[object], bool]


def _read_fields(shape: Mapping[str, str]) -> list[_Field]:
    kinds = {name: kind.removesuffix("?") for name, kind in shape.items()}
    return [_Field(name, kind != shape[name], kind, _CHECKS[kind]) for name, kind in kinds.items()]


# Read once: every entry that comes is held against one of these.
_FIELDS = {kind: _read_fields(shape) for kind, shape in KINDS.items()}
_ENVELOPE_FIELDS = _read_fields(_ENVELOPE)


def _find_wrong(body: Mapping[str, object], fields: Iterable[_Field]) -> str | None:
    """The first field that is not what it must be, in a sentence."""
    for name, is_optional, kind, is_right in fields:
        value = body.get(name)
        if not is_right(value) and not (is_optional and value is None):
            return f'"{name}" must be {"an" if kind == "object" else "a"} {kind}.'
    return None


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
