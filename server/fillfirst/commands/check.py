"""check: what is wrong with specs, whether every visit made of them is proved, and a car's sheet."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

from fillfirst.commands.flags import Commands, Options, add_command
from fillfirst.settings import read_settings

if TYPE_CHECKING:
    from fillfirst.specs import Problem


def check(options: Options) -> int:
    """Say everything that is wrong with some spec files or cars, or with all specs."""
    files: list[Path] = options.pop("files")
    settings = read_settings(**options)
    folder = settings.specs_folder
    sheets = _find_sheets(files)
    are_fine = _check_sheets(sheets, folder) if sheets else True
    others = [file for file in files if file not in sheets]
    if sheets and not others:
        return 0 if are_fine else 1
    if settings.own_folder is not None and not others:
        return 0 if _check_own(folder, settings.own_folder) and are_fine else 1
    return 0 if _check_specs(others, folder) and are_fine else 1


def _find_sheets(files: list[Path]) -> list[Path]:
    from fillfirst.cars.sheet import find_sheets

    readable = {str(file.resolve()): file.read_bytes() for file in files if file.is_file()}
    found = find_sheets(readable)
    return [file for file in files if str(file.resolve()) in found]


def _check_sheets(sheets: list[Path], folder: Path) -> bool:
    """Judge every number of these cars as the app does when it is typed."""
    from fillfirst.cars.sheet import judge_sheet, read_sheet, tell_problems
    from fillfirst.specs import load, render

    specs = load(folder)
    are_fine = True
    for file in sheets:
        sheet, problems = read_sheet(str(file), file.read_bytes())
        odd: list[Problem] = []
        if sheet is not None:
            problems, odd = tell_problems(specs, str(file), judge_sheet(specs, sheet))
        told = [render(problems)] if problems else []
        told += [f"Asked about:\n\n{render(odd)}"] if odd else []
        count = 0 if sheet is None else len(sheet.facts)
        told.append(f"{file}: {count} facts, {len(problems)} refused, {len(odd)} asked about.")
        print("\n\n".join(told))
        are_fine = are_fine and not problems
    return are_fine


def _check_own(folder: Path, own: Path) -> bool:
    """Check and prove one's own specs together with those they are laid over."""
    from fillfirst.specs import SpecsError
    from fillfirst.specs.own import lay_own, load_own
    from fillfirst.visits.proof import prove

    laid = lay_own(folder, own)
    try:
        proof = prove(load_own(laid))
    except SpecsError as error:
        print(f"{error}\n\nNothing was proved.")
        return False
    print(f"{len(laid.files)} files read without a problem, {len(laid.own)} of them in {own}.\n{proof}")
    if not proof.is_proved:
        print(f"It has to do with {', '.join(map(str, laid.find_files(str(proof))))}.")
    return proof.is_proved


def _check_specs(files: list[Path], folder: Path) -> bool:
    from fillfirst.catalog import check as check_specs

    start = time.perf_counter()
    checked = check_specs(files or [folder], folder)
    print(checked)
    if checked.proof is not None:
        print(f"It took {time.perf_counter() - start:.1f} s.")
    is_sound = checked.proof is None or checked.proof.is_proved
    return is_sound and not checked.problems


def add(commands: Commands) -> None:
    one = add_command(
        commands, "check", check, help="read specs, and prove every visit that can be made of them"
    )
    one.add_argument(
        "files",
        metavar="FILE",
        nargs="*",
        type=Path,
        help="only these, specs or the sheet of a car; all specs if none is named",
    )
    one.add_argument("--specs", type=Path, help="the folder of specs they belong to")
    one.add_argument("--own", type=Path, help="a folder of one's own specs, laid over the others")
