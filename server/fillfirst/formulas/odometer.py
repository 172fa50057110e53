"""How far a car goes in a day, from what its odometer showed on some days.

Someone will type one digit wrong, so the rate is the median of all slopes between two days (Theil and Sen),
which one wrong reading hardly moves; least squares would follow it.

`webui/core/odometer.js` is the same in the other language; `tests/agreement/functions.json` drives both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from fillfirst.formulas.outcome import Answer, Impossible, PartValue

_NORMAL = 1.959963984540054


def find_rate(days: Sequence[float], distances: Sequence[float]) -> Answer | Impossible:
    """Say the rate with its interval at 95 percent; nothing where no day differs or the car goes back.

    Two days give a rate and no interval.
    """
    if len(days) != len(distances):
        return {"impossible": "as many odometer readings as days are needed"}
    readings = sorted(zip(days, distances, strict=True))
    slopes = sorted(
        (further - distance) / (later - day)
        for at, (day, distance) in enumerate(readings)
        for later, further in readings[at + 1 :]
        if later > day
    )
    rate = _median(slopes) if slopes else 0.0
    if rate <= 0:
        return _tell(None, None, None)
    if len({day for day, _ in readings}) < 3:
        return _tell(rate, None, None)
    width = _NORMAL * math.sqrt(_kendall_variance([day for day, _ in readings]))
    count = len(slopes)
    low = max(_round((count - width) / 2) - 1, 0)
    high = min(_round((count + width) / 2), count - 1)
    return _tell(rate, max(slopes[low], 0.0), slopes[high])


def _tell(rate: PartValue, least: PartValue, most: PartValue) -> Answer:
    return {"value": {"rate": rate, "rate_from": least, "rate_to": most}}


def _median(ordered: Sequence[float]) -> float:
    middle = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[middle]
    return (ordered[middle - 1] + ordered[middle]) / 2


def _kendall_variance(days: Sequence[float]) -> float:
    """Of Kendall's score, with days that were read more than once (Sen, J. Am. Stat. Assoc. 63, 1968)."""
    repeats = [days.count(day) for day in set(days)]
    return (_count_term(len(days)) - sum(_count_term(each) for each in repeats)) / 18


def _count_term(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)


def _round(value: float) -> int:
    return math.floor(value + 0.5)
