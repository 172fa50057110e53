"""When a fluid that warms or cools will enter its window, and when it will leave it again.

A few timed readings are fitted with one exponential that nears a last temperature. A short record fixes the
slope and hardly the end, so what is told is an interval: every moment of crossing with which the readings
can still be explained. Where they could be explained by a crossing at any time there is no number at all.

`webui/core/warming.js` is the same in the other language; `tests/agreement/functions.json` drives both.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fillfirst.formulas.outcome import Answer, Impossible, PartValue

#: Rates of nearing the end that are tried, per span of the readings, from a straight line upwards.
_RATES = (0.0, *(0.02 * 1000 ** (step / 22) for step in range(23)))
#: How far past the last reading anything is told, in spans of the readings.
_HORIZON = 6.0
#: The thermometer's known error counts as much as this many readings about their curve.
_KNOWN_READINGS = 8
_NORMAL = 1.959963984540054
_TURNS = 40

#: What a curve of one rate gives at each reading, and how fast that changes with the rate.
Shape = Callable[[float], tuple[list[float], list[float]]]
#: The moment of a crossing with the earliest and the latest.
_Crossing = tuple[float, float | None, float | None]


@dataclass(frozen=True)
class _Fit:
    """The best rate for a shape, the size of the shape, and the sum of squares that is left."""

    rate: float
    size: float
    left: float


@dataclass(frozen=True)
class _Record:
    """Readings on a scale where the first is at 0 and the last at 1; `end` is the end if it is known."""

    times: list[float]
    temperatures: list[float]
    end: float | None


def predict_crossing(
    times: Sequence[float],
    temperatures: Sequence[float],
    window_from: float,
    window_to: float,
    reading_error: float,
    settles_at: float | None = None,
) -> Answer | Impossible:
    """Say when the window is entered and left, on the clock of `times`; nothing where that cannot be told.

    `settles_at` is the last temperature where it is known, such as that of the air for a car that cools.
    """
    if len(times) != len(temperatures):
        return {"impossible": "as many times as temperatures are needed"}
    readings = sorted(zip(times, temperatures, strict=True))
    first, last = (readings[0], readings[-1]) if readings else ((0.0, 0.0), (0.0, 0.0))
    if len({time for time, _ in readings}) < (3 if settles_at is None else 2):
        return _tell("cannot-tell")
    span = last[0] - first[0]
    record = _Record(
        [(time - first[0]) / span for time, _ in readings], [value for _, value in readings], settles_at
    )
    best = _fit(record)
    slack = _slack(best.left, len(readings) - (3 if settles_at is None else 2), reading_error)
    is_rising = best.size > 0 if settles_at is None else best.size < 0
    entry, exit_ = (window_from, window_to) if is_rising else (window_to, window_from)
    if window_from <= last[1] <= window_to:
        outlook = "inside"
    elif (last[1] > window_to) == is_rising:
        outlook = "past"
    else:
        outlook = "before"
    if _is_still(record, best, slack):
        return _tell("inside" if outlook == "inside" else "cannot-tell")

    def place(crossing: _Crossing | None) -> list[PartValue]:
        return [None if each is None else first[0] + span * each for each in crossing or (None,) * 3]

    if outlook == "before":
        enters = _find_crossing(record, best, slack, entry)
    else:
        enters = _find_passed(record, best, entry)
    leaves = _find_crossing(record, best, slack, exit_) if outlook != "past" else None
    if outlook == "before" and enters is None:
        misses = _misses(record, best, slack, entry)
        outlook, leaves = "will-not-enter" if misses else "cannot-tell", None
    end = _find_end(record, best, slack)
    return _tell("will-enter" if outlook == "before" else outlook, place(enters), place(leaves), end)


def _tell(
    outlook: str,
    enters: Sequence[PartValue] = (None,) * 3,
    leaves: Sequence[PartValue] = (None,) * 3,
    end: Sequence[PartValue] = (None,) * 3,
) -> Answer:
    parts: dict[str, PartValue] = {"outlook": outlook}
    for name, values in (("enters", enters), ("leaves", leaves), ("settles", end)):
        parts |= dict(zip((f"{name}_at", f"{name}_from", f"{name}_to"), values, strict=True))
    return {"value": parts}


def _fit(record: _Record) -> _Fit:
    """The curve that leaves least: its end free, or held where it is known."""
    if record.end is None:
        return _minimise(_centred(record), _around(record.temperatures), None)
    heights = [value - record.end for value in record.temperatures]
    return _minimise(lambda rate: _decay(record.times, rate, 0.0), heights, None)


def _slack(left: float, spare: int, reading_error: float) -> float:
    """By how much a curve may leave more than the best one and still be believed, at 95 percent.

    The scatter of a handful of readings says little, so the thermometer's own error is pooled with it.
    """
    count = _KNOWN_READINGS + spare
    variance = (_KNOWN_READINGS * reading_error**2 + left) / count
    return variance * _student(count) ** 2


def _student(count: int) -> float:
    """The 97.5 percent point of Student's t (Abramowitz and Stegun, 26.7.5)."""
    z = _NORMAL
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    third = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    return z + first / count + second / count**2 + third / count**3


