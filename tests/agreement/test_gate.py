"""The same states of the car through both gates."""

from __future__ import annotations

from typing import Any

from visit_vectors import CATALOG, SPECS, differences, each, read

from fillfirst.visits.compose import back_target, compose, starting_variables
from fillfirst.visits.gate import judgements, stops, unfinished

VECTORS = read("gate.json")
STOPPED = [vector for vector in VECTORS if "stops" in vector]
ENDED = [vector for vector in VECTORS if "unfinished" in vector]
JUDGED = [vector for vector in VECTORS if "judgements" in vector]
LED_BACK = [vector for vector in VECTORS if "back" in vector]


def setting(vector: Any) -> tuple[Any, dict[str, str]]:
    """The visit of a vector, and the state it is in."""
    composition = compose(SPECS, vector["jobs"], vector["facts"])
    return composition, starting_variables(SPECS, composition) | vector.get("state", {})


def instance_of(composition: Any, id: str) -> Any:
    return next(step for step in composition["steps"] if step["id"] == id)


@each(STOPPED)
def test_server_stops_as_the_vector_shows(vector: Any) -> None:
    composition, state = setting(vector)

    found = stops(SPECS, composition, state, instance_of(composition, vector["step"]))

    assert differences(found, vector["stops"]) == []


@each(STOPPED)
def test_phone_stops_word_for_word_as_the_server(vector: Any, core_page: Any) -> None:
    composition, state = setting(vector)
    instance = instance_of(composition, vector["step"])

    on_phone = core_page.call("gate.js", "stops", CATALOG, composition, state, instance)

    assert on_phone == stops(SPECS, composition, state, instance)


@each(ENDED)
def test_server_says_what_is_unfinished(vector: Any) -> None:
    assert unfinished(SPECS, *setting(vector)) == vector["unfinished"]


@each(ENDED)
def test_phone_says_what_is_unfinished(vector: Any, core_page: Any) -> None:
    composition, state = setting(vector)

    assert core_page.call("gate.js", "unfinished", CATALOG, composition, state) == vector["unfinished"]


@each(JUDGED)
def test_server_judges_readings(vector: Any) -> None:
    found = judgements(SPECS, vector["values"], SPECS.steps_by_id[vector["judged"]])

    assert found == vector["judgements"]


@each(JUDGED)
def test_phone_judges_readings(vector: Any, core_page: Any) -> None:
    step = next(step for step in CATALOG["steps"] if step["id"] == vector["judged"])

    assert core_page.call("gate.js", "judgements", CATALOG, vector["values"], step) == vector["judgements"]


@each(LED_BACK)
def test_server_leads_back(vector: Any) -> None:
    composition, _ = setting(vector)

    target = back_target(SPECS, composition, instance_of(composition, vector["from"]))

    assert target == instance_of(composition, vector["back"])


@each(LED_BACK)
def test_phone_leads_back(vector: Any, core_page: Any) -> None:
    composition, _ = setting(vector)

    target = core_page.call(
        "compose.js", "backTarget", CATALOG, composition, instance_of(composition, vector["from"])
    )

    assert target == instance_of(composition, vector["back"])
