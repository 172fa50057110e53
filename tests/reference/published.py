"""Values from outside, as files: what a formula must give, and where that was printed.

Every row of `values/*.toml` is one check. `kind` says how far outside it comes from: a "document" that was
read or is quoted from memory (the source says so), a "library" of general purpose, a number worked "by hand"
on the stated formula, or the "practice" of the trade. The table in DEVELOPERS.md counts them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Literal

Kind = Literal["document", "library", "by hand", "practice"]

FOLDER = Path(__file__).parent / "values"
KINDS = ("document", "library", "by hand", "practice")


@dataclass(frozen=True)
class Check:
    """One value: the formula, what it is given, what it must give, and how far off it may be."""

    file: str
    formula: str
    source: str
    kind: Kind
    given: dict[str, str | bool]
    expect: Any
    within: Any = None
    relative: float = 0.0
    is_function: bool = field(default=False)

    def __str__(self) -> str:
        given = " ".join(f"{name}={value}" for name, value in self.given.items())
        return f"{self.file}: {self.formula} {given} ({self.source[:40]})"


@cache
def read_checks() -> tuple[Check, ...]:
    """Every check of every file."""
    return tuple(check for path in sorted(FOLDER.glob("*.toml")) for check in _read_file(path))


def _read_file(path: Path) -> Iterator[Check]:
    content = tomllib.loads(path.read_text())
    for table in content.get("tables", []):
        yield from _read_table(path.stem, table)
    for entry in content.get("functions", []):
        yield Check(path.stem, **{"within": {}, **entry}, is_function=True)


def _read_table(file: str, table: dict[str, Any]) -> Iterator[Check]:
    units = list(table["columns"].values())
    expect = table["expect"]
    for row in table["rows"]:
        cells = [_write(cell, unit) for cell, unit in zip(row, units, strict=False)]
        given = {**table.get("given", {}), **dict(zip(table["columns"], cells, strict=True))}
        wanted = "outside" if expect == "outside" else _write(row[len(units)], expect)
        yield Check(
            file,
            table["formula"],
            table["source"],
            table["kind"],
            given,
            wanted,
            table.get("within"),
            table.get("relative", 0.0),
        )


def _write(cell: Any, unit: str) -> str | bool:
    if unit in ("text", "yes-no"):
        return cell
    return str(cell) if unit == "1" else f"{cell} {unit}"
