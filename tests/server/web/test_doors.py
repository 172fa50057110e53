"""Every door of the table in DEVELOPERS.md is knocked at, as everyone who may come."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from samples import NOW_MS, ORIGIN
from starlette.applications import Starlette

from fillfirst.access.doorkeeper import offer_code
from fillfirst.access.secrets import hash_secret
from fillfirst.store.interface import Opens, Role
from fillfirst.web.app import ENDPOINTS
from fillfirst.web.server import Server

pytestmark = pytest.mark.anyio

PAGE = Path(__file__).parents[3] / "DEVELOPERS.md"
SECRET = "a-secret-that-was-given"


@dataclass(frozen=True)
class Knock:
    """One cell of the table."""

    method: str
    path: str
    visitor: str
    answer: str


def read_knocks() -> list[Knock]:
    found = re.search(r"<!-- doors:begin -->\n(.*?)<!-- doors:end -->", PAGE.read_text(), re.DOTALL)
    assert found is not None
    head, _, *rows = [[cell.strip() for cell in row.strip("|").split("|")] for row in found[1].splitlines()]
    return [
        Knock(*row[0].strip("`").split(" "), visitor, answer)
        for row in rows
        for visitor, answer in zip(head[1:], row[1:], strict=True)
    ]


KNOCKS = read_knocks()


async def let_in(server: Server, client: httpx.AsyncClient, role: Role) -> None:
    code = await offer_code(server.store, now_ms=server.now_ms(), role=role)
    assert (await client.post("/api/pair", json={"code": code})).status_code == 200


async def become(server: Server, client: httpx.AsyncClient, visitor: str, path: str) -> None:
    if visitor in ("helper", "owner"):
        await let_in(server, client, "helper" if visitor == "helper" else "owner")
    if visitor == "sent away":
        await let_in(server, client, "owner")
        await server.store.devices.revoke(1, now_ms=NOW_MS)
    if visitor == "holder of a link":
        await let_in(server, client, "owner")
        opens: Opens = "calendar" if path.startswith("/calendar/") else "record"
        await server.store.links.add(
            hash_secret(SECRET), opens, "visit-1", "Ada", created_by=1, now_ms=NOW_MS
        )
        client.cookies.clear()


def fill_in(path: str, visitor: str) -> str:
    secret = SECRET if visitor == "holder of a link" else "guessed"
    path = path.replace("{sha256}", "0" * 64).replace("{id:number}", "1").replace("{secret}", secret)
    return re.sub(r"\{\w+(:\w+)?\}", "some", path)


# The refusals of a door, by their code. Behind it there are others.
STATUSES = {"not_let_in": "401", "owner_only": "403", "not_found": "404"}


def read_code(answer: httpx.Response) -> str:
    """The code of a refusal; nothing where it is none."""
    return str(answer.json()["code"]) if answer.is_error else ""


def name(knock: Knock) -> str:
    return f"{knock.method} {knock.path} as {knock.visitor}"


def test_every_door_is_in_the_table_once() -> None:
    doors = [(knock.method, knock.path) for knock in KNOCKS if knock.visitor == "owner"]

    assert sorted(doors) == sorted((endpoint.method, endpoint.path) for endpoint in ENDPOINTS)


@pytest.mark.parametrize("knock", KNOCKS, ids=name)
async def test_a_door_answers_as_the_table_says(app: Starlette, server: Server, knock: Knock) -> None:
    async with httpx.AsyncClient(
        transport=httpx.ASGITransport(app), base_url=ORIGIN, headers={"origin": ORIGIN}
    ) as client:
        await become(server, client, knock.visitor, knock.path)
        answer = await client.request(knock.method, fill_in(knock.path, knock.visitor))

    refused = STATUSES.get(read_code(answer))
    # Some doors lead to nothing here: there is no such file of the web client, no such photo.
    is_led_nowhere = refused == "404" and knock.answer == "yes"
    assert ("yes" if refused is None or is_led_nowhere else refused) == knock.answer
    assert answer.status_code < 500