def _is_still(record: _Record, best: _Fit, slack: float) -> bool:
    """Whether a temperature that does not change explains the readings as well."""
    if record.end is None:
        flat = sum(value * value for value in _around(record.temperatures))
    else:
        heights = [value - record.end for value in record.temperatures]
        flat = sum(value * value for value in _around(heights))
    return flat - best.left <= slack


def _find_crossing(record: _Record, best: _Fit, slack: float, level: float) -> _Crossing | None:
    """When the curve reaches a level, at the earliest and at the latest; None if there is no latest."""

    def excess(at: float) -> float:
        return _fit_through(record, at, level).left - best.left - slack

    at = _reach(record, best, level)
    if at is None or at > _HORIZON or excess(_HORIZON) <= 0:
        return None
    at = max(at, 1.0)
    earliest = 1.0 if excess(1.0) <= 0 else _find_root(excess, at, 1.0)
    return at, earliest, _find_root(excess, at, _HORIZON)


def _find_passed(record: _Record, best: _Fit, level: float) -> _Crossing | None:
    """A crossing that lies between the readings; for the drawing, since it can no longer be watched for."""
    at = _reach(record, best, level)
    return (at, None, None) if at is not None and 0 <= at <= 1 else None


def _misses(record: _Record, best: _Fit, slack: float, level: float) -> bool:
    """Whether no believed curve reaches the level: even one that nears it for ever leaves too much."""
    if record.end is not None:
        return _reach(record, best, level) is None
    return _reach(record, best, level) is None and _fit_end(record, level).left - best.left > slack


def _find_end(record: _Record, best: _Fit, slack: float) -> list[PartValue]:
    """Where the curve ends, with the least and the most; nothing where the record does not say."""
    if record.end is not None:
        return [record.end, None, None]
    if best.rate <= _RATES[1]:
        return [None] * 3
    mean = sum(record.temperatures) / len(record.temperatures)
    heights, _ = _rise(record.times, best.rate)
    end = mean + best.size * (1 / best.rate - sum(heights) / len(heights))
    last = record.temperatures[-1]
    span = end - last

    def excess(at: float) -> float:
        return _fit_end(record, last + at * span).left - best.left - slack

    if span == 0 or excess(_HORIZON) <= 0:
        return [None] * 3
    nearest = 0.0 if excess(0.0) <= 0 else _find_root(excess, 1.0, 0.0)
    return [end, *sorted((last + nearest * span, last + _find_root(excess, 1.0, _HORIZON) * span))]


def _reach(record: _Record, best: _Fit, level: float) -> float | None:
    """When the best curve reaches a level, in spans of the readings."""
    if record.end is not None:
        share = (level - record.end) / best.size
        return -math.log(share) / best.rate if share > 0 and best.rate > 0 else None
    heights, _ = _rise(record.times, best.rate)
    start = sum(record.temperatures) / len(heights) - best.size * sum(heights) / len(heights)
    risen = (level - start) / best.size
    if best.rate == 0:
        return risen
    return -math.log1p(-best.rate * risen) / best.rate if best.rate * risen < 1 else None


