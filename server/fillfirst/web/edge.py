"""What every request passes on its way in, and every answer on its way out.

It is one layer around everything, so that no answer, not even an error, goes out without its headers, and
no request reaches a route without having been made to this server, by this server's own page. A page asked
for by any other name leads to the one origin; the plain page of the set-up is shown by any name.

There is no Strict-Transport-Security: with an authority of the house's own it would shut people out on the
day a certificate expires.
"""

from __future__ import annotations

import logging
import traceback
from urllib.parse import quote, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import ClientDisconnect
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fillfirst.access.origins import LOOPBACK, SAFE_METHODS, check_host, check_origin, read_host_name
from fillfirst.errors import RequestError
from fillfirst.settings import Settings
from fillfirst.web.answers import problem_answer

log = logging.getLogger("fillfirst")

CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; "
    "worker-src 'self'; manifest-src 'self'; media-src 'self'; base-uri 'none'; form-action 'self'; "
    "frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types sw"
)
HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "permissions-policy": (
        "camera=(self), accelerometer=(self), gyroscope=(self), screen-wake-lock=(self), "
        "geolocation=(), microphone=(), payment=(), usb=(), bluetooth=(), serial=(), hid=(), midi=()"
    ),
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class Edge:
    """The outermost layer of the app."""

    def __init__(self, app: ASGIApp, settings: Settings, is_plain: bool = False) -> None:
        """`is_plain` is for the set-up page alone, which phones ask for before they trust this server."""
        self._app = app
        self._is_plain = is_plain
        # Browsers heed this one over https alone, and complain of it elsewhere.
        unheeded = {"cross-origin-opener-policy"} if is_plain else set()
        self._headers = {name: value for name, value in HEADERS.items() if name not in unheeded}
        self._is_behind_proxy = settings.behind_proxy
        self._origin = settings.origin
        wild = {"0.0.0.0", "::"}
        self._names = LOOPBACK | {name.lower() for name in settings.all_names} | ({settings.host} - wild)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        is_begun = False

        async def send_with_headers(message: Message) -> None:
            nonlocal is_begun
            if message["type"] == "http.response.start":
                is_begun = True
                headers = MutableHeaders(scope=message)
                for name, value in self._headers.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
            await send(message)

        try:
            headers = Headers(scope=scope)
            if self._is_behind_proxy:
                headers = self._believe_proxy(scope, headers)
            if (address := self._find_other_address(scope, headers)) is not None:
                await Response(status_code=307, headers={"location": address})(
                    scope, receive, send_with_headers
                )
                return
            if not self._is_plain:
                check_host(headers, self._names)
                own = self._origin or f"{scope['scheme']}://{headers.get('host', '')}"
                check_origin(scope["method"], headers, own)
            await self._app(scope, receive, send_with_headers)
        except RequestError as error:
            answer = problem_answer(error.status, error.code, error.message, error.next)
            await answer(scope, receive, send_with_headers)
        except ClientDisconnect:
            log.info("a browser hung up")
        except Exception as error:
            # Only what and where: the words of an error may quote what someone recorded.
            frames = traceback.extract_tb(error.__traceback__)[-6:]
            log.error(
                "%s at %s",
                type(error).__name__,
                " < ".join(f"{f.filename}:{f.lineno}" for f in reversed(frames)),
            )
            if is_begun:
                raise RuntimeError("an answer broke off") from None
            answer = problem_answer(
                500,
                "server_fault",
                "The server made a mistake of its own; nothing of this request was kept.",
                "Everything stays on the phone. Look at the server's log, and report what it says.",
            )
            await answer(scope, receive, send_with_headers)

    def _believe_proxy(self, scope: Scope, headers: Headers) -> Headers:
        """What the browser asked for, as the proxy passes it on; loopback means that it passed nothing."""
        parts = urlsplit(self._origin or "https://")
        scope["scheme"] = parts.scheme
        host = headers.get("x-forwarded-host", headers.get("host", "")).partition(",")[0].strip()
        if read_host_name(host) in LOOPBACK:
            host = parts.netloc
        others = [(name, value) for name, value in scope["headers"] if name != b"host"]
        scope["headers"] = [*others, (b"host", host.encode("latin-1"))]
        return Headers(scope=scope)

    def _find_other_address(self, scope: Scope, headers: Headers) -> str | None:
        """Where a page is to be asked for instead. What programs ask for is answered or refused as it is."""
        path: str = scope["path"]
        if self._is_plain and path == "/":
            return "/setup"
        if self._origin is None or scope["method"] not in SAFE_METHODS or path.startswith("/api/"):
            return None
        if self._is_plain:
            is_here = path == "/setup" or path.startswith("/setup/")
        else:
            own = urlsplit(self._origin)
            is_here = headers.get("host", "").lower().removesuffix(_ordinary_port(own.scheme)) == own.netloc
        if is_here:
            return None
        query = scope["query_string"].decode("latin-1")
        return f"{self._origin}{quote(path)}" + (f"?{query}" if query else "")


def _ordinary_port(scheme: str) -> str:
    return ":443" if scheme == "https" else ":80"
