"""An address, what it takes and what it gives, said once for both the routes and the OpenAPI document."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from pydantic import BaseModel, ValidationError
from starlette.convertors import IntegerConvertor, register_url_convertor
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import Message

from fillfirst.access.cookies import read_token
from fillfirst.access.origins import check_content_type
from fillfirst.errors import RequestError
from fillfirst.store.interface import Device
from fillfirst.sync.messages import explain_shape
from fillfirst.web.server import server_of

Handler = Callable[[Request], Awaitable[Response]]
Model = TypeVar("Model", bound=BaseModel)
# To whom an address answers. A link's own address is secret: whoever knows it may look.
Door = Literal["anyone", "link", "helper", "owner"]
# A type of content, or a model of JSON.
Content = str | type[BaseModel]

JSON_LIMIT_BYTES = 64 * 1024


class _Number(IntegerConvertor):
    """A number in an address that every database can hold; a longer one leads nowhere."""

    regex = "[0-9]{1,15}"


register_url_convertor("number", _Number())


@dataclass(frozen=True, slots=True)
class Answer:
    """One way an endpoint answers."""

    status: int
    says: str
    content: tuple[Content, ...] = ()


@dataclass(frozen=True, slots=True)
class Endpoint:
    """One method of one address. `problems` are the statuses of the refusals it may give of its own."""

    method: str
    path: str
    name: str
    summary: str
    handler: Handler
    answers: tuple[Answer, ...]
    takes: tuple[Content, ...] = ()
    parameters: dict[str, dict[str, Any]] | None = None
    problems: tuple[int, ...] = ()
    opens_to: Door = "helper"
    """The least that whoever asks must be; an owner may do what a helper may."""
    body_limit: int = JSON_LIMIT_BYTES

    @property
    def is_open(self) -> bool:
        """Whether a browser that was not let in may ask."""
        return self.opens_to in ("anyone", "link")

    def to_route(self) -> Route:
        types = tuple(
            "application/json" if not isinstance(content, str) else content for content in self.takes
        )

        async def answer(request: Request) -> Response:
            if not self.is_open:
                request.state.device = await _recognise(request)
                _check_role(request.state.device, self.opens_to)
            check_content_type(request.method, request.headers, types)
            return await self.handler(_limit_body(request, self.body_limit))

        return Route(self.path, answer, methods=[self.method], name=self.name)


async def _recognise(request: Request) -> Device:
    token = read_token(request.cookies, request.url.scheme)
    device = await server_of(request).doorkeeper.recognise(token)
    if device is None:
        raise RequestError(
            401,
            "not_let_in",
            "This browser has not been let in, or was sent away.",
            "Ask for a one-time code with: fillfirst pair. What was recorded stays on this phone.",
        )
    return device


def _check_role(device: Device, door: Door) -> None:
    if door == "owner" and device.role != "owner":
        raise RequestError(
            403,
            "owner_only",
            "Only an owner's device may do this; this one was let in as a helper.",
            "Ask an owner to do it, or to give this device another role.",
        )


def _limit_body(request: Request, limit: int) -> Request:
    """The same request, refused as soon as it turns out to be longer than this.

    Starlette has such a limit, but answers in words of its own.
    """
    too_large = RequestError(
        413, "body_too_large", f"This address takes {limit:,} bytes; more was sent.", "Send less at a time."
    )
    announced = request.headers.get("content-length", "0")
    if announced.isdecimal() and int(announced) > limit:
        raise too_large
    received = 0

    async def receive() -> Message:
        nonlocal received
        message = await request.receive()
        received += len(message.get("body", b""))
        if received > limit:
            raise too_large
        return message

    return Request(request.scope, receive)


async def read_body(request: Request, model: type[Model]) -> Model:
    """The body, checked. Raises RequestError."""
    try:
        return model.model_validate_json(await request.body())
    except ValidationError as error:
        raise RequestError(
            400, "bad_request", explain_shape(error), "Correct it and send it again."
        ) from error
