"""What every address does: headers, who may ask, and refusals in one shape."""

from __future__ import annotations

import logging
from dataclasses import replace

import httpx
import pytest
from samples import ORIGIN, make_round
from starlette.applications import Starlette

from fillfirst.access.doorkeeper import offer_code
from fillfirst.web.app import ENDPOINTS, create_app
from fillfirst.web.edge import CONTENT_POLICY
from fillfirst.web.endpoints import Endpoint
from fillfirst.web.server import Server

pytestmark = pytest.mark.anyio

GUARDED = [endpoint for endpoint in ENDPOINTS if not endpoint.is_open]
OPEN = {
    "/",
    "/sw.js",
    "/v/{version}/{path:path}",
    "/api/pair",
    "/api/health",
    "/calendar/{secret}.ics",
    "/record/{secret}",
    "/record/{secret}.json",
    "/setup",
    "/setup/authority.crt",
    "/setup/code.svg",
    "/setup/{name}",
}
UNSAFE = [endpoint for endpoint in ENDPOINTS if endpoint.method != "GET"]


def fill_in(endpoint: Endpoint) -> str:
    path = (
        endpoint.path.replace("{sha256}", "0" * 64)
        .replace("{id:number}", "1")
        .replace("{path:path}", "main.js")
    )
    return path.replace("{", "").replace("}", "")


def name(endpoint: Endpoint) -> str:
    return f"{endpoint.method} {endpoint.path}"


def test_only_the_shell_the_health_and_the_door_are_open() -> None:
    assert {endpoint.path for endpoint in ENDPOINTS if endpoint.is_open} == OPEN


@pytest.mark.parametrize("endpoint", GUARDED, ids=name)
async def test_a_stranger_is_told_to_be_let_in(stranger: httpx.AsyncClient, endpoint: Endpoint) -> None:
    answer = await stranger.request(endpoint.method, fill_in(endpoint))

    assert answer.status_code == 401
    assert answer.json()["code"] == "not_let_in"


@pytest.mark.parametrize("endpoint", GUARDED, ids=name)
async def test_a_device_sent_away_is_a_stranger(
    phone: httpx.AsyncClient, server: Server, endpoint: Endpoint
) -> None:
    await server.store.devices.revoke(1, now_ms=server.now_ms())

    assert (await phone.request(endpoint.method, fill_in(endpoint))).status_code == 401


@pytest.mark.parametrize("endpoint", ENDPOINTS, ids=name)
async def test_a_foreign_name_is_answered_nowhere(phone: httpx.AsyncClient, endpoint: Endpoint) -> None:
    answer = await phone.request(endpoint.method, fill_in(endpoint), headers={"host": "evil.example"})

    assert answer.status_code == 421


@pytest.mark.parametrize("endpoint", UNSAFE, ids=name)
async def test_a_page_of_another_port_changes_nothing(phone: httpx.AsyncClient, endpoint: Endpoint) -> None:
    answer = await phone.request(
        endpoint.method, fill_in(endpoint), headers={"origin": ORIGIN, "sec-fetch-site": "same-site"}
    )

    assert answer.status_code == 403
    assert answer.json()["code"] == "other_origin"


@pytest.mark.parametrize("endpoint", [one for one in UNSAFE if one.takes], ids=name)
async def test_a_form_is_not_taken(phone: httpx.AsyncClient, endpoint: Endpoint) -> None:
    answer = await phone.request(endpoint.method, fill_in(endpoint), data={"a": "b"})

    assert answer.status_code == 415


@pytest.mark.parametrize("endpoint", [one for one in UNSAFE if one.takes], ids=name)
async def test_a_body_past_the_limit_is_refused(phone: httpx.AsyncClient, endpoint: Endpoint) -> None:
    type = endpoint.takes[0] if isinstance(endpoint.takes[0], str) else "application/json"
    answer = await phone.request(
        endpoint.method,
        fill_in(endpoint),
        content=b" " * (endpoint.body_limit + 1),
        headers={"content-type": type},
    )

    assert answer.status_code == 413
    assert answer.json()["code"] == "body_too_large"


