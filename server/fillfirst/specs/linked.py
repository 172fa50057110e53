"""Linked specs: what is left when every name in `specs/` has been looked up and every quantity is SI.

These models are exactly the catalog document: `specs.model_dump(by_alias=True)` is what the phone
reads, and `Specs.model_validate(document)` reads it back. Keys that are words of Python (`from`,
`with`, `while`, `of`) carry a trailing underscore here and none in the document.

Numbers are plain floats in SI base units (temperatures in kelvin, times in seconds); what a person
typed stands beside them as `shown`.
"""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from fillfirst.errors import ExpressionError
from fillfirst.formulas import read_tree


def _read_tree(value: object) -> list[Any]:
    try:
        return read_tree(value)
    except ExpressionError as cause:
        raise ValueError(str(cause)) from cause


# An expression as nested arrays: ["+", ["name", "x"], ["number", 1.5]]; read back, it is checked.
Tree = Annotated[list[Any], BeforeValidator(_read_tree)]
# What a fact, reading or figure may hold at run time.
Value = float | str | bool | list[str]
# Lax on purpose: JSON has no tuples, and an array read back from a catalog arrives as a list.
Names = Annotated[tuple[str, ...], Field(strict=False)]
Place = Annotated[tuple[float, float], Field(strict=False)]

FactKind = Literal["quantity", "text", "choice", "list", "yes-no"]
StepKind = Literal["act", "measure", "tighten", "hold", "cycle", "watch", "inspect"]
Where = Literal["under", "beside", "bonnet", "cabin"]
VariableKind = Literal["circuit", "fluid", "closure", "part", "condition"]
FunctionKind = Literal["quantity", "quantities", "text", "yes-no"]
Across = Literal["last", "sum", "min", "max"]
SourceKind = Literal["makers-manual", "label", "component-maker", "measured", "common-practice", "owner"]


class Linked(BaseModel):
    model_config = ConfigDict(
        strict=True,
        frozen=True,
        extra="forbid",
        validate_by_name=True,
        validate_by_alias=True,
        serialize_by_alias=True,
        alias_generator=lambda name: name.rstrip("_"),
    )


class Citation(Linked):
    """Where a number was taken from: a document in `sources`, and the place in it."""

    document: str
    page: int | str | None = None
    section: str | None = None


class Named(Linked):
    """A value that is looked up in the visit: the name of a fact, setting, reading or figure."""

    name: str


class Fixed(Linked):
    """A value written in the spec itself, in SI, beside what was typed."""

    value: float | str | bool
    shown: str


class Words(Linked):
    """A size or count that is words, not a value: "long extension"."""

    text: str


Amount = Named | Fixed


class Unit(Linked):
    """A unit the phone may show; si = shown * factor + offset."""

    symbol: str
    spoken: str
    measure: str
    decimals: int
    systems: list[str] = []
    also: list[str] = []
    factor: float
    offset: float


class FactGroup(Linked):
    """One heading of the form; `facts` keeps the order in which they were written, which JSON does not."""

    id: str
    title: str
    order: float
    facts: Names = ()


class FactInterval(Linked):
    """Of which service a fact says how long a filling lasts, who says so, and in what it is counted."""

    job: str
    by: Literal["maker", "component", "severe", "fluid", "own"]
    limit: Literal["distance", "time", "hours"]


class Fact(Linked):
    group: str
    title: str
    kind: FactKind
    unit: str | None = None
    from_: float | None = None
    to: float | None = None
    odd_from: float | None = None
    odd_to: float | None = None
    judges: Names = ()
    interval: FactInterval | None = None
    options: dict[str, str] | None = None
    when: Tree | None = None
    otherwise: Value | None = None
    of: Literal["car", "visit"] = "car"
    default: Value | None = None
    default_source: Citation | None = None
    where: str = ""


class Fluid(Linked):
    title: str
    colour: str
    stream: str
    family: str
    caution: str = ""
    mixing: str = ""


class Input(Linked):
    label: str
    kind: Literal["quantity", "text", "yes-no"] = "quantity"
    unit: str | None = None
    from_: float | None = None
    to: float | None = None
    optional: bool = False


class Constant(Linked):
    label: str
    unit: str
    value: float
    shown: str
    source: Citation | None = None


class Result(Linked):
    label: str
    kind: Literal["quantity", "judgement"] = "quantity"
    unit: str | None = None
    round_to: float | None = None
    yes: str | None = None
    no: str | None = None


class Example(Linked):
    from_: str
    given: dict[str, str | float | bool]
    expect: str | float | bool
    within: str | float | None = None
    source: Citation | None = None


class Formula(Linked):
    title: str
    why: str
    expression: str
    tree: Tree
    inputs: dict[str, Input]
    constants: dict[str, Constant] = {}
    result: Result
    source: Citation
    examples: list[Example]


class FunctionInput(Linked):
    """What a function takes; quantities are a list of numbers in one unit, each held to the range."""

    label: str
    kind: FunctionKind = "quantity"
    unit: str | None = None
    from_: float | None = None
    to: float | None = None
    optional: bool = False


class Part(Linked):
    """One of the things that a function gives; it may be absent where it cannot be told."""

    label: str
    kind: FunctionKind = "quantity"
    unit: str | None = None
    round_to: float | None = None


class FunctionExample(Linked):
    from_: str
    given: dict[str, str | float | bool]
    expect: dict[str, str | float | bool]
    within: dict[str, str | float] = {}
    source: Citation | None = None


class FunctionFormula(Linked):
    """A formula that no expression can say: a named function of formulas.functions."""

    title: str
    why: str
    function: str
    inputs: dict[str, FunctionInput]
    constants: dict[str, Constant] = {}
    parts: dict[str, Part]
    source: Citation
    examples: list[FunctionExample]


