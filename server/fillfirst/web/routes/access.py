"""Letting a browser in, and the list of those that were: who they are, and what they may do."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, Field
from starlette.requests import Request
from starlette.responses import Response

from fillfirst.access.cookies import read_token, write_cookie
from fillfirst.access.doorkeeper import CODE_LIFE_MS, cut_name, offer_code
from fillfirst.access.secrets import write_code
from fillfirst.errors import RequestError
from fillfirst.store.interface import Device, Role
from fillfirst.sync.rounds import write_moment
from fillfirst.web.answers import json_answer
from fillfirst.web.endpoints import Answer, Endpoint, read_body
from fillfirst.web.routes.setup import find_address
from fillfirst.web.server import device_of, server_of


class PairRequest(BaseModel):
    """A one-time code, and what a person calls this phone."""

    code: Annotated[str, Field(max_length=40)]
    name: Annotated[str, Field(max_length=200)] = ""


class CodeRequest(BaseModel):
    """What the browser that will be let in may do."""

    role: Role = "owner"


class CodeAnswer(BaseModel):
    """A one-time code, to be typed in the app that is to be let in. It is told once, and kept nowhere."""

    code: str
    role: Role
    expires_at: str
    lasts_s: int = Field(description="for a clock that is off")
    setup: str = Field(description="the page that brings a new phone to trust this server")


class DeviceChange(BaseModel):
    """What is given is changed."""

    name: Annotated[str, Field(min_length=1, max_length=200)] | None = None
    role: Role | None = None


class DeviceAnswer(BaseModel):
    """A browser that was let in. `clock_offset_ms` is the server's clock less the browser's."""

    id: int
    name: str
    role: Role
    created_at: str
    last_seen_at: str
    clock_offset_ms: int | None
    revoked_at: str | None
    app: str | None = Field(description="the version of the app that it last synced with")


class LetInAnswer(BaseModel):
    """The device that asks, and the server that let it in."""

    server_id: str
    epoch: str
    device: DeviceAnswer


class DeviceList(BaseModel):
    """Everyone who was ever let in, oldest first; `own` is the one that asks."""

    own: int
    devices: list[DeviceAnswer]


async def pair(request: Request) -> Response:
    server, scheme = server_of(request), request.url.scheme
    asked = await read_body(request, PairRequest)
    let_in = await server.doorkeeper.let_in(
        asked.code,
        asked.name,
        replaces=await server.doorkeeper.recognise(read_token(request.cookies, scheme)),
        now_ms=server.now_ms(),
    )
    return await _answer(request, let_in.device, {"set-cookie": write_cookie(let_in.token, scheme)})


async def make_code(request: Request) -> Response:
    server, asked = server_of(request), await read_body(request, CodeRequest)
    now_ms = server.now_ms()
    code = await offer_code(server.store, role=asked.role, now_ms=now_ms)
    answer = CodeAnswer(
        code=write_code(code),
        role=asked.role,
        expires_at=write_moment(now_ms + CODE_LIFE_MS),
        lasts_s=CODE_LIFE_MS // 1000,
        setup=find_address(server.settings, request),
    )
    return json_answer(answer, status=201)


async def give_me(request: Request) -> Response:
    return await _answer(request, device_of(request), {})


async def list_devices(request: Request) -> Response:
    devices = await server_of(request).store.devices.list_all()
    return json_answer(
        DeviceList(own=device_of(request).id, devices=[_describe(device) for device in devices])
    )


async def change_device(request: Request) -> Response:
    server, id = server_of(request), int(request.path_params["id"])
    asked = await read_body(request, DeviceChange)
    name = None if asked.name is None else cut_name(asked.name)
    device = await server.store.devices.change(id, name=name, role=asked.role)
    if device is None:
        raise _not_known(id)
    return json_answer(_describe(device))


async def revoke_device(request: Request) -> Response:
    return await _revoke(request, int(request.path_params["id"]))


async def leave(request: Request) -> Response:
    return await _revoke(request, device_of(request).id)


async def _revoke(request: Request, id: int) -> Response:
    server = server_of(request)
    if not await server.store.devices.revoke(id, now_ms=server.now_ms()):
        raise _not_known(id)
    answer = Response(status_code=204)
    if id == device_of(request).id:
        answer.headers["set-cookie"] = write_cookie("", request.url.scheme, life_s=0)
    return answer


def _not_known(id: int) -> RequestError:
    return RequestError(
        404, "device_not_known", f"No device {id} is let in.", "See the list of devices for those that are."
    )


async def _answer(request: Request, device: Device, headers: dict[str, str]) -> Response:
    meta = await server_of(request).store.get_meta()
    answer = LetInAnswer(server_id=meta.server_id, epoch=meta.epoch, device=_describe(device))
    return json_answer(answer, headers=headers)


def _describe(device: Device) -> DeviceAnswer:
    return DeviceAnswer(
        id=device.id,
        name=device.name,
        role=device.role,
        created_at=write_moment(device.created_at_ms),
        last_seen_at=write_moment(device.last_seen_at_ms),
        clock_offset_ms=device.clock_offset_ms,
        revoked_at=None if device.revoked_at_ms is None else write_moment(device.revoked_at_ms),
        app=device.app,
    )


ENDPOINTS = (
    Endpoint(
        "POST",
        "/api/pair",
        "pair",
        "Let this browser in with a one-time code; the answer sets its cookie.",
        pair,
        (Answer(200, "It is let in.", (LetInAnswer,)),),
        takes=(PairRequest,),
        problems=(400, 403, 413, 415, 429, 503, 507),
        opens_to="anyone",
    ),
    Endpoint(
        "GET",
        "/api/me",
        "me",
        "The device that asks.",
        give_me,
        (Answer(200, "It is let in.", (LetInAnswer,)),),
    ),
    Endpoint(
        "DELETE",
        "/api/me",
        "leave",
        "Send away the device that asks. What it recorded stays.",
        leave,
        (Answer(204, "It is let in no more, and its cookie is gone."),),
        problems=(404, 503, 507),
    ),
    Endpoint(
        "POST",
        "/api/codes",
        "make_code",
        "Make a one-time code that lets one browser in: ten minutes, one use, five tries.",
        make_code,
        (Answer(201, "The code.", (CodeAnswer,)),),
        takes=(CodeRequest,),
        problems=(400, 413, 415, 503, 507),
        opens_to="owner",
    ),
    Endpoint(
        "GET",
        "/api/devices",
        "devices",
        "Every device that was ever let in.",
        list_devices,
        (Answer(200, "The devices.", (DeviceList,)),),
        opens_to="owner",
    ),
    Endpoint(
        "PATCH",
        "/api/devices/{id:number}",
        "change_device",
        "Name a device anew, or give it another role.",
        change_device,
        (Answer(200, "The device as it is now.", (DeviceAnswer,)),),
        takes=(DeviceChange,),
        parameters={"id": {"type": "integer"}},
        problems=(400, 404, 413, 415, 503, 507),
        opens_to="owner",
    ),
    Endpoint(
        "DELETE",
        "/api/devices/{id:number}",
        "revoke_device",
        "Send a device away. What it recorded stays.",
        revoke_device,
        (Answer(204, "It is let in no more."),),
        parameters={"id": {"type": "integer"}},
        problems=(404, 503, 507),
        opens_to="owner",
    ),
)
