"""What the server says of itself: a line of JSON on every request and event, and nothing of what is in them.

A line names the route, never the address, which may hold the id of a visit; no name, no body, no cookie, no
address of a browser.
"""

from __future__ import annotations

import json
import logging
import sys
import time

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fillfirst.sync.rounds import write_moment

log = logging.getLogger("fillfirst")


class JsonLines(logging.Formatter):
    """One object a line: `at`, `level`, `says`, and the facts of whoever said it."""

    def format(self, record: logging.LogRecord) -> str:
        facts = getattr(record, "facts", {})
        line = {
            "at": write_moment(int(record.created * 1000)),
            "level": record.levelname.lower(),
            "says": record.getMessage(),
            **facts,
        }
        return json.dumps(line, ensure_ascii=False)


def begin_journal(kind: str) -> None:
    """Say everything as lines of JSON, or troubles only, in plain words."""
    if kind != "json":
        return
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    for name in ("", "fillfirst"):
        logger = logging.getLogger(name)
        logger.handlers = [handler] if not name else []
    log.setLevel(logging.INFO)


class Counts:
    """How many answers there were, and how many of them were faults of the server."""

    def __init__(self) -> None:
        self.answers = 0
        self.faults = 0


class Journal:
    """A layer around the whole app: counts every answer, and says it where a journal is kept."""

    def __init__(self, app: ASGIApp, counts: Counts) -> None:
        self._app = app
        self._counts = counts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        start = time.perf_counter()
        status = size = 0

        async def send_counted(message: Message) -> None:
            nonlocal status, size
            if message["type"] == "http.response.start":
                status = message["status"]
            else:
                size += len(message.get("body", b""))
            await send(message)

        try:
            await self._app(scope, receive, send_counted)
        finally:
            self._counts.answers += 1
            self._counts.faults += status >= 500 or status == 0
            if log.isEnabledFor(logging.INFO):
                route = scope.get("route")
                facts = {
                    "method": scope["method"],
                    "route": getattr(route, "path", None),
                    "status": status,
                    "ms": round((time.perf_counter() - start) * 1000, 1),
                    "bytes": size,
                }
                log.info("answered", extra={"facts": facts})
