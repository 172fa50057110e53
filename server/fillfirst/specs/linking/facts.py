"""Links facts: what may be known, in which unit, within what range, and when it is asked at all."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from fillfirst.formulas import Tree, names
from fillfirst.formulas.evaluate import is_within
from fillfirst.specs.linked import Fact, FactGroup, FactInterval, Value
from fillfirst.specs.linking.conditions import read_condition
from fillfirst.specs.linking.context import Context, show
from fillfirst.specs.linking.cycles import find_cycle, tell_cycle
from fillfirst.specs.models.facts import FactEntry
from fillfirst.specs.names import is_id
from fillfirst.specs.problems import Spot, nearest, quote_all
from fillfirst.specs.shapes import Shapes


def link_fact_groups(shapes: Shapes) -> list[FactGroup]:
    groups = [
        FactGroup(id=file.id, title=file.model.title, order=file.model.order, facts=tuple(file.model.facts))
        for file in shapes.facts
    ]
    return sorted(groups, key=lambda group: (group.order, group.id))


def link_facts(context: Context, shapes: Shapes) -> dict[str, Fact]:
    """Every fact by name, in the order of their groups."""
    facts: dict[str, Fact] = {}
    spots: dict[str, Spot] = {}
    for shaped in sorted(shapes.facts, key=lambda shaped: (shaped.model.order, shaped.id)):
        for name, entry in shaped.model.facts.items():
            spots[name] = context.report.at(shaped.document, "facts", name)
            facts[name] = _link_fact(context, spots[name], name, shaped.id, entry)
    _check_circles(facts, spots)
    return facts


def _link_fact(context: Context, spot: Spot, name: str, group: str, entry: FactEntry) -> Fact:
    _check_keys(context, spot, entry)
    bounds = {key: _link_bound(context, spot.at(key), getattr(entry, field), entry) for key, field in _BOUNDS}
    _check_bounds(spot, bounds)
    _check_judges(context, spot.at("judges"), entry)
    fact = Fact(
        group=group,
        title=entry.title,
        kind=entry.kind,
        unit=entry.unit if entry.kind == "quantity" else None,
        from_=bounds["from"],
        to=bounds["to"],
        odd_from=bounds["odd_from"],
        odd_to=bounds["odd_to"],
        judges=tuple(entry.judges),
        interval=_link_interval(context, spot.at("interval"), entry),
        options=entry.options if entry.kind in ("choice", "list") else None,
        answers=tuple(entry.options or ()),
        when=_link_when(context, spot.at("when"), entry),
        of=entry.of,
        where=entry.where,
        default_source=context.citation(spot.at("default_source"), entry.default_source)
        if entry.default_source
        else None,
    )
    given = {
        key: read_value(context, spot.at(key), name, fact, getattr(entry, key))
        for key in ("otherwise", "default")
        if getattr(entry, key) is not None
    }
    return fact.model_copy(update=given)


_BOUNDS = (("from", "from_"), ("to", "to"), ("odd_from", "odd_from"), ("odd_to", "odd_to"))


def _check_keys(context: Context, spot: Spot, entry: FactEntry) -> None:
    """Which keys a fact must and may have depends on its kind."""
    if entry.kind == "quantity":
        for key, field in (("unit", "unit"), *_BOUNDS[:2]):
            if getattr(entry, field) is None:
                spot.problem(
                    f'the key "{key}" is missing', "a quantity has a unit and a range", f"Add {key} = …"
                )
        if entry.unit is not None:
            context.unit(spot.at("unit"), entry.unit)
    else:
        for key, field in (("unit", "unit"), *_BOUNDS):
            if getattr(entry, field) is not None:
                spot.at(key).problem(f"a {entry.kind} has no {key}", "only a quantity has", "Remove it.")
    if entry.kind == "choice" and len(entry.options or {}) < 2:
        spot.problem(
            "a choice without options", "a choice has two options or more", 'Add options = { id = "Label" }.'
        )
    if entry.options and entry.kind not in ("choice", "list"):
        spot.at("options").problem(f"a {entry.kind} has no options", "a choice or a list has", "Remove them.")
    for option in entry.options or {}:
        if not is_id(option):
            spot.at("options").problem(
                f'"{option}" cannot be an option', "options are written as ids", "Rename it."
            )
    _check_defaults(spot, entry)


def _check_defaults(spot: Spot, entry: FactEntry) -> None:
    if entry.when is not None and entry.otherwise is None and entry.kind in ("choice", "yes-no"):
        spot.problem(
            'the key "otherwise" is missing',
            f"a {entry.kind} with a condition says what it is where it does not apply",
            "Add otherwise = …",
        )
    if entry.otherwise is not None and entry.when is None:
        spot.at("otherwise").problem("otherwise stands without when", "the fact always applies", "Remove it.")
    if entry.default is not None and entry.kind != "list" and entry.of == "car":
        spot.at("default").problem(
            f"a {entry.kind} of the car has a default",
            "only lists and settings of a visit have: other facts come from the car in front of you",
            "Remove it.",
        )


def _link_bound(context: Context, spot: Spot, text: str | None, entry: FactEntry) -> float | None:
    if text is None or entry.unit is None or entry.kind != "quantity":
        return None
    fixed = context.amount(spot, text, entry.unit)
    return None if fixed is None else float(fixed.value)


def _check_bounds(spot: Spot, bounds: dict[str, float | None]) -> None:
    """A range runs upwards, and what is odd lies inside it."""
    chain = ["from", "odd_from", "odd_to", "to"]
    given = [(key, value) for key in chain if (value := bounds[key]) is not None]
    for (low, least), (high, most) in pairwise(given):
        if least > most or (least == most and (low, high) == ("from", "to")):
            spot.problem(
                f"{low} is not below {high}", "a range runs from the least to the most", "Correct the range."
            )


def _check_judges(context: Context, spot: Spot, entry: FactEntry) -> None:
    """What questions a number that was typed is a judgement, like those that judge a step."""
    for name in entry.judges:
        known = context.find(spot, name, ("figure",))
        if known is not None and known.holds != "judgement":
            spot.problem(
                f'the figure "{name}" is a {known.holds}',
                'only a formula whose result has kind = "judgement" can judge',
                "Judge with another figure.",
            )


# What an interval is counted in, by a unit of that kind.
_COUNTED_IN = {"distance": "km", "time": "month", "hours": "h"}


def _link_interval(context: Context, spot: Spot, entry: FactEntry) -> FactInterval | None:
    """An interval is a quantity of the car, of a service that can be chosen."""
    if entry.interval is None:
        return None
    told = entry.interval
    context.known(spot.at("job"), told.job, "a job of specs/jobs", context.index.jobs)
    wanted = _COUNTED_IN[told.limit]
    if entry.kind != "quantity" or entry.of != "car":
        spot.problem("an interval is a quantity of the car", "", "Correct kind or of, or remove interval.")
    elif entry.unit is not None:
        context.amount(spot.at("limit"), f"1 {entry.unit}", wanted)
    return FactInterval(job=told.job, by=told.by, limit=told.limit)


def _link_when(context: Context, spot: Spot, entry: FactEntry) -> Tree | None:
    return read_condition(context, spot, entry.when, settings=entry.of == "visit")


def _check_circles(facts: dict[str, Fact], spots: dict[str, Spot]) -> None:
    asked = {name: sorted(names(fact.when)) if fact.when else [] for name, fact in facts.items()}
    cycle = find_cycle(asked)
    if cycle:
        tell_cycle(spots[cycle[0]].at("when"), "these facts ask each other", cycle)


def read_value(context: Context, spot: Spot, name: str, fact: Fact, raw: Any) -> Value | None:
    """A value for a fact, in SI; told and nothing when it cannot be one."""
    if fact.kind == "quantity":
        return _read_quantity(context, spot, fact, raw)
    fits = {"text": isinstance(raw, str), "choice": isinstance(raw, str), "yes-no": isinstance(raw, bool)}
    if not fits.get(fact.kind, isinstance(raw, list)):
        words = {
            "text": "a text",
            "choice": "one of its options",
            "yes-no": "true or false",
            "list": "a list of texts",
        }
        spot.problem(
            f"{_write(raw)} is not {words[fact.kind]}", f"the fact is a {fact.kind}", "Correct the value."
        )
        return None
    values = raw if isinstance(raw, list) else [raw]
    unknown = [each for each in values if fact.options is not None and each not in fact.options]
    for each in unknown:
        near = nearest(each, fact.options or ())
        expected = f"they are {quote_all(fact.options or ())}"
        spot.problem(
            f'"{each}" is not an option', expected, f'Did you mean "{near}"?' if near else "Choose one."
        )
    if isinstance(raw, list) and name in context.index.each and len(set(values)) < len(values):
        spot.problem(
            "the list names one thing twice", "steps go through it, each item once", "Remove the second."
        )
    value: Value = raw
    return None if unknown else value


def _read_quantity(context: Context, spot: Spot, fact: Fact, raw: Any) -> float | None:
    if isinstance(raw, bool | list):
        spot.problem(
            f"{_write(raw)} is not a quantity",
            f'the fact is a quantity in "{fact.unit}"',
            "Correct the value.",
        )
        return None
    fixed = context.amount(spot, raw if isinstance(raw, str) else f"{raw:.15g}", fact.unit)
    if fixed is None:
        return None
    value = float(fixed.value)
    low, high = fact.from_, fact.to
    if low is not None and high is not None and low < high and not is_within(value, low, high):
        spot.problem(
            f'"{fixed.shown}" is outside what is plausible',
            f"the range is {show(low, fact.unit)} to {show(high, fact.unit)}",
            "Read the number again in its source; if it is right, widen the range of the fact.",
        )
        return None
    return value


def _write(raw: Any) -> str:
    if isinstance(raw, bool):
        return "true" if raw else "false"
    return "a list" if isinstance(raw, list) else f'"{raw}"' if isinstance(raw, str) else f"{raw:g}"
