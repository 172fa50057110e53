"""A request is read as a whole or refused as a whole, and each event keeps its text."""

from __future__ import annotations

import json

import pytest
from samples import make_event, make_round, write_text

from fillfirst.errors import RequestError
from fillfirst.sync.messages import EVENTS_LIMIT
from fillfirst.sync.request import read_request


def write_round(*texts: str, **changes: object) -> bytes:
    opening = write_text(make_round(**changes) | {"events": "HERE"})
    return opening.replace('"HERE"', "[" + " , ".join(texts) + "]").encode()


def test_each_event_keeps_its_text_to_the_last_byte() -> None:
    texts = ['{"a" :\t1.50e+2}', '{"b":"\\u00e9 é \\" ] }"}', "null"]

    assert [event.text for event in read_request(write_round(*texts)).events] == texts


def test_keys_may_come_in_any_order_and_with_any_spacing() -> None:
    body = json.dumps(dict(reversed(make_round(make_event()).items())), indent=4).encode()

    read = read_request(body)

    assert read.opening.device == "phone-1"
    assert [event.value for event in read.events] == [make_event()]


def test_keys_of_a_newer_phone_are_passed_over() -> None:
    assert read_request(write_round(battery=0.4)).opening.cursor == 0


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[]",
        b"{",
        b'{"events":[}',
        b'{"events":[1,]}',
        b'{"events":[]} x',
        b'{"events":[NaN]}',
        b'{"events":[{"a":-Infinity}]}',
        b'{"events" []}',
        b'{"a":1 "events":[]}',
        b"\xff\xfe",
        b'{"events":' + b"[" * 100_000,
    ],
)
def test_what_is_not_json_is_refused(body: bytes) -> None:
    with pytest.raises(RequestError) as refused:
        read_request(body)

    assert (refused.value.status, refused.value.code) == (400, "not_json")


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"cursor": -1}, '"cursor": input should be greater than or equal to 0.'),
        ({"cursor": "1"}, '"cursor": input should be a valid integer.'),
        ({"cursor": True}, '"cursor": input should be a valid integer.'),
        (
            {"device": ""},
            '"device": it must be 1 to 64 letters, digits, dots, underscores, colons and hyphens, '
            "beginning with a letter or digit.",
        ),
        ({"epoch": 5}, '"epoch": input should be a valid string.'),
        ({"events": {}}, 'The key "events" is missing, or is no list.'),
        ({"events": None}, 'The key "events" is missing, or is no list.'),
    ],
)
def test_a_round_of_the_wrong_shape_is_refused(changes: dict[str, object], message: str) -> None:
    with pytest.raises(RequestError) as refused:
        read_request(json.dumps(make_round() | changes).encode())

    assert refused.value.code == "bad_request"
    assert refused.value.message == message


def test_a_round_of_too_many_events_is_refused() -> None:
    with pytest.raises(RequestError) as refused:
        read_request(write_round(*["1"] * (EVENTS_LIMIT + 1)))

    assert refused.value.code == "too_many_events"
