"""Patterns: what a use of one stands for."""

from __future__ import annotations

from typing import Any

import pytest

from fillfirst.specs.patterns import fill
from fillfirst.specs.problems import Document, Report, render


def fill_pattern(pattern: dict[str, Any], given: dict[str, Any]) -> tuple[dict[str, Any] | None, str]:
    report = Report()
    known = {("jobs", "unit"): Document("specs/patterns/jobs/unit.toml", "patterns/jobs", "unit", pattern)}
    use = Document("specs/jobs/use.toml", "jobs", "use", {"pattern": "unit", "with": given})
    filled = fill(use, known, report)
    return (None if filled is None else filled.content), render(report.problems)


@pytest.mark.parametrize(
    ("text", "given", "expected"),
    [
        ("Oil of the $name", {"name": "axle"}, "Oil of the axle"),
        ("$fact_capacity", {"fact": "axle"}, "axle_capacity"),
        ("$unit-fill-plug", {"unit": "rear-axle"}, "rear-axle-fill-plug"),
        ("{$fact_capacity} of $name", {"fact": "axle", "name": "axle"}, "{axle_capacity} of axle"),
        ("$name", {"name": ["front", "rear"]}, ["front", "rear"]),
        ("$order", {"order": 20}, 20),
        ("$flag", {"flag": True}, True),
        ("it is $flag", {"flag": True}, "it is true"),
        ("$order of them", {"order": 20}, "20 of them"),
        ("costs 5 $", {}, "costs 5 $"),
    ],
)
def test_fill_puts_parameters_where_they_are_asked_for(
    text: str, given: dict[str, Any], expected: Any
) -> None:
    assert fill_pattern({"title": text}, given) == ({"title": expected}, "")


def test_fill_takes_the_longest_name_that_fits() -> None:
    filled, _ = fill_pattern({"title": "$name_plural and $name"}, {"name": "axle", "name_plural": "axles"})

    assert filled == {"title": "axles and axle"}


def test_fill_tells_capital_letters_apart() -> None:
    filled, _ = fill_pattern({"title": "$Name, $name"}, {"name": "axle", "Name": "Axle"})

    assert filled == {"title": "Axle, axle"}


def test_fill_reaches_keys_and_lists() -> None:
    filled, _ = fill_pattern({"steps": [{"makes": {"$unit": "full"}}]}, {"unit": "axle"})

    assert filled == {"steps": [{"makes": {"axle": "full"}}]}


def test_a_use_that_lacks_a_parameter_stands_for_nothing() -> None:
    filled, told = fill_pattern({"title": "$name"}, {})

    assert filled is None
    assert told == (
        "specs/jobs/use.toml, with:\n"
        '  the pattern asks for "$name", which is not given.\n'
        "  Give it under [with]: name = …"
    )


def test_a_parameter_that_is_asked_for_twice_is_told_once() -> None:
    _, told = fill_pattern({"title": "$nmae", "summary": "$nmae"}, {"name": "axle"})

    assert told.count('"$nmae"') == 1


@pytest.mark.parametrize("content", [{"pattern": 3, "with": {}}, {"pattern": "unit", "with": "name"}])
def test_a_use_that_is_written_wrongly_is_told(content: dict[str, Any]) -> None:
    report = Report()

    assert fill(Document("specs/jobs/use.toml", "jobs", "use", content), {}, report) is None
    assert len(report.problems) == 1
