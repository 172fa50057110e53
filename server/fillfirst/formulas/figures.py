"""A formula with its inputs, and a figure: a formula as a job uses it.

This half of `evaluate` knows ranges, constants, optional inputs and how one figure feeds another. It tells
missing names in the job's words (which fact, which reading), not in the formula's.
"""

from __future__ import annotations

from collections.abc import Mapping

from fillfirst.formulas.evaluate import Values, evaluate, excess, is_number, is_within
from fillfirst.formulas.outcome import Outcome, Value, first_trouble
from fillfirst.formulas.shapes import Formula, HasFigures, Tables


def evaluate_formula(formula: Formula, inputs: Values, tables: Tables) -> Outcome:
    """Work out a formula; an input outside its range leaves it without a value.

    Every input that is given is held to its range, whether or not this evaluation would look at it.
    """
    given = {name: inputs.get(name) for name in formula.inputs}
    outside = [
        excess(name, value, formula.inputs[name].from_, formula.inputs[name].to)
        for name, value in given.items()
        if is_number(value)
        if not is_within(value, formula.inputs[name].from_, formula.inputs[name].to)
    ]
    if outside:
        return {"outside": outside}
    constants = {name: constant.value for name, constant in formula.constants.items()}
    return evaluate(formula.tree, {**given, **constants}, tables)


def evaluate_figure(specs: HasFigures, name: str, values: Values) -> Outcome:
    """Work out a figure from facts, readings, settings and the other figures it is bound to.

    Raises KeyError when there is no such figure; linking the specs has made sure that there is.
    """
    return _evaluate_figure(specs, name, values, ())


def _evaluate_figure(specs: HasFigures, name: str, values: Values, above: tuple[str, ...]) -> Outcome:
    if name in above:
        return {"impossible": f'the figure "{name}" is needed for itself'}
    figure = specs.figures[name]
    formula = specs.formulas[figure.formula]
    found: dict[str, Value] = {}
    troubles: dict[str, Outcome] = {}
    for input_name in formula.inputs:
        outcome = _resolve(specs, figure.with_.get(input_name), input_name, values, (*above, name))
        if "value" in outcome:
            found[input_name] = outcome["value"]
        else:
            troubles[input_name] = outcome
    outcome = evaluate_formula(formula, found, specs.tables)
    if "outside" in outcome:
        renamed = {each: _bound_name(figure.with_.get(each), each) for each in formula.inputs}
        return {
            "outside": [
                {**each, "name": renamed.get(each["name"], each["name"])} for each in outcome["outside"]
            ]
        }
    if "missing" not in outcome:
        return _unless_spoilt(outcome, formula, troubles)
    return first_trouble(troubles.get(each, {"missing": [each]}) for each in outcome["missing"]) or outcome


def _resolve(
    specs: HasFigures, binding: object, input_name: str, values: Values, above: tuple[str, ...]
) -> Outcome:
    """What a figure puts into one input; one that is not bound reads the name it is called by."""
    fixed: Value | None = getattr(binding, "value", None)
    if fixed is not None:
        return {"value": fixed}
    name = _bound_name(binding, input_name)
    if name in specs.figures:
        return _evaluate_figure(specs, name, values, above)
    value = values.get(name)
    return {"missing": [name]} if value is None else {"value": value}


def _bound_name(binding: object, input_name: str) -> str:
    name: str | None = getattr(binding, "name", None)
    return input_name if name is None else name


def _unless_spoilt(outcome: Outcome, formula: Formula, troubles: Mapping[str, Outcome]) -> Outcome:
    """An optional input may be unknown, but one that was measured out of range must not pass as unknown."""
    for name, trouble in troubles.items():
        if formula.inputs[name].optional and "missing" not in trouble:
            return trouble
    return outcome
