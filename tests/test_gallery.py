"""Whatever can be seen is drawn by `tests/screens`, so that nobody has to remember to look at it."""

from __future__ import annotations

import re
from pathlib import Path

TOP = Path(__file__).parents[1]
DRAWN = {
    name
    for file in (TOP / "tests" / "browser").glob("*screens.py")
    for name in re.findall(r'draw\(\s*f?"([^"]+)"', file.read_text())
}


def read_keys(file: str, table: str) -> list[str]:
    """The keys of an object that a module of the web client declares."""
    body = (TOP / "webui" / file).read_text().split(f"const {table} = ", 1)[1].split("\n}", 1)[0]
    return re.findall(r'^\s+"?([\w-]+)"?:', body, re.MULTILINE)


def test_every_view_has_a_picture() -> None:
    views = read_keys("app/router.js", "VIEWS")

    assert [view for view in views if not any(name.startswith(view) for name in DRAWN)] == []
    assert len(views) > 5


def test_every_kind_of_step_has_a_picture() -> None:
    kinds = read_keys("parts/step/card.js", "KINDS")

    assert [kind for kind in kinds if f"work-{kind}" not in DRAWN] == []
    assert len(kinds) > 5
