"""What goes out to other programs: nothing that somebody typed is run or breaks the form."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
import vobject

from fillfirst.records.calendar import write_calendar
from fillfirst.records.due_shapes import CarDue, ServiceDue
from fillfirst.records.table import disarm


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "＝", "＋", "－", "＠", "\t", "\r", "\n"])
def test_a_cell_that_begins_like_a_formula_stays_text(sign: str) -> None:
    assert disarm(f"{sign}1+cmd()") == f"'{sign}1+cmd()"


@pytest.mark.parametrize("cell", ["", "4.2 l", "-3", "-0.5", "a=b", "Ada"])
def test_any_other_cell_stays_as_it_is(cell: str) -> None:
    assert disarm(cell) == cell


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("Tern; the blue one, \\ or so", "Tern; the blue one, \\ or so"),
        ("Tern\x00\x07\x0b\x85\u2028BEGIN:VALARM", "Tern     BEGIN:VALARM"),
        ("Tern\r\nEND:VEVENT\r\nBEGIN:VEVENT", "Tern \nEND:VEVENT \nBEGIN:VEVENT"),
        ("Ö" * 200, "Ö" * 200),
    ],
    ids=["signs of the form", "control characters", "line breaks", "a long name"],
)
def test_a_car_of_any_name_is_one_event_of_a_calendar(typed: str, read: str) -> None:
    service = ServiceDue(
        job="engine-oil", title="Engine oil", policy="maker", state="soon", by=None, limit=None, last=None,
        history=[], limits=[], date="2026-05-09", date_from="2026-05-09", date_to="2026-05-09",
    )  # fmt: skip
    car = CarDue(
        car="tern", title=typed, plate="", odometer=None, rate=None, doubtful=[], services=[service],
        rechecks=[], together=[],
    )  # fmt: skip

    written = write_calendar([car], "2026-05-04", datetime(2026, 5, 4, tzinfo=UTC)).decode()

    [event] = vobject.readOne(written).vevent_list
    assert event.summary.value == f"Engine oil: {read}"
    assert max(len(line.encode()) for line in written.split("\r\n")) <= 75
