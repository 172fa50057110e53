"""Links formulas that are functions: their names compared with the function's, and held to their examples."""

from __future__ import annotations

from functools import partial

from fillfirst.formulas import FUNCTIONS, Function, run_function_example
from fillfirst.specs.linked import FunctionExample, FunctionFormula, FunctionInput, Part
from fillfirst.specs.linking.context import Context
from fillfirst.specs.linking.formulas import check_example, link_constants, read_input, read_rounding
from fillfirst.specs.models.formulas import FormulaFile, PartEntry
from fillfirst.specs.problems import Spot, quote_all
from fillfirst.specs.shapes import Shaped, Shapes

_IN_WORDS = {
    "quantity": "a quantity",
    "quantities": "a list of quantities",
    "text": "a text",
    "yes-no": "a yes or no",
}


def link_functions(context: Context, shapes: Shapes) -> dict[str, FunctionFormula]:
    linked: dict[str, FunctionFormula] = {}
    for shaped in shapes.formulas:
        name = shaped.model.function
        if name is None or shaped.model.expression is not None:
            continue
        spot = context.report.at(shaped.document)
        if not context.known(spot.at("function"), name, "a function of formulas/functions.py", FUNCTIONS):
            continue
        formula = (
            _link_function(context, shaped, name) if _fits(spot, shaped.model, FUNCTIONS[name]) else None
        )
        if formula is not None:
            linked[shaped.id] = formula
            _run_examples(spot, formula)
    return linked


def _fits(spot: Spot, file: FormulaFile, function: Function) -> bool:
    """Whether the file names exactly what the function takes and gives, each of its kind."""
    taken = {name: entry.kind for name, entry in file.inputs.items()} | dict.fromkeys(
        file.constants, "quantity"
    )
    given = {name: entry.kind for name, entry in file.result.parts.items()}
    fits = True
    for key, declared, wanted in (("inputs", taken, function.takes), ("parts", given, function.gives)):
        here = spot.at("inputs") if key == "inputs" else spot.at("result", "parts")
        for name in sorted(set(declared) - set(wanted)):
            here.unknown(name, "a name that the function knows", wanted)
        missing = sorted(set(wanted) - set(declared))
        if missing:
            here.problem(f"{quote_all(missing)} is missing", "the function needs every name", "Declare it.")
        fits = fits and set(declared) == set(wanted)
        for name in sorted(set(declared) & set(wanted)):
            if declared[name] != wanted[name]:
                found, expected = _IN_WORDS[declared[name]], _IN_WORDS[wanted[name]]
                here.at(name).problem(
                    f"it is {found}", f"the function has {expected} here", "Correct the kind."
                )
                fits = False
    for name, entry in file.inputs.items():
        if entry.optional and name not in function.optional:
            spot.at("inputs", name).problem(
                "it is optional", "the function cannot do without", "Remove optional."
            )
            fits = False
    return fits


def _link_function(context: Context, shaped: Shaped[FormulaFile], function: str) -> FunctionFormula | None:
    spot, file = context.report.at(shaped.document), shaped.model
    source = context.citation(spot.at("source"), file.source)
    inputs = {}
    for name, entry in file.inputs.items():
        fields = read_input(context, spot.at("inputs", name), name, entry)
        inputs[name] = None if fields is None else FunctionInput(kind=entry.kind, **fields)
    constants = link_constants(context, spot, file)
    parts = {
        name: _link_part(context, spot.at("result", "parts", name), entry)
        for name, entry in file.result.parts.items()
    }
    examples = []
    for at, example in enumerate(file.examples):
        here = spot.at("examples", at)
        if example.source is not None:
            context.citation(here.at("source"), example.source)
        if not isinstance(example.expect, dict) or not isinstance(example.within, dict | None):
            here.problem("it expects one thing", "a function has parts", "Write expect = { part = … }.")
            return None
        examples.append(FunctionExample.model_validate(example.model_dump(by_alias=True, exclude_none=True)))
    if constants is None or any(each is None for each in [*inputs.values(), *parts.values()]):
        return None
    return FunctionFormula(
        title=file.title,
        why=file.why,
        function=function,
        inputs={name: each for name, each in inputs.items() if each is not None},
        constants=constants,
        parts={name: each for name, each in parts.items() if each is not None},
        source=source,
        examples=examples,
    )


def _link_part(context: Context, spot: Spot, entry: PartEntry) -> Part | None:
    if entry.kind not in ("quantity", "quantities"):
        for key in ("unit", "round_to"):
            if getattr(entry, key) is not None:
                spot.at(key).problem(f"a {entry.kind} has no {key}", "only a quantity has", "Remove it.")
        return Part(label=entry.label, kind=entry.kind)
    if entry.unit is None:
        spot.problem('the key "unit" is missing', "a quantity has a unit", "Add unit = …")
        return None
    if not context.unit(spot.at("unit"), entry.unit):
        return None
    rounded = read_rounding(context, spot, entry.round_to, entry.unit)
    return Part(label=entry.label, kind=entry.kind, unit=entry.unit, round_to=rounded)


def _run_examples(spot: Spot, formula: FunctionFormula) -> None:
    if not formula.examples:
        spot.problem(
            "there is no worked example", "every formula has one, copied from its source", "Add [[examples]]."
        )
    for at, example in enumerate(formula.examples):
        check_example(
            spot.at("examples", at),
            partial(run_function_example, formula, example),
            "Correct the example or the function.",
        )
