"""pair, devices: who is let in."""

from __future__ import annotations

import asyncio
import sys

from fillfirst.access.doorkeeper import cut_name, offer_code, write_link
from fillfirst.access.secrets import write_code
from fillfirst.commands.flags import Commands, Options, add_command, add_data, open_store_of
from fillfirst.errors import SettingsError
from fillfirst.settings import Settings, read_settings
from fillfirst.store.interface import Role
from fillfirst.sync.rounds import write_moment
from fillfirst.web.server import read_clock


def pair(options: Options) -> int:
    role: Role = "helper" if options.pop("helper") else "owner"
    return asyncio.run(_pair(read_settings(**options), role))


async def _pair(settings: Settings, role: Role) -> int:
    store = await open_store_of(settings)
    try:
        code = await offer_code(store, now_ms=read_clock(), role=role)
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
    """List every device, after naming one anew or sending one away if that was asked."""
    remove: int | None = options.pop("remove")
    rename: list[str] | None = options.pop("rename")
    if rename is not None and not rename[0].isdecimal():
        raise SettingsError("--rename", f'"{rename[0]}"', "the number of a device, then its new name")
    return asyncio.run(_devices(read_settings(**options), remove, rename))


async def _devices(settings: Settings, remove: int | None, rename: list[str] | None) -> int:
    store = await open_store_of(settings)
    try:
        unknown = []
        if remove is not None and not await store.devices.revoke(remove, now_ms=read_clock()):
            unknown.append(str(remove))
        if rename is not None:
            name = cut_name(rename[1])
            if await store.devices.change(int(rename[0]), name=name, role=None) is None:
                unknown.append(rename[0])
        found = await store.devices.list_all()
    finally:
        await store.close()
    for number in unknown:
        print(f"No device {number} is let in.", file=sys.stderr)
    for device in found:
        gone = "" if device.revoked_at_ms is None else f", sent away {write_moment(device.revoked_at_ms)}"
        role = ", a helper" if device.role == "helper" else ""
        print(f"{device.id}  {device.name}{role}  last seen {write_moment(device.last_seen_at_ms)}{gone}")
    if not found:
        print("No device has been let in. Ask for a one-time code with: fillfirst pair")
    return 1 if unknown else 0


def add(commands: Commands) -> None:
    one = add_command(commands, "pair", pair, help="make a one-time code that lets a browser in")
    add_data(one)
    one.add_argument("--host", help="the server's address, for the link (127.0.0.1)")
    one.add_argument("--port", type=int, help="the server's port, for the link (8765)")
    one.add_argument("--helper", action="store_true", help="what it lets in records work, and nothing more")

    one = add_command(commands, "devices", devices, help="list every device that was let in")
    add_data(one)
    one.add_argument(
        "--remove", metavar="NUMBER", type=int, help="send this one away; what it recorded stays"
    )
    one.add_argument("--rename", metavar=("NUMBER", "NAME"), nargs=2, help="call this one otherwise")
