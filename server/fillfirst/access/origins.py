"""Checks that a request was made to this server's own name, and a change by this server's own page.

Cookies do not see the port: a page of another service on the same box may send ours along. Only the browser's
word that the request comes from the very same origin tells the two apart.
"""

from __future__ import annotations

from collections.abc import Mapping

from fillfirst.errors import RequestError

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})
SAFE_METHODS = frozenset({"GET", "HEAD"})


def read_host_name(host: str) -> str:
    """The name in a Host header, without the port: of "[::1]:8765" it is "::1"."""
    if host.startswith("["):
        return host[1:].partition("]")[0].lower()
    return host.partition(":")[0].lower()


def check_host(headers: Mapping[str, str], names: frozenset[str]) -> None:
    """Refuse a foreign name: a page elsewhere could make its own name lead here, and then read everything."""
    if read_host_name(headers.get("host", "")) not in names:
        raise RequestError(
            421,
            "host_not_known",
            "This server does not go by the name in this address.",
            "Use the address that the server printed, or start it with --name for this one.",
        )


def check_origin(method: str, headers: Mapping[str, str], own: str) -> None:
    """Refuse a change that our own page did not ask for; `own` is its origin."""
    if method in SAFE_METHODS:
        return
    site = headers.get("sec-fetch-site")
    if site == "same-origin" or (site is None and headers.get("origin") == own):
        return
    raise RequestError(
        403,
        "other_origin",
        "Only this server's own pages may change anything here.",
        "Open the server's address itself, and do it there.",
    )


def check_content_type(method: str, headers: Mapping[str, str], wanted: tuple[str, ...]) -> None:
    """Refuse a body of a type that a plain form of another page could send."""
    found = headers.get("content-type", "").partition(";")[0].strip().lower()
    if method in SAFE_METHODS or not wanted or found in wanted:
        return
    raise RequestError(
        415,
        "content_type",
        f'The body is of type "{found}"; expected {" or ".join(wanted)}.',
        "Send it with the right Content-Type.",
    )