def _fit_through(record: _Record, at: float, level: float) -> _Fit:
    """The best curve of those that reach the level at one moment."""
    if record.end is not None:
        height = level - record.end
        heights = [value - record.end for value in record.temperatures]
        return _minimise(lambda rate: _decay(record.times, rate, at, height), heights, 1.0)

    def shape(rate: float) -> tuple[list[float], list[float]]:
        heights, slopes = _rise([*record.times, at], rate)
        return [each - heights[-1] for each in heights[:-1]], [each - slopes[-1] for each in slopes[:-1]]

    return _minimise(shape, [value - level for value in record.temperatures], None)


def _fit_end(record: _Record, end: float) -> _Fit:
    """The best curve of those that end at one temperature."""
    heights = [value - end for value in record.temperatures]
    return _minimise(lambda rate: _decay(record.times, rate, 0.0), heights, None)


def _minimise(shape: Shape, wanted: Sequence[float], size: float | None) -> _Fit:
    """The rate that leaves least; for each rate the size follows by itself unless it is given."""

    def evaluate(rate: float) -> tuple[_Fit, float]:
        heights, slopes = shape(rate)
        square = sum(height * height for height in heights)
        matched = sum(height * want for height, want in zip(heights, wanted, strict=True))
        factor = size if size is not None else matched / square if square > 0 else 0.0
        left = [want - factor * height for height, want in zip(heights, wanted, strict=True)]
        descent = -factor * sum(rest * slope for rest, slope in zip(left, slopes, strict=True))
        return _Fit(rate, factor, sum(rest * rest for rest in left)), descent

    tried = [evaluate(rate)[0] for rate in _RATES]
    least = min(range(len(tried)), key=lambda at: tried[at].left)
    low, high = _RATES[max(least - 1, 0)], _RATES[min(least + 1, len(_RATES) - 1)]
    if evaluate(low)[1] >= 0:
        return evaluate(low)[0]
    if evaluate(high)[1] <= 0:
        return evaluate(high)[0]
    return evaluate(_find_root(lambda rate: evaluate(rate)[1], low, high))[0]


def _find_root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function passes nought between two places of unlike sign.

    Source: C. Ridders, IEEE Transactions on Circuits and Systems 26 (1979), 979.
    """
    at_low, at_high = function(low), function(high)
    found = math.inf
    for _ in range(_TURNS):
        middle = (low + high) / 2
        at_middle = function(middle)
        square = at_middle * at_middle - at_low * at_high
        if square <= 0:
            return middle
        step = (middle - low) * at_middle / math.sqrt(square)
        tried = middle + (step if at_low > at_high else -step)
        if abs(tried - found) <= 1e-14 * abs(tried):
            return tried
        found, at_found = tried, function(tried)
        if at_found == 0:
            return found
        if (at_middle > 0) != (at_found > 0):
            low, at_low, high, at_high = middle, at_middle, found, at_found
        elif (at_low > 0) != (at_found > 0):
            high, at_high = found, at_found
        else:
            low, at_low = found, at_found
    return found


def _around(values: Sequence[float]) -> list[float]:
    mean = sum(values) / len(values)
    return [value - mean for value in values]


def _centred(record: _Record) -> Shape:
    def shape(rate: float) -> tuple[list[float], list[float]]:
        heights, slopes = _rise(record.times, rate)
        return _around(heights), _around(slopes)

    return shape


def _rise(times: Sequence[float], rate: float) -> tuple[list[float], list[float]]:
    """(1 - e^(-rate t)) / rate, which is t where the rate is nothing, and its slope with the rate."""
    heights, slopes = [], []
    for time in times:
        way = rate * time
        if way < 1e-3:
            heights.append(time * (1 - way / 2 + way * way / 6 - way**3 / 24))
            slopes.append(time * time * (-1 / 2 + way / 3 - way * way / 8 + way**3 / 30))
        else:
            heights.append(-math.expm1(-way) / rate)
            slopes.append((math.exp(-way) * (1 + way) - 1) / (rate * rate))
    return heights, slopes


def _decay(
    times: Sequence[float], rate: float, at: float, height: float = 1.0
) -> tuple[list[float], list[float]]:
    """What is left of a height above the end that it has at one moment, and its slope with the rate."""
    heights = [height * math.exp(rate * (at - time)) for time in times]
    return heights, [(at - time) * each for time, each in zip(times, heights, strict=True)]
