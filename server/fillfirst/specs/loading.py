"""The way through this package: files → documents → shapes → linked specs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from fillfirst.specs.documents import read_documents
from fillfirst.specs.files import Files, is_specs_folder, read_beside, read_folder
from fillfirst.specs.linked import Specs
from fillfirst.specs.linking import link
from fillfirst.specs.names import collect_names
from fillfirst.specs.problems import Problem, Report, SpecsError
from fillfirst.specs.shapes import read_shapes


def load(folder: Path) -> Specs:
    """Read, check and link a folder of specs.

    Raises SpecsError, which holds every problem, when there is one.
    """
    return load_files(read_folder(folder))


def load_files(files: Files) -> Specs:
    """The same for files that are already read, by their paths inside the folder."""
    specs, problems = link_files(files)
    if specs is None:
        raise SpecsError(problems)
    return specs


def link_files(files: Files, *, whole_cars: bool = True) -> tuple[Specs | None, list[Problem]]:
    """The linked specs, or everything that is wrong with these files.

    Demo cars must have every number that some job needs, unless the caller says otherwise.
    """
    report = Report()
    documents = read_documents(files, report)
    index = collect_names(documents, report)
    shapes = read_shapes(documents, report)
    # While a file cannot be read at all, its names are missing, and all that use them would be blamed.
    specs = link(shapes, index, report, whole_cars=whole_cars) if documents.whole else None
    return specs, report.problems


@dataclass(frozen=True)
class Laid:
    """What someone asked to have checked: files, which of them are meant, and what could not be read."""

    files: Files
    meant: frozenset[str] | None  # paths inside the folder; None means all of them
    unread: list[Problem]

    def is_meant(self, problem: Problem) -> bool:
        """Whether the problem is in a file that was asked about, or in a use of such a pattern."""
        path, _, pattern = problem.file.removeprefix("specs/").partition(" (pattern ")
        family = path.partition("/")[0]
        return self.meant is None or not self.meant.isdisjoint(
            {path, f"patterns/{family}/{pattern.removesuffix(')')}.toml"}
        )


def lay(paths: Sequence[Path], within: Path | None = None) -> Laid:
    """Read a folder of specs, or single files and lay them over the folder `within`.

    A single file is placed by the folder it stands in, so that someone's own vehicles/my-car.toml is
    checked against the specs that came with the program.
    """
    whole = next((path for path in paths if path.is_dir() and is_specs_folder(path)), None)
    base = whole or within
    laid: dict[str, bytes] = {}
    unread: list[Problem] = []
    for path in paths:
        if path == whole:
            continue
        for file in sorted(path.rglob("*.toml")) if path.is_dir() else [path]:
            try:
                laid |= read_beside(file)
            except OSError as cause:
                missing = isinstance(cause, FileNotFoundError)
                found = "there is no such file" if missing else "the file cannot be read"
                unread.append(Problem(str(file), "", found, "", "Check the path and the rights."))
    files = {**(read_folder(base) if base is not None else {}), **laid}
    return Laid(files, None if whole else frozenset(laid), unread)


def check(paths: Sequence[Path], within: Path | None = None) -> list[Problem]:
    """Everything that is wrong with a folder of specs, or with single files laid over the folder `within`.

    For single files only their own problems are told.
    """
    laid = lay(paths, within)
    return [*laid.unread, *(problem for problem in link_files(laid.files)[1] if laid.is_meant(problem))]
