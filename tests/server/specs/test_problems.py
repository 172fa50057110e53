"""How a problem is told: where, what was found, what was expected, what to do."""

from __future__ import annotations

from typing import Any

import pytest

from fillfirst.specs.problems import Document, Problem, Report, describe_path, nearest, quote_all

CONTENT = {
    "title": "Extra",
    "rows": [[1, 2]],
    "uses": {"raised": "maybe"},
    "steps": [
        {"id": "drain", "readings": [{"name": "oil_out"}], "makes": {"oil.fluid": "new"}},
        {"title": 4},
    ],
}


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ((), ""),
        (("title",), "title"),
        (("uses", "raised"), "uses.raised"),
        (("steps", 0), 'step "drain"'),
        (("steps", 1), "step 2"),
        (("steps", 7), "step 8"),
        (("steps", 0, "makes", "oil.fluid"), 'step "drain", makes."oil.fluid"'),
        (("steps", 0, "readings", 0, "unit"), 'step "drain", reading "oil_out", unit'),
        (("rows", 0), "row 1"),
        (("others", 2, "title"), "others 3, title"),
    ],
)
def test_a_path_is_said_as_a_person_would(path: tuple[Any, ...], expected: str) -> None:
    assert describe_path(CONTENT, path) == expected


def test_a_problem_without_expectation_is_told_in_one_clause() -> None:
    assert str(Problem("specs/a.toml", "", "it is empty")) == "specs/a.toml:\n  it is empty."


def test_a_report_keeps_the_order_of_telling_within_a_file() -> None:
    report = Report()
    later, earlier = (Document(f"specs/{id}.toml", "jobs", id, {}) for id in ("b", "a"))
    report.at(later).problem("first")
    report.at(earlier).problem("second")
    report.at(later).problem("third")

    assert [problem.found for problem in report.problems] == ["second", "first", "third"]


def test_a_report_keeps_one_of_two_equal_problems() -> None:
    report = Report()
    document = Document("specs/a.toml", "jobs", "a", {})
    report.at(document).problem("it is empty")
    report.at(document).problem("it is empty")

    assert len(report.problems) == 1


def test_nearest_offers_nothing_that_is_far_off() -> None:
    assert nearest("undertray", ["wheels", "raised"]) is None


def test_names_are_joined_as_in_a_sentence() -> None:
    assert quote_all(["a", "b", "c"]) == '"a", "b" or "c"'
