"""serve: the web client and its data, until stopped."""

from __future__ import annotations

import asyncio
import sys
from pathlib import Path

from fillfirst.access.doorkeeper import offer_code
from fillfirst.commands.access import say_code
from fillfirst.commands.flags import Commands, Options, add_backups, add_command, add_data
from fillfirst.commands.setup import add_https
from fillfirst.settings import CHOICES, read_settings
from fillfirst.web.server import Server


def serve(options: Options) -> int:
    # Imported here, so that the other commands do not wait for the web.
    from fillfirst.web.serving import serve as serve_until_stopped

    asyncio.run(serve_until_stopped(read_settings(**options), announce, tell))
    return 0


def tell(words: str) -> None:
    print(words, file=sys.stderr, flush=True)


async def announce(server: Server) -> None:
    """Say where the server is, and let the first browser in."""
    settings = server.settings
    lines = [f"fillfirst is at {settings.address}"]
    if settings.demo or not await server.store.devices.list_all():
        code = await offer_code(server.store, now_ms=server.now_ms())
        lines += say_code(settings, code)
    lines += ["Press Ctrl-C to stop it."]
    print("\n".join(lines), flush=True)


def add(commands: Commands) -> None:
    one = add_command(commands, "serve", serve, help="serve the web client and its data until stopped")
    add_data(one)
    one.add_argument("--host", help="the address to listen on (127.0.0.1)")
    one.add_argument("--port", type=int, help="the port to listen on (8765)")
    one.add_argument(
        "--name", dest="names", action="append", help="a name or address browsers may use; may be repeated"
    )
    add_https(one)
    add_backups(one)
    one.add_argument("--backup-every", type=int, metavar="HOURS", help="hours between two backups (24)")
    one.add_argument(
        "--log", choices=CHOICES["log"], help="troubles only, or a line of JSON on every request"
    )
    one.add_argument("--specs", type=Path, help="the folder of specs")
    one.add_argument("--own", type=Path, help="a folder of one's own specs, laid over the others")
    one.add_argument("--webui", type=Path, help="the folder of the web client")
    one.add_argument("--demo", action="store_true", default=None, help="print a one-time link at every start")
    one.add_argument(
        "--sw-off", action="store_true", default=None, help="serve a service worker that removes itself"
    )
    one.add_argument(
        "--force-update", action="store_true", default=None, help="let phones update although a visit is open"
    )
    one.add_argument(
        "--follow", action="store_true", default=None, help="look at the web client's files at every request"
    )
