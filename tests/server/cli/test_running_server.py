"""A real server: started, killed, started again, stopped."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from running import WAIT_S, RunningServer, let_in, make_command, make_environment, prepare
from samples import JPEG, JPEG_SHA256, make_event, make_id, make_round


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    prepare(tmp_path)
    return tmp_path


@pytest.fixture
def running(folder: Path) -> Iterator[RunningServer]:
    server = RunningServer(folder)
    yield server
    server.kill()


def push_until_it_dies(client: httpx.Client, first: int, acked: list[int]) -> None:
    """Batches of three, as fast as they are answered."""
    n = first
    try:
        while True:
            answer = client.post("/api/sync", json=make_round(*(make_event(n + more) for more in range(3))))
            acked += [n + more for more in range(3) if make_id(n + more) in answer.json()["accepted"]]
            n += 3
    except httpx.TransportError:
        pass


def pull_all(client: httpx.Client) -> set[str]:
    """The ids of everything the server holds."""
    held: set[str] = set()
    epoch, cursor, more = client.get("/api/health").json()["epoch"], 0, True
    while more:
        answer = client.post("/api/sync", json=make_round(epoch=epoch, cursor=cursor)).json()
        held |= {passed_on["event"]["id"] for passed_on in answer["events"]}
        cursor, more = answer["cursor"], answer["more"]
    return held


def test_nothing_answered_is_lost_when_the_server_is_killed_again_and_again(folder: Path) -> None:
    server = RunningServer(folder)
    client = server.open_client()
    let_in(client, server.code)
    cookies = client.cookies
    acked: list[int] = []
    for life_s in (0.05, 0.15, 0.1):
        before = len(acked)
        pushing = threading.Thread(target=push_until_it_dies, args=(client, before + 1, acked))
        pushing.start()
        deadline = time.monotonic() + WAIT_S
        while len(acked) == before and time.monotonic() < deadline:
            time.sleep(0.01)
        time.sleep(life_s)
        server.kill()
        pushing.join()
        client.close()
        server = RunningServer(folder)
        client = server.open_client()
        client.cookies = cookies

    held = pull_all(client)
    client.close()
    server.kill()

    assert len(acked) > 3
    assert {make_id(n) for n in acked} <= held


def test_it_is_the_same_server_after_it_was_stopped_and_started(folder: Path) -> None:
    first = RunningServer(folder)
    with first.open_client() as client:
        before = client.get("/api/health").json()
        let_in(client, first.code)
        cookies = client.cookies
        client.post("/api/sync", json=make_round(make_event(1)))
        put = client.put(f"/api/photos/{JPEG_SHA256}", content=JPEG, headers={"content-type": "image/jpeg"})
    status, said = first.stop()
    second = RunningServer(folder)
    with second.open_client() as client:
        client.cookies = cookies
        after = client.get("/api/health").json()
        answer = client.post("/api/sync", json=make_round(epoch=after["epoch"], ack=1)).json()
        photo = client.get(f"/api/photos/{JPEG_SHA256}").content
    second.kill()

    assert put.status_code == 200
    assert (status, "Traceback" in said) == (0, False)
    assert after | {"server_now": 0} == before | {"server_now": 0}
    assert answer["ack"] == 1
    assert photo == JPEG
    assert second.code is None


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_stops_at_once_although_a_browser_holds_on(running: RunningServer, number: signal.Signals) -> None:
    with running.open_client() as client:
        client.get("/api/health")
        # Left to itself, it would wait for as long as the browser does.
        status, said = running.stop(number)

    assert status == 0
    assert said.splitlines()[-1] == "Press Ctrl-C to stop it."


def test_it_says_nothing_of_what_it_is_asked(running: RunningServer) -> None:
    with running.open_client() as client:
        let_in(client, running.code)
        client.post("/api/sync", json=make_round(make_event(1)))
        client.post("/api/sync", content=b"{", headers={"content-type": "application/json"})
        client.get("/api/visits/secret/record")
    _, said = running.stop()

    assert said.splitlines()[-1] == "Press Ctrl-C to stop it."
    assert "secret" not in said


def test_its_journal_has_nothing_private_in_it(folder: Path) -> None:
    server = RunningServer(folder, "--log", "json")
    with server.open_client() as client:
        let_in(client, server.code)
        token = client.cookies["device"]
        client.post("/api/sync", json=make_round(make_event(1, subject="secret-visit")))
        client.get("/api/visits/secret-visit/record")
        client.get("/record/secret-of-a-link")
    _, said = server.stop()
    lines = [json.loads(line) for line in said.splitlines() if line.startswith("{")]

    assert [(line["route"], line["status"]) for line in lines] == [
        ("/api/pair", 200),
        ("/api/sync", 200),
        ("/api/visits/{id}/record", 404),
        ("/record/{secret}", 404),
    ]
    told = "".join(json.dumps(line) for line in lines)
    assert [
        word for word in ("secret-", "garage phone", token, make_id(1), "127.0.0.1") if word in told
    ] == []


def test_the_service_manager_is_told_from_start_to_stop(folder: Path) -> None:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as manager:
        manager.settimeout(WAIT_S)
        manager.bind(str(folder / "notify"))
        told = {"NOTIFY_SOCKET": str(folder / "notify"), "WATCHDOG_USEC": "200000"}
        server = RunningServer(folder, environ=told)
        words = [manager.recv(99) for _ in range(3)]
        server.stop()
        while words[-1] != b"STOPPING=1":
            words.append(manager.recv(99))

    assert sorted(words[:2]) == [b"READY=1", b"WATCHDOG=1"]
    assert set(words[2:-1]) <= {b"WATCHDOG=1"}


def test_what_is_under_way_is_answered_before_it_stops(folder: Path, running: RunningServer) -> None:
    with running.open_client() as client:
        let_in(client, running.code)
        cookie = f"device={client.cookies['device']}"
    host, port = running.address.removeprefix("http://").split(":")
    head = (
        f"PUT /api/photos/{JPEG_SHA256} HTTP/1.1\r\nHost: {host}:{port}\r\nOrigin: {running.address}\r\n"
        f"Cookie: {cookie}\r\nContent-Type: image/jpeg\r\nContent-Length: {len(JPEG)}\r\n\r\n"
    )
    parts = folder / "data" / "photos" / "parts"
    with socket.create_connection((host, int(port)), timeout=WAIT_S) as connection:
        connection.sendall(head.encode() + JPEG[:100])
        deadline = time.monotonic() + WAIT_S
        while not list(parts.iterdir()) and time.monotonic() < deadline:
            time.sleep(0.01)
        running.process.send_signal(signal.SIGTERM)
        connection.sendall(JPEG[100:])
        answer = connection.recv(9999)
    status, _ = running.stop()

    assert answer.startswith(b"HTTP/1.1 200")
    assert status == 0
    assert (parts.parent / JPEG_SHA256[:2] / JPEG_SHA256).read_bytes() == JPEG


def test_it_takes_little_memory(running: RunningServer) -> None:
    with running.open_client() as client:
        let_in(client, running.code)
        client.post("/api/sync", json=make_round(*(make_event(n) for n in range(1, 1000))))
        memory_bytes = client.get("/api/keeping").json()["memory_bytes"]

    # 46 MiB, measured; a small box has a gigabyte for everything.
    assert memory_bytes < 80 * 1024 * 1024


def test_the_demo_offers_a_link_at_every_start(folder: Path) -> None:
    first = RunningServer(folder, "--demo")
    with first.open_client() as client:
        let_in(client, first.code)
    first.stop()
    second = RunningServer(folder, "--demo")
    second.kill()

    assert second.code is not None
    assert second.code != first.code


def test_a_code_made_beside_a_running_server_lets_a_browser_in(folder: Path, running: RunningServer) -> None:
    port = running.address.rpartition(":")[2]
    command = make_command(folder, "pair", "--port", port)
    said = subprocess.run(command, env=make_environment(), capture_output=True, text=True, check=True).stdout
    link = said.splitlines()[1].strip()
    with running.open_client() as client:
        let_in(client, link.rpartition("=")[2])

    assert link.startswith(f"{running.address}/#let-in=")


def test_answers_do_not_wait_for_an_acknowledgement(running: RunningServer) -> None:
    with running.open_client() as client:
        client.get("/api/health")
        took_s = [client.get("/").elapsed.total_seconds() for _ in range(30)]

    # Forty milliseconds every time, if the system holds the second packet back.
    assert min(took_s) < 0.035


def test_an_upload_that_breaks_off_leaves_nothing(folder: Path, running: RunningServer) -> None:
    with running.open_client() as client:
        let_in(client, running.code)
        cookie = f"device={client.cookies['device']}"
    host, port = running.address.removeprefix("http://").split(":")
    head = (
        f"PUT /api/photos/{JPEG_SHA256} HTTP/1.1\r\nHost: {host}:{port}\r\nOrigin: {running.address}\r\n"
        f"Cookie: {cookie}\r\nContent-Type: image/jpeg\r\nContent-Length: {len(JPEG)}\r\n\r\n"
    )
    with socket.create_connection((host, int(port))) as connection:
        connection.sendall(head.encode() + JPEG[:100])
        time.sleep(0.1)
    _, said = running.stop()

    assert [path for path in (folder / "data" / "photos").rglob("*") if path.is_file()] == []
    assert said.splitlines()[-1] == "Press Ctrl-C to stop it."


def test_an_address_that_is_taken_is_told(folder: Path, running: RunningServer) -> None:
    port = running.address.rpartition(":")[2]
    folders = ["--specs", str(folder / "specs"), "--webui", str(folder / "webui")]
    command = make_command(folder, "serve", *folders, "--port", port)
    done = subprocess.run(command, env=make_environment(), capture_output=True, text=True, check=False)

    assert done.returncode == 1
    assert done.stderr == (
        f"--host and --port: found 127.0.0.1 port {port}, which cannot be listened on"
        " (Address already in use); expected a free address of this machine."
        " Is fillfirst running already? Otherwise choose another port with --port.\n"
    )