class Column(Linked):
    label: str
    unit: str


class Table(Linked):
    """A published table; both columns in SI, the key rising or falling all the way."""

    title: str
    source: Citation
    key: Column
    value: Column
    rows: list[Place]


class Hazard(Linked):
    title: str
    says: str
    level: Literal["caution", "danger"]


class Mark(Linked):
    """A number that a thing in the garage carries."""

    label: str
    unit: str
    from_: float
    to: float


class Kept(Linked):
    """A kind of thing that a garage may hold: a jack, a torque wrench, a second person."""

    title: str
    group: str
    order: float
    where: str = ""
    counted: bool = False
    several: bool = False
    marks: dict[str, Mark] = {}


class Rule(Linked):
    """Something that holds at every moment; tags and circuits are already written out."""

    id: str
    title: str
    reason: str
    while_: dict[str, Names]
    must: dict[str, Names]
    when: Tree | None = None
    never: bool = False


class Variable(Linked):
    """Something about the car that steps change; `values` runs from the safest to the least safe.

    `rests` are those in which a car that cannot leave may be left standing, the best first; empty as `ends`.
    """

    title: str
    kind: VariableKind
    values: Names
    starts: str
    ends: Names
    rests: Names = ()
    when: Tree | None = None
    each: str | None = None
    place: Place | None = None
    circuit: str | None = None
    fluid: str | None = None
    torque: str | None = None
    one_time: Names = ()
    labels: dict[str, str] = {}


class Phase(Linked):
    id: str
    title: str


class Interval(Linked):
    distance: Amount | None = None
    time: Amount | None = None
    authority: str
    source: Citation


class Recheck(Linked):
    """Something to look at after the visit, once the step was done: so far on, or so long after."""

    id: str
    title: str
    says: str
    step: str
    distance: Amount | None = None
    time: Amount | None = None


class Supply(Linked):
    id: str
    title: str
    fluid: str | None = None
    approval: str | None = None
    grade: str | None = None
    quantity: Amount | None = None
    packs: list[Fixed] = []
    part: str | None = None
    number: str | None = None
    count: Amount | None = None
    when: Tree | None = None


class Tool(Linked):
    title: str
    size: Named | Words | None = None
    kept: Names = ()
    when: Tree | None = None


class Equipment(Linked):
    title: str
    why: str
    kept: Names = ()
    count: int = 1
    when: Tree | None = None


class Job(Linked):
    title: str
    summary: str
    order: float
    shared: bool = False
    when: Tree | None = None
    renews: Names = ()
    uses: dict[str, Tree] = {}
    risk: str = ""
    reserved: dict[str, Tree] = {}
    stream: str = ""
    home: Literal["fine", "with-equipment", "hand-over"] = "fine"
    intervals: list[Interval] = []
    rechecks: list[Recheck] = []
    supplies: list[Supply] = []
    tools: list[Tool] = []
    equipment: list[Equipment] = []


class Figure(Linked):
    """One use of a formula: which name or value each of its inputs takes."""

    formula: str
    with_: dict[str, Amount]
    job: str


class Reading(Linked):
    step: str
    label: str
    unit: str
    from_: float
    to: float
    across: Across = "last"


class Hold(Linked):
    least: Amount | None = None
    most: Amount | None = None


class Window(Linked):
    reading: str
    from_: Amount
    to: Amount
    every_s: float


class Finding(Linked):
    id: str
    label: str
    good: bool
    says: str = ""


class Back(Linked):
    to: str
    says: str
    makes: dict[str, str] = {}


class Step(Linked):
    id: str
    job: str
    phase: str
    kind: StepKind
    title: str
    says: str
    does: str
    why: str = ""
    when: Tree | None = None
    each: str | None = None
    block: str | None = None
    where: Where | None = None
    needs: dict[str, Names] = {}
    makes: dict[str, str] = {}
    hazards: Names = ()
    photo: str | None = None
    work_s: float = 0.0
    wait_s: float = 0.0
    since: Names = ()
    people: int = 1
    meanwhile: bool = False
    serves: str | None = None
    torque: str | None = None
    shows: Names = ()
    readings: Names = ()
    judges: Names = ()
    hold: Hold | None = None
    positions: str | None = None
    window: Window | None = None
    findings: list[Finding] = []
    back: Back | None = None
    standby: bool = False


class VehicleSource(Linked):
    kind: SourceKind
    reference: str


class VehicleFact(Linked):
    value: Value
    shown: str | None = None
    unit: str | None = None
    source: VehicleSource


class Vehicle(Linked):
    title: str
    plate: str
    note: str = ""
    owner: str = ""
    odometer: Fixed
    facts: dict[str, VehicleFact]


class Source(Linked):
    title: str
    publisher: str
    edition: str
    kind: Literal["standard", "regulation", "handbook", "data-sheet", "demo", "practice"]
    note: str = ""


class Specs(Linked):
    format: Literal[1] = 1
    units: dict[str, Unit]
    fact_groups: list[FactGroup]
    facts: dict[str, Fact]
    fluids: dict[str, Fluid]
    formulas: dict[str, Formula]
    functions: dict[str, FunctionFormula] = {}
    tables: dict[str, Table]
    hazards: dict[str, Hazard]
    equipment: dict[str, Kept] = {}
    rules: list[Rule]
    variables: dict[str, Variable]
    phases: list[Phase]
    jobs: dict[str, Job]
    figures: dict[str, Figure]
    readings: dict[str, Reading]
    steps: list[Step]
    vehicles: dict[str, Vehicle]
    sources: dict[str, Source]

    @cached_property
    def steps_by_id(self) -> dict[str, Step]:
        """The steps again, to look up by "job/step"."""
        return {step.id: step for step in self.steps}
