"""Every defect a spec can have, beside the whole message that its author reads."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid_specs import FIXTURES, lay_fixture

from fillfirst.specs import link_files, render

INVALID = sorted(path for path in (FIXTURES / "invalid").iterdir() if path.suffix != ".txt")


@pytest.mark.parametrize("path", INVALID, ids=lambda path: path.stem)
def test_a_defect_is_told_in_full(path: Path) -> None:
    specs, problems = link_files(lay_fixture(path))

    assert render(problems) + "\n" == path.with_suffix(".txt").read_text()
    assert specs is None
