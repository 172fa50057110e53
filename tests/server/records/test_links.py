"""A link shows one record to whoever holds it, and nothing else."""

from __future__ import annotations

import html
from collections.abc import AsyncIterator

import httpx
import pytest
from played import MINI_CATALOG, Phone
from samples import NOW_MS, ORIGIN
from starlette.applications import Starlette

from fillfirst.web.server import Server

pytestmark = pytest.mark.anyio


@pytest.fixture
async def owner(server: Server, phone: httpx.AsyncClient) -> httpx.AsyncClient:
    """An owner's phone, with one closed visit on the server."""
    await server.store.catalogs.keep(MINI_CATALOG.hash, MINI_CATALOG.json, made_from="mini", now_ms=NOW_MS)
    visit = Phone()
    visit.do_all()
    visit.close()
    await visit.sync(phone)
    return phone


@pytest.fixture
async def customer(app: Starlette) -> AsyncIterator[httpx.AsyncClient]:
    """Someone who was never let in."""
    async with httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url=ORIGIN) as client:
        yield client


async def make_link(owner: httpx.AsyncClient) -> str:
    answer = await owner.post("/api/links", json={"subject": "visit-1", "name": "Mr Baker"})
    assert answer.status_code == 201, answer.text
    return str(answer.json()["path"])


async def test_a_link_shows_the_record(owner: httpx.AsyncClient, customer: httpx.AsyncClient) -> None:
    path = await make_link(owner)
    page, record = await customer.get(path), await customer.get(f"{path}.json")

    assert record.json() == (await owner.get("/api/visits/visit-1/record")).json()
    assert [
        step["title"] for step in record.json()["steps"] if html.escape(step["title"]) not in page.text
    ] == []
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert page.headers["x-robots-tag"] == "noindex"
    assert page.headers["cache-control"] == "no-store"


async def test_a_link_that_was_taken_back_is_like_one_that_never_was(
    owner: httpx.AsyncClient, customer: httpx.AsyncClient
) -> None:
    path = await make_link(owner)
    gone = await owner.delete("/api/links/1")
    after, never = await customer.get(path), await customer.get("/record/never")

    assert gone.status_code == 204
    assert (after.status_code, after.content) == (404, never.content)
    assert (await owner.delete("/api/links/1")).json()["code"] == "link_not_known"


async def test_an_owner_sees_who_holds_a_link_and_whether_it_was_used(
    owner: httpx.AsyncClient, customer: httpx.AsyncClient
) -> None:
    path = await make_link(owner)
    before = (await owner.get("/api/links")).json()["links"]
    await customer.get(path)
    after = (await owner.get("/api/links")).json()["links"]

    assert [(link["name"], link["subject"], link["last_seen_at"]) for link in before] == [
        ("Mr Baker", "visit-1", None)
    ]
    assert after[0]["last_seen_at"] == "2026-05-04T08:42:01.000Z"
    assert path.rpartition("/")[2] not in str(after)


async def test_the_secret_of_a_calendar_opens_no_record(
    owner: httpx.AsyncClient, customer: httpx.AsyncClient
) -> None:
    answer = await owner.post("/api/links", json={"opens": "calendar", "name": "kitchen tablet"})
    made = answer.json()
    secret = made["path"].removeprefix("/calendar/").removesuffix(".ics")

    assert (answer.status_code, made["link"]["opens"], made["link"]["subject"]) == (201, "calendar", "")
    assert len(secret) == 43
    assert (await customer.get(f"/record/{secret}")).status_code == 404
    assert secret not in (await owner.get("/api/links")).text


async def test_a_visit_that_is_not_there_cannot_be_shown(phone: httpx.AsyncClient) -> None:
    answer = await phone.post("/api/links", json={"subject": "none"})

    assert (answer.status_code, answer.json()["code"]) == (404, "visit_not_known")


async def test_what_a_person_wrote_is_text_on_the_page(
    server: Server, phone: httpx.AsyncClient, customer: httpx.AsyncClient
) -> None:
    await server.store.catalogs.keep(MINI_CATALOG.hash, MINI_CATALOG.json, made_from="mini", now_ms=NOW_MS)
    visit = Phone()
    first = visit.composition["steps"][0]["id"]
    visit.record("step-skipped", step=first, reason="<script>alert(1)</script>")
    visit.do_all(but=[first])
    visit.close()
    await visit.sync(phone)
    page = await customer.get(await make_link(phone))

    assert "<script" not in page.text
    assert "&lt;script&gt;" in page.text
