"""Runs the server until it is told to stop, and lets go of everything in order."""

from __future__ import annotations

import asyncio
import logging
import signal
import socket
import ssl
from collections.abc import Awaitable, Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import replace
from typing import TYPE_CHECKING

import uvicorn
from starlette.types import ASGIApp

from fillfirst.access.doorkeeper import Doorkeeper
from fillfirst.errors import SettingsError, StoreError
from fillfirst.keeping.lock import holding
from fillfirst.keeping.schedule import Schedule
from fillfirst.settings import Settings
from fillfirst.store.opening import open_store
from fillfirst.web.app import create_app, create_setup_app
from fillfirst.web.current_catalog import get_current_catalog
from fillfirst.web.journal import Journal, begin_journal
from fillfirst.web.notify import find_watchdog_s, notify
from fillfirst.web.server import Server, read_clock
from fillfirst.web.shell import Shell

if TYPE_CHECKING:
    from fillfirst.access.certificate import ServedCertificate

log = logging.getLogger("fillfirst")

RENEW_EVERY_S = 6 * 60 * 60
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
    begin_journal(settings.log)
    certificate = _open_certificate(settings)
    with ExitStack() as listeners:
        listeners.enter_context(holding(settings.data, alone=False))
        listener = listeners.enter_context(_listen(settings.host, settings.port, "--port"))
        # Port 0 asks the system for any free one.
        settings = replace(settings, port=listener.getsockname()[1])
        setup_listener = None
        if settings.setup_port:
            setup_listener = listeners.enter_context(
                _listen(settings.host, settings.setup_port, "--setup-port")
            )
        store = await open_store(
            settings.data, database=settings.database, photos=settings.photos, now_ms=read_clock()
        )
        try:
            catalog = await get_current_catalog(
                store, settings.specs_folder, settings.own_folder, now_ms=read_clock(), tell=tell
            )
            if catalog.trouble:
                log.error("%s", catalog.trouble)
            schedule = Schedule(settings, store, read_clock)
            server = Server(
                settings, store, catalog, shell, Doorkeeper(store), certificate=certificate, schedule=schedule
            )
            await announce(server)
            await _run(server, listener, setup_listener)
        finally:
            await store.close()


def _open_certificate(settings: Settings) -> ServedCertificate | None:
    if settings.tls_cert is None:
        return None
    # Imported here, because a server without a certificate does without what reads one.
    from fillfirst.access.certificate import ServedCertificate

    return ServedCertificate(
        settings.tls_cert, settings.tls_key, data=settings.data, names=settings.all_names
    )


def _listen(host: str, port: int, flag: str) -> socket.socket:
    """Take the address before anything else, so that a second server finds out at once."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # With the protocol left at 0, as socket.create_server does, asyncio does not turn Nagle's algorithm off,
    # and every answer waits 40 ms for an acknowledgement.
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((host, port))
        listener.listen()
        return listener
    except OSError as error:
        listener.close()
        raise SettingsError(
            f"--host and {flag}",
            f"{host} port {port}, which cannot be listened on ({error.strerror or error})",
            "a free address of this machine",
            f"Is fillfirst running already? Otherwise choose another port with {flag}.",
        ) from error


async def _run(server: Server, listener: socket.socket, setup_listener: socket.socket | None) -> None:
    certificate = server.certificate
    config = _configure(Journal(create_app(server), server.counts), certificate)
    running = [(_Uvicorn(config), listener)]
    if setup_listener is not None:
        running.append((_Uvicorn(_configure(create_setup_app(server), None)), setup_listener))
    loop = asyncio.get_running_loop()

    def stop(number: int) -> None:
        notify("STOPPING=1")
        for one, _ in running:
            one.handle_exit(number, None)

    for number in (signal.SIGINT, signal.SIGTERM):
        loop.add_signal_handler(number, stop, number)
    beside: list[asyncio.Task[None]] = []
    if server.schedule is not None:
        beside.append(asyncio.create_task(server.schedule.run()))
    if (watchdog_s := find_watchdog_s()) is not None:
        beside.append(asyncio.create_task(_stay_awake(server, watchdog_s)))
    if certificate is not None and config.ssl is not None:
        asked = asyncio.Event()
        loop.add_signal_handler(signal.SIGHUP, asked.set)
        beside.append(asyncio.create_task(keep_certificate(certificate, config.ssl, server.now_ms, asked)))
    try:
        async with asyncio.TaskGroup() as group:
            for one, where in running:
                group.create_task(one.serve(sockets=[where]))
            notify("READY=1")
    finally:
        for task in beside:
            task.cancel()
        await asyncio.gather(*beside, return_exceptions=True)


async def _stay_awake(server: Server, every_s: float) -> None:
    """Tell the service manager that the database answers, for as long as it does."""
    while True:
        with suppress(StoreError):
            await server.store.get_meta()
            notify("WATCHDOG=1")
        await asyncio.sleep(every_s)


def _configure(app: ASGIApp, certificate: ServedCertificate | None) -> uvicorn.Config:
    config = uvicorn.Config(
        app,
        # Addresses may name cars and visits: what is asked for is nobody's business.
        access_log=False,
        log_level="warning",
        lifespan="off",
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=STOP_WITHIN_S,
        ssl_certfile=certificate.file if certificate else None,
        ssl_keyfile=certificate.key_file if certificate else None,
    )
    config.load()
    return config


async def keep_certificate(
    certificate: ServedCertificate, context: ssl.SSLContext, now_ms: Callable[[], int], asked: asyncio.Event
) -> None:
    """Renew the certificate when it is time, or read it anew when that is asked for.

    Whoever connects from then on is shown the new one; nobody who is connected notices.
    """
    while True:
        try:
            if certificate.refresh(now_ms()):
                context.load_cert_chain(certificate.file, certificate.key_file)
                log.warning("the certificate was renewed")
        except (SettingsError, OSError) as error:
            # The old one serves on. Nobody is helped by a server that ends over a file.
            log.error("the certificate could not be renewed: %s", error)
        with suppress(TimeoutError):
            await asyncio.wait_for(asked.wait(), RENEW_EVERY_S)
        asked.clear()


class _Uvicorn(uvicorn.Server):
    """Stops at a signal and lets us close the store; the original raises the signal again at once."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield
