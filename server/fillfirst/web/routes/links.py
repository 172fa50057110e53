"""Links: making them, taking them back, and the record of one visit that some of them show.

What a record's link shows, to a customer who is not let in, is read-only and without photos. Beneath an
address that links open, a wrong secret and one that was taken back are answered alike.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from fillfirst.access.links import make_link as add_link
from fillfirst.access.links import open_link
from fillfirst.errors import RequestError
from fillfirst.records.record import Record
from fillfirst.store.interface import Link, Opens
from fillfirst.sync.rounds import write_moment
from fillfirst.web.answers import NO_STORE, json_answer
from fillfirst.web.endpoints import Answer, Endpoint, read_body
from fillfirst.web.server import device_of, server_of

STYLE = "/setup/plain.css"
HIDDEN = NO_STORE | {"x-robots-tag": "noindex"}
PATHS: dict[Opens, str] = {"record": "/record/{secret}", "calendar": "/calendar/{secret}.ics"}


class LinkRequest(BaseModel):
    """What is shown, and what the link is called in the list."""

    opens: Opens = "record"
    subject: Annotated[str, Field(max_length=100)] = Field(
        "", description="the visit; of a calendar the car, or nothing for every car"
    )
    name: Annotated[str, Field(max_length=200)] = ""


class LinkAnswer(BaseModel):
    """A link, without its secret."""

    id: int
    opens: Opens
    subject: str
    name: str
    created_at: str
    last_seen_at: str | None
    revoked_at: str | None


class NewLink(BaseModel):
    """A link and its address, which is told once, and kept nowhere."""

    link: LinkAnswer
    path: str


class LinkList(BaseModel):
    """Every link that was ever made, oldest first."""

    links: list[LinkAnswer]


async def make_link(request: Request) -> Response:
    server, asked = server_of(request), await read_body(request, LinkRequest)
    if asked.opens == "record":
        await _find_record(request, asked.subject)
    made = await add_link(
        server.store,
        asked.opens,
        asked.subject,
        asked.name,
        created_by=device_of(request).id,
        now_ms=server.now_ms(),
    )
    path = PATHS[asked.opens].format(secret=made.secret)
    return json_answer(NewLink(link=_describe(made.link), path=path), status=201)


async def list_links(request: Request) -> Response:
    links = await server_of(request).store.links.list_all()
    return json_answer(LinkList(links=[_describe(link) for link in links]))


async def revoke_link(request: Request) -> Response:
    server, id = server_of(request), int(request.path_params["id"])
    if not await server.store.links.revoke(id, now_ms=server.now_ms()):
        raise RequestError(
            404, "link_not_known", f"There is no link {id}.", "See the list of links for those that are."
        )
    return Response(status_code=204)


async def show_record(request: Request) -> Response:
    from fillfirst.records.page import write_page

    page = write_page(await _find_shown(request), style=STYLE)
    return Response(page, headers=HIDDEN, media_type="text/html; charset=utf-8")


async def show_record_json(request: Request) -> Response:
    return json_answer(await _find_shown(request), headers=HIDDEN)


async def find_link(request: Request, opens: Opens) -> Link:
    """The link whose secret is in the address. Raises HTTPException where it opens nothing of this kind."""
    server = server_of(request)
    link = await open_link(server.store, opens, request.path_params["secret"], now_ms=server.now_ms())
    if link is None:
        raise HTTPException(404)
    return link


async def _find_shown(request: Request) -> Record:
    return await _find_record(request, (await find_link(request, "record")).subject)


async def _find_record(request: Request, visit: str) -> Record:
    # Imported when the first record is asked for, because it brings all of specs along.
    from fillfirst.records.finding import find_record

    return await find_record(server_of(request).store, visit)


def _describe(link: Link) -> LinkAnswer:
    return LinkAnswer(
        id=link.id,
        opens=link.opens,
        subject=link.subject,
        name=link.name,
        created_at=write_moment(link.created_at_ms),
        last_seen_at=None if link.last_seen_at_ms is None else write_moment(link.last_seen_at_ms),
        revoked_at=None if link.revoked_at_ms is None else write_moment(link.revoked_at_ms),
    )


ENDPOINTS = (
    Endpoint(
        "POST",
        "/api/links",
        "make_link",
        "Make a link: to whoever holds it, it shows a closed visit's record, or the calendar.",
        make_link,
        (Answer(201, "The link, and its address.", (NewLink,)),),
        takes=(LinkRequest,),
        problems=(400, 404, 409, 413, 415, 503, 507),
        opens_to="owner",
    ),
    Endpoint(
        "GET",
        "/api/links",
        "links",
        "Every link that was ever made.",
        list_links,
        (Answer(200, "The links.", (LinkList,)),),
        opens_to="owner",
    ),
    Endpoint(
        "DELETE",
        "/api/links/{id:number}",
        "revoke_link",
        "Take a link back: its address shows nothing any more.",
        revoke_link,
        (Answer(204, "It is taken back."),),
        parameters={"id": {"type": "integer"}},
        problems=(404, 503, 507),
        opens_to="owner",
    ),
    Endpoint(
        "GET",
        "/record/{secret}.json",
        "shown_record_json",
        "The record that a link shows, for programs.",
        show_record_json,
        (Answer(200, "The record.", (Record,)),),
        problems=(404, 409),
        opens_to="link",
    ),
    Endpoint(
        "GET",
        "/record/{secret}",
        "shown_record",
        "The record that a link shows, as a page.",
        show_record,
        (Answer(200, "The page.", ("text/html",)),),
        problems=(404, 409),
        opens_to="link",
    ),
)
