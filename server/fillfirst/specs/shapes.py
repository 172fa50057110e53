"""Documents to written models, with pydantic's complaints put into the words of who writes TOML."""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Generic, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from fillfirst.specs.documents import Documents
from fillfirst.specs.models.car import CarFile, CircuitFile, RuleEntry
from fillfirst.specs.models.facts import FactsFile, VehicleFile
from fillfirst.specs.models.formulas import FormulaFile, TableFile
from fillfirst.specs.models.jobs import JobFile
from fillfirst.specs.models.lists import FluidFile, HazardEntry, KeptEntry, OrderFile, SourceFile, UnitEntry
from fillfirst.specs.problems import Document, Report, Spot, nearest, quote_all

Model = TypeVar("Model")

_WORDS = {
    "string_type": "a text in quotes",
    "bool_type": "true or false",
    "float_type": "a number without quotes",
    "int_type": "a whole number without quotes",
    "int_from_float": "a whole number",
    "list_type": "a list in [ ]",
    "dict_type": "a table",
    "model_type": "a table",
    "model_attributes_type": "a table",
}
# Values of our own types (models/base.py) bring their words along.
_OWN = ("scalar", "value", "amount", "page", "condition", "place", "row", "bound")


@dataclass(frozen=True)
class Shaped(Generic[Model]):
    """A written model beside the document it was read from."""

    document: Document
    model: Model

    @property
    def id(self) -> str:
        return self.document.id


@dataclass(frozen=True)
class Shapes:
    """Every file as a model; a file with a wrong shape is left out, and `whole` is false."""

    units: dict[str, UnitEntry]
    order: OrderFile
    hazards: dict[str, HazardEntry]
    equipment: dict[str, KeptEntry]
    rules: dict[str, RuleEntry]
    singles: dict[str, Document]
    car: Shaped[CarFile] | None
    circuits: list[Shaped[CircuitFile]]
    facts: list[Shaped[FactsFile]]
    fluids: list[Shaped[FluidFile]]
    formulas: list[Shaped[FormulaFile]]
    jobs: list[Shaped[JobFile]]
    sources: list[Shaped[SourceFile]]
    tables: list[Shaped[TableFile]]
    vehicles: list[Shaped[VehicleFile]]
    whole: bool


def read_shapes(documents: Documents, report: Report) -> Shapes:
    """Give every document its model; what does not fit is told and left out."""
    reader = _Reader(documents, report)
    car = reader.all("car", CarFile)
    order = reader.one("order", OrderFile)
    return Shapes(
        units=reader.one("units", dict[str, UnitEntry]) or {},
        order=order or OrderFile(phases=[]),
        hazards=reader.one("hazards", dict[str, HazardEntry]) or {},
        equipment=reader.one("equipment", dict[str, KeptEntry]) or {},
        rules=reader.one("rules", dict[str, RuleEntry]) or {},
        singles={document.family: document for document in documents.all if document.family == document.id},
        car=car[0] if car else None,
        circuits=reader.all("circuits", CircuitFile),
        facts=reader.all("facts", FactsFile),
        fluids=reader.all("fluids", FluidFile),
        formulas=reader.all("formulas", FormulaFile),
        jobs=reader.all("jobs", JobFile),
        sources=reader.all("sources", SourceFile),
        tables=reader.all("tables", TableFile),
        vehicles=reader.all("vehicles", VehicleFile),
        whole=documents.whole and reader.whole,
    )


class _Reader:
    def __init__(self, documents: Documents, report: Report) -> None:
        self._documents = documents
        self._report = report
        self.whole = True

    def one(self, family: str, shape: type[Model]) -> Model | None:
        read = self.all(family, shape)
        return read[0].model if read else None

    def all(self, family: str, shape: type[Model]) -> list[Shaped[Model]]:
        read: list[Shaped[Model]] = []
        for document in self._documents.of(family):
            model = read_shape(document, shape, self._report)
            if model is None:
                self.whole = False
            else:
                read.append(Shaped(document, model))
        return read


def read_shape(document: Document, shape: type[Model], report: Report) -> Model | None:
    """Give one document its model; what does not fit is told."""
    try:
        return TypeAdapter(shape).validate_python(document.content)
    except ValidationError as cause:
        for error in cause.errors():
            _tell(report.at(document), shape, error)
        return None


def _tell(spot: Spot, shape: Any, error: ErrorDetails) -> None:
    kind, path, found = error["type"], error["loc"], error["input"]
    key = str(path[-1]) if path else ""
    if kind == "extra_forbidden":
        _tell_unknown_key(spot.at(*path), key, list(_keys_at(shape, path[:-1])))
    elif kind == "missing":
        spot.at(*path[:-1]).problem(f'the key "{key}" is missing', "", f"Add {key} = …")
    elif kind == "literal_error":
        _tell_choice(spot.at(*path), found, list(_choices_at(shape, path)))
    elif kind == "string_too_long":
        most = error["ctx"]["max_length"]
        spot.at(*path).problem(
            f"the text has {len(found)} characters",
            f"at most {most} fit the screen",
            "Shorten it, or move a part to says.",
        )
    else:
        expected = error["msg"] if kind in _OWN else _WORDS.get(kind, "a value of another kind")
        spot.at(*path).problem(
            f"{_show(found)} cannot stand here", f"expected is {expected}", "Correct the value."
        )


def _tell_unknown_key(spot: Spot, key: str, known: list[str]) -> None:
    near = nearest(key, known)
    expected = f'the nearest key is "{near}"' if near else f"the keys are {', '.join(sorted(known))}"
    spot.problem(f'"{key}" is not a key that is known here', expected, "Correct the key, or remove it.")


def _tell_choice(spot: Spot, found: Any, choices: list[str]) -> None:
    near = nearest(found, choices) if isinstance(found, str) else None
    spot.problem(
        f"{_show(found)} is not one of the choices",
        f"they are {quote_all(choices)}",
        f'Did you mean "{near}"?' if near else "Choose one of them.",
    )


def _show(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"' if len(value) <= 60 else f'"{value[:59]}…"'
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        shown = f"[{', '.join(map(_show, value))}]"
        return shown if len(shown) <= 60 else "a list"
    return str(value)


def _keys_at(shape: Any, path: tuple[int | str, ...]) -> Iterator[str]:
    """The keys that the model at this place knows."""
    model = _descend(shape, path)
    if isinstance(model, type) and issubclass(model, BaseModel):
        yield from (field.alias or name for name, field in model.model_fields.items())


def _choices_at(shape: Any, path: tuple[int | str, ...]) -> Iterator[str]:
    literal = _descend(shape, path)
    yield from (str(choice) for choice in get_args(literal))


def _descend(shape: Any, path: tuple[int | str, ...]) -> Any:
    shape = _bare(shape)
    for key in path:
        if isinstance(shape, type) and issubclass(shape, BaseModel):
            fields = {field.alias or name: field for name, field in shape.model_fields.items()}
            shape = _bare(fields[str(key)].annotation)
        else:
            shape = _bare(get_args(shape)[-1])
    return shape


def _bare(shape: Any) -> Any:
    """A type without its "or nothing"."""
    if get_origin(shape) in (Union, types.UnionType):
        return _bare(next(part for part in get_args(shape) if part is not type(None)))
    return shape
