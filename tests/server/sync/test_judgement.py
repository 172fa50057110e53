"""Each event is judged by itself, and told why in words that quote nothing of it."""

from __future__ import annotations

from typing import Any

import pytest
from samples import make_event, make_new, write_text

from fillfirst.store.interface import NewRefusal
from fillfirst.sync.judgement import Trouble, judge
from fillfirst.sync.messages import EVENT_LIMIT_BYTES
from fillfirst.sync.request import Offered


def judge_value(value: Any) -> Any:
    return judge(Offered(write_text(value), value))


def test_a_good_event_is_taken_apart() -> None:
    assert judge_value(make_event()) == make_new()


@pytest.mark.parametrize(
    "changes",
    [
        {"kind": "song-sung", "payload": {"loud": True}},
        {"kind": "step-done", "v": 2, "payload": {"other": 1}},
        {"payload": {"step": "engine-oil/drain", "reason": "x", "extra": [1]}},
        {"extra": {"key": None}},
        {"hlc": {"ms": 2**53 - 1, "c": 0}},
        {"wall": "2026-05-04T10:42:00.123Z"},
    ],
    ids=[
        "unknown kind",
        "newer version",
        "unknown key in payload",
        "unknown key",
        "clock far ahead",
        "fraction",
    ],
)
def test_what_this_version_does_not_know_is_kept(changes: dict[str, Any]) -> None:
    assert judge_value(make_event(**changes)) == make_new(**changes)


@pytest.mark.parametrize(
    "changes",
    [
        {"id": "1"},
        {"id": make_event()["id"].upper()},
        {"device": "phone 1"},
        {"device": None},
        {"n": 0},
        {"n": 1.0},
        {"n": "1"},
        {"n": True},
        {"n": 2**53},
        {"hlc": {"ms": 1}},
        {"hlc": 1},
        {"seen": -1},
        {"wall": "yesterday"},
        {"wall": "2026-05-04T10:42:00"},
        {"kind": "Step Done"},
        {"v": 0},
        {"subject": ""},
        {"payload": []},
        {"payload": None},
    ],
)
def test_an_event_of_the_wrong_shape_is_refused(changes: dict[str, Any]) -> None:
    assert judge_value(make_event() | changes).code == "bad_shape"


@pytest.mark.parametrize("value", [None, 1, "event", [], {}])
def test_what_is_no_event_is_refused(value: Any) -> None:
    trouble = judge_value(value)

    assert trouble.code == "bad_shape"
    assert trouble.to_refusal() is None


def test_a_refusal_names_whose_event_it_was() -> None:
    trouble = judge_value(make_event(5, kind="?"))

    assert trouble.to_refusal() == NewRefusal("phone-1", 5, "bad_shape")


def test_a_known_kind_with_a_bad_body_is_refused() -> None:
    trouble = judge_value(make_event(kind="reading-taken", payload={"step": "a/b", "value": "secret"}))

    assert isinstance(trouble, Trouble)
    assert trouble.code == "bad_body"
    assert "reading" in trouble.message
    assert "secret" not in trouble.message


def test_the_words_of_a_refusal_quote_nothing_of_the_event() -> None:
    assert "secret" not in judge_value(make_event(wall="secret")).message


def test_an_event_of_just_the_limit_is_taken() -> None:
    empty = make_event(payload={"step": "a/b", "reason": ""})
    room = EVENT_LIMIT_BYTES - len(write_text(empty))

    assert judge_value(make_event(payload={"step": "a/b", "reason": "x" * room})).n == 1
    assert judge_value(make_event(payload={"step": "a/b", "reason": "x" * (room + 1)})).code == "too_large"


def test_the_limit_counts_bytes_not_signs() -> None:
    assert judge_value(make_event(payload={"step": "a/b", "reason": "é" * 140_000})).code == "too_large"


def test_nesting_that_no_reader_could_follow_is_refused() -> None:
    deep: Any = []
    for _ in range(70):
        deep = [deep, '[ \\" [']

    assert judge_value(make_event(kind="song-sung", payload={"a": deep})).code == "bad_shape"


def test_brackets_in_text_are_no_nesting() -> None:
    assert judge_value(make_event(kind="song-sung", payload={"a": '[{\\"[' * 100})).n == 1
