"""Whether this is the server, whether it works, and what it can be asked."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field
from starlette.requests import Request
from starlette.responses import Response

from fillfirst import __version__
from fillfirst.web.answers import json_answer
from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.openapi import describe
from fillfirst.web.server import server_of


class Health(BaseModel):
    """A phone believes it has a network only when this names the server it knows."""

    server_id: str
    epoch: str
    version: str
    app: str
    catalog: str
    server_now: int
    own_specs: Literal["none", "served", "refused"] = Field(
        description="the keeper's own; refused where something is wrong with them, which the log says"
    )
    certificate_days: int | None = Field(
        description="whole days until browsers refuse the certificate; null where the server shows none"
    )


async def give_health(request: Request) -> Response:
    server = server_of(request)
    meta, now_ms = await server.store.get_meta(), server.now_ms()
    return json_answer(
        Health(
            server_id=meta.server_id,
            epoch=meta.epoch,
            version=__version__,
            app=server.shell.get().version,
            catalog=server.catalog.hash,
            server_now=now_ms,
            own_specs="none"
            if server.settings.own is None
            else "refused"
            if server.catalog.trouble
            else "served",
            certificate_days=server.certificate.count_days(now_ms) if server.certificate else None,
        )
    )


async def give_openapi(request: Request) -> Response:
    return json_answer(describe(request.app.state.endpoints))


ENDPOINTS = (
    Endpoint(
        "GET",
        "/api/health",
        "health",
        "Which server this is, and that its database answers.",
        give_health,
        (Answer(200, "It works.", (Health,)),),
        problems=(503,),
        opens_to="anyone",
    ),
    Endpoint(
        "GET",
        "/api/openapi.json",
        "openapi",
        "This description, as an OpenAPI 3.1 document.",
        give_openapi,
        (Answer(200, "The document.", ("application/json",)),),
    ),
)
