"""Answers in JSON, and the one shape that every refusal has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import orjson
from pydantic import BaseModel
from starlette.responses import Response

NO_STORE = {"cache-control": "no-store"}
IMMUTABLE = {"cache-control": "private, max-age=31536000, immutable"}


class Problem(BaseModel):
    """What went wrong: `code` is stable, `message` says what, `next` says what to do."""

    code: str
    message: str
    next: str


def json_answer(
    content: Any,
    *,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
    type: str = "application/json",
) -> Response:
    """JSON that no cache keeps, unless the headers say otherwise. Bytes are taken to be JSON already."""
    if isinstance(content, BaseModel):
        body = content.model_dump_json().encode()
    else:
        body = content if isinstance(content, bytes) else orjson.dumps(content)
    return Response(body, status, {**NO_STORE, **(headers or {})}, type)


def problem_answer(status: int, code: str, message: str, next: str) -> Response:
    return json_answer(Problem(code=code, message=message, next=next), status=status)
