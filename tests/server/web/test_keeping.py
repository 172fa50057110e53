"""What the server tells its keeper, its service manager and its journal, and what it keeps to itself."""

from __future__ import annotations

import asyncio
import io
import json
import logging
import socket
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import httpx
import pytest
from samples import NOW_MS, ORIGIN, make_event, make_round
from starlette.applications import Starlette

from fillfirst.keeping.schedule import HOUR_MS, Schedule
from fillfirst.web.app import create_app
from fillfirst.web.journal import Journal, JsonLines
from fillfirst.web.notify import find_watchdog_s, notify
from fillfirst.web.server import Server

pytestmark = pytest.mark.anyio


@pytest.fixture
async def server(server: Server) -> Server:
    schedule = Schedule(server.settings, server.store, server.now_ms)
    return replace(server, schedule=schedule, started_at_ms=NOW_MS - 5_000)


async def test_the_keeper_is_told_of_room_backups_and_clocks(
    phone: httpx.AsyncClient, server: Server
) -> None:
    await phone.post("/api/sync", json=make_round(make_event(1), client_now=NOW_MS + 3_600_000))
    before = (await phone.get("/api/keeping")).json()
    await server.schedule.look()
    after = (await phone.get("/api/keeping")).json()

    assert (before["events"], before["running_s"], before["backup"], before["backup_is_due"]) == (
        1,
        5,
        None,
        True,
    )
    assert (after["backup"]["made_at_ms"], after["backup_is_due"]) == (NOW_MS, False)
    assert after["disk_total_bytes"] >= after["disk_free_bytes"] > 0
    assert after["memory_bytes"] > 1_000_000


async def test_a_clock_that_is_off_is_told(phone: httpx.AsyncClient, clock: object) -> None:
    clock.ms += 60_000
    await phone.post("/api/sync", json=make_round(client_now=NOW_MS - 3_600_000))

    assert (await phone.get("/api/keeping")).json()["clocks_off"] == [{"device": 1, "offset_ms": 3_660_000}]


async def test_a_backup_is_made_when_the_newest_is_old(server: Server, clock: object) -> None:
    folder = server.settings.backup_folder
    counts = []
    for hours in (0, 23, 1):
        clock.ms += hours * HOUR_MS
        await server.schedule.look()
        counts.append(len(list(folder.iterdir())))

    assert counts == [1, 1, 2]


async def test_a_backup_that_an_owner_asks_for_is_made_at_once(
    server: Server, phone: httpx.AsyncClient, clock: object
) -> None:
    await server.schedule.look()
    clock.ms += HOUR_MS
    running = asyncio.create_task(server.schedule.run())
    answer = await phone.post("/api/backups")
    asked = (await phone.get("/api/keeping")).json()["backup_is_asked"]
    while (await phone.get("/api/keeping")).json()["backup_is_asked"]:
        await asyncio.sleep(0.01)
    running.cancel()

    assert (answer.status_code, asked) == (202, True)
    assert (await phone.get("/api/keeping")).json()["backup"]["made_at_ms"] == NOW_MS + HOUR_MS


async def test_a_backup_that_fails_is_told_and_tried_again(
    server: Server, phone: httpx.AsyncClient, caplog: pytest.LogCaptureFixture
) -> None:
    server.settings.backup_folder.write_text("in the way")
    await server.schedule.look()
    told = (await phone.get("/api/keeping")).json()["backup_trouble"]
    server.settings.backup_folder.unlink()
    await server.schedule.look()

    assert "could not be written" in told
    assert "no backup was made" in caplog.text
    assert server.schedule.trouble is None


@pytest.fixture
def journal() -> Iterator[io.StringIO]:
    stream = io.StringIO()
    handler = logging.StreamHandler(stream)
    handler.setFormatter(JsonLines())
    log = logging.getLogger("fillfirst")
    log.addHandler(handler)
    log.setLevel(logging.INFO)
    yield stream
    log.removeHandler(handler)
    log.setLevel(logging.NOTSET)


async def test_the_journal_says_the_route_and_nothing_of_what_was_asked(
    server: Server, journal: io.StringIO
) -> None:
    app = Journal(create_app(server), server.counts)
    transport = httpx.ASGITransport(app)
    async with httpx.AsyncClient(
        transport=transport, base_url=ORIGIN, headers={"cookie": "device=secret"}
    ) as other:
        await other.get("/api/visits/private-visit/record")
        await other.get("/api/health")
    lines = [json.loads(line) for line in journal.getvalue().splitlines()]

    assert [(line["method"], line["route"], line["status"]) for line in lines] == [
        ("GET", "/api/visits/{id}/record", 401),
        ("GET", "/api/health", 200),
    ]
    assert "private-visit" not in journal.getvalue()
    assert "secret" not in journal.getvalue()
    assert (server.counts.answers, server.counts.faults) == (2, 0)


def test_the_service_manager_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as manager:
        manager.bind(str(tmp_path / "notify"))
        monkeypatch.setenv("NOTIFY_SOCKET", str(tmp_path / "notify"))

        assert notify("READY=1")
        assert manager.recv(99) == b"READY=1"


def test_nobody_is_told_where_nobody_listens(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NOTIFY_SOCKET", raising=False)
    assert not notify("READY=1")
    monkeypatch.setenv("NOTIFY_SOCKET", str(tmp_path / "gone"))
    assert not notify("READY=1")


@pytest.mark.parametrize(("text", "seconds"), [("30000000", 15.0), ("", None), ("0", None), ("x", None)])
def test_the_watchdog_is_fed_twice_in_its_time(
    monkeypatch: pytest.MonkeyPatch, text: str, seconds: float | None
) -> None:
    monkeypatch.setenv("WATCHDOG_USEC", text)
    assert find_watchdog_s() == seconds


@pytest.fixture
def app(server: Server) -> Starlette:
    return create_app(server)
