"""Settings: a flag wins over a variable, and that over what is written."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

from fillfirst.errors import SettingsError
from fillfirst.settings import CHECKOUT, Settings, find_folder, read_settings


def test_without_a_word_it_serves_this_machine_alone() -> None:
    settings = read_settings({"XDG_DATA_HOME": "/data"})

    assert settings == Settings(data=Path("/data/fillfirst"))
    assert settings.address == "http://127.0.0.1:8765"


def test_data_has_its_place_in_a_home_without_variables(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", "/home/ada")

    assert read_settings({}).data == Path("/home/ada/.local/share/fillfirst")


def test_every_setting_has_a_variable() -> None:
    environ = {
        "FILLFIRST_DATA": "/d",
        "FILLFIRST_HOST": "0.0.0.0",
        "FILLFIRST_PORT": "9000",
        "FILLFIRST_NAMES": "garage.home.arpa, 192.168.1.5",
        "FILLFIRST_SPECS": "/s",
        "FILLFIRST_OWN": "/o",
        "FILLFIRST_WEBUI": "/w",
        "FILLFIRST_DEMO": "yes",
        "FILLFIRST_SW_OFF": "1",
        "FILLFIRST_FORCE_UPDATE": "true",
        "FILLFIRST_FOLLOW": "On",
        "FILLFIRST_ORIGIN": "https://Garage.home.arpa:443/",
        "FILLFIRST_TLS_CERT": "/c.pem",
        "FILLFIRST_TLS_KEY": "/k.pem",
        "FILLFIRST_BEHIND_PROXY": "no",
        "FILLFIRST_SETUP_PORT": "8764",
        "FILLFIRST_DATABASE": "postgresql://ada@db/garage",
        "FILLFIRST_PHOTOS": "s3+https://photos.home.arpa/garage",
        "FILLFIRST_BACKUPS": "/b",
        "FILLFIRST_BACKUP_EVERY": "6",
        "FILLFIRST_BACKUP_KEEP": "30",
        "FILLFIRST_BACKUP_KEEP_MONTHS": "12",
        "FILLFIRST_BACKUP_PASSPHRASE_FILE": "/p",
        "FILLFIRST_LOG": "json",
    }
    settings = read_settings(environ)

    assert {f"FILLFIRST_{field.name.upper()}" for field in fields(Settings)} == environ.keys()
    assert settings == Settings(
        data=Path("/d"),
        host="0.0.0.0",
        port=9000,
        names=("garage.home.arpa", "192.168.1.5"),
        specs=Path("/s"),
        own=Path("/o"),
        webui=Path("/w"),
        demo=True,
        sw_off=True,
        force_update=True,
        follow=True,
        origin="https://garage.home.arpa",
        tls_cert=Path("/c.pem"),
        tls_key=Path("/k.pem"),
        behind_proxy=False,
        setup_port=8764,
        database="postgresql://ada@db/garage",
        photos="s3+https://photos.home.arpa/garage",
        backups=Path("/b"),
        backup_every=6,
        backup_keep=30,
        backup_keep_months=12,
        backup_passphrase_file=Path("/p"),
        log="json",
    )


def test_a_flag_wins_over_a_variable() -> None:
    environ = {"FILLFIRST_PORT": "9000", "FILLFIRST_HOST": "::1"}

    assert read_settings(environ, port=9001, host=None).address == "http://[::1]:9001"


def test_a_variable_wins_over_the_file_in_the_data_folder(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text(
        'port = 9000\nnames = ["a.local", "b.local"]\ndemo = true\ntls_cert = "tls/server.pem"\n'
    )
    settings = read_settings({"FILLFIRST_DATA": str(tmp_path), "FILLFIRST_PORT": "9001"})

    assert (settings.port, settings.names, settings.demo) == (9001, ("a.local", "b.local"), True)
    assert settings.tls_cert == tmp_path / "tls" / "server.pem"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("prot = 1", r'settings\.toml: found "prot"; expected one of .*port'),
        ("port =", r"settings\.toml: found a file that cannot be read; expected TOML"),
        ("port = 70000", r'settings\.toml, port: found "70000"; expected a port'),
        ('origin = "ftp://x"', r'--origin: found "ftp://x"; expected an address such as'),
        ('origin = "https://x:y"', r'--origin: found "https://x:y"; expected an address such as'),
        ('origin = "https://x/app"', r'--origin: found "https://x/app"; expected an address such as'),
    ],
)
def test_a_file_that_cannot_be_used_is_told(tmp_path: Path, text: str, message: str) -> None:
    (tmp_path / "settings.toml").write_text(text)

    with pytest.raises(SettingsError, match=message):
        read_settings({"FILLFIRST_DATA": str(tmp_path)})


@pytest.mark.parametrize(
    ("variable", "text", "message"),
    [
        ("FILLFIRST_PORT", "http", 'FILLFIRST_PORT: found "http"; expected a port from 0 to 65535.'),
        ("FILLFIRST_PORT", "70000", 'FILLFIRST_PORT: found "70000"; expected a port from 0 to 65535.'),
        ("FILLFIRST_DEMO", "maybe", 'FILLFIRST_DEMO: found "maybe"; expected yes or no.'),
    ],
)
def test_a_variable_that_cannot_be_read_is_told(variable: str, text: str, message: str) -> None:
    with pytest.raises(SettingsError) as refused:
        read_settings({variable: text})

    assert str(refused.value) == message


@pytest.mark.parametrize("name", ["webui", "specs"])
def test_in_a_checkout_the_folders_lie_beside_the_package(name: str) -> None:
    assert find_folder(name, None) == CHECKOUT / name


@pytest.mark.parametrize("name", ["webui", "specs"])
def test_in_an_installed_package_the_folders_lie_inside(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site-packages" / "fillfirst"
    (package / f"{name}_files").mkdir(parents=True)
    monkeypatch.setattr("fillfirst.settings.PACKAGE", package)

    assert find_folder(name, None) == package / f"{name}_files"


def test_a_folder_that_is_named_wins(tmp_path: Path) -> None:
    assert find_folder("webui", tmp_path) == tmp_path


def test_a_named_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match=r"--specs: found .*none, which is no folder"):
        find_folder("specs", tmp_path / "none")


def test_a_package_without_its_folders_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fillfirst.settings.PACKAGE", tmp_path / "fillfirst")

    with pytest.raises(SettingsError, match=r"Install again, or give --webui\."):
        find_folder("webui", None)


@pytest.mark.parametrize(
    ("host", "address"),
    [("0.0.0.0", "http://127.0.0.1:8765"), ("::", "http://[::1]:8765"), ("::1", "http://[::1]:8765")],
)
def test_the_address_is_one_that_a_browser_here_can_open(host: str, address: str) -> None:
    assert Settings(data=Path(), host=host).address == address


def test_settings_cannot_be_changed_afterwards() -> None:
    settings: Any = Settings(data=Path())

    with pytest.raises(AttributeError):
        settings.port = 1
