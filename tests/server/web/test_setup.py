"""The set-up page, the plain listener that serves nothing else, and the one origin."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import httpx
import pytest
from cryptography import x509

from fillfirst.access.certificate import ServedCertificate, found_authority, read_authority
from fillfirst.web.app import ENDPOINTS, create_app, create_setup_app
from fillfirst.web.server import Server

pytestmark = pytest.mark.anyio

HOST = "garage.home.arpa:8765"
ORIGIN = f"https://{HOST}"
NAMES = ["garage.home.arpa", "192.168.1.5"]
OTHERS = [endpoint for endpoint in ENDPOINTS if not endpoint.path.startswith("/setup")]


@pytest.fixture
def house(server: Server, tmp_path: Path) -> Server:
    """A server that was set up with an authority of its own."""
    data = tmp_path / "data"
    now_ms = time.time_ns() // 1_000_000
    file = found_authority(data, NAMES, anew=False, now_ms=now_ms)
    settings = replace(server.settings, origin=ORIGIN, names=tuple(NAMES), tls_cert=file, setup_port=8764)
    certificate = ServedCertificate(file, None, data=data, names=NAMES)
    return replace(server, settings=settings, certificate=certificate, now_ms=lambda: now_ms)


async def ask(app: Any, url: str, method: str = "GET", **more: Any) -> httpx.Response:
    async with httpx.AsyncClient(transport=httpx.ASGITransport(app)) as client:
        return await client.request(method, url, **more)


@pytest.mark.parametrize(
    "url", ["http://192.168.1.5:8764", "http://garage.home.arpa:8764", "http://any:8764"]
)
async def test_the_plain_page_is_shown_by_any_name(house: Server, url: str) -> None:
    page = await ask(create_setup_app(house), f"{url}/setup")

    assert page.status_code == 200
    assert ORIGIN in page.text
    assert "Certificate Trust Settings" in page.text
    assert "Encryption &amp;\ncredentials" in page.text


async def test_the_plain_listener_gives_the_authority_as_phones_want_it(house: Server) -> None:
    given = await ask(create_setup_app(house), "http://192.168.1.5:8764/setup/authority.crt")

    assert given.headers["content-type"] == "application/x-x509-ca-cert"
    assert x509.load_pem_x509_certificate(given.content) == read_authority(house.settings.data)
    assert b"PRIVATE" not in given.content


@pytest.mark.parametrize("endpoint", OTHERS, ids=lambda endpoint: endpoint.name)
async def test_the_plain_listener_serves_nothing_else(house: Server, endpoint: Any) -> None:
    path = endpoint.path.replace("{id:number}", "1")
    answer = await ask(create_setup_app(house), f"http://192.168.1.5:8764{path}", endpoint.method)

    assert answer.status_code in (307, 404)
    assert answer.headers.get("location", "/setup").startswith(("/setup", ORIGIN))


async def test_the_plain_listener_leads_everything_else_to_the_origin(house: Server) -> None:
    app = create_setup_app(house)

    assert (await ask(app, "http://192.168.1.5:8764/")).headers["location"] == "/setup"
    assert (await ask(app, "http://192.168.1.5:8764/x?y=1")).headers["location"] == f"{ORIGIN}/x?y=1"


@pytest.mark.parametrize(
    ("host", "shown"),
    [("192.168.1.5", "http://192.168.1.5:8764/setup"), ("any", "http://garage.home.arpa:8764/setup")],
)
async def test_other_phones_are_shown_an_address_of_ours(house: Server, host: str, shown: str) -> None:
    page = await ask(create_setup_app(house), f"http://{host}:8764/setup")

    assert f"<strong>{shown}</strong>" in page.text


async def test_the_code_is_a_picture(house: Server) -> None:
    picture = await ask(create_setup_app(house), "http://192.168.1.5:8764/setup/code.svg")

    assert picture.headers["content-type"] == "image/svg+xml"
    assert b"<path" in picture.content


@pytest.mark.parametrize("name", ["../setup.html", "..%2ftest.js", "trust.html", "none", "..%2f..%2fedge.py"])
async def test_no_other_file_is_given(house: Server, name: str) -> None:
    assert (await ask(create_setup_app(house), f"http://192.168.1.5:8764/setup/{name}")).status_code in (
        404,
        307,
    )


async def test_a_server_with_a_certificate_of_its_keeper_has_no_authority_to_give(house: Server) -> None:
    keepers = replace(house, certificate=None)
    page = await ask(create_app(keepers), f"{ORIGIN}/setup")

    assert "Trust this server" not in page.text
    assert (await ask(create_app(keepers), f"{ORIGIN}/setup/authority.crt")).status_code == 404


@pytest.mark.parametrize("host", ["192.168.1.5:8765", "garage.home.arpa", "127.0.0.1:8765", "evil.example"])
@pytest.mark.parametrize("path", ["/", "/setup", "/v/1/main.js?x=%2F", "//evil.example/"])
async def test_a_page_of_another_name_leads_to_the_one_origin(house: Server, host: str, path: str) -> None:
    answer = await ask(create_app(house), f"https://{host}{path}")

    assert answer.status_code == 307
    assert answer.headers["location"] == f"{ORIGIN}{path}"


@pytest.mark.parametrize(("host", "status"), [(HOST, 200), ("127.0.0.1:8765", 200), ("evil.example", 421)])
async def test_a_program_is_answered_by_known_names_alone(house: Server, host: str, status: int) -> None:
    assert (await ask(create_app(house), f"https://{host}/api/health")).status_code == status


async def test_a_foreign_name_can_change_nothing(house: Server) -> None:
    answer = await ask(create_app(house), "https://evil.example/api/pair", "POST", json={"code": "x"})

    assert answer.status_code == 421


async def test_health_says_how_long_the_certificate_lasts(house: Server) -> None:
    assert (await ask(create_app(house), f"{ORIGIN}/api/health")).json()["certificate_days"] == 396


async def test_no_browser_is_told_to_insist_on_https(house: Server) -> None:
    assert "strict-transport-security" not in (await ask(create_app(house), f"{ORIGIN}/")).headers


@pytest.fixture
def proxied(server: Server) -> Server:
    settings = replace(server.settings, origin="https://fill.example.org", behind_proxy=True)
    return replace(server, settings=settings)


@pytest.mark.parametrize(
    ("url", "headers"),
    [
        ("http://fill.example.org", {}),
        ("http://127.0.0.1:8765", {}),
        ("http://127.0.0.1:8765", {"x-forwarded-host": "fill.example.org"}),
        ("http://127.0.0.1:8765", {"x-forwarded-host": "fill.example.org:443, other"}),
    ],
)
async def test_behind_a_proxy_the_origin_is_served(
    proxied: Server, url: str, headers: dict[str, str]
) -> None:
    own = {"origin": "https://fill.example.org"}
    page = await ask(create_app(proxied), f"{url}/", headers=headers)
    pair = await ask(
        create_app(proxied), f"{url}/api/pair", "POST", json={"code": "x"}, headers=headers | own
    )

    assert page.status_code == 200
    assert pair.json()["code"] == "code_not_valid"


async def test_behind_a_proxy_another_name_leads_to_the_origin(proxied: Server) -> None:
    answer = await ask(
        create_app(proxied), "http://127.0.0.1:8765/", headers={"x-forwarded-host": "old.example.org"}
    )

    assert answer.headers["location"] == "https://fill.example.org/"


async def test_behind_a_proxy_the_cookie_is_bound_to_https(proxied: Server) -> None:
    from fillfirst.access.doorkeeper import offer_code

    code = await offer_code(proxied.store, now_ms=proxied.now_ms())
    answer = await ask(
        create_app(proxied),
        "http://127.0.0.1:8765/api/pair",
        "POST",
        json={"code": code},
        headers={"origin": "https://fill.example.org"},
    )

    assert answer.headers["set-cookie"].startswith("__Host-device=")


async def test_without_a_proxy_its_headers_are_not_believed(house: Server) -> None:
    answer = await ask(
        create_app(house), "https://evil.example/api/health", headers={"x-forwarded-host": HOST}
    )

    assert answer.status_code == 421
