"""Every formula and function, and every thing of the garage, leads somewhere: a step, a purchase, a screen.

A number that nobody can reach is one that nobody would notice being wrong.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from fillfirst.specs import load

TOP = Path(__file__).parents[2]
#: Where code asks for a formula by its name.
SOURCES = (TOP / "webui", TOP / "server" / "fillfirst")


@cache
def load_shipped() -> dict[str, Any]:
    return load(TOP / "specs").model_dump(by_alias=True, mode="json")


def find_texts(thing: Any) -> set[str]:
    """Every text inside, and every name in a {place} of one."""
    if isinstance(thing, str):
        return {thing, *re.findall(r"\{(\w+)\}", thing)}
    if isinstance(thing, dict):
        return set().union(*(find_texts(each) for each in thing.values()))
    if isinstance(thing, list | tuple):
        return set().union(*(find_texts(each) for each in thing))
    return set()


@cache
def find_figures_in_use() -> frozenset[str]:
    """The figures that steps, facts, purchases or variables name, and those that these rest on."""
    shipped = load_shipped()
    figures = shipped["figures"]
    users = [shipped[kind] for kind in ("steps", "facts", "jobs", "variables", "rules")]
    waiting = [name for name in find_texts(users) if name in figures]
    found: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += [each for each in find_texts(figures[name]["with"]) if each in figures]
    return frozenset(found)


@cache
def read_sources() -> str:
    files = [path for folder in SOURCES for kind in ("*.js", "*.py") for path in folder.rglob(kind)]
    return "\n".join(path.read_text() for path in files)


@pytest.mark.parametrize("id", sorted([*load_shipped()["formulas"], *load_shipped()["functions"]]))
def test_number_is_used_by_a_job_a_judgement_or_a_screen(id: str) -> None:
    figures = load_shipped()["figures"]
    used = {figures[name]["formula"] for name in find_figures_in_use()}

    assert id in used or f'"{id}"' in read_sources()


@pytest.mark.parametrize("kind", sorted(load_shipped()["equipment"]))
def test_thing_of_the_garage_is_asked_for_by_a_job_or_looked_up_by_a_screen(kind: str) -> None:
    jobs = load_shipped()["jobs"].values()
    asked = {kept for job in jobs for one in (*job["tools"], *job["equipment"]) for kept in one["kept"]}

    assert kind in asked or f'"{kind}"' in read_sources()


def test_figure_that_a_job_works_out_is_used_by_something() -> None:
    assert sorted(set(load_shipped()["figures"]) - find_figures_in_use()) == []
