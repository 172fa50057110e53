"""Judges each offered event by itself: one bad event never holds up or takes along the others."""

from __future__ import annotations

from typing import Any, NamedTuple

from pydantic import TypeAdapter, ValidationError

from fillfirst.errors import EventError
from fillfirst.store.interface import NewEvent, NewRefusal, Verdict
from fillfirst.sync.messages import EVENT_LIMIT_BYTES, LARGEST, Code, Envelope, Name, Refused, explain_shape
from fillfirst.sync.request import Offered
from fillfirst.visits.events import check_body

# Deeper than any event of ours by far, and shallow enough for every reader's stack.
DEPTH_LIMIT = 64

_NAME: TypeAdapter[str] = TypeAdapter(Name)

KEEP = "It stays on this phone and can be exported; nothing is overwritten."
NEXT: dict[Code, str] = {
    "bad_shape": f"Update the app. {KEEP}",
    "bad_body": f"Update the app. {KEEP}",
    "too_large": KEEP,
    "same_id_other_content": f"Export it from this phone and compare. {KEEP}",
    "same_count_other_event": f"This phone is a copy of another: let it begin as a new device. {KEEP}",
}


class Trouble(NamedTuple):
    """Why an event is not taken, and whose it is as far as that can be read."""

    code: Code
    message: str
    id: str | None
    device: str | None
    n: int | None

    def to_refused(self, index: int) -> Refused:
        return Refused(index=index, id=self.id, code=self.code, message=self.message, next=NEXT[self.code])

    def to_refusal(self) -> NewRefusal | None:
        """What the server notes, so that the device need not wait; None if nobody can tell whose it is."""
        if self.device is None or self.n is None:
            return None
        return NewRefusal(self.device, self.n, self.code)


def judge(offered: Offered) -> NewEvent | Trouble:
    """Take an event's envelope apart, or say why it cannot be taken."""
    text, value = offered
    # A sign of UTF-8 takes four bytes at most, so short texts need no counting.
    if len(text) * 4 > EVENT_LIMIT_BYTES and len(text.encode()) > EVENT_LIMIT_BYTES:
        return _trouble(
            "too_large", f"An event may have {EVENT_LIMIT_BYTES:,} bytes; this one has more.", value
        )
    try:
        event = Envelope.model_validate(value)
    except ValidationError as error:
        return _trouble("bad_shape", explain_shape(error), value)
    # Few events have so many brackets at all; only of those is it counted how deep they lie.
    if text.count("{") + text.count("[") > DEPTH_LIMIT and _measure_depth(text) > DEPTH_LIMIT:
        return _trouble("bad_shape", f"It is nested more than {DEPTH_LIMIT} deep.", value)
    try:
        check_body(event)
    except EventError as error:
        return _trouble("bad_body", str(error), value)
    return NewEvent(
        event.id,
        event.device,
        event.n,
        event.hlc.ms,
        event.hlc.c,
        event.seen,
        event.wall,
        event.kind,
        event.v,
        event.subject,
        text,
    )


def explain(event: NewEvent, verdict: Verdict) -> Trouble:
    """Why the store did not take an event of good shape."""
    if verdict is Verdict.SAME_ID_OTHER_CONTENT:
        message = f"The server already holds event {event.id} with other content."
    else:
        message = f"The server already holds another event as number {event.n} of device {event.device}."
    code: Code = (
        "same_id_other_content" if verdict is Verdict.SAME_ID_OTHER_CONTENT else "same_count_other_event"
    )
    return Trouble(code, message, event.id, event.device, event.n)


def _trouble(code: Code, message: str, value: Any) -> Trouble:
    keys = value if isinstance(value, dict) else {}
    id, device, n = keys.get("id"), keys.get("device"), keys.get("n")
    return Trouble(
        code,
        message,
        id if isinstance(id, str) and len(id) <= 64 and id.isascii() else None,
        device if _is_name(device) else None,
        n if type(n) is int and 1 <= n <= LARGEST else None,
    )


def _is_name(value: Any) -> bool:
    try:
        _NAME.validate_python(value)
    except ValidationError:
        return False
    return True


def _measure_depth(text: str) -> int:
    depth = deepest = 0
    is_text = is_escaped = False
    for sign in text:
        if is_escaped:
            is_escaped = False
        elif is_text:
            is_escaped = sign == "\\"
            is_text = sign != '"'
        elif sign == '"':
            is_text = True
        elif sign in "{[":
            depth += 1
            deepest = max(deepest, depth)
        elif sign in "}]":
            depth -= 1
    return deepest
