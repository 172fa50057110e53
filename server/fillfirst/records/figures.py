"""Works out every figure of a closed visit again, and compares it with what the phone had.

The phone worked it out alone, offline, with the other of our two interpreters; two answers that agree
are worth more than one.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import cast

from fillfirst.formulas import evaluate_figure
from fillfirst.records.record import FigureRecord
from fillfirst.records.words import show_figure, tell_absence
from fillfirst.specs.linked import Specs, Value

# Two runs of the same arithmetic in doubles differ in the last digits at most.
TOLERANCE = 1e-9


def compare_figures(
    specs: Specs, jobs: Collection[str], values: Mapping[str, Value], phone: Mapping[str, object]
) -> list[FigureRecord]:
    """Every figure of these jobs, and any other that the phone gave."""
    return [
        _compare(specs, name, values, phone.get(name))
        for name, figure in specs.figures.items()
        if figure.job in jobs or name in phone
    ]


def _compare(specs: Specs, name: str, values: Mapping[str, Value], phone: object) -> FigureRecord:
    outcome = evaluate_figure(specs, name, values)
    value = cast("Value | None", outcome.get("value"))
    figure = specs.figures[name]
    return FigureRecord(
        name=name,
        label=specs.formulas[figure.formula].result.label,
        job=figure.job,
        value=value,
        shown="" if value is None else show_figure(specs, name, value),
        absence=tell_absence(outcome),
        phone=phone if isinstance(phone, (bool, int, float, str)) else None,
        agrees=is_same(value, phone),
    )


def is_same(own: object, phone: object) -> bool:
    """Whether two values agree; a yes is no 1."""
    if isinstance(own, bool) or isinstance(phone, bool):
        return own is phone
    if isinstance(own, (int, float)) and isinstance(phone, (int, float)):
        return math.isclose(own, phone, rel_tol=TOLERANCE, abs_tol=0.0)
    return own == phone
