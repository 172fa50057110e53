"""The OpenAPI document, made from the endpoints that are served, so that it cannot fall behind them.

Source: OpenAPI Specification 3.1.0.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from http import HTTPStatus
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from fillfirst import __version__
from fillfirst.web.answers import Problem
from fillfirst.web.endpoints import Answer, Content, Endpoint

REF = "#/components/schemas/{model}"
# Any request may be refused at the edge: a foreign name, another origin; and most need a device.
EVERYWHERE = (421,)
DOORS = {
    "anyone": "",
    "link": "Whoever holds the link may ask.",
    "helper": "",
    "owner": "Only an owner's device may ask.",
}


def describe(endpoints: Iterable[Endpoint]) -> dict[str, Any]:
    """The document of these endpoints."""
    endpoints = list(endpoints)
    paths: dict[str, dict[str, Any]] = {}
    for endpoint in endpoints:
        paths.setdefault(read_path(endpoint.path), {})[endpoint.method.lower()] = _describe_one(endpoint)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "fillfirst",
            "version": __version__,
            "summary": "Carries a person through renewing every fluid in a car.",
            "description": "Events go up and down through /api/sync; everything else is there to be read.",
        },
        "paths": paths,
        "components": {
            "schemas": _list_schemas(endpoints),
            "securitySchemes": {
                "device": {
                    "type": "apiKey",
                    "in": "cookie",
                    "name": "device",
                    "description": "Set by /api/pair; named __Host-device over https.",
                }
            },
        },
    }


def read_path(path: str) -> str:
    """A route's path as OpenAPI writes it: of "/v/{path:path}" it is "/v/{path}"."""
    return re.sub(r"\{(\w+):\w+\}", r"{\1}", path)


def _describe_one(endpoint: Endpoint) -> dict[str, Any]:
    one: dict[str, Any] = {
        "operationId": endpoint.name,
        "summary": endpoint.summary,
        **({"description": DOORS[endpoint.opens_to]} if DOORS[endpoint.opens_to] else {}),
        "responses": _list_responses(endpoint),
        "security": [] if endpoint.is_open else [{"device": []}],
    }
    names = re.findall(r"\{(\w+)\}", read_path(endpoint.path))
    if names:
        schemas = endpoint.parameters or {}
        one["parameters"] = [
            {"name": name, "in": "path", "required": True, "schema": schemas.get(name, {"type": "string"})}
            for name in names
        ]
    if endpoint.takes:
        one["requestBody"] = {"required": True, "content": _list_content(endpoint.takes)}
    return one


def _list_responses(endpoint: Endpoint) -> dict[str, Any]:
    responses = {str(answer.status): _describe_answer(answer) for answer in endpoint.answers}
    at_the_edge = EVERYWHERE if endpoint.method == "GET" else (*EVERYWHERE, 403)
    at_the_door = () if endpoint.is_open else (401, 403) if endpoint.opens_to == "owner" else (401,)
    for status in sorted({*endpoint.problems, *at_the_edge, *at_the_door}):
        responses[str(status)] = {
            "description": HTTPStatus(status).phrase,
            "content": _list_content((Problem,)),
        }
    return responses


def _describe_answer(answer: Answer) -> dict[str, Any]:
    content = {"content": _list_content(answer.content)} if answer.content else {}
    return {"description": answer.says, **content}


def _list_content(contents: tuple[Content, ...]) -> dict[str, Any]:
    return {
        content if isinstance(content, str) else "application/json": (
            {} if isinstance(content, str) else {"schema": {"$ref": REF.format(model=content.__name__)}}
        )
        for content in contents
    }


def _list_schemas(endpoints: list[Endpoint]) -> dict[str, Any]:
    models: list[type[BaseModel]] = [Problem]
    for endpoint in endpoints:
        for contents in (endpoint.takes, *(answer.content for answer in endpoint.answers)):
            models += [one for one in contents if not isinstance(one, str) and one not in models]
    _, document = models_json_schema([(model, "validation") for model in models], ref_template=REF)
    schemas: dict[str, Any] = document["$defs"]
    return schemas
