"""The phone's clock and the ids made from it; the server only ever compares them."""

from __future__ import annotations

import uuid
from typing import Any

import pytest


@pytest.mark.parametrize(
    ("clock", "now", "expected"),
    [
        ({"ms": 5, "c": 3}, 9, {"ms": 9, "c": 0}),
        ({"ms": 5, "c": 3}, 5, {"ms": 5, "c": 4}),
        ({"ms": 9, "c": 3}, 5, {"ms": 9, "c": 4}),
        ({"ms": 5, "c": 3}, 9.7, {"ms": 9, "c": 0}),
        ({"ms": 5, "c": 3}, None, {"ms": 5, "c": 4}),
    ],
    ids=["time moved on", "same millisecond", "time went back", "fraction", "no time"],
)
def test_next_is_later_than_all_that_was(clock: Any, now: Any, expected: Any, core_page: Any) -> None:
    assert core_page.call("clock.js", "next", clock, now) == expected


@pytest.mark.parametrize(
    ("remote", "expected"),
    [
        ({"ms": 9, "c": 0}, {"ms": 9, "c": 0}),
        ({"ms": 5, "c": 4}, {"ms": 5, "c": 4}),
        ({"ms": 5, "c": 2}, {"ms": 5, "c": 3}),
        ({"ms": 4, "c": 9}, {"ms": 5, "c": 3}),
        ({"ms": 2000000000000, "c": 0}, {"ms": 2000000000000, "c": 0}),
        ({"ms": "soon", "c": 0}, {"ms": 5, "c": 3}),
        ({"ms": 9}, {"ms": 5, "c": 3}),
        (None, {"ms": 5, "c": 3}),
    ],
    ids=[
        "later",
        "same time",
        "earlier count",
        "earlier",
        "decades ahead",
        "no number",
        "no count",
        "nothing",
    ],
)
def test_merge_takes_the_later_and_never_refuses(remote: Any, expected: Any, core_page: Any) -> None:
    assert core_page.call("clock.js", "merge", {"ms": 5, "c": 3}, remote) == expected


def make_ids(core_page: Any, clocks: list[Any]) -> list[str]:
    random = [255, 254, 253, 252, 251, 250, 249, 248]
    ids: list[str] = core_page.call_all("clock.js", "uuid7", [(clock, random) for clock in clocks])
    return ids


def test_id_is_a_uuid_of_version_7_that_holds_the_time(core_page: Any) -> None:
    [id] = make_ids(core_page, [{"ms": 0x0123456789AB, "c": 0x5}])

    assert id == "01234567-89ab-7005-bffe-fdfcfbfaf9f8"
    assert uuid.UUID(id).version == 7
    assert uuid.UUID(id).variant == uuid.RFC_4122


def test_ids_of_one_device_never_go_backwards(core_page: Any) -> None:
    clocks = [
        {"ms": 7, "c": 0},
        {"ms": 7, "c": 1},
        {"ms": 7, "c": 4095},
        {"ms": 7, "c": 4096},
        {"ms": 9, "c": 0},
    ]

    ids = make_ids(core_page, clocks)

    assert ids == sorted(ids)
