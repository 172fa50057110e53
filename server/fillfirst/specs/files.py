"""The only place that reads spec files from the disk.

Everything after it works on bytes by path, so that a test or an editor can lay changed files over a
folder without touching it.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath

# Content by path inside the folder: {"facts/car.toml": b"title = …"}.
Files = Mapping[str, bytes]

# Files that exist once; every other one is in the folder of its family.
SINGLE_FILES = ("units.toml", "car.toml", "order.toml", "hazards.toml", "rules.toml", "equipment.toml")


def read_folder(folder: Path) -> dict[str, bytes]:
    """Every TOML file in the folder and below, sorted by path."""
    paths = sorted(path for path in folder.rglob("*.toml") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths}


def is_specs_folder(folder: Path) -> bool:
    """Whether the folder holds specs as a whole, not just some files."""
    return (folder / "units.toml").is_file() and (folder / "order.toml").is_file()


def read_beside(path: Path) -> dict[str, bytes]:
    """One file under the path that it would have in a specs folder: "…/vehicles/x.toml" is "vehicles/x.toml".

    Raises OSError when it cannot be read.
    """
    return {"/".join(PurePosixPath(path.resolve().as_posix()).parts[-_depth(path) :]): path.read_bytes()}


def _depth(path: Path) -> int:
    parts = path.resolve().parts
    if "patterns" in parts[-3:-1]:
        return 3
    return 1 if path.name in SINGLE_FILES else 2
