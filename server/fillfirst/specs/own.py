"""A keeper's own folder of specs, laid over those that came with the program.

It adds and never changes: a job, fact or formula that is there already is a conflict, since nobody could say
which of the two was proved. The files that exist once, such as rules.toml, are added to, entry by entry.
Problems name the keeper's own file.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from fillfirst.specs.documents import parse_toml
from fillfirst.specs.files import SINGLE_FILES, Files, read_folder
from fillfirst.specs.linked import Specs
from fillfirst.specs.loading import link_files
from fillfirst.specs.problems import Problem, Report, SpecsError


@dataclass(frozen=True)
class OwnSpecs:
    """Both together: `files` to link, and where the own ones stand on the disk."""

    folder: Path
    files: Files
    own: frozenset[str]  # paths inside the folder
    conflicts: list[Problem]

    def show(self, problem: Problem) -> Problem:
        """The problem, told of the keeper's own file where it is in one."""
        path, separator, rest = problem.file.removeprefix("specs/").partition(" ")
        if path not in self.own:
            return problem
        shown = f"{self.folder / path}{separator}{rest}"
        return replace(problem, file=f"specs/{path} with {shown}" if path in SINGLE_FILES else shown)

    def find_files(self, told: str) -> list[Path]:
        """The own files that a text about jobs and steps speaks of; all of them when it names none."""
        named = [path for path in sorted(self.own) if re.search(rf"\b{re.escape(Path(path).stem)}\b", told)]
        return [self.folder / path for path in named or sorted(self.own)]


def lay_own(base: Path, folder: Path) -> OwnSpecs:
    """Read both folders and lay one over the other, telling every conflict."""
    files, own = read_folder(base), read_folder(folder)
    conflicts: list[Problem] = []
    for path, content in own.items():
        if path not in files:
            files[path] = content
        elif path in SINGLE_FILES:
            twice = _find_twice(files[path], content)
            conflicts += [_conflict(folder / path, place, "an entry of that name") for place in twice]
            files[path] = content if twice else files[path] + b"\n" + content
        else:
            conflicts.append(_conflict(folder / path, "", "a file of that name"))
    return OwnSpecs(folder, files, frozenset(own), conflicts)


def load_own(laid: OwnSpecs) -> Specs:
    """Link both folders together.

    Raises SpecsError, which names the own files that are at fault.
    """
    if laid.conflicts:
        raise SpecsError(laid.conflicts)
    # The demo cars know nothing of own facts; the step that needs one asks for it, as on any car.
    specs, problems = link_files(laid.files, whole_cars=False)
    if specs is None:
        raise SpecsError([laid.show(problem) for problem in problems])
    return specs


def _conflict(path: Path, place: str, what: str) -> Problem:
    return Problem(
        str(path),
        place,
        f"the specs that came with fillfirst have {what}",
        "own specs add to them and change nothing",
        "Give it another name.",
    )


def _find_twice(base: bytes, own: bytes) -> list[str]:
    """The entries that both files give: [hazards-id], or [closures.id] and the like."""
    one, other = parse_toml("", base, Report()), parse_toml("", own, Report())
    if one is None or other is None:
        return []
    return [place for place in _places(other) if place in set(_places(one))]


#: The tables of car.toml, whose own entries are what may come twice.
_GROUPS = ("closures", "parts", "conditions")


def _places(table: dict[str, Any]) -> list[str]:
    return [
        place
        for key, value in table.items()
        if not isinstance(value, list)
        for place in ([f"{key}.{inner}" for inner in value] if key in _GROUPS else [key])
    ]
