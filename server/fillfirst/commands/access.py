"""pair, devices: who is let in."""

from __future__ import annotations

import asyncio
import sys

from fillfirst.access.doorkeeper import offer_code, write_link
from fillfirst.access.secrets import write_code
from fillfirst.commands.flags import Commands, Options, add_command, add_data
from fillfirst.settings import Settings, read_settings
from fillfirst.store.sqlite import open_store
from fillfirst.sync.rounds import write_moment
from fillfirst.web.server import read_clock


def pair(options: Options) -> int:
    return asyncio.run(_pair(read_settings(**options)))


async def _pair(settings: Settings) -> int:
    store = await open_store(settings.data, now_ms=read_clock())
    try:
        code = await offer_code(store, now_ms=read_clock())
    finally:
        await store.close()
    print("\n".join(say_code(settings, code)))
    return 0


def say_code(settings: Settings, code: str) -> list[str]:
    return [
        "To let one browser in, within ten minutes, open",
        f"  {write_link(settings.address, code)}",
        f"or type the code {write_code(code)} where the page asks for it.",
    ]


def devices(options: Options) -> int:
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


def add(commands: Commands) -> None:
    one = add_command(commands, "pair", pair, help="make a one-time code that lets a browser in")
    add_data(one)
    one.add_argument("--host", help="the server's address, for the link (127.0.0.1)")
    one.add_argument("--port", type=int, help="the server's port, for the link (8765)")

    one = add_command(commands, "devices", devices, help="list every device that was let in")
    add_data(one)
    one.add_argument(
        "--remove", metavar="NUMBER", type=int, help="send this one away; what it recorded stays"
    )
