"""An event's text ↔ the columns it is kept in.

Most of an event is its envelope, and most of the envelope is ids in hexadecimal: kept as columns, an event
takes half the room. What is given back must be the text received to the last byte, because other phones
compare it, so only a text that can be put together again exactly is taken apart.
"""

from __future__ import annotations

import json
from typing import Any, cast

from fillfirst.store.interface import NewEvent

# What is stored of one event, apart from `id`, `n` and the words: ms, c, seen, wall, v, body.
Packed = tuple[int | None, int | None, int | None, str | None, int | None, str]


def write_envelope(
    id: str, device: str, n: int, ms: int, c: int, seen: int, wall: str, kind: str, v: int, subject: str
) -> str:
    """The text of an event up to its payload, as the app writes it."""
    return (
        f'{{"id":"{id}","device":"{device}","n":{n},"hlc":{{"ms":{ms},"c":{c}}},"seen":{seen},"wall":"{wall}",'
        f'"kind":"{kind}","v":{v},"subject":"{subject}","payload":'
    )


def pack(event: NewEvent) -> Packed:
    """Take the text apart where it can be put together again; keep it whole where not."""
    id, device, n, ms, c, seen, wall, kind, v, subject, text = event
    envelope = write_envelope(id, device, n, ms, c, seen, wall, kind, v, subject)
    if text.startswith(envelope) and text.endswith("}"):
        return ms, c, seen, wall, v, text[len(envelope) : -1]
    return None, None, None, None, None, text


def unpack(id: bytes, device: str, n: int, kind: str, subject: str, packed: Packed) -> str:
    """The text that was received."""
    body = packed[-1]
    if packed[0] is None:
        return body
    ms, c, seen, wall, v, _ = cast(tuple[int, int, int, str, int, str], packed)
    return write_envelope(write_id(id), device, n, ms, c, seen, wall, kind, v, subject) + body + "}"


def read_id(id: str) -> bytes:
    return bytes.fromhex(id.replace("-", ""))


def write_id(id: bytes) -> str:
    digits = id.hex()
    return f"{digits[:8]}-{digits[8:12]}-{digits[12:16]}-{digits[16:20]}-{digits[20:]}"


def is_same_content(text: str, other: str) -> bool:
    """Whether two texts say the same; spacing, order of keys and spelling of numbers do not matter."""
    return text == other or _read_values(text) == _read_values(other)


def _read_values(text: str) -> Any:
    # Numbers are compared as the doubles that a phone makes of them.
    return _tell_apart(json.loads(text, parse_int=float))


def _tell_apart(value: Any) -> Any:
    # Python holds True and 1 to be equal; JSON does not.
    if isinstance(value, bool):
        return ("yes-no", value)
    if isinstance(value, dict):
        return {key: _tell_apart(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_tell_apart(inner) for inner in value]
    return value
