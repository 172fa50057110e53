"""An event's text ↔ the columns it is kept in.

Most of an event is its envelope, and most of the envelope is ids in hexadecimal: kept as columns, an event
takes half the room. What is given back must be the text received to the last byte, because other phones
compare it, so only a text that can be put together again exactly is taken apart.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

from fillfirst.store.interface import NewEvent, StoredEvent

# What is stored of one event, apart from `id`, `n` and the words: ms, c, seen, wall, v, body.
Packed = tuple[int | None, int | None, int | None, int | str | None, int | None, str]

# As our app writes a wall time: to the second or the millisecond, with an offset in quarters of an hour.
WALL = re.compile(
    r"((?:19|20)\d\d-\d\d-\d\dT(?:[01]\d|2[0-3]):[0-5]\d):([0-5]\d)(?:\.(\d{3}))?"
    r"(?!-00:00)([+-](?:0\d|1[0-4]):(?:00|15|30|45))"
)
MINUTE_MS = 60_000
QUARTER_MS = 900_000
# Room for an offset of fifteen hours either way, and for whether there are milliseconds.
OFFSETS = 256
NO_OFFSET = 60


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


def unpack_all(rows: Iterable[Sequence[Any]], words: Mapping[int, str]) -> list[StoredEvent]:
    """Events with the texts that were received.

    A row holds seq, received_at_ms, id, device, n, kind, subject and what `pack` gave; device, kind and
    subject are numbers of words. One loop, and few calls in it: a new phone waits for thousands of events.
    """
    events: list[StoredEvent] = []
    make = tuple.__new__  # a third of the time that the class takes to make itself
    for seq, received_at_ms, id, device, n, kind, subject, ms, c, seen, wall, v, body in rows:
        text: str = body
        if ms is not None:
            if isinstance(wall, str) and "T" not in wall:
                # From a database whose columns have one kind of value each: the packed time, as digits.
                wall = int(wall)
            time = unpack_wall(wall, ms)
            d = id.hex()
            name = f"{d[:8]}-{d[8:12]}-{d[12:16]}-{d[16:20]}-{d[20:]}"
            envelope = write_envelope(
                name, words[device], n, ms, c, seen, time, words[kind], v, words[subject]
            )
            text = f"{envelope}{body}}}"
        events.append(make(StoredEvent, (seq, received_at_ms, text)))
    return events


def pack_wall(wall: str, ms: int) -> int | str:
    """A wall time as its distance from the clock, mostly small; a text that would not come back stays one."""
    match = WALL.fullmatch(wall)
    if match is None:
        return wall
    minute, seconds, thousandths, written_offset = match.groups()
    offset = _read_offset(written_offset)
    begins_ms = _read_minute(minute)
    if begins_ms is None:
        return wall
    distance_ms = begins_ms - offset * QUARTER_MS + int(seconds) * 1000 + int(thousandths or 0) - ms
    packed = distance_ms * OFFSETS + (offset + NO_OFFSET) * 2 + (thousandths is not None)
    # SQLite's whole numbers have 64 bits.
    return packed if abs(packed) < 2**63 else wall


def unpack_wall(packed: int | str, ms: int) -> str:
    """The wall time that was packed with this clock."""
    if isinstance(packed, str):
        return packed
    distance_ms, rest = divmod(packed, OFFSETS)
    shift_ms, offset = OFFSETS_WRITTEN[rest]
    minute, in_minute_ms = divmod(ms + distance_ms + shift_ms, MINUTE_MS)
    if rest % 2:
        return f"{_write_minute(minute)}{in_minute_ms // 1000:02}.{in_minute_ms % 1000:03}{offset}"
    return f"{_write_minute(minute)}{in_minute_ms // 1000:02}{offset}"


# Events come in the order of time, so the same few minutes are asked for again and again.
@lru_cache(maxsize=1024)
def _read_minute(minute: str) -> int | None:
    """When a local minute such as 2026-05-04T10:42 began, in milliseconds; None for a day that is none."""
    try:
        return int(datetime.fromisoformat(f"{minute}:00+00:00").timestamp()) * 1000
    except ValueError:
        return None


@lru_cache(maxsize=1024)
def _write_minute(minute: int) -> str:
    return datetime.fromtimestamp(minute * 60, UTC).isoformat()[:17]


@lru_cache(maxsize=64)
def _read_offset(offset: str) -> int:
    """In quarters of an hour."""
    quarters = int(offset[1:3]) * 4 + int(offset[4:]) // 15
    return -quarters if offset[0] == "-" else quarters


def _write_offset(quarters: int) -> str:
    sign, size = ("-", -quarters) if quarters < 0 else ("+", quarters)
    return f"{sign}{size // 4:02}:{size % 4 * 15:02}"


# Of every rest of a packed time: the offset in milliseconds, and as it is written.
OFFSETS_WRITTEN = [
    ((rest // 2 - NO_OFFSET) * QUARTER_MS, _write_offset(rest // 2 - NO_OFFSET)) for rest in range(OFFSETS)
]


def read_id(id: str) -> bytes:
    return bytes.fromhex(id.replace("-", ""))


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
