"""When each service of a car is due, as a range of days, by every authority that was entered.

Pure: the day is given, and what the car's entries tell stands in a DueCar. `webui/core/due-list.js` is
the same in the other language and makes the phone's own list, offline; tests/agreement/due.json drives both.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TypedDict, cast

from fillfirst.formulas.due import add_days, add_time, read_days
from fillfirst.records.due_shapes import (
    Authority,
    CarDue,
    Done,
    DoubtfulReading,
    Limit,
    LimitDue,
    Reading,
    RecheckDue,
    ServiceDue,
    State,
    Together,
)
from fillfirst.records.history import ALL, MeterReading, Recheck, ServiceDone
from fillfirst.records.meter import Meter, find_doubtful
from fillfirst.specs.linked import Amount, Fixed, Specs, Value
from fillfirst.visits.compose import compose

#: Services due within so many days of each other are proposed as one visit.
TOGETHER_DAYS = 60
#: What may be due within so many days is "soon"; nothing further off than a year is proposed.
SOON_DAYS = 60
HORIZON_DAYS = 400

#: Whose word goes first under each policy; the first who says anything is followed alone.
_FOLLOWS: dict[str, tuple[Authority, ...]] = {
    "maker": ("maker", "component", "practice"),
    "severe": ("severe", "maker", "component", "practice"),
    "own": ("own",),
}


class DueCar(TypedDict):
    """What a due list is worked out from: a car, and what its entries and visits tell of it."""

    id: str
    title: str
    plate: str
    facts: dict[str, Value | None]
    policies: dict[str, str]
    odometers: list[MeterReading]
    hours: list[MeterReading]
    services: list[ServiceDone]
    rechecks: list[Recheck]


def list_due(specs: Specs, car: DueCar, today: str) -> CarDue:
    """The due list of one car, as of a day such as "2026-05-04"."""
    doubtful = find_doubtful(car["odometers"])
    odometer = Meter([each for each in car["odometers"] if each not in doubtful])
    hours = Meter([each for each in car["hours"] if each not in find_doubtful(car["hours"])])
    meters = {"distance": odometer, "hours": hours}
    jobs = sorted(
        compose(specs, [id for id, job in specs.jobs.items() if not job.shared], car["facts"])["jobs"],
        key=lambda id: (specs.jobs[id].order, id),
    )
    services = [_due_service(specs, car, job, meters, doubtful, today) for job in jobs]
    return CarDue(
        car=car["id"],
        title=car["title"],
        plate=car["plate"],
        odometer=None
        if odometer.last is None
        else Reading(date=odometer.last["date"], value=odometer.last["value"]),
        rate=odometer.rate,
        doubtful=[DoubtfulReading(**each) for each in doubtful],
        services=services,
        rechecks=[_due_recheck(specs, each, odometer, today) for each in _find_open(car["rechecks"])],
        together=_propose(specs, car, services, today),
    )


def _due_service(
    specs: Specs,
    car: DueCar,
    job: str,
    meters: Mapping[str, Meter],
    doubtful: Sequence[MeterReading],
    today: str,
) -> ServiceDue:
    policy = car["policies"].get(job) or car["policies"].get(ALL) or "strictest"
    history = sorted(
        (each for each in car["services"] if each["job"] == job and read_days(each["date"]) is not None),
        key=lambda each: each["date"],
    )
    last = history[-1] if history else None
    limits = _find_limits(specs, car, job)
    followed = _follow(policy, {by for by, _, _, _ in limits})
    told = [
        _due_limit(each, last, meters, is_odometer_wrong=last is not None and _is_among(last, doubtful))
        for each in limits
    ]
    for each in told:
        each.counts = each.by in followed
    dated = [each for each in told if each.counts and each.date is not None]
    first = min(dated, key=lambda each: str(each.date), default=None)
    days = _join(dated)
    return ServiceDue(
        job=job,
        title=specs.jobs[job].title,
        policy=policy,
        state=_find_state(days["date"], days["date_from"], today),
        by=first.by if first else None,
        limit=first.limit if first else None,
        last=_as_done(last) if last else None,
        history=[_as_done(each) for each in history],
        limits=told,
        **days,
    )


def _is_among(service: ServiceDone, readings: Iterable[MeterReading]) -> bool:
    """Whether the odometer of a service is one of these readings."""
    return any(
        each["visit"] == service["visit"]
        and (
            each["visit"] is not None
            or (each["date"], each["value"]) == (service["date"], service["odometer_m"])
        )
        for each in readings
    )


Said = tuple[Authority, Limit, float, str | None]
Range = tuple[str | None, str | None, str | None]


def _find_limits(specs: Specs, car: DueCar, job: str) -> list[Said]:
    """Every limit that anyone set: the facts of the car, and what is common practice."""
    limits: list[Said] = []
    for name, fact in specs.facts.items():
        value = car["facts"].get(name)
        told = fact.interval
        if told is not None and told.job == job and isinstance(value, (int, float)) and value > 0:
            limits.append((told.by, told.limit, float(value), name))
    for interval in specs.jobs[job].intervals:
        for limit, amount in (("distance", interval.distance), ("time", interval.time)):
            value = _amount(car, amount)
            if value is not None:
                limits.append(("practice", cast("Limit", limit), value, None))
    return limits


def _amount(car: DueCar, amount: Amount | None) -> float | None:
    value: object = None
    if amount is not None:
        value = amount.value if isinstance(amount, Fixed) else car["facts"].get(amount.name)
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def _follow(policy: str, present: set[Authority]) -> set[Authority]:
    """Whose limits count: the first of a policy that said anything, or all that were entered."""
    first = next((each for each in _FOLLOWS.get(policy, ()) if each in present), None)
    if first is not None:
        return {first}
    entered = present - {"practice"}
    return entered or present


def _due_limit(
    said: Said, last: ServiceDone | None, meters: Mapping[str, Meter], *, is_odometer_wrong: bool
) -> LimitDue:
    by, limit, value, fact = said
    day: Range = (None, None, None)
    at = None
    if last is not None and limit == "time":
        date = add_time(last["date"], value)
        day = (date, date, date)
    elif last is not None:
        meter = meters[limit]
        shown = last["odometer_m"] if limit == "distance" else last["hours_s"]
        then = meter.at(last["date"]) if shown is None or is_odometer_wrong else shown
        at = None if then is None else then + value
        day = (None, None, None) if at is None else meter.reaches(at)
    return LimitDue(
        by=by,
        limit=limit,
        value=value,
        fact=fact,
        counts=False,
        at=at,
        date=day[0],
        date_from=day[1],
        date_to=day[2],
    )


def _join(limits: Sequence[LimitDue]) -> dict[str, str | None]:
    """Whichever comes first: of the days, of the first days, and of the last ones."""
    dates = [str(each.date) for each in limits]
    lasts = [each.date_to for each in limits if each.date_to is not None]
    return {
        "date": min(dates, default=None),
        "date_from": min((each.date_from or str(each.date) for each in limits), default=None),
        "date_to": min(lasts, default=None),
    }


def _find_state(date: str | None, date_from: str | None, today: str) -> State:
    if date is None or date_from is None:
        return "unknown"
    if date <= today:
        return "due"
    if date_from <= today:
        return "maybe"
    return "soon" if date_from <= add_days(today, SOON_DAYS) else "later"


def _as_done(service: ServiceDone) -> Done:
    return Done.model_validate({key: value for key, value in service.items() if key != "job"})


def _find_open(rechecks: Iterable[Recheck]) -> list[Recheck]:
    """Until somebody has looked, or said why nobody will.

    Only those of the newest visit that has them: what an older one asked for was looked at there.
    """
    newest = {each["id"]: each for each in sorted(rechecks, key=lambda each: each["date"])}
    left = [each for each in newest.values() if not each["is_done"]]
    return sorted(left, key=lambda each: (each["date"], each["id"]))


def _due_recheck(specs: Specs, open: Recheck, odometer: Meter, today: str) -> RecheckDue:
    job, _, id = open["id"].partition("/")
    # The visit may be of an older catalog, with a job that there is no more.
    known = specs.jobs[job].rechecks if job in specs.jobs else []
    title = next((each.title for each in known if each.id == id), open["id"])
    at = None
    days: list[Range] = []
    if open["time"] is not None:
        day = add_time(open["date"], open["time"])
        days.append((day, day, day))
    if open["distance"] is not None and open["odometer_m"] is not None:
        at = open["odometer_m"] + open["distance"]
        days.append(odometer.reaches(at))
    told = [each for each in days if each[0] is not None]
    date, first, last = min(told, key=lambda each: str(each[0])) if told else (None, None, None)
    return RecheckDue(
        id=open["id"],
        title=title,
        visit=open["visit"],
        # One that goes by distance alone, where nothing tells how far the car goes, is due from the start.
        state="maybe" if date is None else _find_state(date, first or date, today),
        at=at,
        date=date,
        date_from=first or date,
        date_to=last,
    )


def _propose(specs: Specs, car: DueCar, services: Sequence[ServiceDue], today: str) -> list[Together]:
    end = add_days(today, HORIZON_DAYS)
    dated = sorted(
        (max(each.date, today), each.job)
        for each in services
        if each.date is not None and max(each.date, today) <= end
    )
    groups: list[list[tuple[str, str]]] = []
    for date, job in dated:
        if groups and date <= add_days(groups[-1][0][0], TOGETHER_DAYS):
            groups[-1].append((date, job))
        else:
            groups.append([(date, job)])
    return [
        Together(
            jobs=[job for _, job in group],
            date=group[0][0],
            saves_s=find_saving(specs, [job for _, job in group], car["facts"]),
        )
        for group in groups
        if len(group) > 1
    ]


def find_saving(specs: Specs, jobs: Sequence[str], facts: Mapping[str, Value | None]) -> float:
    """How many seconds of work and waiting one visit for all of these takes less than one for each."""
    return sum(_spend(specs, [job], facts) for job in jobs) - _spend(specs, jobs, facts)


def _spend(specs: Specs, jobs: Sequence[str], facts: Mapping[str, Value | None]) -> float:
    steps = compose(specs, jobs, facts)["steps"]
    return sum(
        step.work_s + step.wait_s for step in (specs.steps_by_id[instance["step"]] for instance in steps)
    )
