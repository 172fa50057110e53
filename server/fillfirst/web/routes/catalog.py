"""The catalog: the current one, and every one that was ever served."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from fillfirst.errors import RequestError
from fillfirst.web.answers import IMMUTABLE, json_answer
from fillfirst.web.compressing import compress_for
from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.server import server_of


async def give_current(request: Request) -> Response:
    catalog = server_of(request).catalog
    tag = f'"{catalog.hash}"'
    headers = {"etag": tag, "cache-control": "private, no-cache", "vary": "accept-encoding"}
    wanted = (one.strip().removeprefix("W/") for one in request.headers.get("if-none-match", "").split(","))
    if tag in wanted:
        return Response(status_code=304, headers=headers)
    body, encoding = compress_for(request.headers, catalog.json)
    return json_answer(body, headers=headers | encoding)


async def give_kept(request: Request) -> Response:
    server = server_of(request)
    hash = request.path_params["hash"]
    json = server.catalog.json if hash == server.catalog.hash else await server.store.catalogs.get(hash)
    if json is None:
        raise RequestError(
            404,
            "catalog_not_known",
            "This server never served a catalog of that hash.",
            "Go on with the copy on the phone; ask the server that the visit began with.",
        )
    body, encoding = compress_for(request.headers, json)
    return json_answer(body, headers=IMMUTABLE | {"vary": "accept-encoding"} | encoding)


ENDPOINTS = (
    Endpoint(
        "GET",
        "/api/catalog",
        "catalog",
        "The current catalog: the procedures, proved. Its ETag is its hash.",
        give_current,
        (
            Answer(200, "The catalog; its sha256 is the ETag.", ("application/json",)),
            Answer(304, "It is the one that If-None-Match names."),
        ),
    ),
    Endpoint(
        "GET",
        "/api/catalog/{hash}",
        "kept_catalog",
        "Any catalog that was ever served, by its hash.",
        give_kept,
        (Answer(200, "The catalog.", ("application/json",)),),
        problems=(404,),
    ),
)
