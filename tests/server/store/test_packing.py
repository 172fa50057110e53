"""An event's text comes back to the last byte, and most of it is not stored."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from samples import make_event, make_new, write_text

from fillfirst.store.interface import NewEvent
from fillfirst.store.packing import is_same_content, pack, read_id, unpack


def give_back(event: NewEvent) -> str:
    return unpack(read_id(event.id), event.device, event.n, event.kind, event.subject, pack(event))


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


@settings(max_examples=50)
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
