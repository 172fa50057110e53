"""The catalog, photos, devices and health, over HTTP."""

from __future__ import annotations

import hashlib

import httpx
import pytest
from samples import JPEG, JPEG_SHA256, NOW_MS, ORIGIN, TINY_CATALOG
from starlette.applications import Starlette

from fillfirst.access.doorkeeper import offer_code
from fillfirst.web.server import Server

pytestmark = pytest.mark.anyio

PHOTO = f"/api/photos/{JPEG_SHA256}"
AS_JPEG = {"content-type": "image/jpeg"}


async def test_the_tag_of_the_catalog_is_the_hash_of_its_bytes(phone: httpx.AsyncClient) -> None:
    answer = await phone.get("/api/catalog")

    assert answer.content == TINY_CATALOG
    assert answer.headers["etag"] == f'"{hashlib.sha256(TINY_CATALOG).hexdigest()}"'
    assert answer.headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize("wanted", ["{tag}", "W/{tag}", '"other", {tag}'])
async def test_a_catalog_that_is_known_is_not_sent_again(phone: httpx.AsyncClient, wanted: str) -> None:
    tag = (await phone.get("/api/catalog")).headers["etag"]
    answer = await phone.get("/api/catalog", headers={"if-none-match": wanted.format(tag=tag)})

    assert (answer.status_code, answer.content) == (304, b"")


async def test_a_catalog_served_before_is_kept(phone: httpx.AsyncClient, server: Server) -> None:
    old = b'{"format":1,"old":true}'
    hash = hashlib.sha256(old).hexdigest()
    await server.store.catalogs.keep(hash, old, made_from="old", now_ms=NOW_MS)

    answer = await phone.get(f"/api/catalog/{hash}")
    assert answer.content == old
    assert "immutable" in answer.headers["cache-control"]


async def test_the_current_catalog_has_its_hash_for_an_address_too(
    phone: httpx.AsyncClient, server: Server
) -> None:
    assert (await phone.get(f"/api/catalog/{server.catalog.hash}")).content == TINY_CATALOG


async def test_a_photo_goes_up_and_comes_back(phone: httpx.AsyncClient) -> None:
    put = await phone.put(PHOTO, content=JPEG, headers=AS_JPEG)
    got = await phone.get(PHOTO)

    assert put.json() == {"sha256": JPEG_SHA256, "type": "image/jpeg", "size": len(JPEG)}
    assert (got.content, got.headers["content-type"]) == (JPEG, "image/jpeg")
    assert "immutable" in got.headers["cache-control"]


async def test_a_photo_put_twice_is_put_once(phone: httpx.AsyncClient) -> None:
    first = await phone.put(PHOTO, content=JPEG, headers=AS_JPEG)
    second = await phone.put(PHOTO, content=JPEG, headers=AS_JPEG)

    assert (second.status_code, second.json()) == (200, first.json())


async def test_a_photo_is_of_the_type_it_begins_like(phone: httpx.AsyncClient) -> None:
    put = await phone.put(PHOTO, content=JPEG, headers={"content-type": "image/png"})

    assert put.json()["type"] == "image/jpeg"


@pytest.mark.parametrize(
    ("path", "content", "status", "code"),
    [
        (PHOTO, JPEG[:-1], 400, "photo_hash_differs"),
        (PHOTO, b"", 400, "photo_hash_differs"),
        (f"/api/photos/{hashlib.sha256(b'text').hexdigest()}", b"text", 415, "photo_type_unknown"),
    ],
)
async def test_what_is_not_that_photo_is_refused(
    phone: httpx.AsyncClient, path: str, content: bytes, status: int, code: str
) -> None:
    answer = await phone.put(path, content=content, headers=AS_JPEG)

    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert (await phone.get(path)).status_code == 404


async def test_a_device_sees_itself_and_the_others(phone: httpx.AsyncClient) -> None:
    me = (await phone.get("/api/me")).json()
    listed = (await phone.get("/api/devices")).json()

    assert me["device"]["name"] == "garage phone"
    assert listed == {"own": 1, "devices": [me["device"]]}


