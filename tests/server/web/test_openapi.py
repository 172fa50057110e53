"""The OpenAPI document is whole: every route, every reference, every schema."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from jsonschema import Draft202012Validator
from starlette.applications import Starlette
from starlette.routing import Route

from fillfirst.web.app import ENDPOINTS
from fillfirst.web.openapi import describe, read_path

pytestmark = pytest.mark.anyio

DOCUMENT = describe(ENDPOINTS)
METHODS = {"get", "put", "post", "delete", "options", "head", "patch", "trace"}
OPERATIONS = [(path, method) for path, item in DOCUMENT["paths"].items() for method in item]


def find_references(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        if isinstance(value.get("$ref"), str):
            yield value["$ref"]
        for inner in value.values():
            yield from find_references(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from find_references(inner)


async def test_every_route_of_the_app_is_in_it(app: Starlette) -> None:
    routes = {
        (read_path(route.path), method.lower())
        for route in app.routes
        if isinstance(route, Route)
        for method in (route.methods or set()) - {"HEAD"}
    }

    assert set(OPERATIONS) == routes


async def test_it_is_served_as_it_is_made(phone: httpx.AsyncClient) -> None:
    assert (await phone.get("/api/openapi.json")).json() == DOCUMENT


def test_it_has_what_every_document_must_have() -> None:
    assert DOCUMENT["openapi"] == "3.1.0"
    assert {"title", "version"} <= DOCUMENT["info"].keys()
    assert all(path.startswith("/") for path in DOCUMENT["paths"])
    assert {method for _, method in OPERATIONS} <= METHODS


def test_operation_ids_are_unique() -> None:
    ids = [DOCUMENT["paths"][path][method]["operationId"] for path, method in OPERATIONS]

    assert len(ids) == len(set(ids))


@pytest.mark.parametrize(("path", "method"), OPERATIONS)
def test_every_part_of_a_path_is_a_parameter(path: str, method: str) -> None:
    parameters = DOCUMENT["paths"][path][method].get("parameters", [])

    assert [one["name"] for one in parameters] == re.findall(r"{(\w+)}", path)
    assert all(one["in"] == "path" and one["required"] is True for one in parameters)


@pytest.mark.parametrize(("path", "method"), OPERATIONS)
def test_every_answer_has_a_status_and_a_description(path: str, method: str) -> None:
    responses = DOCUMENT["paths"][path][method]["responses"]

    assert any(status.startswith("2") for status in responses)
    assert all(
        re.fullmatch("[1-5][0-9]{2}", status) and one["description"] for status, one in responses.items()
    )


def test_every_reference_leads_somewhere() -> None:
    schemas = DOCUMENT["components"]["schemas"]

    assert {ref.removeprefix("#/components/schemas/") for ref in find_references(DOCUMENT)} <= schemas.keys()


@pytest.mark.parametrize("name", DOCUMENT["components"]["schemas"])
def test_every_schema_is_one(name: str) -> None:
    Draft202012Validator.check_schema(DOCUMENT["components"]["schemas"][name])


def test_every_scheme_that_is_asked_for_is_there() -> None:
    asked = {
        scheme
        for path, method in OPERATIONS
        for one in DOCUMENT["paths"][path][method]["security"]
        for scheme in one
    }

    assert asked == set(DOCUMENT["components"]["securitySchemes"])
