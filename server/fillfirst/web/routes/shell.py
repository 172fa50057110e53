"""The web client itself: its page, its service worker, and the files of its version."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from fillfirst.web.compressing import find_encoding
from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.server import server_of
from fillfirst.web.shell import WHOLE, ShellFile

FOR_EVER = "public, max-age=31536000, immutable"
EACH_TIME = "no-cache"


async def give_page(request: Request) -> Response:
    return _give(request, server_of(request).shell.get().index, EACH_TIME)


async def give_worker(request: Request) -> Response:
    return _give(request, server_of(request).shell.get().worker, EACH_TIME)


async def give_file(request: Request) -> Response:
    """A file of the version in the address; files are looked up by name, never by path on the disk."""
    current = server_of(request).shell.get()
    path = request.path_params["path"]
    file = current.whole if path == WHOLE else current.files.get(path)
    if request.path_params["version"] != current.version or file is None:
        raise HTTPException(404)
    return _give(request, file, FOR_EVER)


def _give(request: Request, file: ShellFile, keep: str) -> Response:
    headers = {"cache-control": keep, "vary": "accept-encoding", "etag": file.tag}
    if file.tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    body = file.body
    encoding = find_encoding(request.headers)
    if encoding is not None and (packed := file.compress(encoding)) is not None:
        body = packed
        headers["content-encoding"] = encoding
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
        "A file of the web client, or all its texts as whole.json; it never changes under this address.",
        give_file,
        (Answer(200, "The file.", ("*/*",)),),
        problems=(404,),
        opens_to="anyone",
    ),
)
