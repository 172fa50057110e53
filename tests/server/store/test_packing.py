"""An event's text comes back to the last byte, and most of it is not stored."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from samples import NOW_MS, make_event, make_new, write_text

from fillfirst.store.interface import NewEvent
from fillfirst.store.packing import is_same_content, pack, pack_wall, read_id, unpack_all, unpack_wall

counts = st.integers(min_value=0, max_value=2**53 - 1)


def give_back(event: NewEvent) -> str:
    words = {1: event.device, 2: event.kind, 3: event.subject}
    (stored,) = unpack_all([(7, NOW_MS, read_id(event.id), 1, event.n, 2, 3, *pack(event))], words)
    assert stored[:2] == (7, NOW_MS)
    return stored.text


def test_an_event_as_the_app_writes_it_is_taken_apart() -> None:
    event = make_new(7)

    assert pack(event)[-1] == '{"step":"engine-oil/drain","reason":"no pan at hand"}'
    assert give_back(event) == event.text


@pytest.mark.parametrize(
    "text",
    [
        write_text(make_event() | {"colour": "green"}),
        write_text(dict(reversed(make_event().items()))),
        write_text(make_event()).replace(":", ": "),
        write_text(make_event()).replace('"payload"', '"extra":1,"payload"'),
        write_text(make_event()).replace('"n":1', '"n":1,"n":1'),
        write_text(make_event()).replace("step-skipped", "step-sk\\u0069pped"),
        write_text(make_event()) + " ",
    ],
    ids=["key after", "other order", "spaces", "key before payload", "key twice", "escape", "space after"],
)
def test_a_text_written_otherwise_comes_back_as_it_was(text: str) -> None:
    assert give_back(make_new(text=text)) == text


@settings(max_examples=50, deadline=None)
@given(st.dictionaries(st.text(), st.none() | st.booleans() | st.floats(allow_nan=False) | st.text()))
def test_any_payload_comes_back_as_it_was(payload: dict[str, object]) -> None:
    event = make_new(payload=payload)

    assert give_back(event) == event.text


@pytest.mark.parametrize(
    ("text", "other"),
    [
        ('{"a":1,"b":[true,null]}', '{ "b": [true, null], "a": 1.0 }'),
        ('{"a":"\\u00e9"}', '{"a":"é"}'),
        ('{"a":1e2}', '{"a":100}'),
    ],
)
def test_spelling_makes_no_other_content(text: str, other: str) -> None:
    assert is_same_content(text, other)


@pytest.mark.parametrize(
    ("text", "other"),
    [
        ('{"a":1}', '{"a":true}'),
        ('{"a":0}', '{"a":false}'),
        ('{"a":1}', '{"a":"1"}'),
        ('{"a":null}', "{}"),
        ('{"a":[1,2]}', '{"a":[2,1]}'),
        ('{"a":["yes-no",true]}', '{"a":true}'),
    ],
)
def test_another_value_makes_other_content(text: str, other: str) -> None:
    assert not is_same_content(text, other)


@pytest.mark.parametrize(
    "wall",
    [
        "2026-05-04T10:42:00+02:00",
        "2026-05-04T10:42:00.007+02:00",
        "2026-05-04T10:42:00-09:30",
        "2026-05-04T10:42:00+05:45",
        "2026-05-04T10:42:00+14:00",
        "2026-05-04T10:42:00-12:00",
        "1999-12-31T23:59:59.999+00:00",
    ],
)
def test_a_wall_time_takes_no_more_room_than_a_number(wall: str) -> None:
    packed = pack_wall(wall, NOW_MS)

    assert isinstance(packed, int)
    assert unpack_wall(packed, NOW_MS) == wall


@pytest.mark.parametrize(
    "wall",
    [
        "2026-05-04T10:42:00Z",
        "2026-05-04T10:42:00.1+02:00",
        "2026-05-04T10:42:00.0000001+02:00",
        "2026-05-04T10:42:00+02:07",
        "2026-05-04T10:42:00-00:00",
        "2026-05-04T10:42:00+23:00",
        "2026-02-30T10:42:00+02:00",
        "2026-05-04T24:00:00+02:00",
        "2026-05-04T10:42:60+02:00",
        "0000-05-04T10:42:60+02:00",
        "9998-12-31T23:59:59+00:00",
        "0001-01-01T00:00:00+14:00",
        "9999-12-31T23:59:59-12:00",
        "tomorrow",
    ],
)
@pytest.mark.parametrize("ms", [0, NOW_MS, 2**53 - 1])
def test_a_wall_time_that_would_not_come_back_stays_a_text(wall: str, ms: int) -> None:
    assert pack_wall(wall, ms) == wall


@settings(max_examples=50, deadline=None)
@given(st.datetimes(), st.timedeltas(min_value=timedelta(hours=-23), max_value=timedelta(hours=23)), counts)
def test_any_wall_time_comes_back_as_it_was(moment: datetime, offset: timedelta, ms: int) -> None:
    wall = moment.replace(tzinfo=timezone(offset)).isoformat(timespec="milliseconds")

    assert unpack_wall(pack_wall(wall, ms), ms) == wall
