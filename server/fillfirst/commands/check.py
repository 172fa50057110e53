"""check: what is wrong with specs, and whether every visit made of them is proved."""

from __future__ import annotations

import time
from pathlib import Path

from fillfirst.commands.flags import Commands, Options, add_command
from fillfirst.settings import read_settings


def check(options: Options) -> int:
    """Say everything that is wrong with some spec files, or with all of them."""
    from fillfirst.catalog import check as check_specs

    files: list[Path] = options.pop("files")
    folder = read_settings(**options).specs_folder
    start = time.perf_counter()
    checked = check_specs(files or [folder], folder)
    print(checked)
    if checked.proof is not None:
        print(f"It took {time.perf_counter() - start:.1f} s.")
    is_sound = checked.proof is None or checked.proof.is_proved
    return 0 if is_sound and not checked.problems else 1


def add(commands: Commands) -> None:
    one = add_command(
        commands, "check", check, help="read specs, and prove every visit that can be made of them"
    )
    one.add_argument(
        "files", metavar="FILE", nargs="*", type=Path, help="only these; all of them if none is named"
    )
    one.add_argument("--specs", type=Path, help="the folder of specs they belong to")
