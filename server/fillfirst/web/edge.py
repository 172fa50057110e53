"""What every request passes on its way in, and every answer on its way out.

It is one layer around everything, so that no answer, not even an error, goes out without its headers, and
no request reaches a route without having been made to this server, by this server's own page.
"""

from __future__ import annotations

import logging
import traceback

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fillfirst.access.origins import LOOPBACK, check_host, check_origin
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

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self._app = app
        wild = {"0.0.0.0", "::"}
        self._names = LOOPBACK | {name.lower() for name in settings.names} | ({settings.host} - wild)

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
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
            await send(message)

        try:
            headers = Headers(scope=scope)
            check_host(headers, self._names)
            check_origin(scope["method"], headers, scope["scheme"])
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
