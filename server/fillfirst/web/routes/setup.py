"""The page that brings a phone to trust this server, and tells what the phone can do.

It is served twice: over plain http, from which a phone takes the authority before it trusts anything, and
over https, where the page tries out what the app needs. It holds nothing that is not public.
"""

from __future__ import annotations

import io
from functools import cache
from html import escape
from pathlib import Path
from string import Template
from urllib.parse import urlsplit

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from fillfirst.access.origins import read_host_name
from fillfirst.settings import Settings, bracket
from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.server import Server, server_of

PAGES = Path(__file__).parent.parent / "pages"
TYPES = {
    "plain.css": "text/css; charset=utf-8",
    "test.js": "text/javascript; charset=utf-8",
    "worker.js": "text/javascript; charset=utf-8",
}
# With any other type an iPhone saves a text file instead of asking whether to install it.
AUTHORITY_TYPE = "application/x-x509-ca-cert"


async def give_page(request: Request) -> Response:
    server = server_of(request)
    fingerprint = _read_fingerprint(server)
    trust = ""
    if fingerprint is not None:
        trust = _fill("trust.html", fingerprint=fingerprint, origin=server.settings.address)
    page = _fill(
        "setup.html", origin=server.settings.address, setup=find_address(server.settings, request)
    ).replace("<!--trust-->", trust)
    return Response(page, media_type="text/html; charset=utf-8")


async def give_authority(request: Request) -> Response:
    server = server_of(request)
    if _read_fingerprint(server) is None:
        raise HTTPException(404)
    from fillfirst.access.authority import write_certificate
    from fillfirst.access.certificate import read_authority

    authority = read_authority(server.settings.data)
    assert authority is not None
    headers = {"content-disposition": 'inline; filename="fillfirst-authority.crt"'}
    return Response(write_certificate(authority), headers=headers, media_type=AUTHORITY_TYPE)


async def give_code(request: Request) -> Response:
    """The address of this page, for a phone's camera."""
    import segno

    picture = io.BytesIO()
    address = find_address(server_of(request).settings, request)
    segno.make(address, error="m").save(picture, kind="svg", border=4, scale=8, light="#fff")
    return Response(picture.getvalue(), media_type="image/svg+xml")


async def give_file(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in TYPES:
        raise HTTPException(404)
    return Response(_read(name), media_type=TYPES[name])


def _read_fingerprint(server: Server) -> str | None:
    """Of the authority that made the certificate in use; None if a keeper's own, or none, is in use."""
    if server.certificate is None or not server.certificate.is_own:
        return None
    from fillfirst.access.authority import write_fingerprint
    from fillfirst.access.certificate import read_authority

    authority = read_authority(server.settings.data)
    return None if authority is None else write_fingerprint(authority)


def find_address(settings: Settings, request: Request) -> str:
    """Where other phones find this page: by the name this browser used, if it is one of ours."""
    if not settings.setup_port:
        return f"{settings.address}/setup"
    asked = read_host_name(request.headers.get("host", ""))
    name = asked if asked in settings.all_names else urlsplit(settings.address).hostname or ""
    return f"http://{bracket(name)}:{settings.setup_port}/setup"


@cache
def _read(name: str) -> str:
    return (PAGES / name).read_text()


def _fill(name: str, **values: str) -> str:
    return Template(_read(name)).substitute({key: escape(value) for key, value in values.items()})


ENDPOINTS = (
    Endpoint(
        "GET",
        "/setup",
        "setup",
        "How a phone comes to trust this server, and a test of what it can do.",
        give_page,
        (Answer(200, "The page.", ("text/html",)),),
        opens_to="anyone",
    ),
    Endpoint(
        "GET",
        "/setup/authority.crt",
        "authority",
        "The authority of this house, which phones are to trust; it is public.",
        give_authority,
        (Answer(200, "The certificate, as PEM.", (AUTHORITY_TYPE,)),),
        problems=(404,),
        opens_to="anyone",
    ),
    Endpoint(
        "GET",
        "/setup/code.svg",
        "setup_code",
        "The address of the set-up page, as a QR code.",
        give_code,
        (Answer(200, "The picture.", ("image/svg+xml",)),),
        opens_to="anyone",
    ),
    Endpoint(
        "GET",
        "/setup/{name}",
        "setup_file",
        "A file of the set-up page.",
        give_file,
        (Answer(200, "The file.", ("*/*",)),),
        problems=(404,),
        opens_to="anyone",
    ),
)
