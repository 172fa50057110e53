"""Events up and events down; sync/PROTOCOL.md says the rules."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from fillfirst.access.cookies import read_token, write_cookie
from fillfirst.sync.messages import ROUND_LIMIT_BYTES, SyncAnswer, SyncRequest
from fillfirst.sync.request import read_request
from fillfirst.sync.rounds import hold_round
from fillfirst.web.answers import json_answer
from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.server import device_of, server_of


async def sync(request: Request) -> Response:
    server, device, now_ms = server_of(request), device_of(request), server_of(request).now_ms()
    round = read_request(await request.body())
    answer = await hold_round(server.store, round, device=device, catalog=server.catalog.hash, now_ms=now_ms)
    await server.doorkeeper.note_seen(
        device,
        clock_offset_ms=now_ms - round.opening.client_now,
        app=round.opening.app,
        now_ms=now_ms,
    )
    scheme = request.url.scheme
    token = read_token(request.cookies, scheme)
    assert token is not None
    return json_answer(answer, headers={"set-cookie": write_cookie(token, scheme)})


ENDPOINTS = (
    Endpoint(
        "POST",
        "/api/sync",
        "sync",
        "One round: events up, events down.",
        sync,
        (Answer(200, "What was taken, what was refused and why, and what is new.", (SyncAnswer,)),),
        takes=(SyncRequest,),
        problems=(400, 409, 413, 415, 503, 507),
        body_limit=ROUND_LIMIT_BYTES,
    ),
)
