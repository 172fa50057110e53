"""A due list as a calendar that phones subscribe to: a day or a few for each service and re-check.

Source: RFC 5545; the name and how often to ask again, RFC 7986.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta

import icalendar

from fillfirst.records.due_shapes import CarDue, Days, LimitDue, RecheckDue, ServiceDue

#: A stretch longer than this is no appointment: it stands on its most likely day, and the text says the rest.
LONGEST_DAYS = 62

WHOSE = {
    "maker": "the maker of the car",
    "component": "the maker of the unit",
    "severe": "the schedule for severe use",
    "fluid": "the fluid's own life",
    "own": "the owner's own rule",
    "practice": "common practice",
}
# A TEXT holds no control characters (RFC 5545, section 3.3.11); a line break is written \n.
_CONTROLS = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029]")
_UNITS = {"distance": (1000.0, "km"), "time": (365.25 * 86400 / 12, "months"), "hours": (3600.0, "h")}


def write_calendar(cars: Iterable[CarDue], today: str, stamp: datetime) -> bytes:
    """The calendar, as of a day. `stamp` is when it was written, UTC."""
    calendar = icalendar.Calendar()
    calendar.add("prodid", "-//fillfirst//due//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", "Due")
    calendar.add("x-wr-calname", "Due")
    calendar.add("refresh-interval", timedelta(days=1), parameters={"value": "DURATION"})
    for car in cars:
        for event in _list_events(car, today):
            event.add("dtstamp", stamp)
            calendar.add_component(event)
    return bytes(calendar.to_ical())


def _list_events(car: CarDue, today: str) -> Iterator[icalendar.Event]:
    for service in car.services:
        if service.date is not None:
            yield _make(car, service.job, service.title, service, today, _tell_service(service))
    for recheck in car.rechecks:
        if recheck.date is not None:
            yield _make(
                car, recheck.id.replace("/", "-"), recheck.title, recheck, today, _tell_recheck(recheck)
            )


def _make(car: CarDue, id: str, title: str, days: Days, today: str, says: str) -> icalendar.Event:
    event = icalendar.Event()
    plate = f" ({car.plate})" if car.plate else ""
    event.add("uid", _CONTROLS.sub("-", f"{id}.{car.car}@fillfirst"))
    event.add("summary", _CONTROLS.sub(" ", f"{title}: {car.title}{plate}"))
    event.add("description", _CONTROLS.sub(" ", says))
    event.add("transp", "TRANSPARENT")
    first, last = _find_stretch(days, today)
    event.add("dtstart", first)
    event.add("dtend", last + timedelta(days=1))
    return event


def _find_stretch(days: Days, today: str) -> tuple[date, date]:
    """What is overdue stands on today, so that it is seen until it is done."""
    day, now = date.fromisoformat(str(days.date)), date.fromisoformat(today)
    if day < now:
        return now, now
    if days.date_from is None or days.date_to is None:
        return day, day
    first, last = date.fromisoformat(days.date_from), date.fromisoformat(days.date_to)
    return (max(first, now), last) if (last - first).days <= LONGEST_DAYS else (day, day)


def _tell_days(days: Days) -> str:
    if days.date_from == days.date_to:
        return f"On {days.date}."
    if days.date_to is None:
        return f"About {days.date}; the latest day cannot be told yet."
    return f"About {days.date}, between {days.date_from} and {days.date_to}."


def _tell_service(service: ServiceDue) -> str:
    first = next(
        (each for each in service.limits if (each.by, each.limit) == (service.by, service.limit)), None
    )
    lines = [_tell_days(service)]
    lines += [f"First comes {_tell_limit(first)}."] if first else []
    if service.last is not None:
        where = f" at {service.last.odometer_m / 1000:.0f} km" if service.last.odometer_m is not None else ""
        lines.append(f"Last done {service.last.date}{where}.")
    return "\n".join(lines)


def _tell_limit(limit: LimitDue) -> str:
    factor, unit = _UNITS[limit.limit]
    count = f"{limit.value / factor:.0f} {unit}"
    return f"{'1 month' if count == '1 months' else count}, by {WHOSE[limit.by]}"


def _tell_recheck(recheck: RecheckDue) -> str:
    where = f"\nAt {recheck.at / 1000:.0f} km on the odometer." if recheck.at is not None else ""
    return f"{_tell_days(recheck)}{where}"
