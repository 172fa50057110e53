"""What is due: for programs, and as a calendar behind an address of its own."""

from __future__ import annotations

from datetime import UTC, datetime

from starlette.requests import Request
from starlette.responses import Response

from fillfirst.records.due_shapes import CarDue, DueList
from fillfirst.web.answers import NO_STORE, json_answer
from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.routes.links import HIDDEN, find_link
from fillfirst.web.server import server_of

CALENDAR = "text/calendar"


async def give_due(request: Request) -> Response:
    return json_answer(DueList(today=_today(request), cars=await _find(request)))


async def give_calendar(request: Request) -> Response:
    return await _answer_calendar(request, "", NO_STORE)


async def show_calendar(request: Request) -> Response:
    link = await find_link(request, "calendar")
    return await _answer_calendar(request, link.subject, HIDDEN)


async def _answer_calendar(request: Request, car: str, headers: dict[str, str]) -> Response:
    # Imported when the first calendar is asked for: a start of the server should not wait for it.
    from fillfirst.records.calendar import write_calendar

    stamp = datetime.fromtimestamp(server_of(request).now_ms() / 1000, UTC).replace(microsecond=0)
    body = write_calendar(await _find(request, car), _today(request), stamp)
    return Response(body, headers=headers, media_type=f"{CALENDAR}; charset=utf-8")


async def _find(request: Request, car: str = "") -> list[CarDue]:
    from fillfirst.records.gathering import find_due

    server = server_of(request)
    catalog = (server.catalog.hash, server.catalog.json)
    return await find_due(server.store, catalog, _today(request), only=car)


def _today(request: Request) -> str:
    """The day at the place where the server stands."""
    return datetime.fromtimestamp(server_of(request).now_ms() / 1000).astimezone().date().isoformat()


SAYS = "What is due: every car and service as a range of days, by whose interval, and what was done before."
LIST = (Answer(200, "The list.", (DueList,)),)
FEED = (Answer(200, "The calendar.", (CALENDAR,)),)

ENDPOINTS = (
    Endpoint("GET", "/api/due", "due", SAYS, give_due, LIST, problems=(503,)),
    Endpoint("GET", "/api/due.json", "due_json", SAYS, give_due, LIST, problems=(503,)),
    Endpoint(
        "GET", "/api/due.ics", "due_calendar", f"{SAYS} As a calendar.", give_calendar, FEED, problems=(503,)
    ),
    Endpoint(
        "GET",
        "/calendar/{secret}.ics",
        "shown_calendar",
        "The calendar that a link shows, for programs that subscribe to it.",
        show_calendar,
        FEED,
        problems=(404, 503),
        opens_to="link",
    ),
)