async def test_a_device_may_send_itself_away(phone: httpx.AsyncClient) -> None:
    answer = await phone.delete("/api/devices/1")

    assert answer.status_code == 204
    assert "Max-Age=0" in answer.headers["set-cookie"]
    assert (await phone.get("/api/me")).status_code == 401


async def test_letting_in_again_replaces_the_browser_itself(phone: httpx.AsyncClient, server: Server) -> None:
    code = await offer_code(server.store, now_ms=server.now_ms())
    await phone.post("/api/pair", json={"code": code, "name": "again"})
    listed = (await phone.get("/api/devices")).json()

    assert [(one["name"], one["revoked_at"] is None) for one in listed["devices"]] == [
        ("garage phone", False),
        ("again", True),
    ]


async def test_health_names_the_server_to_anyone(stranger: httpx.AsyncClient, server: Server) -> None:
    meta = await server.store.get_meta()

    assert (await stranger.get("/api/health")).json() == {
        "server_id": meta.server_id,
        "epoch": meta.epoch,
        "version": "0.1.0",
        "app": server.shell.get().version,
        "catalog": server.catalog.hash,
        "server_now": NOW_MS,
        "own_specs": "none",
        "certificate_days": None,
    }


async def test_an_owner_makes_a_code_that_lets_a_helper_in(
    phone: httpx.AsyncClient, app: Starlette, server: Server
) -> None:
    made = (await phone.post("/api/codes", json={"role": "helper"})).json()
    async with httpx.AsyncClient(
        transport=httpx.ASGITransport(app), base_url=ORIGIN, headers={"origin": ORIGIN}
    ) as helper:
        paired = await helper.post("/api/pair", json={"code": made["code"], "name": "the lad"})

    assert made["expires_at"] == "2026-05-04T08:52:01.000Z"
    assert paired.json()["device"]["role"] == "helper"


async def test_an_owner_names_a_device_and_gives_it_another_role(phone: httpx.AsyncClient) -> None:
    named = await phone.patch("/api/devices/1", json={"name": " Ada's \n phone "})
    lowered = await phone.patch("/api/devices/1", json={"role": "helper"})

    assert (named.json()["name"], named.json()["role"]) == ("Ada's phone", "owner")
    assert (lowered.json()["name"], lowered.json()["role"]) == ("Ada's phone", "helper")
    assert (await phone.patch("/api/devices/1", json={"role": "owner"})).json()["code"] == "owner_only"


@pytest.mark.parametrize("change", [{"role": "king"}, {"name": ""}, {"name": 5}])
async def test_a_change_that_is_none_is_refused(phone: httpx.AsyncClient, change: dict[str, object]) -> None:
    assert (await phone.patch("/api/devices/1", json=change)).json()["code"] == "bad_request"


async def test_a_device_that_is_not_let_in_cannot_be_named(phone: httpx.AsyncClient) -> None:
    assert (await phone.patch("/api/devices/9", json={"name": "x"})).json()["code"] == "device_not_known"


async def test_a_helper_may_leave(phone: httpx.AsyncClient) -> None:
    await phone.patch("/api/devices/1", json={"role": "helper"})
    answer = await phone.delete("/api/me")

    assert (answer.status_code, "Max-Age=0" in answer.headers["set-cookie"]) == (204, True)
    assert (await phone.get("/api/me")).status_code == 401


async def test_who_guesses_codes_is_slowed_down(stranger: httpx.AsyncClient) -> None:
    guesses = [await stranger.post("/api/pair", json={"code": "BBBB-BBBB"}) for _ in range(11)]

    assert [guess.status_code for guess in guesses] == [403] * 10 + [429]
    assert {guess.json()["message"] for guess in guesses[:10]} == {
        "This code is not valid: it may be mistyped, used already, or older than ten minutes."
    }


@pytest.mark.parametrize("digits", ["9" * 15, "9" * 16, "9" * 30, "9" * 5000])
@pytest.mark.parametrize("path", ["/api/devices", "/api/links"])
async def test_a_number_that_no_database_holds_is_not_found(
    phone: httpx.AsyncClient, path: str, digits: str
) -> None:
    assert (await phone.delete(f"{path}/{digits}")).status_code == 404
