"""What is wrong with a spec, said to the person who wrote it.

A checker that stops at the first mistake makes its reader run it twenty times, so nothing here is
raised on the way: every part of the loader tells a `Report`, and the whole of it comes out at the end.
Each problem says where it is, what was found, what was expected and what to do next.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from fillfirst.errors import FillfirstError

Key = str | int

# Arrays of tables are spoken of one by one: steps[2] is step "drain".
_ONE_OF = {
    "steps": "step",
    "examples": "example",
    "supplies": "supply",
    "tools": "tool",
    "equipment": "equipment",
    "intervals": "interval",
    "findings": "finding",
    "readings": "reading",
    "phases": "phase",
    "rows": "row",
}
# What an entry of an array is called by, the first that it has.
_CALLED_BY = ("id", "name", "title")


@dataclass(frozen=True, order=True)
class Problem:
    """One thing to put right.

    `found` and `expected` are clauses without a full stop, `do` is one sentence or more.
    """

    file: str
    place: str
    found: str
    expected: str = ""
    do: str = ""

    def __str__(self) -> str:
        where = f"{self.file}, {self.place}" if self.place else self.file
        told = f"{self.found}; {self.expected}" if self.expected else self.found
        lines = [f"{where}:", f"  {told}.", *([f"  {self.do}"] if self.do else [])]
        return "\n".join(lines)


class SpecsError(FillfirstError):
    """Specs that cannot be used; `problems` holds everything that is wrong with them, sorted by file."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = list(problems)
        super().__init__(render(self.problems))


def render(problems: Iterable[Problem]) -> str:
    """All problems as one text, a blank line between two."""
    return "\n\n".join(str(problem) for problem in problems)


@dataclass(frozen=True)
class Document:
    """A TOML file after reading: its content, and how to speak of it."""

    file: str  # as shown: "specs/jobs/engine-oil.toml"
    family: str  # "jobs"
    id: str  # "engine-oil"
    content: dict[str, Any]
    pattern: str = ""  # the pattern the content was made from, if any

    @property
    def shown(self) -> str:
        return f"{self.file} (pattern {self.pattern})" if self.pattern else self.file


@dataclass
class Report:
    """Collects problems; the same problem told twice is kept once."""

    _problems: dict[Problem, None] = field(default_factory=dict)

    def add(self, problem: Problem) -> None:
        self._problems[problem] = None

    @property
    def problems(self) -> list[Problem]:
        """Everything told so far, by file, in the order in which it was told within one."""
        return sorted(self._problems, key=lambda problem: problem.file)

    def at(self, document: Document, *path: Key) -> Spot:
        return Spot(self, document, path)


@dataclass(frozen=True)
class Spot:
    """A place in a document, from which problems are told."""

    report: Report
    document: Document
    path: tuple[Key, ...] = ()

    def at(self, *path: Key) -> Spot:
        return Spot(self.report, self.document, (*self.path, *path))

    def problem(self, found: str, expected: str = "", do: str = "") -> None:
        place = describe_path(self.document.content, self.path)
        self.report.add(Problem(self.document.shown, place, found, expected, do))

    def unknown(self, name: str, what: str, known: Iterable[str], do: str = "") -> None:
        """Tell that a name is not known, with the nearest one that is."""
        near = nearest(name, known)
        self.problem(
            f'"{name}" is not {what}',
            f'the nearest one is "{near}"' if near else "",
            do or "Correct the name, or declare it.",
        )


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that was probably meant, if one comes close."""
    matches = get_close_matches(name, list(known), n=1, cutoff=0.6)
    return matches[0] if matches else None


def quote_all(words: Iterable[str]) -> str:
    """Names in quotes, joined as in a sentence: "a", "b" or "c"."""
    quoted = [f'"{word}"' for word in words]
    return " or ".join([", ".join(quoted[:-1]), quoted[-1]]) if len(quoted) > 1 else "".join(quoted)


def describe_path(content: Mapping[str, Any], path: Sequence[Key]) -> str:
    """Say where in a document: step "drain", hold.least."""
    parts: list[str] = []
    keys: list[str] = []
    here: Any = content
    for key in path:
        here = _descend(here, key)
        if isinstance(key, int):
            array = keys.pop() if keys else "entry"
            parts.extend(_join(keys))
            keys = []
            parts.append(_describe_entry(_ONE_OF.get(array, array), here, key))
        else:
            keys.append(key)
    return ", ".join([*parts, *_join(keys)])


def _join(keys: list[str]) -> list[str]:
    return [".".join(f'"{key}"' if "." in key else key for key in keys)] if keys else []


def _descend(here: Any, key: Key) -> Any:
    if isinstance(here, Mapping) and isinstance(key, str):
        return here.get(key)
    if isinstance(here, Sequence) and not isinstance(here, str) and isinstance(key, int) and key < len(here):
        return here[key]
    return None


def _describe_entry(noun: str, entry: Any, index: int) -> str:
    if isinstance(entry, Mapping):
        for key in _CALLED_BY:
            if isinstance(entry.get(key), str):
                return f'{noun} "{entry[key]}"'
    return f"{noun} {index + 1}"
