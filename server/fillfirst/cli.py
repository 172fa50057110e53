"""What a person types: serve, check, pair, devices."""

from __future__ import annotations

import argparse
import asyncio
import logging
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from fillfirst import __version__
from fillfirst.access.doorkeeper import offer_code, write_link
from fillfirst.access.secrets import write_code
from fillfirst.errors import FillfirstError
from fillfirst.settings import Settings, read_settings
from fillfirst.store.sqlite import open_store
from fillfirst.sync.rounds import write_moment
from fillfirst.web.server import Server, read_clock


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the answer is the exit status."""
    options = vars(_make_parser().parse_args(arguments))
    command = options.pop("command")
    logging.basicConfig(format="%(message)s", level=logging.WARNING)
    try:
        return int(command(options))
    except FillfirstError as error:
        print(error, file=sys.stderr)
        return 1


def serve(options: dict[str, Any]) -> int:
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
        lines += _say_code(settings, code)
    lines += ["Press Ctrl-C to stop it."]
    print("\n".join(lines), flush=True)


def check(options: dict[str, Any]) -> int:
    """Say everything that is wrong with some spec files, or with all of them."""
    from fillfirst.catalog import check as check_specs

    files: list[Path] = options.pop("files")
    folder = read_settings(**options).specs_folder
    start = time.perf_counter()
    checked = check_specs(files or [folder], folder)
    print(checked)
    if checked.proof is not None:
        print(f"It took {time.perf_counter() - start:.1f} s.")
    is_sound = checked.proof is None or checked.proof.is_proved
    return 0 if is_sound and not checked.problems else 1


def pair(options: dict[str, Any]) -> int:
    return asyncio.run(_pair(read_settings(**options)))


async def _pair(settings: Settings) -> int:
    store = await open_store(settings.data, now_ms=read_clock())
    try:
        code = await offer_code(store, now_ms=read_clock())
    finally:
        await store.close()
    print("\n".join(_say_code(settings, code)))
    return 0


def _say_code(settings: Settings, code: str) -> list[str]:
    return [
        "To let one browser in, within ten minutes, open",
        f"  {write_link(settings.address, code)}",
        f"or type the code {write_code(code)} where the page asks for it.",
    ]


def devices(options: dict[str, Any]) -> int:
    """List every device, after sending one away if that was asked."""
    remove: int | None = options.pop("remove")
    return asyncio.run(_devices(read_settings(**options), remove))


async def _devices(settings: Settings, remove: int | None) -> int:
    store = await open_store(settings.data, now_ms=read_clock())
    try:
        is_removed = remove is None or await store.devices.revoke(remove, now_ms=read_clock())
        found = await store.devices.list_all()
    finally:
        await store.close()
    if not is_removed:
        print(f"No device {remove} is let in.", file=sys.stderr)
    for device in found:
        gone = "" if device.revoked_at_ms is None else f", sent away {write_moment(device.revoked_at_ms)}"
        print(f"{device.id}  {device.name}  last seen {write_moment(device.last_seen_at_ms)}{gone}")
    if not found:
        print("No device has been let in. Ask for a one-time code with: fillfirst pair")
    return 0 if is_removed else 1


def _make_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="fillfirst", description=__doc__)
    parser.add_argument("--version", action="version", version=f"fillfirst {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    one = commands.add_parser("serve", help="serve the web client and its data until stopped")
    one.set_defaults(command=serve)
    _add_data(one)
    one.add_argument("--host", help="the address to listen on (127.0.0.1)")
    one.add_argument("--port", type=int, help="the port to listen on (8765)")
    one.add_argument(
        "--name", dest="names", action="append", help="a name or address browsers may use; may be repeated"
    )
    one.add_argument("--specs", type=Path, help="the folder of specs")
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

    one = commands.add_parser("check", help="read specs, and prove every visit that can be made of them")
    one.set_defaults(command=check)
    one.add_argument(
        "files", metavar="FILE", nargs="*", type=Path, help="only these; all of them if none is named"
    )
    one.add_argument("--specs", type=Path, help="the folder of specs they belong to")

    one = commands.add_parser("pair", help="make a one-time code that lets a browser in")
    one.set_defaults(command=pair)
    _add_data(one)
    one.add_argument("--host", help="the server's address, for the link (127.0.0.1)")
    one.add_argument("--port", type=int, help="the server's port, for the link (8765)")

    one = commands.add_parser("devices", help="list every device that was let in")
    one.set_defaults(command=devices)
    _add_data(one)
    one.add_argument(
        "--remove", metavar="NUMBER", type=int, help="send this one away; what it recorded stays"
    )
    return parser


def _add_data(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--data", type=Path, help="the folder of the database and the photos")


if __name__ == "__main__":
    sys.exit(main())