@pytest.mark.parametrize(
    "path",
    ["/", "/sw.js", "/v/none/main.js", "/api/health", "/api/me", "/nothing", "/api/sync", "/api/catalog"],
)
async def test_every_answer_carries_the_policy(stranger: httpx.AsyncClient, path: str) -> None:
    headers = (await stranger.get(path)).headers

    assert headers["content-security-policy"] == CONTENT_POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert "camera=(self)" in headers["permissions-policy"]
    assert "cache-control" in headers
    assert "access-control-allow-origin" not in headers
    assert "server" not in headers


async def test_the_policy_allows_no_inline_script_and_one_trusted_type() -> None:
    assert "unsafe" not in CONTENT_POLICY
    assert "default-src 'none'" in CONTENT_POLICY
    assert CONTENT_POLICY.endswith("require-trusted-types-for 'script'; trusted-types sw")


@pytest.mark.parametrize(
    ("method", "path", "status", "code"),
    [
        ("GET", "/nothing", 404, "not_found"),
        ("GET", "/api/nothing", 404, "not_found"),
        ("GET", "/api/sync", 405, "method_not_allowed"),
        ("POST", "/", 405, "method_not_allowed"),
        ("GET", "/api/photos/short", 404, "not_found"),
        ("GET", f"/api/photos/{'0' * 64}", 404, "photo_not_here"),
        ("GET", "/api/catalog/none", 404, "catalog_not_known"),
        ("DELETE", "/api/devices/99", 404, "device_not_known"),
        ("DELETE", "/api/devices/x", 404, "not_found"),
    ],
)
async def test_a_refusal_says_what_and_what_to_do(
    phone: httpx.AsyncClient, method: str, path: str, status: int, code: str
) -> None:
    answer = await phone.request(method, path)

    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert set(answer.json()) == {"code", "message", "next"}


@pytest.mark.parametrize("body", [b"", b"{", b"[]", b'{"name":"x"}', b'{"code":5}', b"\xff"])
async def test_a_body_of_the_wrong_shape_is_refused(stranger: httpx.AsyncClient, body: bytes) -> None:
    answer = await stranger.post("/api/pair", content=body, headers={"content-type": "application/json"})

    assert (answer.status_code, answer.json()["code"]) == (400, "bad_request")


async def test_a_mistake_of_ours_is_logged_without_what_was_sent(
    server: Server,
    phone: httpx.AsyncClient,
    caplog: pytest.LogCaptureFixture,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    async def fail(*arguments: object, **more: object) -> None:
        raise RuntimeError("secret of somebody")

    monkeypatch.setattr("fillfirst.web.routes.sync.hold_round", fail)
    with caplog.at_level(logging.INFO):
        answer = await phone.post("/api/sync", json=make_round())

    assert (answer.status_code, answer.json()["code"]) == (500, "server_fault")
    assert answer.headers["content-security-policy"] == CONTENT_POLICY
    assert "RuntimeError at" in caplog.text
    assert "secret" not in caplog.text + answer.text


async def test_over_https_the_cookie_is_bound_to_it(app: Starlette, server: Server) -> None:
    code = await offer_code(server.store, now_ms=server.now_ms())
    base = "https://127.0.0.1:8765"
    transport = httpx.ASGITransport(app)
    async with httpx.AsyncClient(transport=transport, base_url=base, headers={"origin": base}) as client:
        paired = await client.post("/api/pair", json={"code": code})

        assert paired.headers["set-cookie"].startswith("__Host-device=")
        assert paired.headers["set-cookie"].endswith("; Secure")
        assert (await client.get("/api/me")).status_code == 200


async def test_a_name_that_was_set_is_known(server: Server) -> None:
    named = replace(server, settings=replace(server.settings, names=("Garage.home.arpa",)))
    transport = httpx.ASGITransport(create_app(named))
    async with httpx.AsyncClient(transport=transport, base_url="http://garage.home.arpa:8765") as client:
        assert (await client.get("/api/health")).status_code == 200
