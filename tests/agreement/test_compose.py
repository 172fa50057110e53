"""The same cars and jobs through both composers."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Error
from visit_vectors import CATALOG, SPECS, differences, each, read

from fillfirst.errors import VisitError
from fillfirst.visits.compose import compose

VECTORS = read("compose.json")
SHOWN = [vector for vector in VECTORS if "shows" in vector]
REFUSED = [vector for vector in VECTORS if "error" in vector]


def shown(composition: Any) -> dict[str, Any]:
    """A composition as the vectors write it: steps by their ids, some of them whole as `instances`."""
    return {**composition, "steps": [step["id"] for step in composition["steps"]]}


def missing_instances(composition: Any, vector: Any) -> list[Any]:
    return [step for step in vector["shows"].get("instances", []) if step not in composition["steps"]]


def without_instances(vector: Any) -> dict[str, Any]:
    return {key: value for key, value in vector["shows"].items() if key != "instances"}


@each(SHOWN)
def test_server_composes_as_the_vector_shows(vector: Any) -> None:
    composition = compose(SPECS, vector["jobs"], vector["facts"])

    assert differences(shown(composition), without_instances(vector)) == []
    assert missing_instances(composition, vector) == []


@each(SHOWN)
def test_phone_composes_as_the_vector_shows(vector: Any, core_page: Any) -> None:
    composition = core_page.call("compose.js", "compose", CATALOG, vector["jobs"], vector["facts"])

    assert differences(shown(composition), without_instances(vector)) == []
    assert missing_instances(composition, vector) == []


@each(SHOWN)
def test_server_and_phone_compose_the_same_to_the_last_word(vector: Any, core_page: Any) -> None:
    on_phone = core_page.call("compose.js", "compose", CATALOG, vector["jobs"], vector["facts"])

    assert on_phone == compose(SPECS, vector["jobs"], vector["facts"])


@each(REFUSED)
def test_server_refuses_what_cannot_be_composed(vector: Any) -> None:
    with pytest.raises(VisitError) as refusal:
        compose(SPECS, vector["jobs"], vector["facts"])

    assert str(refusal.value) == vector["error"]


@each(REFUSED)
def test_phone_refuses_what_cannot_be_composed(vector: Any, core_page: Any) -> None:
    with pytest.raises(Error) as refusal:
        core_page.call("compose.js", "compose", CATALOG, vector["jobs"], vector["facts"])

    assert vector["error"] in str(refusal.value)
