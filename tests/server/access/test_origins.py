"""Requests to a foreign name, or from another page, go no further."""

from __future__ import annotations

import pytest

from fillfirst.access.cookies import write_cookie
from fillfirst.access.origins import LOOPBACK, check_content_type, check_host, check_origin, read_host_name
from fillfirst.errors import RequestError

OWN = "127.0.0.1:8765"


@pytest.mark.parametrize(
    "host", [OWN, "localhost", "LOCALHOST:1", "[::1]:8765", "[::1]", "garage.home.arpa:8765"]
)
def test_own_names_are_known_with_any_port(host: str) -> None:
    check_host({"host": host}, LOOPBACK | {"garage.home.arpa"})


@pytest.mark.parametrize(
    "host", ["", "evil.example", "127.0.0.1.evil.example", "localhost.evil.example:8765", "[::2]"]
)
def test_a_foreign_name_is_refused(host: str) -> None:
    with pytest.raises(RequestError) as refused:
        check_host({"host": host}, LOOPBACK)

    assert refused.value.code == "host_not_known"


def test_the_name_of_an_address_in_brackets_is_the_address() -> None:
    assert read_host_name("[FE80::1]:80") == "fe80::1"


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "same-origin"},
        {"sec-fetch-site": "same-origin", "origin": f"http://{OWN}"},
        {"origin": f"http://{OWN}"},
    ],
)
def test_our_own_page_may_change_things(headers: dict[str, str]) -> None:
    check_origin("POST", headers, f"http://{OWN}")


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "none"},
        {"sec-fetch-site": "same-site", "origin": f"http://{OWN}"},
        {"origin": "http://127.0.0.1:9000"},
        {"origin": "https://127.0.0.1:8765"},
        {"origin": "http://evil.example"},
        {"origin": "null"},
    ],
)
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS"])
def test_another_page_may_not(method: str, headers: dict[str, str]) -> None:
    with pytest.raises(RequestError) as refused:
        check_origin(method, headers, f"http://{OWN}")

    assert (refused.value.status, refused.value.code) == (403, "other_origin")


@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_anyone_may_ask_to_read(method: str) -> None:
    check_origin(method, {"sec-fetch-site": "cross-site"}, f"http://{OWN}")


@pytest.mark.parametrize(
    "type", ["", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data"]
)
def test_a_body_that_a_form_could_send_is_refused(type: str) -> None:
    with pytest.raises(RequestError) as refused:
        check_content_type("POST", {"content-type": type}, ("application/json",))

    assert refused.value.status == 415


def test_a_type_may_name_its_signs() -> None:
    check_content_type("POST", {"content-type": "Application/JSON; charset=utf-8"}, ("application/json",))


def test_the_cookie_of_https_is_bound_to_it() -> None:
    assert write_cookie("t", "https") == (
        "__Host-device=t; HttpOnly; SameSite=Strict; Path=/; Max-Age=34560000; Secure"
    )


def test_the_cookie_of_loopback_has_a_name_that_plain_http_allows() -> None:
    assert write_cookie("t", "http") == "device=t; HttpOnly; SameSite=Strict; Path=/; Max-Age=34560000"
