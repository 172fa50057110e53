"""When a service is due again: by the calendar or by the odometer, whichever comes first.

Dates are texts such as "2024-03-10", counted in the calendar that is in use today; no clock is read.

`webui/core/due.js` is the same in the other language; `tests/agreement/functions.json` drives both.
"""

from __future__ import annotations

import math
import re

from fillfirst.formulas.outcome import Answer, Impossible

_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_DAY = 86400.0
#: The month of the unit table: a twelfth of 365.25 days. Here it only says how many months are meant.
_MONTH = 365.25 * _DAY / 12
#: The last day that is told; a car that stands has no later one.
_LAST = 9999


def find_due(
    last_date: str, time: float | None = None, distance: float | None = None, rate: float | None = None
) -> Answer | Impossible:
    """Say the day, and which of the two brings it; whole months end on the last day of a shorter month."""
    if read_days(last_date) is None:
        return {"impossible": "a date such as 2024-03-10 is needed"}
    by_time = None if time is None else add_time(last_date, time)
    by_distance = None
    if distance is not None and rate is not None and rate > 0:
        by_distance = add_days(last_date, math.floor(distance / rate / _DAY + 1e-9))
    if by_time is None and by_distance is None:
        return {"impossible": "an interval in time, or one in distance with a rate, is needed"}
    is_time = by_distance is None or (by_time is not None and by_time <= by_distance)
    return {"value": {"date": by_time if is_time else by_distance, "by": "time" if is_time else "distance"}}


def read_days(date: str) -> int | None:
    """Days since an arbitrary one; nothing where the text is no date."""
    parts = _DATE.fullmatch(date)
    day = tuple(map(int, parts.groups())) if parts else (0, 0, 0)
    return _to_days(*day) if _is_date(*day) else None


def add_days(date: str, days: int) -> str:
    """So many days on, or back; the last day that is told is the end of 9999."""
    since = read_days(date)
    if since is None:
        raise ValueError(f'"{date}" is no date such as 2024-03-10')
    return _write(*_to_date(min(max(since + days, 0), _to_days(_LAST, 12, 31))))


def add_time(date: str, time: float) -> str:
    """So many seconds on: whole months where it is one or more, else whole days."""
    months = math.floor(time / _MONTH + 0.5)
    if time < _MONTH * 0.9:
        return add_days(date, math.floor(time / _DAY + 0.5))
    year, month, day = map(int, date.split("-"))
    return _write(*_add_months(year, month, day, months))


def _write(year: int, month: int, day: int) -> str:
    return f"{year:04d}-{month:02d}-{day:02d}"


def _is_date(year: int, month: int, day: int) -> bool:
    return 1 <= month <= 12 and 1 <= day <= _last_day(year, month)


def _add_months(year: int, month: int, day: int, months: int) -> tuple[int, int, int]:
    count = year * 12 + month - 1 + months
    year, month = min(count // 12, _LAST), count % 12 + 1
    return year, month, min(day, _last_day(year, month))


def _last_day(year: int, month: int) -> int:
    is_leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return (31, 29 if is_leap else 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)[month - 1]


def _to_days(year: int, month: int, day: int) -> int:
    """Days since an arbitrary one; a year begins in March here, so that the leap day is its last."""
    years, months = (year, month - 3) if month > 2 else (year - 1, month + 9)
    return 365 * years + years // 4 - years // 100 + years // 400 + (153 * months + 2) // 5 + day - 1


def _to_date(days: int) -> tuple[int, int, int]:
    year = (10000 * days + 14780) // 3652425
    if _to_days(year, 3, 1) > days:
        year -= 1
    rest = days - _to_days(year, 3, 1)
    months = (5 * rest + 2) // 153
    month, day = (months + 2) % 12 + 1, rest - (153 * months + 2) // 5 + 1
    return (year + 1, month, day) if months > 9 else (year, month, day)
