"""The same numbers typed by an owner, judged by both languages."""

from __future__ import annotations

from random import Random
from typing import Any

from visit_vectors import CATALOG, SPECS, each, read

from fillfirst.cars.judgement import SOURCE_KINDS, judge_fact

VECTORS = read("judge-fact.json")


def arguments(vector: Any) -> list[Any]:
    return [vector[key] for key in ("facts", "fact", "value", "source")]


@each(VECTORS)
def test_server_judges_a_number_as_the_vector_shows(vector: Any) -> None:
    assert judge_fact(SPECS, *arguments(vector)) == vector["shows"]


@each(VECTORS)
def test_phone_judges_a_number_as_the_vector_shows(vector: Any, core_page: Any) -> None:
    assert core_page.call("judgement.js", "judgeFact", CATALOG, *arguments(vector)) == vector["shows"]


def test_server_and_phone_judge_random_numbers_alike(core_page: Any) -> None:
    random = Random(3)
    values: list[Any] = [0, 0.012, 45, 120, 180, 999, "manual", "", True, ["front-left"], ["x", "x"], None]
    sources: list[Any] = [{"kind": kind, "reference": "here"} for kind in SOURCE_KINDS] + [None]
    facts: list[Any] = [{}, {"powertrain": "electric"}, {"wheel_thread": 0.01}, {"has_rear_drive": False}]
    calls = [
        [
            random.choice(facts),
            random.choice(list(SPECS.facts)),
            random.choice(values),
            random.choice(sources),
        ]
        for _ in range(500)
    ]

    on_phone = core_page.call_all("judgement.js", "judgeFact", [[CATALOG, *call] for call in calls])

    assert on_phone == [judge_fact(SPECS, *call) for call in calls]
