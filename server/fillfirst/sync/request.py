"""Reads what a phone sends, keeping each event's text as it came.

Events are passed on byte for byte, so a parsed value is not enough. The standard library's decoder says where
a value ends, which is all that is needed to cut its text out; no faster parser was found that does.
"""

from __future__ import annotations

import json
import re
from typing import Any, NamedTuple, NoReturn

from pydantic import ValidationError

from fillfirst.errors import RequestError
from fillfirst.sync.messages import EVENTS_LIMIT, MIN_CLIENT, Opening, explain_shape

SPACES = " \t\n\r"
SPACE = re.compile(f"[{SPACES}]*")


class Offered(NamedTuple):
    """One event as it came: its text, and the value the text stands for."""

    text: str
    value: Any


class SyncRound(NamedTuple):
    """A request, read."""

    opening: Opening
    events: list[Offered]


def read_request(body: bytes) -> SyncRound:
    """Raises RequestError if this is no round at all. Single events are judged later, one by one."""
    try:
        keys, events = _Reader(body.decode()).read_round()
    except (ValueError, RecursionError) as error:
        raise _refuse("not_json", "What was sent is not JSON.") from error
    if events is None:
        raise _refuse("bad_request", 'The key "events" is missing, or is no list.')
    if len(events) > EVENTS_LIMIT:
        raise _refuse(
            "too_many_events", f"A round may carry {EVENTS_LIMIT} events; this one has {len(events)}."
        )
    try:
        opening = Opening.model_validate(keys)
    except ValidationError as error:
        raise _refuse("bad_request", explain_shape(error)) from error
    if opening.protocol < MIN_CLIENT:
        raise RequestError(
            409,
            "app_too_old",
            f"This app follows edition {opening.protocol} of the protocol; the server needs {MIN_CLIENT}.",
            "Open the app near the server, close what is open, and take its newer version."
            " Nothing was taken and everything stays on the phone.",
        )
    return SyncRound(opening, events)


def _refuse(code: str, message: str) -> RequestError:
    return RequestError(
        400, code, message, "Update the app; nothing was taken and everything stays on the phone."
    )


def refuse_constant(name: str) -> NoReturn:
    # Python would read NaN and Infinity, which no phone can: one such event would stop them all.
    raise ValueError(f"{name} is not JSON")


class _Reader:
    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._decoder = json.JSONDecoder(parse_constant=refuse_constant)

    def read_round(self) -> tuple[dict[str, Any], list[Offered] | None]:
        keys: dict[str, Any] = {}
        events: list[Offered] | None = None
        self._take("{")
        if not self._try("}"):
            while True:
                key = self._read_value().value
                self._take(":")
                if key == "events" and self._peek() == "[":
                    events = self._read_list()
                else:
                    keys[key] = self._read_value().value
                if self._try("}"):
                    break
                self._take(",")
        if self._peek():
            raise ValueError("something follows the object")
        return keys, events

    def _read_list(self) -> list[Offered]:
        self._take("[")
        found: list[Offered] = []
        if self._try("]"):
            return found
        text, decode = self._text, self._decoder.raw_decode
        while True:
            # A thousand times a round, so the way without spaces between events is kept short.
            self._peek()
            start = self._at
            value, end = decode(text, start)
            found.append(Offered(text[start:end], value))
            self._at = end
            if text[end : end + 1] == ",":
                self._at += 1
            elif self._try("]"):
                return found
            else:
                self._take(",")

    def _read_value(self) -> Offered:
        self._peek()
        start = self._at
        value, self._at = self._decoder.raw_decode(self._text, start)
        return Offered(self._text[start : self._at], value)

    def _peek(self) -> str:
        sign = self._text[self._at : self._at + 1]
        if sign not in SPACES:
            return sign
        match = SPACE.match(self._text, self._at)
        assert match is not None
        self._at = match.end()
        return self._text[self._at : self._at + 1]

    def _try(self, sign: str) -> bool:
        if self._peek() != sign:
            return False
        self._at += 1
        return True

    def _take(self, sign: str) -> None:
        if not self._try(sign):
            raise ValueError(f"no {sign} at {self._at}")
