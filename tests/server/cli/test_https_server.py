"""A real server that was set up for phones: https, its certificate, and the plain page beside it."""

from __future__ import annotations

import signal
import socket
import ssl
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from running import WAIT_S, RunningServer, find_free_port, prepare

from fillfirst.access.authority import make_leaf, write_certificate, write_key
from fillfirst.access.certificate import DAY_MS, SERVER, _read_authority, _read_moment, found_authority

NAMES = ["127.0.0.1", "garage.home.arpa"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    prepare(tmp_path)
    return tmp_path


@pytest.fixture
def running(folder: Path) -> Iterator[RunningServer]:
    file = found_authority(folder / "data", NAMES, anew=False, now_ms=time.time_ns() // 1_000_000)
    names = [word for name in NAMES for word in ("--name", name)]
    server = RunningServer(folder, "--tls-cert", str(file), *names)
    yield server
    server.kill()


def trust(folder: Path) -> ssl.SSLContext:
    return ssl.create_default_context(cafile=folder / "data" / "tls" / "authority.pem")


def read_port(running: RunningServer) -> int:
    return int(running.address.rpartition(":")[2])


def read_shown(running: RunningServer, folder: Path) -> bytes:
    """The certificate that a new connection is shown."""
    with (
        socket.create_connection(("127.0.0.1", read_port(running))) as plain,
        trust(folder).wrap_socket(plain, server_hostname="garage.home.arpa") as connection,
    ):
        return connection.getpeercert(binary_form=True) or b""


def age_certificate(folder: Path, *, days: int) -> None:
    """As if it had been made so many days ago."""
    tls = folder / "data" / "tls"
    then_ms = time.time_ns() // 1_000_000 - days * DAY_MS
    leaf = make_leaf(_read_authority(tls), NAMES, now=_read_moment(then_ms))
    (tls / SERVER).write_bytes(write_key(leaf.key) + write_certificate(leaf.certificate))


def test_the_certificate_is_renewed_without_a_start(running: RunningServer, folder: Path) -> None:
    with httpx.Client(base_url=running.address, verify=trust(folder)) as client:
        before = read_shown(running, folder)
        days_before = client.get("/api/health").json()["certificate_days"]
        age_certificate(folder, days=300)
        running.process.send_signal(signal.SIGHUP)
        deadline = time.monotonic() + WAIT_S
        while (shown := read_shown(running, folder)) == before and time.monotonic() < deadline:
            time.sleep(0.05)
        # The connection of before is still open, and served by the same process.
        days_after = client.get("/api/health").json()["certificate_days"]

    assert shown != before
    assert (days_before, days_after) == (396, 396)
    assert running.process.poll() is None


def test_a_name_that_is_not_in_the_certificate_is_refused(running: RunningServer, folder: Path) -> None:
    with (
        socket.create_connection(("127.0.0.1", read_port(running))) as plain,
        pytest.raises(ssl.SSLCertVerificationError),
    ):
        trust(folder).wrap_socket(plain, server_hostname="bank.example")


def test_nothing_is_served_without_encryption(running: RunningServer) -> None:
    with pytest.raises(httpx.TransportError):
        httpx.get(running.address.replace("https", "http"))


def test_the_plain_page_stands_beside_it(folder: Path) -> None:
    file = found_authority(folder / "data", NAMES, anew=False, now_ms=time.time_ns() // 1_000_000)
    port = find_free_port()
    server = RunningServer(folder, "--tls-cert", str(file), "--name", NAMES[1], "--setup-port", str(port))
    page = httpx.get(f"http://127.0.0.1:{port}/setup")
    status, _ = server.stop()

    assert page.status_code == 200
    assert "Trust this server" in page.text
    assert status == 0


def test_a_certificate_that_is_spoilt_on_the_disk_leaves_the_old_one_in_use(
    running: RunningServer, folder: Path
) -> None:
    before = read_shown(running, folder)
    file = folder / "data" / "tls" / SERVER
    file.write_bytes(file.read_bytes()[:300])
    running.process.send_signal(signal.SIGHUP)
    said = running.wait_until_said("could not be renewed")

    assert read_shown(running, folder) == before
    assert "could not be renewed" in said
