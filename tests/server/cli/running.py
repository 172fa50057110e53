"""A real server in a process of its own, with a catalog that is there already."""

from __future__ import annotations

import asyncio
import hashlib
import os
import random
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
from contextlib import suppress
from pathlib import Path

import httpx
from samples import NOW_MS, TINY_CATALOG, write_webui

import fillfirst
from fillfirst.settings import PACKAGE
from fillfirst.store.sqlite import open_store
from fillfirst.web.current_catalog import MAKERS, hash_files

ADDRESS = re.compile(r"fillfirst is at (\S+)")
LINK = re.compile(r"#let-in=([A-Z]{8})")
MINI = Path(__file__).parents[2] / "fixtures" / "specs" / "mini"
SERVER = Path(fillfirst.__file__).parents[1]
# How long anything may take before it counts as never, on a machine that does much else.
WAIT_S = 60


def prepare(folder: Path) -> None:
    """Small specs whose catalog is kept already, so that nothing is built, and a web client of four files."""
    shutil.copytree(MINI, folder / "specs")
    write_webui(folder / "webui")
    asyncio.run(_keep_catalog(folder))


async def _keep_catalog(folder: Path) -> None:
    made_from = hash_files([folder / "specs", *(PACKAGE / name for name in MAKERS)])
    store = await open_store(folder / "data", now_ms=NOW_MS)
    await store.catalogs.keep(
        hashlib.sha256(TINY_CATALOG).hexdigest(), TINY_CATALOG, made_from=made_from, now_ms=NOW_MS
    )
    await store.close()


def make_command(folder: Path, command: str, *more: str) -> list[str]:
    return [sys.executable, "-m", "fillfirst", command, "--data", str(folder / "data"), *more]


def make_environment() -> dict[str, str]:
    return {"PATH": os.environ["PATH"], "PYTHONPATH": str(SERVER), "PYTHONWARNINGS": "error"}


class RunningServer:
    """Started; `address` answers. `code` lets one browser in, if one was offered."""

    def __init__(self, folder: Path, *more: str, environ: dict[str, str] | None = None) -> None:
        folders = ["--specs", str(folder / "specs"), "--webui", str(folder / "webui"), "--port", "0"]
        self.process = subprocess.Popen(
            make_command(folder, "serve", *folders, *more),
            env=make_environment() | (environ or {}),
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        self.said: list[str] = []
        said = self.wait_until_said("Ctrl-C")
        match = ADDRESS.search(said)
        if match is None:
            self.kill()
            raise AssertionError(f"The server did not start:\n{said}")
        self.address = match[1]
        found = LINK.search(said)
        self.code = found[1] if found else None

    def wait_until_said(self, words: str) -> str:
        """Everything that it has said, once these words are in it; or when it has ended without them."""
        assert self.process.stdout is not None
        watch = threading.Timer(WAIT_S, self.process.kill)
        watch.start()
        for line in self.process.stdout:
            self.said.append(line)
            if words in line:
                break
        watch.cancel()
        return "".join(self.said)

    def open_client(self) -> httpx.Client:
        return httpx.Client(base_url=self.address, headers={"origin": self.address}, timeout=WAIT_S)

    def kill(self) -> None:
        """As a power cut would, as far as a process can tell."""
        self.process.kill()
        self.process.communicate()

    def stop(self, number: signal.Signals = signal.SIGTERM) -> tuple[int, str]:
        """Ask it to stop; its exit status and everything it said."""
        self.process.send_signal(number)
        rest, _ = self.process.communicate(timeout=WAIT_S)
        return self.process.returncode, "".join(self.said) + rest


def find_free_port() -> int:
    """A port below those that are given to whoever calls out, so that nobody else comes to have it."""
    while True:
        port = random.SystemRandom().randrange(12_000, 32_000)
        with socket.socket() as probe, suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port


def let_in(client: httpx.Client, code: str | None) -> None:
    answer = client.post("/api/pair", json={"code": code, "name": "garage phone"})
    assert answer.status_code == 200, answer.text
