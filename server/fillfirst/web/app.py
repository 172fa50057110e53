"""Puts the app together: every endpoint, and errors turned into answers."""

from __future__ import annotations

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response

from fillfirst.errors import RequestError, StoreError, StoreFullError
from fillfirst.web.answers import problem_answer
from fillfirst.web.edge import Edge
from fillfirst.web.endpoints import Endpoint
from fillfirst.web.routes import (
    access,
    catalog,
    due,
    health,
    keeping,
    links,
    photos,
    records,
    setup,
    shell,
    sync,
)
from fillfirst.web.server import Server

ENDPOINTS: tuple[Endpoint, ...] = (
    *catalog.ENDPOINTS,
    *sync.ENDPOINTS,
    *photos.ENDPOINTS,
    *access.ENDPOINTS,
    *records.ENDPOINTS,
    *links.ENDPOINTS,
    *due.ENDPOINTS,
    *health.ENDPOINTS,
    *keeping.ENDPOINTS,
    *setup.ENDPOINTS,
    *shell.ENDPOINTS,
)

PLAIN = {
    404: ("not_found", "There is nothing at this address.", "Check the address."),
    405: ("method_not_allowed", "This address does not take that method.", "See /api/openapi.json."),
}


def create_app(server: Server) -> Starlette:
    return _create(server, ENDPOINTS, is_plain=False)


def create_setup_app(server: Server) -> Starlette:
    """What is served over plain http, for phones that do not yet trust this server: the set-up page alone."""
    return _create(server, setup.ENDPOINTS, is_plain=True)


def _create(server: Server, endpoints: tuple[Endpoint, ...], *, is_plain: bool) -> Starlette:
    app = Starlette(
        routes=[endpoint.to_route() for endpoint in endpoints],
        middleware=[Middleware(Edge, settings=server.settings, is_plain=is_plain)],
        exception_handlers={
            HTTPException: _answer_plain,
            RequestError: _answer_request_error,
            StoreError: _answer_store_error,
        },
    )
    # An address with a slash too many is wrong; leading on from it would only hide that.
    app.router.redirect_slashes = False
    app.state.server = server
    app.state.endpoints = endpoints
    return app


async def _answer_plain(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    code, message, next = PLAIN.get(
        error.status_code, ("refused", "This cannot be done.", "See /api/openapi.json.")
    )
    answer = problem_answer(error.status_code, code, message, next)
    answer.headers.update(error.headers or {})
    return answer


async def _answer_request_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestError)
    return problem_answer(error.status, error.code, error.message, error.next)


async def _answer_store_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, StoreError)
    if isinstance(error, StoreFullError):
        return problem_answer(507, "server_full", error.message, error.next)
    return problem_answer(503, "store_failed", error.message, error.next)
