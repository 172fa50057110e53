"""What good specs become: each fixture stands beside the linked entries that it adds or changes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from laid_specs import FIXTURES, MINI, lay_fixture

from fillfirst.specs import Specs, load, load_files

VALID = sorted(path for path in (FIXTURES / "valid").iterdir() if path.suffix != ".json")


@pytest.mark.parametrize("path", VALID, ids=lambda path: path.stem)
def test_a_good_spec_links_to_what_stands_beside_it(path: Path) -> None:
    linked = find_changes(load(MINI), load_files(lay_fixture(path)))

    assert linked == json.loads(path.with_suffix(".json").read_text())


def find_changes(before: Specs, after: Specs) -> dict[str, Any]:
    """The entries that only the second has, by family; the order of steps where it is another."""
    old, new = json.loads(before.model_dump_json()), json.loads(after.model_dump_json())
    changes: dict[str, Any] = {"order": [step["id"] for step in new["steps"]]}
    for family, entries in new.items():
        known = old[family]
        if isinstance(entries, dict):
            added = {id: entry for id, entry in entries.items() if entry != known.get(id)}
        elif isinstance(entries, list):
            added = {entry["id"]: entry for entry in entries if entry not in known}
        else:
            continue
        if added:
            changes[family] = added
    return (
        changes
        if "steps" in changes
        else {family: changes[family] for family in changes if family != "order"}
    )
