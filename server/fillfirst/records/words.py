"""Values and steps in words: numbers in the procedures' units, items by their labels, places filled in."""

from __future__ import annotations

import re
from collections.abc import Mapping

from fillfirst.formulas import Outcome
from fillfirst.records.record import StepRecord
from fillfirst.specs.linked import Specs, Value
from fillfirst.visits.shapes import Instance

NO_BREAK_SPACE = "\u00a0"
PLACE = re.compile(r"\{(\w+)\}")


def show_quantity(specs: Specs, value: float, unit_key: str, round_to: float | None = None) -> str:
    """A number of SI base units in one of the procedures' own units, such as "4.2 l"."""
    unit = specs.units[unit_key]
    if round_to:
        value = round(value / round_to) * round_to
    number = f"{(value - unit.offset) / unit.factor:.{unit.decimals}f}"
    # Minus nothing is nothing.
    number = number.removeprefix("-") if float(number) == 0 else number
    return f"{number}{NO_BREAK_SPACE}{unit.symbol}" if unit.symbol else number


def show_fact(specs: Specs, name: str, value: Value, shown: str | None = None) -> str:
    """A fact's value as a person wrote it, or else in its unit or by its labels."""
    if shown:
        return shown
    fact = specs.facts.get(name)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(show_item(specs, name, item) for item in value)
    if isinstance(value, str):
        return show_item(specs, name, value)
    return show_quantity(specs, value, fact.unit) if fact and fact.unit in specs.units else f"{value:g}"


def show_item(specs: Specs, name: str, item: str) -> str:
    fact = specs.facts.get(name)
    return (fact.options or {}).get(item, item) if fact is not None else item


def show_figure(specs: Specs, name: str, value: Value) -> str:
    result = specs.formulas[specs.figures[name].formula].result
    if isinstance(value, bool):
        says = result.yes if value else result.no
        return says or ("yes" if value else "no")
    if isinstance(value, (int, float)) and result.unit is not None:
        return show_quantity(specs, value, result.unit, result.round_to)
    return show_fact(specs, name, value)


def tell_absence(outcome: Outcome) -> str | None:
    """Why an outcome has no value; None if it has."""
    if "value" in outcome:
        return None
    if "missing" in outcome:
        return f"not known: {', '.join(outcome['missing'])}"
    if "outside" in outcome:
        return f"outside the range of its formula: {', '.join(each['name'] for each in outcome['outside'])}"
    return outcome["impossible"]


def title_step(specs: Specs, instance: Instance, facts: Mapping[str, Value]) -> str:
    """A step's title with its places filled in; an item it does not speak of is added."""
    step = specs.steps_by_id[instance["step"]]
    item = instance["item"]
    label = show_item(specs, step.each or "", item) if item is not None else ""

    def fill(match: re.Match[str]) -> str:
        name = match[1]
        if name == "item":
            return label
        return show_fact(specs, name, facts[name]) if name in facts else "…"

    title = PLACE.sub(fill, step.title)
    return f"{title}: {label}" if label and "{item}" not in step.title else title


def say_findings(step: StepRecord) -> list[str]:
    """What was found at a step: first what led back, then what stands."""
    return [each.label for each in (*step.found, *([step.finding] if step.finding else []))]


def title_variable(specs: Specs, id: str) -> str:
    base, _, item = id.partition("@")
    variable = specs.variables[base]
    return f"{variable.title}: {show_item(specs, variable.each or '', item)}" if item else variable.title


def show_state(specs: Specs, id: str, value: str) -> str:
    return specs.variables[id.partition("@")[0]].labels.get(value, value)
