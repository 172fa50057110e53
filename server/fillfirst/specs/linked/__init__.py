"""Linked specs: what is left when every name in `specs/` has been looked up and every quantity is SI.

These models are exactly the catalog document: `specs.model_dump(by_alias=True)` is what the phone
reads, and `Specs.model_validate(document)` reads it back. Keys that are words of Python (`from`,
`with`, `while`, `of`) carry a trailing underscore here and none in the document.

Numbers are plain floats in SI base units (temperatures in kelvin, times in seconds); what a person
typed stands beside them as `shown`.
"""

from __future__ import annotations

from fillfirst.specs.linked.base import (
    Amount,
    Citation,
    Fixed,
    Linked,
    Named,
    Names,
    Place,
    SourceKind,
    Tree,
    Value,
    Words,
)
from fillfirst.specs.linked.car import (
    Rule,
    Variable,
    VariableKind,
)
from fillfirst.specs.linked.facts import (
    Fact,
    FactGroup,
    FactInterval,
    FactKind,
    Fluid,
    Unit,
    Vehicle,
    VehicleFact,
    VehicleSource,
)
from fillfirst.specs.linked.formulas import (
    Column,
    Constant,
    Example,
    Figure,
    Formula,
    FunctionExample,
    FunctionFormula,
    FunctionInput,
    FunctionKind,
    Input,
    Part,
    Result,
    Table,
)
from fillfirst.specs.linked.jobs import (
    Equipment,
    Interval,
    Job,
    Phase,
    Recheck,
    Supply,
    Tool,
)
from fillfirst.specs.linked.lists import (
    Hazard,
    Kept,
    Mark,
    Source,
)
from fillfirst.specs.linked.specs import (
    Specs,
)
from fillfirst.specs.linked.steps import (
    Across,
    Back,
    Finding,
    Hold,
    Reading,
    Step,
    StepKind,
    Where,
    Window,
)

__all__ = [
    "Across",
    "Amount",
    "Back",
    "Citation",
    "Column",
    "Constant",
    "Equipment",
    "Example",
    "Fact",
    "FactGroup",
    "FactInterval",
    "FactKind",
    "Figure",
    "Finding",
    "Fixed",
    "Fluid",
    "Formula",
    "FunctionExample",
    "FunctionFormula",
    "FunctionInput",
    "FunctionKind",
    "Hazard",
    "Hold",
    "Input",
    "Interval",
    "Job",
    "Kept",
    "Linked",
    "Mark",
    "Named",
    "Names",
    "Part",
    "Phase",
    "Place",
    "Reading",
    "Recheck",
    "Result",
    "Rule",
    "Source",
    "SourceKind",
    "Specs",
    "Step",
    "StepKind",
    "Supply",
    "Table",
    "Tool",
    "Tree",
    "Unit",
    "Value",
    "Variable",
    "VariableKind",
    "Vehicle",
    "VehicleFact",
    "VehicleSource",
    "Where",
    "Window",
    "Words",
]
