"""The way through this package: files → documents → shapes → linked specs."""

from __future__ import annotations

from collections.abc import Sequence
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
    specs, problems = _load(files)
    if specs is None:
        raise SpecsError(problems)
    return specs


def check_files(files: Files) -> list[Problem]:
    """Everything that is wrong with these files."""
    return _load(files)[1]


def check(paths: Sequence[Path], within: Path | None = None) -> list[Problem]:
    """Everything that is wrong with a folder of specs, or with single files laid over the folder `within`.

    For single files only their own problems are told; a file is placed by the folder it stands in, so
    that someone's own vehicles/my-car.toml can be checked against the specs that came with the program.
    """
    problems: list[Problem] = []
    for folder in (path for path in paths if path.is_dir()):
        if is_specs_folder(folder):
            problems += check_files(read_folder(folder))
        else:
            problems += _check_single(sorted(folder.rglob("*.toml")), within)
    single = [path for path in paths if not path.is_dir()]
    return problems + (_check_single(single, within) if single else [])


def _check_single(paths: Sequence[Path], within: Path | None) -> list[Problem]:
    laid: dict[str, bytes] = {}
    unread: list[Problem] = []
    for path in paths:
        try:
            laid |= read_beside(path)
        except OSError as cause:
            found = (
                "there is no such file" if isinstance(cause, FileNotFoundError) else "the file cannot be read"
            )
            unread.append(Problem(str(path), "", found, "", "Check the path and the rights."))
    base = read_folder(within) if within is not None else {}
    own = {f"specs/{path}" for path in laid}
    told = check_files({**base, **laid}) if laid else []
    return unread + [problem for problem in told if problem.file.split(" (")[0] in own]


def _load(files: Files) -> tuple[Specs | None, list[Problem]]:
    report = Report()
    documents = read_documents(files, report)
    index = collect_names(documents, report)
    specs = link(read_shapes(documents, report), index, report) if documents.whole else None
    if not documents.whole:
        # Names may be missing: only what each file says of itself is told.
        read_shapes(documents, report)
    return specs, report.problems
