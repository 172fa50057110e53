"""Links formulas and tables: parsed, checked for dimensions, and held to their worked examples."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from itertools import pairwise
from typing import TypedDict

from fillfirst.errors import ExpressionError, KindError, QuantityError
from fillfirst.formulas import Disagreement, check_dimensions, names, parse, run_example, tables
from fillfirst.quantities import parse as parse_quantity
from fillfirst.quantities import to_si
from fillfirst.specs.linked import Column, Constant, Example, Formula, Input, Result, Table
from fillfirst.specs.linking.conditions import tell_expression
from fillfirst.specs.linking.context import Context
from fillfirst.specs.models.formulas import ConstantEntry, ExampleEntry, FormulaFile, InputEntry, ResultEntry
from fillfirst.specs.names import is_name
from fillfirst.specs.problems import Spot, nearest
from fillfirst.specs.shapes import Shaped, Shapes


def link_tables(context: Context, shapes: Shapes) -> dict[str, Table]:
    linked: dict[str, Table] = {}
    for shaped in shapes.tables:
        spot, file = context.report.at(shaped.document), shaped.model
        units_known = [
            context.unit(spot.at(key, "unit"), getattr(file, key).unit) for key in ("key", "value")
        ]
        source = context.citation(spot.at("source"), file.source)
        keys = [row[0] for row in file.rows]
        rising = [left < right for left, right in pairwise(keys)]
        if len(keys) < 2 or len(set(rising)) > 1 or len(set(keys)) < len(keys):
            spot.at("rows").problem(
                "the keys do not rise or fall all the way",
                "a table has two rows or more, in order",
                "Sort the rows.",
            )
        elif all(units_known):
            rows = [(to_si(key, file.key.unit), to_si(value, file.value.unit)) for key, value in file.rows]
            linked[shaped.id] = Table(
                title=file.title,
                source=source,
                key=Column(**file.key.model_dump()),
                value=Column(**file.value.model_dump()),
                rows=rows,
            )
    return linked


def link_formulas(context: Context, shapes: Shapes, known: dict[str, Table]) -> dict[str, Formula]:
    linked: dict[str, Formula] = {}
    for shaped in shapes.formulas:
        if not _is_expression(context, shaped):
            continue
        formula = _link_formula(context, shaped)
        if formula is not None and _fits(context, shaped, formula, known):
            linked[shaped.id] = formula
            _run_examples(context, shaped, formula, known)
    return linked


def _is_expression(context: Context, shaped: Shaped[FormulaFile]) -> bool:
    """Whether this formula is an expression; functions are linked apart, and what is neither is told."""
    file, spot = shaped.model, context.report.at(shaped.document)
    if file.expression is None and file.function is None:
        spot.problem(
            'the key "expression" is missing', "a formula has one, or names a function", "Add expression = …"
        )
    elif file.expression is not None and file.function is not None:
        spot.at("function").problem(
            "there is an expression too", "a formula is one or the other", "Remove one of them."
        )
    return file.expression is not None and file.function is None


def _link_formula(context: Context, shaped: Shaped[FormulaFile]) -> Formula | None:
    spot, file = context.report.at(shaped.document), shaped.model
    inputs = {
        name: _link_input(context, spot.at("inputs", name), name, entry)
        for name, entry in file.inputs.items()
    }
    constants = link_constants(context, spot, file)
    result = _link_result(context, spot.at("result"), file.result)
    source = context.citation(spot.at("source"), file.source)
    examples = [
        _link_example(context, spot.at("examples", at), each) for at, each in enumerate(file.examples)
    ]
    expression = file.expression or ""
    try:
        tree = parse(expression)
    except ExpressionError as cause:
        tell_expression(spot.at("expression"), cause)
        return None
    if constants is None or any(each is None for each in [*inputs.values(), *examples, result]):
        return None
    return Formula(
        title=file.title,
        why=file.why,
        expression=" ".join(expression.split()),
        tree=tree,
        inputs={name: each for name, each in inputs.items() if each is not None},
        constants=constants,
        result=result or Result(label=""),
        source=source,
        examples=[each for each in examples if each is not None],
    )


def _check_name(spot: Spot, name: str) -> None:
    if not is_name(name):
        spot.problem(f'"{name}" cannot be a name', "names are written like oil_level", "Rename it.")


def _link_input(context: Context, spot: Spot, name: str, entry: InputEntry) -> Input | None:
    if entry.kind == "quantities":
        spot.at("kind").problem(
            "an expression takes one number at a time", "a list of them is for a function", "Use a quantity."
        )
        return None
    fields = read_input(context, spot, name, entry)
    return None if fields is None else Input(kind=entry.kind, **fields)


class InputFields(TypedDict):
    """What inputs of expressions and of functions have in common."""

    label: str
    unit: str | None
    from_: float | None
    to: float | None
    optional: bool


def read_input(context: Context, spot: Spot, name: str, entry: InputEntry) -> InputFields | None:
    """The unit and range of an input in SI; numbers must have both, others neither."""
    _check_name(spot, name)
    fields = InputFields(label=entry.label, unit=None, from_=None, to=None, optional=entry.optional)
    given = {"unit": entry.unit, "from": entry.from_, "to": entry.to}
    if entry.kind not in ("quantity", "quantities"):
        for key in (key for key, value in given.items() if value is not None):
            spot.at(key).problem(f"a {entry.kind} has no {key}", "only a quantity has", "Remove it.")
        return fields
    if entry.unit is None or entry.from_ is None or entry.to is None:
        for key in (key for key, value in given.items() if value is None):
            spot.problem(f'the key "{key}" is missing', "a quantity has a unit and a range", f"Add {key} = …")
        return None
    if not context.unit(spot.at("unit"), entry.unit):
        return None
    low = context.amount(spot.at("from"), entry.from_, entry.unit)
    high = context.amount(spot.at("to"), entry.to, entry.unit)
    if low is None or high is None:
        return None
    if not float(low.value) < float(high.value):
        spot.problem("from is not below to", "a range runs from the least to the most", "Correct the range.")
    return {**fields, "unit": entry.unit, "from_": float(low.value), "to": float(high.value)}


def link_constants(context: Context, spot: Spot, file: FormulaFile) -> dict[str, Constant] | None:
    """The constants of a formula; None when one of them cannot be read or has the name of an input."""
    linked = {
        name: _link_constant(context, spot.at("constants", name), name, entry)
        for name, entry in file.constants.items()
    }
    twice = sorted(set(file.inputs) & set(linked))
    for name in twice:
        spot.at("constants", name).problem(
            f'"{name}" is an input too', "a name stands for one thing", "Rename one."
        )
    found = {name: each for name, each in linked.items() if each is not None}
    return None if twice or len(found) < len(linked) else found


def _link_constant(context: Context, spot: Spot, name: str, entry: ConstantEntry) -> Constant | None:
    _check_name(spot, name)
    source = context.citation(spot.at("source"), entry.source) if entry.source else None
    try:
        amount = parse_quantity(entry.value)
    except QuantityError as cause:
        spot.at("value").problem(
            f"{cause.found} cannot be read", f"expected is {cause.expected}", "Correct it."
        )
        return None
    return Constant(label=entry.label, unit=amount.unit, value=amount.value, shown=entry.value, source=source)


def _link_result(context: Context, spot: Spot, entry: ResultEntry) -> Result | None:
    if entry.kind == "parts" or entry.parts:
        spot.at("parts").problem("an expression gives one thing", "only a function has parts", "Remove them.")
        return None
    if entry.kind == "judgement":
        for key in ("yes", "no"):
            if not getattr(entry, key):
                spot.problem(
                    f'the key "{key}" is missing', "a judgement says what yes and no mean", f"Add {key} = …"
                )
        for key in ("unit", "round_to"):
            if getattr(entry, key) is not None:
                spot.at(key).problem(f"a judgement has no {key}", "only a quantity has", "Remove it.")
        return Result(label=entry.label, kind="judgement", yes=entry.yes, no=entry.no)
    for key in ("yes", "no"):
        if getattr(entry, key) is not None:
            spot.at(key).problem(
                f"a quantity has no {key}", 'kind = "judgement" has', "Remove it, or give the kind."
            )
    if entry.unit is None:
        spot.problem('the key "unit" is missing', "a quantity has a unit", "Add unit = …")
        return None
    if not context.unit(spot.at("unit"), entry.unit):
        return None
    return Result(
        label=entry.label, unit=entry.unit, round_to=read_rounding(context, spot, entry.round_to, entry.unit)
    )


def read_rounding(context: Context, spot: Spot, round_to: str | None, unit: str) -> float | None:
    """The step to which a number is shown."""
    return None if round_to is None else context.difference(spot.at("round_to"), round_to, unit)


def _link_example(context: Context, spot: Spot, entry: ExampleEntry) -> Example | None:
    if entry.source is not None:
        context.citation(spot.at("source"), entry.source)
    for key, value in (("expect", entry.expect), ("within", entry.within)):
        if isinstance(value, dict):
            spot.at(key).problem("an expression gives one thing", "a table is for parts", "Give one value.")
    if isinstance(entry.expect, dict) or isinstance(entry.within, dict):
        return None
    return Example.model_validate(entry.model_dump(by_alias=True))


def _fits(context: Context, shaped: Shaped[FormulaFile], formula: Formula, known: dict[str, Table]) -> bool:
    """Whether every name and table is there and the dimensions come out."""
    spot = context.report.at(shaped.document)
    local = [*formula.inputs, *formula.constants]
    unknown = sorted(names(formula.tree) - set(local))
    for name in unknown:
        near = nearest(name, local)
        spot.at("expression").problem(
            f'"{name}" is neither an input nor a constant',
            f'the nearest one is "{near}"' if near else "",
            "Correct the name, or declare it under [inputs] or [constants].",
        )
    here = [
        context.known(spot.at("expression"), id, "a table of specs/tables", context.index.tables)
        for id in sorted(tables(formula.tree))
    ]
    if unknown or not all(here) or not tables(formula.tree) <= set(known):
        return False
    try:
        check_dimensions(formula, known)
    except KindError as cause:
        _tell_kind(spot, cause)
        return False
    return True


def _tell_kind(spot: Spot, cause: KindError) -> None:
    """Tell it at the key it is about; a place inside the expression is told in the words."""
    if cause.where.startswith("expression"):
        tell_expression(spot.at("expression"), cause)
        return
    do = (
        "Remove it, or use it in the expression."
        if cause.where.startswith(("inputs", "constants"))
        else cause.do
    )
    spot.at(*cause.where.split(".")).problem(cause.found, cause.expected, do or "Correct the expression.")


def _run_examples(
    context: Context, shaped: Shaped[FormulaFile], formula: Formula, known: dict[str, Table]
) -> None:
    spot = context.report.at(shaped.document)
    if not formula.examples:
        spot.problem(
            "there is no worked example", "every formula has one, copied from its source", "Add [[examples]]."
        )
    for at, example in enumerate(formula.examples):
        check_example(
            spot.at("examples", at),
            partial(run_example, formula, example, known),
            "Correct the example or the expression.",
        )


def check_example(spot: Spot, run: Callable[[], Disagreement | None], do: str) -> None:
    """Run one example, telling where it cannot be read and where it does not hold."""
    try:
        disagreement = run()
    except KindError as cause:
        spot.at(*cause.where.split(".")).problem(cause.found, cause.expected, "Correct the example.")
    except QuantityError as cause:
        spot.problem(f"{cause.found} cannot be read", f"expected is {cause.expected}", "Correct the example.")
    else:
        if disagreement is not None:
            spot.problem(disagreement.found, disagreement.expected, do)
