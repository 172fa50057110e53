"""A store that speaks as much of S3 as photos need, and checks every signature with another's code."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from unittest.mock import patch

from botocore.auth import S3SigV4Auth
from botocore.awsrequest import AWSRequest
from botocore.credentials import Credentials

from fillfirst.store.s3 import Keys

KEYS = Keys("GARAGE", "a secret with / and +", "eu-west-9")


class LittleS3(ThreadingHTTPServer):
    """`held` is what was put, by path."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.held: dict[str, bytes] = {}

    @property
    def url(self) -> str:
        return f"s3+http://127.0.0.1:{self.server_port}/vans/photos"


class Handler(BaseHTTPRequestHandler):
    """One request."""

    protocol_version = "HTTP/1.1"
    server: LittleS3

    def do_PUT(self) -> None:
        body = self.rfile.read(int(self.headers["content-length"]))
        if self.headers["x-amz-content-sha256"] != hashlib.sha256(body).hexdigest():
            self.answer(400)
        elif self.is_signed():
            self.server.held[self.path] = body
            self.answer(200)

    def do_GET(self) -> None:
        if self.is_signed():
            body = self.server.held.get(self.path)
            self.answer(404 if body is None else 200, body or b"")

    do_HEAD = do_GET  # noqa: N815

    def is_signed(self) -> bool:
        """Sign the request again as botocore does, and compare."""
        request = AWSRequest(
            method=self.command,
            url=f"http://{self.headers['host']}{self.path}",
            headers={"x-amz-content-sha256": self.headers["x-amz-content-sha256"]},
        )
        moment = self.headers["x-amz-date"]
        signer = S3SigV4Auth(Credentials(KEYS.id, KEYS.secret), "s3", KEYS.region)
        with patch("botocore.auth.get_current_datetime") as now:
            now.return_value.strftime.side_effect = lambda _: moment
            # botocore would sign GET and HEAD as unsigned payloads over https only; take what was sent.
            with patch.object(signer, "payload", lambda _: self.headers["x-amz-content-sha256"]):
                signer.add_auth(request)
        if request.headers["Authorization"] != self.headers["authorization"]:
            self.answer(403)
            return False
        return True

    def answer(self, status: int, body: bytes = b"") -> None:
        self.send_response(status)
        self.send_header("content-length", str(len(body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    def log_message(self, format: str, *arguments: object) -> None:
        """Tests are quiet."""


@contextmanager
def running_s3() -> Iterator[LittleS3]:
    server = LittleS3()
    thread = threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True)
    thread.start()
    try:
        yield server
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
