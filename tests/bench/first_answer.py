"""How soon after its start the server answers, beside the barest app of the same framework. Run by hand:

    .venv/bin/python tests/bench/first_answer.py

Both are started in turn, with everything they need in place already; a ratio of medians counts, not a time.
"""

from __future__ import annotations

import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

TOP = Path(__file__).parents[2]
STARTS = 9
PORT = 8791
BARE = """
import sys, uvicorn
from starlette.applications import Starlette
from starlette.responses import JSONResponse
from starlette.routing import Route
app = Starlette(routes=[Route("/api/health", lambda request: JSONResponse({"ok": True}))])
uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[1]), log_level="warning")
"""
REQUEST = b"GET /api/health HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"


def measure(command: list[str]) -> float:
    """Milliseconds from the start of the process to the first byte of its first answer."""
    environment = os.environ | {"PYTHONPATH": str(TOP / "server")}
    start = time.perf_counter()
    process = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    while True:
        try:
            with socket.create_connection(("127.0.0.1", PORT)) as connection:
                connection.sendall(REQUEST)
                if connection.recv(1):
                    break
        except OSError:
            time.sleep(0.002)
    took_ms = (time.perf_counter() - start) * 1000
    process.terminate()
    process.wait()
    return took_ms


def main() -> None:
    with tempfile.TemporaryDirectory() as data:
        ours = [sys.executable, "-m", "fillfirst", "serve", "--data", data, "--port", str(PORT)]
        bare = [sys.executable, "-c", BARE, str(PORT)]
        measure(ours)  # the procedures are proved at the first start alone
        times = [(measure(bare), measure(ours)) for _ in range(STARTS)]
    bare_ms, our_ms = (statistics.median(column) for column in zip(*times, strict=True))
    ratio = our_ms / bare_ms
    print(f"first answer after {our_ms:.0f} ms, bare Starlette {bare_ms:.0f} ms: {ratio:.2f} times it")


if __name__ == "__main__":
    main()
