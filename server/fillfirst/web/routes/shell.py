"""The web client itself: its page, its service worker, and the files of its version."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.server import server_of
from fillfirst.web.shell import ShellFile

FOR_EVER = "public, max-age=31536000, immutable"
EACH_TIME = "no-cache"


async def give_page(request: Request) -> Response:
    return _give(request, server_of(request).shell.get().index, EACH_TIME)


async def give_worker(request: Request) -> Response:
    return _give(request, server_of(request).shell.get().worker, EACH_TIME)


async def give_file(request: Request) -> Response:
    """A file of the version in the address; files are looked up by name, never by path on the disk."""
    current = server_of(request).shell.get()
    file = current.files.get(request.path_params["path"])
    if request.path_params["version"] != current.version or file is None:
        raise HTTPException(404)
    return _give(request, file, FOR_EVER)


def _give(request: Request, file: ShellFile, keep: str) -> Response:
    headers = {"cache-control": keep, "vary": "accept-encoding"}
    body = file.body
    if "gzip" in request.headers.get("accept-encoding", "") and (gzipped := file.gzipped) is not None:
        body = gzipped
        headers["content-encoding"] = "gzip"
    return Response(body, headers=headers, media_type=file.type)


ENDPOINTS = (
    Endpoint(
        "GET",
        "/",
        "page",
        "The web client's page.",
        give_page,
        (Answer(200, "The page, naming the files of the current version.", ("text/html",)),),
        opens_to="anyone",
    ),
    Endpoint(
        "GET",
        "/sw.js",
        "worker",
        "The web client's service worker, with the hash of every file.",
        give_worker,
        (Answer(200, "The worker.", ("text/javascript",)),),
        opens_to="anyone",
    ),
    Endpoint(
        "GET",
        "/v/{version}/{path:path}",
        "file",
        "A file of the web client; it never changes under this address.",
        give_file,
        (Answer(200, "The file.", ("*/*",)),),
        problems=(404,),
        opens_to="anyone",
    ),
)
