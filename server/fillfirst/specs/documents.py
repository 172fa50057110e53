"""Files to documents: TOML is read, patterns are filled in, and each file is known by family and id.

What cannot be read is told in the words of someone who writes TOML, with line and column.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from fillfirst.specs import patterns
from fillfirst.specs.files import SINGLE_FILES, Files
from fillfirst.specs.problems import Document, Problem, Report, nearest, quote_all

FAMILIES = ("circuits", "facts", "fluids", "formulas", "jobs", "sources", "tables", "vehicles")
PATTERN_FAMILIES = ("circuits", "facts", "jobs")

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_POSITION = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
# The library's complaints, by how they begin, in our words: what was found, what to do.
_COMPLAINTS = (
    ("Cannot overwrite a value", "a key that the file has already given", "Give every key once."),
    (
        "Cannot declare",
        "a table that the file has already begun",
        "Give every table once; use [[…]] for a list.",
    ),
    ("Cannot mutate", "a key added to a table that was written in one line", "Write the table in one place."),
    (
        "Cannot redefine",
        "a key added to a table that was written in one line",
        "Write the table in one place.",
    ),
    ("Duplicate inline table key", "a key given twice between { and }", "Give every key once."),
    ("Expected '=' after a key", "a key without =", "Write key = value; text goes in quotes."),
    ("Expected ']'", "a table heading that does not end", "Close it with ]."),
    ("Expected ']]'", "a table heading that does not end", "Close it with ]]."),
    ("Expected newline or end of document", "something after the value", "End the line after the value."),
    (
        "Illegal character '\\n'",
        "a text that does not end on its line",
        'Close the quotes, or use """ for several lines.',
    ),
    ("Illegal character", "a character that a text may not hold as it is", "Take it out."),
    ("Found invalid character", "a character that cannot stand here", "Take it out, or quote the text."),
    ("Invalid date or datetime", "a date that does not exist", "Correct the date, or quote it."),
    ("Invalid hex value", "a broken \\u escape", "Write the character itself."),
    (
        "Invalid initial character for a key part",
        "a key that does not start as keys do",
        'Quote the key: "$name" = …',
    ),
    (
        "Invalid statement",
        "a line that is neither a key nor a table heading",
        "Write key = value, [table] or # comment.",
    ),
    ("Invalid value", "a value that is none", "Text goes in quotes, yes and no are true and false."),
    ("Unclosed array", "a list that does not end", "Close it with ], with a comma between entries."),
    ("Unclosed inline table", "a table that does not end", "Close it with }; it must stay on one line."),
    ("Unescaped", "a backslash that means nothing", "Write \\\\ for a backslash, or use '…'."),
    ("Unterminated string", "a text that does not end", "Close it with the quotes it began with."),
)


@dataclass(frozen=True)
class Documents:
    """Every file that could be read; `whole` is false when one could not, so that names may be missing."""

    all: tuple[Document, ...]
    whole: bool

    def of(self, family: str) -> list[Document]:
        return [document for document in self.all if document.family == family]


def read_documents(files: Files, report: Report) -> Documents:
    """Read every file, telling the report about each that cannot be."""
    raw: list[Document] = []
    whole = True
    for path, content in sorted(files.items()):
        placed = _place(path, report)
        parsed = parse_toml(f"specs/{path}", content, report)
        if placed is None or parsed is None:
            whole = False
        else:
            family, id = placed
            raw.append(Document(f"specs/{path}", family, id, parsed))
    plain = [document for document in raw if not document.family.startswith("patterns/")]
    known = {(d.family.removeprefix("patterns/"), d.id): d for d in raw if d.family.startswith("patterns/")}
    filled = [patterns.fill(document, known, report) if _is_use(document) else document for document in plain]
    patterns.tell_unused(known, [document for document in plain if _is_use(document)], report)
    kept = tuple(document for document in filled if document is not None)
    return Documents(kept, whole and len(kept) == len(plain))


def _is_use(document: Document) -> bool:
    return document.family in PATTERN_FAMILIES and "pattern" in document.content


def _place(path: str, report: Report) -> tuple[str, str] | None:
    """The family and id that a path stands for: "jobs/engine-oil.toml" is the job "engine-oil"."""
    parts = path.removesuffix(".toml").split("/")
    if len(parts) == 1:
        if path in SINGLE_FILES:
            return parts[0], parts[0]
        near = nearest(path, SINGLE_FILES)
        expected = (
            f'the nearest that is: "{near}"'
            if near
            else f"these files stand alone: {quote_all(SINGLE_FILES)}"
        )
        _misplaced(report, path, expected)
        return None
    family, id = "/".join(parts[:-1]), parts[-1]
    if family not in (*FAMILIES, *(f"patterns/{name}" for name in PATTERN_FAMILIES)):
        near = nearest(family, FAMILIES)
        _misplaced(
            report,
            path,
            f'the nearest folder is "{near}"' if near else f"the folders are {quote_all(FAMILIES)}",
        )
        return None
    if not _ID.fullmatch(id):
        report.add(
            Problem(
                f"specs/{path}",
                "",
                f'"{id}" is not a file name that can be an id',
                "ids are small letters and digits with single hyphens, such as engine-oil",
                "Rename the file.",
            )
        )
        return None
    return family, id


def _misplaced(report: Report, path: str, expected: str) -> None:
    report.add(
        Problem(
            f"specs/{path}",
            "",
            "this is no place for a spec",
            expected,
            "Move the file to the folder of its kind.",
        )
    )


def parse_toml(shown: str, content: bytes, report: Report) -> dict[str, Any] | None:
    """A TOML file; told, and nothing, when it is none."""
    try:
        return tomllib.loads(content.decode("utf-8"))
    except UnicodeDecodeError as cause:
        line = content.count(b"\n", 0, cause.start) + 1
        report.add(Problem(shown, f"line {line}", "this is not UTF-8 text", "", "Save the file as UTF-8."))
    except tomllib.TOMLDecodeError as cause:
        report.add(_explain(shown, content.decode("utf-8"), str(cause)))
    return None


def _explain(shown: str, text: str, complaint: str) -> Problem:
    position = _POSITION.search(complaint)
    lines = text.splitlines()
    if position is not None and position[1]:
        line, column = int(position[1]), int(position[2])
        place = f"line {line}, column {column}"
        written = lines[line - 1].strip() if line <= len(lines) else ""
    else:
        place, written = "the end of the file", ""
    for begins, found, do in _COMPLAINTS:
        if complaint.startswith(begins):
            return Problem(
                shown, place, f"this is not TOML: {found}", f"the line is: {written}" if written else "", do
            )
    return Problem(
        shown, place, "this is not TOML", f"the line is: {written}" if written else "", "Correct the line."
    )
