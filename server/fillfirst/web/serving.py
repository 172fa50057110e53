"""Runs the server until it is told to stop, and lets go of everything in order."""

from __future__ import annotations

import asyncio
import signal
import socket
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace

import uvicorn

from fillfirst.access.doorkeeper import Doorkeeper
from fillfirst.errors import SettingsError
from fillfirst.settings import Settings
from fillfirst.store.sqlite import open_store
from fillfirst.web.app import create_app
from fillfirst.web.current_catalog import get_current_catalog
from fillfirst.web.server import Server, read_clock
from fillfirst.web.shell import Shell

# A browser that keeps a connection open must not keep the server from stopping.
STOP_WITHIN_S = 5


async def serve(
    settings: Settings, announce: Callable[[Server], Awaitable[None]], tell: Callable[[str], object]
) -> None:
    """Serve until a signal to stop; `announce` is called when the address is about to answer.

    Raises SettingsError, StoreError, and SpecsError or UnprovedError for specs that are not sound.
    """
    shell = Shell(
        settings.webui_folder,
        is_off=settings.sw_off,
        force_update=settings.force_update,
        follow=settings.follow,
    )
    listener = _listen(settings)
    # Port 0 asks the system for any free one.
    settings = replace(settings, port=listener.getsockname()[1])
    with listener:
        store = await open_store(settings.data, now_ms=read_clock())
        try:
            catalog = await get_current_catalog(store, settings.specs_folder, now_ms=read_clock(), tell=tell)
            server = Server(settings, store, catalog, shell, Doorkeeper(store))
            await announce(server)
            await _run(server, listener)
        finally:
            await store.close()


def _listen(settings: Settings) -> socket.socket:
    """Take the address before anything else, so that a second server finds out at once."""
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    # With the protocol left at 0, as socket.create_server does, asyncio does not turn Nagle's algorithm off,
    # and every answer waits 40 ms for an acknowledgement.
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((settings.host, settings.port))
        listener.listen()
        return listener
    except OSError as error:
        listener.close()
        raise SettingsError(
            "--host and --port",
            f"{settings.host} port {settings.port}, which cannot be listened on ({error.strerror or error})",
            "a free address of this machine",
            "Is fillfirst running already? Otherwise choose another port with --port.",
        ) from error


async def _run(server: Server, listener: socket.socket) -> None:
    config = uvicorn.Config(
        create_app(server),
        # Addresses may name cars and visits: what is asked for is nobody's business.
        access_log=False,
        log_level="warning",
        lifespan="off",
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=STOP_WITHIN_S,
    )
    running = _Uvicorn(config)
    loop = asyncio.get_running_loop()
    for number in (signal.SIGINT, signal.SIGTERM):
        loop.add_signal_handler(number, running.handle_exit, number, None)
    await running.serve(sockets=[listener])


class _Uvicorn(uvicorn.Server):
    """Stops at a signal and lets us close the store; the original raises the signal again at once."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield
