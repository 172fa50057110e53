"""Links figures: every use of a formula, and what each of its inputs takes."""

from __future__ import annotations

import re
from collections.abc import Mapping

from fillfirst.formulas import YES_NO, Kind, number_in
from fillfirst.formulas.evaluate import is_within
from fillfirst.specs.linked import Amount, Figure, Fixed, Formula, Input, Named
from fillfirst.specs.linking.context import Context, show
from fillfirst.specs.linking.cycles import find_cycle, tell_cycle
from fillfirst.specs.models.jobs import FigureEntry
from fillfirst.specs.names import is_name
from fillfirst.specs.problems import Spot
from fillfirst.specs.shapes import Shapes

_QUOTED = re.compile(r"'([^']*)'")


def link_figures(context: Context, shapes: Shapes, formulas: Mapping[str, Formula]) -> dict[str, Figure]:
    figures: dict[str, Figure] = {}
    spots: dict[str, Spot] = {}
    for shaped in shapes.jobs:
        for name, entry in shaped.model.figures.items():
            spots[name] = context.report.at(shaped.document, "figures", name)
            if not context.known(
                spots[name].at("formula"),
                entry.formula,
                "a formula of specs/formulas",
                context.index.formulas,
            ):
                continue
            if "function" in context.index.formulas[entry.formula]:
                spots[name].at("formula").problem(
                    f'"{entry.formula}" is a function',
                    "a figure is one number or a judgement, and a function gives several things",
                    "Use a formula with an expression.",
                )
            elif entry.formula in formulas:
                bound = _bind(context, spots[name], entry, formulas[entry.formula])
                figures[name] = Figure(formula=entry.formula, with_=bound, job=shaped.id)
    # Nothing can be worked out along a circle, so what comes after does without figures.
    return {} if _has_circle(figures, spots) else figures


def _bind(context: Context, spot: Spot, entry: FigureEntry, formula: Formula) -> dict[str, Amount]:
    bound: dict[str, Amount] = {}
    for name in entry.with_:
        context.known(spot.at("with", name), name, f'an input of "{entry.formula}"', formula.inputs)
    for name, declared in formula.inputs.items():
        here = spot.at("with", name)
        if name in entry.with_:
            found = _read(context, here, entry.with_[name], declared)
            if found is not None:
                bound[name] = found
        elif name in context.index.names:
            if _has_kind(context, spot, name, declared):
                bound[name] = Named(name=name)
        elif not declared.optional:
            spot.problem(
                f'the input "{name}" of "{entry.formula}" gets nothing',
                f"it is: {declared.label}",
                f"Add {name} = … to with.",
            )
    return bound


def _read(context: Context, spot: Spot, given: str | bool, declared: Input) -> Amount | None:
    if isinstance(given, bool):
        if declared.kind == "yes-no":
            return Fixed(value=given, shown="yes" if given else "no")
        spot.problem("this is a yes or no", f"the input is a {declared.kind}", "Bind something else.")
        return None
    if is_name(given):
        known = context.find(spot, given)
        return Named(name=given) if known is not None and _has_kind(context, spot, given, declared) else None
    if declared.kind == "text":
        quoted = _QUOTED.fullmatch(given)
        if quoted is None:
            spot.problem(
                f'"{given}" is not a name', "a text itself stands in '…' inside the quotes", "Correct it."
            )
            return None
        return Fixed(value=quoted[1], shown=quoted[1])
    return _read_amount(context, spot, given, declared)


def _read_amount(context: Context, spot: Spot, given: str, declared: Input) -> Fixed | None:
    if declared.kind == "yes-no":
        spot.problem(f'"{given}" is no yes or no', "the input is a yes-no", "Bind a name, true or false.")
        return None
    fixed = context.amount(spot, given, declared.unit)
    low, high = declared.from_, declared.to
    if fixed is None or low is None or high is None or is_within(float(fixed.value), low, high):
        return fixed
    spot.problem(
        f'"{given}" is outside the range of the input',
        f"the formula holds from {show(low, declared.unit)} to {show(high, declared.unit)}",
        "Bind another value.",
    )
    return None


def _has_kind(context: Context, spot: Spot, name: str, declared: Input) -> bool:
    """Whether a name holds what an input takes: 25 N*m is no pressure."""
    found = context.kinds.get(name)
    if found is None:
        return False
    wanted = number_in(declared.unit or "1") if declared.kind == "quantity" else None
    if wanted is not None and (found.sort, found.dimension, found.scale) == (
        "number",
        wanted.dimension,
        wanted.scale,
    ):
        return True
    if wanted is None and found.sort == declared.kind:
        return True
    expected = str(wanted) if wanted is not None else "a text" if declared.kind == "text" else str(YES_NO)
    spot.problem(
        f'"{name}" is {_say(found)}', f'the input "{declared.label}" takes {expected}', "Bind another name."
    )
    return False


def _say(kind: Kind) -> str:
    return "a text" if kind.sort == "text" else str(kind)


def _has_circle(figures: Mapping[str, Figure], spots: Mapping[str, Spot]) -> bool:
    waits = {
        name: [
            each.name for each in figure.with_.values() if isinstance(each, Named) and each.name in figures
        ]
        for name, figure in figures.items()
    }
    cycle = find_cycle(waits)
    if cycle:
        tell_cycle(spots[cycle[0]].at("with"), "these figures need each other", cycle)
    return bool(cycle)
