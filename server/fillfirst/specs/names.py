"""Every name that the specs declare, and what it stands for.

It is collected from the documents as they are, before their shapes are checked, so that one misspelt
key does not make every file that names a thing in that file complain as well.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from fillfirst.specs.documents import Documents
from fillfirst.specs.problems import Document, Report, Spot

Holds = Literal["quantity", "text", "choice", "list", "yes-no", "judgement", "unclear"]

CIRCUIT_VALUES = ("full", "filled", "part", "empty")
FLUID_VALUES = ("new", "old")
CLOSURE_VALUES = ("closed", "first-pass", "hand-tight", "open")
PART_VALUES = ("new", "fitted", "used")
#: Where the person is during a step; a rule may ask for it, a step says it with `where`.
PLACE = "place"
PLACE_VALUES = ("under", "beside", "bonnet", "cabin")

_NAME = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_HOLDS: dict[str, Holds] = {
    "quantity": "quantity",
    "text": "text",
    "choice": "choice",
    "list": "list",
    "yes-no": "yes-no",
    "judgement": "judgement",
}


@dataclass(frozen=True)
class Known:
    """One name of the namespace that facts, settings, readings and figures share.

    What a broken declaration holds is unclear, and nothing is held against those that use it.
    """

    kind: Literal["fact", "reading", "figure"]
    spot: Spot
    holds: Holds
    unit: str | None = None
    options: tuple[str, ...] = ()
    of: Literal["car", "visit"] = "car"
    step: str = ""  # the step that takes a reading
    job: str = ""  # the job that declares a reading or a figure

    @property
    def is_setting(self) -> bool:
        return self.kind == "fact" and self.of == "visit"


@dataclass(frozen=True)
class KnownVariable:
    """Something of the car's state: a circuit, its fluid, a closure, a part or a condition."""

    kind: Literal["circuit", "fluid", "closure", "part", "condition"]
    spot: Spot
    values: tuple[str, ...]
    each: str | None = None
    circuit: str | None = None
    tags: tuple[str, ...] = ()


@dataclass
class Index:
    """What may be named, by kind."""

    names: dict[str, Known] = field(default_factory=dict)
    variables: dict[str, KnownVariable] = field(default_factory=dict)
    steps: dict[str, Spot] = field(default_factory=dict)
    units: set[str] = field(default_factory=set)
    sources: set[str] = field(default_factory=set)
    fluids: set[str] = field(default_factory=set)
    formulas: dict[str, Mapping[str, Any]] = field(default_factory=dict)
    tables: set[str] = field(default_factory=set)
    hazards: set[str] = field(default_factory=set)
    equipment: set[str] = field(default_factory=set)
    phases: list[str] = field(default_factory=list)
    jobs: set[str] = field(default_factory=set)
    each: set[str] = field(default_factory=set)  # the lists that steps and closures go through

    def facts(self) -> dict[str, Known]:
        return {name: known for name, known in self.names.items() if known.kind == "fact"}

    def tagged(self, tag: str) -> list[str]:
        return [id for id, variable in self.variables.items() if tag in variable.tags]

    def tags(self) -> set[str]:
        return {tag for variable in self.variables.values() for tag in variable.tags}


def collect_names(documents: Documents, report: Report) -> Index:
    """Find every declared name, telling of those given twice or written in a way that none may be."""
    index = Index(
        sources={document.id for document in documents.of("sources")},
        fluids={document.id for document in documents.of("fluids")},
        formulas={document.id: document.content for document in documents.of("formulas")},
        tables={document.id for document in documents.of("tables")},
        jobs={document.id for document in documents.of("jobs")},
        units={key for document in documents.of("units") for key in document.content},
        hazards={key for document in documents.of("hazards") for key in document.content},
        equipment={key for document in documents.of("equipment") for key in document.content},
        phases=[
            str(phase.get("id"))
            for document in documents.of("order")
            for _, phase in _array(document, "phases")
        ],
    )
    _collect_facts(documents, index, report)
    _collect_variables(documents, index, report)
    _collect_jobs(documents, index, report)
    index.each |= {variable.each for variable in index.variables.values() if variable.each}
    return index


def is_name(text: str) -> bool:
    """Whether the text is written as names are, so that it is meant as one."""
    return _NAME.fullmatch(text) is not None


def is_id(text: str) -> bool:
    return _ID.fullmatch(text) is not None


def check_id(spot: Spot, id: str, what: str) -> None:
    if not is_id(id):
        spot.problem(
            f'"{id}" cannot be the id of {what}',
            "ids are small letters and digits with single hyphens, such as drain-plug",
            "Rename it.",
        )


def _collect_facts(documents: Documents, index: Index, report: Report) -> None:
    for document in documents.of("facts"):
        for name, fact in _tables(document, "facts"):
            options = fact.get("options")
            known = Known(
                "fact",
                report.at(document, "facts", name),
                _read_holds(fact.get("kind"), fact),
                _text(fact.get("unit")),
                tuple(options) if isinstance(options, dict) else (),
                "visit" if fact.get("of") == "visit" else "car",
            )
            _declare(index, name, known)


