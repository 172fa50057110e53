"""An event's text ↔ the columns it is kept in.

Most of an event is its envelope, and most of the envelope is ids in hexadecimal: kept as columns, an event
takes half the room. What is given back must be the text received to the last byte, because other phones
compare it, so only a text that can be put together again exactly is taken apart.
"""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime, timedelta, timezone
from typing import Any, cast

from fillfirst.store.interface import NewEvent

# What is stored of one event, apart from `id`, `n` and the words: ms, c, seen, wall, v, body.
Packed = tuple[int | None, int | None, int | None, int | str | None, int | None, str]

# As our app writes a wall time: to the second or the millisecond, with an offset in hours and minutes. Not of
# any year, because one at the end of the calendar would leave it in another time zone.
WALL = re.compile(r"(?:19|20)\d\d-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{3})?[+-]\d\d:\d\d")
# Room for an offset in quarters of an hour, and for whether there are milliseconds.
OFFSETS = 256
QUARTER = timedelta(minutes=15)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MILLISECOND = timedelta(milliseconds=1)


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
        return ms, c, seen, pack_wall(wall, ms), v, text[len(envelope) : -1]
    return None, None, None, None, None, text


def unpack(id: bytes, device: str, n: int, kind: str, subject: str, packed: Packed) -> str:
    """The text that was received."""
    body = packed[-1]
    if packed[0] is None:
        return body
    ms, c, seen, wall, v, _ = cast(tuple[int, int, int, int | str, int, str], packed)
    time = unpack_wall(wall, ms)
    return write_envelope(write_id(id), device, n, ms, c, seen, time, kind, v, subject) + body + "}"


def pack_wall(wall: str, ms: int) -> int | str:
    """A wall time as its distance from the clock, mostly small; a text that would not come back stays one."""
    if WALL.fullmatch(wall) is None:
        return wall
    try:
        moment = datetime.fromisoformat(wall)
    except ValueError:
        return wall
    offset = moment.utcoffset()
    assert offset is not None
    distance_ms = (moment - EPOCH) // MILLISECOND - ms
    has_ms = "." in wall
    packed = distance_ms * OFFSETS + (offset // QUARTER + 60) * 2 + has_ms
    is_whole = abs(packed) < 2**62 and abs(offset) < timedelta(hours=15)
    return packed if is_whole and unpack_wall(packed, ms) == wall else wall


def unpack_wall(packed: int | str, ms: int) -> str:
    if isinstance(packed, str):
        return packed
    distance_ms, rest = divmod(packed, OFFSETS)
    offset = (rest // 2 - 60) * QUARTER
    moment = (EPOCH + (ms + distance_ms) * MILLISECOND).astimezone(timezone(offset))
    return moment.isoformat(timespec="milliseconds" if rest % 2 else "seconds")


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
