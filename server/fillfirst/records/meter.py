"""What a meter of a car shows: which readings can be true, how fast it runs, and when it will reach a number.

The odometer and a meter that counts hours are read alike. `webui/core/meter.js` is the same in the other
language.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from fillfirst.formulas.due import add_days, read_days
from fillfirst.formulas.odometer import find_rate
from fillfirst.records.due_shapes import Rate
from fillfirst.records.history import MeterReading

_DAY = 86400.0
#: No day further off than this is worked out: it is beyond the last that can be told.
_FURTHEST_DAYS = 4e6


def find_doubtful(readings: Sequence[MeterReading]) -> list[MeterReading]:
    """Readings that cannot be true, because a meter never runs backwards.

    They are those outside the longest run that only rises; of two equally long the one that ends later.
    """
    ordered = _in_time(readings)
    lengths, before = [1] * len(ordered), [-1] * len(ordered)
    for at, reading in enumerate(ordered):
        for earlier in range(at):
            if ordered[earlier]["value"] <= reading["value"] and lengths[earlier] + 1 >= lengths[at]:
                lengths[at], before[at] = lengths[earlier] + 1, earlier
    kept: set[int] = set()
    at = max(range(len(ordered)), key=lambda index: (lengths[index], index), default=-1)
    while at >= 0:
        kept.add(at)
        at = before[at]
    return [reading for index, reading in enumerate(ordered) if index not in kept]


def _in_time(readings: Iterable[MeterReading]) -> list[MeterReading]:
    return sorted(readings, key=lambda each: (each["date"], each["value"]))


class Meter:
    """What one meter shows, and when it will show another number."""

    def __init__(self, readings: Sequence[MeterReading]) -> None:
        self.readings = _in_time(each for each in readings if read_days(each["date"]) is not None)
        self.last = self.readings[-1] if self.readings else None
        self.rate = _find_rate(self.readings)

    def at(self, date: str) -> float | None:
        """What it showed on a day, by the nearest reading and the rate."""
        if self.last is None or self.rate is None:
            return None
        days = _span(date)
        nearest = min(self.readings, key=lambda each: abs(days(each["date"])))
        return nearest["value"] - self.rate.rate * days(nearest["date"]) * _DAY

    def reaches(self, at: float) -> tuple[str | None, str | None, str | None]:
        """The day on which it shows this, the first such day, and the last."""
        if self.last is None:
            return None, None, None
        left = at - self.last["value"]
        day, one, other = (
            _after(self.last["date"], left, rate)
            for rate in (
                (self.rate.rate, self.rate.rate_to, self.rate.rate_from) if self.rate else (None, None, None)
            )
        )
        if left > 0:
            return day, one, other
        return self._passed(at)

    def _passed(self, at: float) -> tuple[str, str, str]:
        """When it showed what it has passed: between two readings, in proportion."""
        later = next(each for each in self.readings if each["value"] >= at)
        before = [each for each in self.readings if each["value"] < at]
        if not before:
            rate = self.rate.rate if self.rate else None
            day = _after(later["date"], at - later["value"], rate) or later["date"]
            return day, day, later["date"]
        earlier = before[-1]
        share = (at - earlier["value"]) / (later["value"] - earlier["value"])
        days = -_span(later["date"])(earlier["date"])
        return add_days(earlier["date"], math.floor(share * days + 1e-9)), earlier["date"], later["date"]


def _find_rate(readings: Sequence[MeterReading]) -> Rate | None:
    days = [float(read_days(each["date"]) or 0) for each in readings]
    found = find_rate([(day - days[0]) * _DAY for day in days], [each["value"] for each in readings])
    value = found.get("value")
    if not isinstance(value, dict) or value["rate"] is None:
        return None
    return Rate.model_validate(value)


def _after(date: str, left: float, rate: float | None) -> str | None:
    if rate is None or rate <= 0:
        return None
    return add_days(date, math.floor(min(left / rate / _DAY + 1e-9, _FURTHEST_DAYS)))


def _span(date: str) -> Callable[[str], int]:
    """How many days there are from this day on to another; negative where the other is later."""
    here = read_days(date) or 0
    return lambda other: (read_days(other) or 0) - here
