"""Photos, by the hash of their bytes."""

from __future__ import annotations

import re

from pydantic import BaseModel
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, Response, StreamingResponse

from fillfirst.errors import RequestError
from fillfirst.store.photos import LIMIT_BYTES
from fillfirst.web.answers import IMMUTABLE, json_answer
from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.server import device_of, server_of

TYPES = ("image/jpeg", "image/png", "image/webp", "image/heic")
SHA256 = re.compile(r"[0-9a-f]{64}")


class KeptPhoto(BaseModel):
    """A photo that is wholly on the server's disk."""

    sha256: str
    type: str
    size: int


async def put_photo(request: Request) -> Response:
    server = server_of(request)
    photo = await server.store.photos.put(
        _read_hash(request), request.stream(), pushed_by=device_of(request).id, now_ms=server.now_ms()
    )
    return json_answer(KeptPhoto(sha256=photo.sha256, type=photo.type, size=photo.size))


async def give_photo(request: Request) -> Response:
    photos = server_of(request).store.photos
    photo = await photos.get(_read_hash(request))
    if photo is None:
        raise RequestError(
            404,
            "photo_not_here",
            "This photo is not on the server.",
            "The phone that took it may still hold it.",
        )
    if photo.path is not None:
        return FileResponse(photo.path, headers=IMMUTABLE, media_type=photo.type)
    headers = {**IMMUTABLE, "content-length": str(photo.size)}
    return StreamingResponse(photos.read(photo.sha256), headers=headers, media_type=photo.type)


def _read_hash(request: Request) -> str:
    sha256 = str(request.path_params["sha256"])
    if not SHA256.fullmatch(sha256):
        raise HTTPException(404)
    return sha256


HASH = {"sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"}}

ENDPOINTS = (
    Endpoint(
        "PUT",
        "/api/photos/{sha256}",
        "put_photo",
        "Keep a photo; keeping it twice is keeping it once.",
        put_photo,
        (Answer(200, "It is on the disk.", (KeptPhoto,)),),
        takes=TYPES,
        parameters=HASH,
        problems=(400, 404, 413, 415, 503, 507),
        body_limit=LIMIT_BYTES,
    ),
    Endpoint(
        "GET",
        "/api/photos/{sha256}",
        "photo",
        "A photo.",
        give_photo,
        (Answer(200, "Its bytes.", TYPES),),
        parameters=HASH,
        problems=(404,),
    ),
)
