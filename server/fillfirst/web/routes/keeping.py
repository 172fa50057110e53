"""What the keeper of the server wants to know: room, backups, what waits, whose clock is wrong."""

from __future__ import annotations

import asyncio
import shutil
from pathlib import Path

from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from fillfirst.settings import Settings
from fillfirst.web.answers import json_answer
from fillfirst.web.endpoints import Answer, Endpoint
from fillfirst.web.server import server_of

# The resident memory of a process, in Linux's words (proc_pid_status(5)).
STATUS = Path("/proc/self/status")


class LastBackup(BaseModel):
    """The newest backup there is."""

    made_at_ms: int
    name: str
    size: int


class ClockOffset(BaseModel):
    """A device whose clock is off."""

    device: int
    offset_ms: int


class Keeping(BaseModel):
    """Facts for the keeper; nothing of what was recorded."""

    running_s: int
    memory_bytes: int | None
    disk_free_bytes: int
    disk_total_bytes: int
    events: int = Field(description="the newest sequence number")
    writes_waiting: int = Field(description="writes that wait for the disk at this moment")
    answers: int = Field(description="since the start of this process")
    faults: int = Field(description="answers with a status of 500 or more")
    backup: LastBackup | None
    backup_is_due: bool
    backup_trouble: str | None
    backup_is_asked: bool = Field(description="whether one is being made because somebody asked")
    backups_are_sealed: bool = Field(description="whether a passphrase seals them")
    backups_are_apart: bool = Field(description="whether they lie on another disk than the data")
    server_now: int
    clocks_off: list[ClockOffset] = Field(description="devices whose clock was a minute off or more")


CLOCK_OFF_MS = 60_000


async def give_keeping(request: Request) -> Response:
    server = server_of(request)
    disk = await asyncio.to_thread(shutil.disk_usage, server.settings.data)
    schedule = server.schedule
    newest = await asyncio.to_thread(schedule.find_newest) if schedule else None
    devices = await server.store.devices.list_all()
    return json_answer(
        Keeping(
            running_s=(server.now_ms() - server.started_at_ms) // 1000,
            memory_bytes=await asyncio.to_thread(read_memory),
            disk_free_bytes=disk.free,
            disk_total_bytes=disk.total,
            events=await server.store.events.get_head(),
            writes_waiting=server.store.waiting,
            answers=server.counts.answers,
            faults=server.counts.faults,
            backup=LastBackup(**newest._asdict()) if newest else None,
            backup_is_due=schedule.is_due if schedule else False,
            backup_trouble=schedule.trouble if schedule else None,
            backup_is_asked=schedule.is_asked if schedule else False,
            backups_are_sealed=server.settings.backup_passphrase_file is not None,
            backups_are_apart=await asyncio.to_thread(is_apart, server.settings),
            server_now=server.now_ms(),
            clocks_off=[
                ClockOffset(device=device.id, offset_ms=device.clock_offset_ms)
                for device in devices
                if device.revoked_at_ms is None
                and device.clock_offset_ms is not None
                and abs(device.clock_offset_ms) >= CLOCK_OFF_MS
            ],
        )
    )


async def ask_for_backup(request: Request) -> Response:
    schedule = server_of(request).schedule
    if schedule is None:
        raise HTTPException(404)
    schedule.ask()
    return Response(status_code=202)


def is_apart(settings: Settings) -> bool:
    """Whether a dead disk could take only the data or only the backups; no where there are no backups yet."""
    folder = settings.backup_folder
    return folder.is_dir() and folder.stat().st_dev != settings.data.stat().st_dev


def read_memory() -> int | None:
    """The memory of this process that is in the machine's own; None where the system does not say."""
    try:
        lines = STATUS.read_text().splitlines()
    except OSError:
        return None
    found = [line.split()[1] for line in lines if line.startswith("VmRSS:")]
    return int(found[0]) * 1024 if found else None


ENDPOINTS = (
    Endpoint(
        "GET",
        "/api/keeping",
        "keeping",
        "What the keeper of the server wants to know.",
        give_keeping,
        (Answer(200, "The facts.", (Keeping,)),),
        problems=(503,),
        opens_to="owner",
    ),
    Endpoint(
        "POST",
        "/api/backups",
        "back_up",
        "Make a backup now. It may take minutes; /api/keeping tells when it is there.",
        ask_for_backup,
        (Answer(202, "It is being made."),),
        problems=(404,),
        opens_to="owner",
    ),
)