def _collect_jobs(documents: Documents, index: Index, report: Report) -> None:
    for document in documents.of("jobs"):
        for name, figure in _tables(document, "figures"):
            result = index.formulas.get(_text(figure.get("formula")) or "", {}).get("result", {})
            result = result if isinstance(result, dict) else {}
            holds = _read_holds(result.get("kind", "quantity"), result)
            spot = report.at(document, "figures", name)
            _declare(index, name, Known("figure", spot, holds, _text(result.get("unit")), job=document.id))
        for at, step in _array(document, "steps"):
            _collect_step(document, at, step, index, report)


def _collect_step(document: Document, at: int, step: Mapping[str, Any], index: Index, report: Report) -> None:
    spot = report.at(document, "steps", at)
    id = f"{document.id}/{step.get('id')}"
    if isinstance(step.get("id"), str):
        check_id(spot.at("id"), step["id"], "a step")
    if id in index.steps:
        spot.problem(
            f'the id "{step.get("id")}" is given twice', "the ids of a job's steps differ", "Rename one."
        )
    index.steps.setdefault(id, spot)
    if isinstance(step.get("each"), str):
        index.each.add(step["each"])
    readings = step.get("readings")
    for number, reading in enumerate(readings if isinstance(readings, list) else []):
        if isinstance(reading, dict) and isinstance(reading.get("name"), str):
            known = Known(
                "reading",
                spot.at("readings", number),
                _read_holds("quantity", reading),
                _text(reading.get("unit")),
                step=id,
                job=document.id,
            )
            _declare(index, reading["name"], known)


def _read_holds(kind: Any, declared: Mapping[str, Any]) -> Holds:
    has_unit = isinstance(declared.get("unit"), str)
    holds = _HOLDS.get(kind, "unclear") if isinstance(kind, str) else "unclear"
    return "unclear" if holds == "quantity" and not has_unit else holds


def _declare(index: Index, name: str, known: Known) -> None:
    if not _NAME.fullmatch(name):
        known.spot.problem(
            f'"{name}" cannot be a name',
            "names are small letters and digits with single _, such as engine_oil_capacity",
            "Rename it.",
        )
    elif name == "item":
        known.spot.problem(
            '"item" cannot be a name', "in a text {item} is the item of a step with each", "Rename it."
        )
    first = index.names.get(name)
    if first is None:
        index.names[name] = known
    else:
        known.spot.problem(
            f'the {known.kind} "{name}" has the name of a {first.kind} in {first.spot.document.shown}',
            "facts, readings and figures share one namespace",
            "Rename one of them.",
        )


def _collect_variables(documents: Documents, index: Index, report: Report) -> None:
    for document in documents.of("car"):
        _collect_owned(document, None, index, report)
    for document in documents.of("circuits"):
        tags = _texts(document.content.get("tags"))
        spot = report.at(document)
        _declare_variable(
            index, document.id, KnownVariable("circuit", spot, CIRCUIT_VALUES, None, document.id, tags)
        )
        fluid = KnownVariable("fluid", spot, FLUID_VALUES, None, document.id)
        _declare_variable(index, f"{document.id}.fluid", fluid)
        _collect_owned(document, document.id, index, report)


def _collect_owned(document: Document, circuit: str | None, index: Index, report: Report) -> None:
    for id, closure in _tables(document, "closures"):
        spot = report.at(document, "closures", id)
        check_id(spot, id, "a closure")
        each, tags = _text(closure.get("each")), _texts(closure.get("tags"))
        _declare_variable(index, id, KnownVariable("closure", spot, CLOSURE_VALUES, each, circuit, tags))
    for id, part in _tables(document, "parts"):
        spot = report.at(document, "parts", id)
        check_id(spot, id, "a part")
        tags = _texts(part.get("tags"))
        _declare_variable(index, id, KnownVariable("part", spot, PART_VALUES, None, circuit, tags))
    for id, condition in _tables(document, "conditions"):
        spot = report.at(document, "conditions", id)
        check_id(spot, id, "a condition")
        values, tags = _texts(condition.get("values")), _texts(condition.get("tags"))
        _declare_variable(index, id, KnownVariable("condition", spot, values, None, circuit, tags))


def _declare_variable(index: Index, id: str, variable: KnownVariable) -> None:
    first = index.variables.get(id)
    if id == PLACE:
        variable.spot.problem(
            f'"{PLACE}" cannot be the id of a {variable.kind}',
            "in rules it is where the person is",
            "Rename it.",
        )
    elif first is None:
        index.variables[id] = variable
    else:
        variable.spot.problem(
            f'the {variable.kind} "{id}" has the id of a {first.kind} in {first.spot.document.shown}',
            "circuits, closures, parts and conditions share their ids",
            "Rename one of them.",
        )


def _tables(document: Document, key: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """The tables in a table, whatever else is wrong with the file."""
    held = document.content.get(key)
    entries = held.items() if isinstance(held, dict) else ()
    return ((name, entry) for name, entry in entries if isinstance(entry, dict))


def _array(document: Document, key: str) -> Iterator[tuple[int, Mapping[str, Any]]]:
    """The same for an array of tables."""
    held = document.content.get(key)
    entries = enumerate(held) if isinstance(held, list) else ()
    return ((at, entry) for at, entry in entries if isinstance(entry, dict))


def _text(value: Any) -> str | None:
    return value if isinstance(value, str) else None


def _texts(value: Any) -> tuple[str, ...]:
    return tuple(part for part in value if isinstance(part, str)) if isinstance(value, list) else ()
