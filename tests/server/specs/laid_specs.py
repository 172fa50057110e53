"""Specs for tests: a fixture laid over the small, complete specs of `tests/fixtures/specs/mini`.

A fixture is a folder of files, or one file whose first line says what it is:
`# as: jobs/extra.toml` is that file; `# over: jobs/engine-oil.toml` is merged into the file of that
name, tables key by key, and lists of tables entry by entry where their ids are the same.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import tomli_w

from fillfirst.specs.files import read_folder

FIXTURES = Path(__file__).parents[2] / "fixtures" / "specs"
MINI = FIXTURES / "mini"

_HEAD = re.compile(rb"# (as|over): (\S.*\S)\n")


def lay_fixture(path: Path) -> dict[str, bytes]:
    """The mini specs with the fixture laid over them."""
    mini = read_folder(MINI)
    return mini | (read_folder(path) if path.is_dir() else _read_file(path, mini))


def _read_file(path: Path, mini: dict[str, bytes]) -> dict[str, bytes]:
    content = path.read_bytes()
    head = _HEAD.match(content)
    assert head is not None, f"{path} does not say what it is"
    target = head[2].decode()
    if head[1] == b"as":
        return {target: content}
    merged = merge(tomllib.loads(mini[target].decode()), tomllib.loads(content.decode()))
    return {target: tomli_w.dumps(merged).encode()}


def merge(base: Any, change: Any) -> Any:
    if isinstance(base, dict) and isinstance(change, dict):
        return base | {key: merge(base.get(key), value) for key, value in change.items()}
    if _has_ids(base) and _has_ids(change):
        changes = {entry["id"]: entry for entry in change}
        kept = [merge(entry, changes.pop(entry["id"], {})) for entry in base]
        return kept + list(changes.values())
    return change


def _has_ids(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(entry, dict) and "id" in entry for entry in value)
