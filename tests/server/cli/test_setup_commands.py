"""init and unit: what a keeper types once."""

from __future__ import annotations

import configparser
import io
import tomllib
from pathlib import Path

import pytest

from fillfirst.access.certificate import found_authority, read_authority
from fillfirst.cli import main
from fillfirst.settings import read_settings


@pytest.fixture(autouse=True)
def alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without a network, whose own addresses are not in what it makes."""
    monkeypatch.setattr("fillfirst.commands.setup._find_addresses", lambda: [])


def read_file(data: Path) -> dict[str, object]:
    return tomllib.loads((data / "settings.toml").read_text())


def test_init_makes_an_authority_and_writes_everything_down(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["init", "--data", str(tmp_path), "--name", "Garage.home.arpa", "--name", "192.168.1.5"]) == 0
    said = capsys.readouterr().out

    assert read_file(tmp_path) == {
        "origin": "https://garage.home.arpa:8765",
        "host": "0.0.0.0",
        "port": 8765,
        "tls_cert": "tls/server.pem",
        "setup_port": 8764,
        "names": ["garage.home.arpa", "192.168.1.5"],
    }
    assert read_authority(tmp_path) is not None
    assert "  http://192.168.1.5:8764/setup" in said.splitlines()


def test_init_asks_for_the_one_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("garage.home.arpa\n"))
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)

    assert main(["init", "--data", str(tmp_path)]) == 0
    assert "Choose one that will stay" in capsys.readouterr().out
    assert read_settings({}, data=tmp_path).address == "https://garage.home.arpa:8765"


def test_init_without_a_name_or_anyone_to_ask_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))

    assert main(["init", "--data", str(tmp_path)]) == 1
    assert "--name: found no name, and nobody to ask" in capsys.readouterr().err


def test_init_takes_a_certificate_of_ones_own(tmp_path: Path) -> None:
    own = found_authority(tmp_path / "own", ["garage.example.org"], anew=False, now_ms=0)
    words = ["--name", "garage.example.org", "--port", "443", "--tls-cert", str(own)]

    assert main(["init", "--data", str(tmp_path / "data"), *words]) == 0
    assert read_file(tmp_path / "data") == {
        "origin": "https://garage.example.org",
        "host": "0.0.0.0",
        "port": 443,
        "tls_cert": str(own),
        "names": ["garage.example.org"],
    }


def test_init_refuses_a_certificate_that_cannot_be_used(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["--name", "garage.example.org", "--tls-cert", str(tmp_path / "none.pem")]

    assert main(["init", "--data", str(tmp_path), *words]) == 1
    assert "which cannot be used together" in capsys.readouterr().err
    assert not (tmp_path / "settings.toml").exists()


def test_init_stays_behind_a_proxy(tmp_path: Path) -> None:
    words = ["--name", "fill.example.org", "--behind-proxy"]

    assert main(["init", "--data", str(tmp_path), *words]) == 0
    assert read_file(tmp_path) == {
        "behind_proxy": True,
        "origin": "https://fill.example.org",
        "host": "127.0.0.1",
        "port": 8765,
        "names": ["fill.example.org"],
    }


def test_init_keeps_what_else_a_keeper_wrote(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text("demo = true\nbehind_proxy = true\nport = 1\n")
    main(["init", "--data", str(tmp_path), "--name", "garage.local"])

    assert read_file(tmp_path)["demo"] is True
    assert "behind_proxy" not in read_file(tmp_path)


def read_unit(text: str) -> configparser.RawConfigParser:
    unit = configparser.RawConfigParser(strict=True)
    unit.optionxform = str  # type: ignore[assignment,method-assign]
    unit.read_string(text)
    return unit


def test_unit_starts_this_server_with_its_data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "data of 100%"

    assert main(["unit", "--data", str(folder), "--user", "fill"]) == 0
    service = read_unit(capsys.readouterr().out)["Service"]
    quoted = '"' + str(folder).replace("%", "%%") + '"'
    assert service["ExecStart"].endswith(f" -m fillfirst serve --data {quoted}")
    assert (service["User"], service["ReadWritePaths"]) == ("fill", quoted)
    assert (service["Type"], service["AmbientCapabilities"]) == ("notify", "")


def test_unit_may_take_a_low_port_where_that_is_set(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "settings.toml").write_text("port = 443\n")
    main(["unit", "--data", str(tmp_path)])

    assert read_unit(capsys.readouterr().out)["Service"]["AmbientCapabilities"] == "CAP_NET_BIND_SERVICE"
