"""A car's sheet: one TOML file that says what is known of one car, and where each number was found.

It is written like the demo cars in specs/vehicles, with the car's id and marks of what its owner confirmed,
and judged by the rules by which the phone judges what is typed (`webui/core/sheet.js`): a number that is
missing is no fault, since the step that needs it asks for it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

from fillfirst.cars.judgement import FactJudgement, Remark, judge_fact
from fillfirst.cars.vin import VinJudgement, judge_vin
from fillfirst.quantities.units import SI_DIGITS, keep_digits
from fillfirst.specs.documents import parse_toml
from fillfirst.specs.linked import Specs, Value
from fillfirst.specs.models.facts import SheetFile
from fillfirst.specs.problems import Document, Problem, Report
from fillfirst.specs.shapes import read_shape

_AMOUNT = re.compile(r"([+-]?\d+(?:\.\d+)?(?:e[+-]?\d{1,2})?)(?: (\S.*\S|\S))?", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True)
class SheetJudgement:
    """What is said of every number of a sheet, of its VIN and of its odometer."""

    facts: dict[str, FactJudgement]
    vin: VinJudgement | None
    odometer: list[Remark]

    @property
    def verdict(self) -> str:
        """The worst of all: refused, odd or fine."""
        verdicts = {each["verdict"] for each in self.facts.values()}
        if self.vin is not None:
            verdicts.add(self.vin["verdict"])
        if self.odometer or "refused" in verdicts:
            return "refused"
        return "odd" if "odd" in verdicts else "fine"


def is_sheet(content: bytes) -> bool:
    """Whether a file means to be the sheet of a car."""
    keys = _keys(content)
    return "facts" in keys and bool({"id", "plate"} & keys)


def find_sheets(files: Mapping[str, bytes]) -> list[str]:
    """Which of these files are sheets; a car in a folder of vehicles is one only if it has an id."""
    return [
        path
        for path, content in files.items()
        if is_sheet(content) and (PurePath(path).parent.name != "vehicles" or "id" in _keys(content))
    ]


def _keys(content: bytes) -> set[str]:
    return set(parse_toml("", content, Report()) or ())


def read_sheet(shown: str, content: bytes) -> tuple[SheetFile | None, list[Problem]]:
    """Read a sheet, or say what keeps it from being one."""
    report = Report()
    table = parse_toml(shown, content, report)
    if table is None:
        return None, report.problems
    return read_shape(Document(shown, "sheets", shown, table), SheetFile, report), report.problems


def judge_sheet(specs: Specs, sheet: SheetFile) -> SheetJudgement:
    """Judge every number of a sheet as if it were typed, in the light of all the others."""
    read = {name: read_value(specs, name, entry.value) for name, entry in sheet.facts.items()}
    values = {name: value for name, (value, remark) in read.items() if remark is None and value is not None}
    facts: dict[str, FactJudgement] = {}
    for name, (value, remark) in read.items():
        entry = sheet.facts[name].source
        source = {"kind": entry.kind, "reference": entry.reference}
        facts[name] = (
            judge_fact(specs, values, name, value, source)
            if remark is None
            else {"verdict": "refused", "remarks": [remark]}
        )
    return SheetJudgement(
        facts=facts,
        vin=None if sheet.vin is None else judge_vin(sheet.vin, sheet.market or ""),
        odometer=[] if sheet.odometer is None else _judge_odometer(specs, sheet.odometer),
    )


def _judge_odometer(specs: Specs, text: str) -> list[Remark]:
    value, remark = read_quantity(specs, "km", text)
    if remark is not None:
        return [remark]
    return [{"code": "out-of-range", "from": 0, "to": None}] if value < 0 else []


def read_value(specs: Specs, name: str, written: Any) -> tuple[Value | None, Remark | None]:
    """The value of a fact as a sheet writes it, in SI; or why it cannot be read."""
    fact = specs.facts.get(name)
    if fact is None or fact.of != "car":
        return None, {"code": "unknown-fact"}
    if fact.kind != "quantity":
        return written, None
    if isinstance(written, float | int) and not isinstance(written, bool):
        return read_quantity(specs, fact.unit or "1", f"{written:.15g}")
    if not isinstance(written, str):
        return None, {"code": "wrong-kind", "kind": "quantity"}
    return read_quantity(specs, fact.unit or "1", written)


def read_quantity(specs: Specs, unit: str, text: str) -> tuple[float, Remark | None]:
    """A quantity in SI, by the units that the catalog lists; or why it cannot be read."""
    found = _AMOUNT.fullmatch(text)
    if found is None:
        return 0.0, {"code": "unreadable", "found": text}
    key = found[2] or "1"
    listed, wanted = specs.units.get(key), specs.units.get(unit)
    if listed is None or wanted is None or listed.measure != wanted.measure:
        return 0.0, {"code": "wrong-unit", "found": key, "kind": unit}
    return keep_digits(float(found[1]) * listed.factor + listed.offset, SI_DIGITS), None


def tell_problems(specs: Specs, shown: str, judgement: SheetJudgement) -> tuple[list[Problem], list[Problem]]:
    """What is refused, and what is asked about, in the words of the checker."""
    refused: list[Problem] = []
    odd: list[Problem] = []
    for name, each in judgement.facts.items():
        for remark in each["remarks"]:
            problem = Problem(shown, f"facts.{name}", *_say(specs, name, remark))
            (odd if each["verdict"] == "odd" else refused).append(problem)
    if judgement.vin is not None:
        for remark in judgement.vin["remarks"]:
            problem = Problem(shown, "vin", *_say_vin(remark))
            (odd if judgement.vin["verdict"] == "odd" else refused).append(problem)
    refused += [Problem(shown, "odometer", *_say_quantity(specs, "km", each)) for each in judgement.odometer]
    return refused, odd


def _say(specs: Specs, name: str, remark: Remark) -> tuple[str, str, str]:
    """What was found, what was expected, what to do."""
    fact, code = specs.facts.get(name), remark["code"]
    if fact is None or code == "unknown-fact":
        return f'"{name}" is no fact of a car', "these procedures know nothing of it", "Remove it."
    if code in ("unreadable", "wrong-unit", "out-of-range", "unusual"):
        return _say_quantity(specs, fact.unit or "1", remark)
    listed = ", ".join(f'"{each}"' for each in remark.get("found") or ()) if code in _LISTS else ""
    options = ", ".join(fact.options or ())
    words = {
        "wrong-kind": (
            "the value is of another kind",
            f'"{fact.title}" is a {fact.kind}',
            "Correct the value.",
        ),
        "empty": ("the text is empty", "an answer says something", "Write it, or remove the fact."),
        "not-an-option": (f"{listed} is no option", f"they are {options}", "Choose one."),
        "named-twice": (f"{listed} stands there twice", "steps go through the list once", "Remove one."),
        "no-source": ("there is no source", "no number is taken without one", "Say where it was found."),
        "unknown-source-kind": ("the kind of source is not known", "", "Choose a kind that is."),
        "no-reference": (
            "the reference is empty",
            "a source says where: a page, a plate, what was measured",
            "Write it.",
        ),
        "judged": (str(remark.get("says") or "it does not fit the rest").rstrip("."), "", _ASK),
        "does-not-apply": ("the car has no such thing", "by what else is said of it", _ASK),
    }
    return words[code]


_LISTS = ("not-an-option", "named-twice")
_ASK = "Read it again in its source; say in doubt why it is right."


def _say_quantity(specs: Specs, unit: str, remark: Remark) -> tuple[str, str, str]:
    code = remark["code"]
    if code == "unreadable":
        return f'"{remark["found"]}" is no quantity', 'one is written "25 N*m"', "Correct it."
    if code == "wrong-unit":
        units = ", ".join(_list_units(specs, unit))
        return f'the unit is "{remark["found"]}"', f"here it is one of {units}", "Correct the unit."
    bounds = [_show(specs, unit, remark[key], word) for key, word in (("from", "from"), ("to", "to"))]
    span = " ".join(bound for bound in bounds if bound)
    if code == "unusual":
        return "this is unusual", f"usual is {span}", _ASK
    return "this is outside what is plausible", f"the range is {span}", "Read it again in its source."


def _list_units(specs: Specs, unit: str) -> Iterator[str]:
    measure = specs.units[unit].measure
    yield from (key for key, each in specs.units.items() if each.measure == measure)


def _show(specs: Specs, unit: str, value: float | None, word: str) -> str:
    if value is None:
        return ""
    listed = specs.units[unit]
    return f"{word} {keep_digits((value - listed.offset) / listed.factor, 6):g} {unit}"


def _say_vin(remark: Remark) -> tuple[str, str, str]:
    found = remark.get("found")
    return {
        "vin-length": (f"it has {found} letters and digits", "a VIN has 17", "Read the plate again."),
        "vin-letters": (
            f'it has "{found}"',
            "a VIN has letters without I, O and Q, and digits",
            "Read it again.",
        ),
        "vin-check-digit": (
            f'its ninth sign is "{found}"',
            f'by the others it would be "{remark.get("check")}"',
            "Read the plate again.",
        ),
        "vin-year": (f'its tenth sign is "{found}"', "that is no model year", "Read the plate again."),
    }[remark["code"]]
