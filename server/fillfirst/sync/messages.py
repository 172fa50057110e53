"""The shapes of one round: to check what comes in, and to describe both ways in the OpenAPI document."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

# The largest whole number that every JSON reader holds exactly (ECMA-262, Number.MAX_SAFE_INTEGER).
LARGEST = 2**53 - 1
# The edition of PROTOCOL.md that this server follows, and the oldest that it still serves. A new edition is
# for what an older phone would do wrong; what it merely does not know it keeps and passes on.
PROTOCOL = 1
MIN_CLIENT = 1
EVENTS_LIMIT = 1_000
EVENT_LIMIT_BYTES = 256 * 1024
ROUND_LIMIT_BYTES = 8 * 1024 * 1024

UUID = r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"
NAME = r"^[A-Za-z0-9][A-Za-z0-9._:-]{0,63}$"
MOMENT = r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?(Z|[+-]\d\d:\d\d)$"
KIND = r"^[a-z][a-z0-9-]{0,63}$"
# What each pattern asks for, for whoever reads a refusal.
ASKED_FOR = {
    UUID: "a UUID in small letters, such as 0190c5a2-1d2e-7abc-8def-0123456789ab",
    NAME: "1 to 64 letters, digits, dots, underscores, colons and hyphens, beginning with a letter or digit",
    MOMENT: "a moment with its offset, such as 2026-01-31T08:30:00Z",
    KIND: "1 to 64 small letters, digits and hyphens, beginning with a letter",
}

Count = Annotated[int, Field(ge=0, le=LARGEST)]
Uuid = Annotated[str, Field(pattern=UUID)]
Name = Annotated[str, Field(pattern=NAME)]
Code = Literal["bad_shape", "bad_body", "too_large", "same_id_other_content", "same_count_other_event"]


def explain_shape(error: ValidationError) -> str:
    """The first thing that is wrong, in a sentence that names the key and quotes nothing of what was in it.

    A refusal may be logged; what somebody recorded may not.
    """
    first = error.errors(include_url=False, include_input=False)[0]
    key = ".".join(str(part) for part in first["loc"]) or "the whole"
    asked_for = ASKED_FOR.get(first.get("ctx", {}).get("pattern", ""))
    if asked_for is not None:
        return f'"{key}": it must be {asked_for}.'
    return f'"{key}": {first["msg"][:1].lower()}{first["msg"][1:]}.'


class Strict(BaseModel):
    """No value is bent into another type: "1" is no count."""

    model_config = ConfigDict(strict=True, frozen=True)


class Clock(Strict):
    """A hybrid logical clock: milliseconds, and a count for ties."""

    ms: Count
    c: Count


class Envelope(Strict):
    """An event. Keys beyond these are kept and passed on, with the text that they came in."""

    id: Uuid
    device: Name
    n: Annotated[int, Field(ge=1, le=LARGEST)]
    hlc: Clock
    seen: Count
    wall: Annotated[str, Field(pattern=MOMENT)]
    kind: Annotated[str, Field(pattern=KIND)]
    v: Annotated[int, Field(ge=1, le=LARGEST)]
    subject: Name
    payload: dict[str, Any]


class Opening(Strict):
    """What a phone says before its events."""

    epoch: str | None = None
    cursor: Count = 0
    ack: Count = 0
    client_now: Count
    device: Name
    app: Annotated[str, Field(max_length=64)] | None = None
    protocol: Count = 1


class SyncRequest(Opening):
    """What a phone sends."""

    events: Annotated[list[Envelope], Field(max_length=EVENTS_LIMIT)]


class Refused(BaseModel):
    """One event that was not taken, and what to do about it."""

    index: int = Field(description="its place in the events sent, from 0")
    id: str | None
    code: Code
    message: str
    next: str


class PassedOn(BaseModel):
    """An event as the server holds it."""

    seq: int
    received_at: str
    event: Envelope


class Gap(BaseModel):
    """A stretch of a device's events that the server has never been offered."""

    first: int
    last: int


class SyncAnswer(BaseModel):
    """What the server answers."""

    server_id: str
    epoch: str
    accepted: list[str]
    refused: list[Refused]
    ack: int
    missing: list[Gap]
    events: list[PassedOn]
    cursor: int
    more: bool
    server_now: int
    catalog: str
    protocol: int
    min_client: int
