"""Everything that can be set, in one frozen object that is read once at start.

A flag wins over an environment variable, that over the file `settings.toml` in the data folder, and that over
what is written here. Each setting is the flag `--name` and the variable `FILLFIRST_NAME`, with `-` and `_` in
place of spaces.
"""

from __future__ import annotations

import json
import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from fillfirst.errors import SettingsError

PREFIX = "FILLFIRST_"
FILE = "settings.toml"
PACKAGE = Path(__file__).parent
# server/fillfirst/ lies two folders below the top of a checkout.
CHECKOUT = PACKAGE.parent.parent
YES = {"1", "yes", "true", "on"}
NO = {"", "0", "no", "false", "off"}
# How a setting is read from text; all others are texts.
PATHS = {"data", "specs", "webui", "tls_cert", "tls_key", "backups", "backup_passphrase_file", "own"}
LISTS = {"names"}
PORTS = {"port", "setup_port"}
COUNTS = {"backup_every", "backup_keep", "backup_keep_months"}
CHOICES = {"log": ("plain", "json")}
SWITCHES = {"demo", "sw_off", "force_update", "follow", "behind_proxy"}


def find_data_folder(environ: Mapping[str, str]) -> Path:
    """Where a program keeps what it must not lose (XDG base directory specification)."""
    home = environ.get("XDG_DATA_HOME")
    return (Path(home) if home else Path.home() / ".local" / "share") / "fillfirst"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How this server runs."""

    data: Path
    """The folder of the database and the photos."""
    host: str = "127.0.0.1"
    """The address to listen on; 0.0.0.0 for every one this machine has."""
    port: int = 8765
    names: tuple[str, ...] = ()
    """Names and addresses, besides loopback, that a browser may reach this server by."""
    origin: str | None = None
    """The one address that phones use, such as https://garage.home.arpa:8765; pages asked for by any other
    name lead there. To a browser another name, or another port, is another app with nothing in it."""
    tls_cert: Path | None = None
    """The certificate to show to browsers."""
    tls_key: Path | None = None
    """Its key, where that is not in the same file."""
    behind_proxy: bool = False
    """Believe the proxy in front which host was asked for, and that it was asked over https."""
    setup_port: int = 0
    """The port of the plain page from which phones take the authority they are to trust; 0 for none."""
    database: str | None = None
    """The PostgreSQL database to keep everything in, such as postgresql://fillfirst@db.home.arpa/fillfirst; a
    file in the data folder where none is named."""
    photos: str | None = None
    """Where the bytes of photos lie: a folder, or s3+https://HOST/BUCKET/FOLDER; in the data folder where
    none is named."""
    backups: Path | None = None
    """The folder of backups, best on another disk; in the data folder where none is named."""
    backup_every: int = 24
    """How many hours lie between two backups; 0 for none."""
    backup_keep: int = 7
    """How many backups are kept; 0 for all."""
    backup_keep_months: int = 3
    """Of how many months the last backup is kept besides."""
    backup_passphrase_file: Path | None = None
    """A file whose first line is the passphrase that seals backups; not sealed where none is named."""
    log: str = "plain"
    """What the server says of itself: plain for troubles only, json for a line of JSON on every request."""
    specs: Path | None = None
    """The folder of specs; what came with fillfirst where none is named."""
    own: Path | None = None
    """A folder of the keeper's own specs, laid over the others; they are checked and proved together."""
    webui: Path | None = None
    """The folder of the web client; what came with fillfirst where none is named."""
    demo: bool = False
    """Offer a one-time link at every start."""
    sw_off: bool = False
    """Serve a service worker that removes itself, for phones stuck on a broken version."""
    force_update: bool = False
    """Let phones install this version although a visit is open: for a fix that cannot wait."""
    follow: bool = False
    """Look at the web client's files at every request, for whoever is changing them."""

    @property
    def address(self) -> str:
        """What a person types into a browser."""
        if self.origin is not None:
            return self.origin
        host = {"0.0.0.0": "127.0.0.1", "::": "[::1]"}.get(self.host, self.host)
        return f"{'https' if self.tls_cert else 'http'}://{bracket(host)}:{self.port}"

    @property
    def all_names(self) -> tuple[str, ...]:
        """Every name a browser may use but loopback; the one of the origin first."""
        name = urlsplit(self.origin).hostname if self.origin else None
        return tuple(dict.fromkeys([*([name] if name else []), *self.names]))

    @property
    def backup_folder(self) -> Path:
        return self.backups or self.data / "backups"

    @property
    def specs_folder(self) -> Path:
        return find_folder("specs", self.specs)

    @property
    def own_folder(self) -> Path | None:
        return find_folder("own", self.own) if self.own is not None else None

    @property
    def webui_folder(self) -> Path:
        return find_folder("webui", self.webui)


def bracket(host: str) -> str:
    """A host as it stands in an address."""
    return f"[{host}]" if ":" in host and not host.startswith("[") else host


def read_settings(environ: Mapping[str, str] | None = None, **flags: Any) -> Settings:
    """Settings from the file, the environment and flags; a flag that is None was not given.

    Raises SettingsError.
    """
    environ = os.environ if environ is None else environ
    known = {field.name: f"{PREFIX}{field.name.upper()}" for field in fields(Settings)}
    given = {
        name: _read(name, variable, environ[variable])
        for name, variable in known.items()
        if variable in environ
    }
    given |= {name: value for name, value in flags.items() if value is not None}
    data = given.pop("data", None) or find_data_folder(environ)
    settings = replace(Settings(data=data), **(_read_written(data / FILE) | given))
    return replace(settings, origin=_read_origin(settings.origin))


def _read(name: str, where: str, text: str) -> Any:
    if name in PATHS:
        return Path(text)
    if name in LISTS:
        return tuple(part.strip() for part in text.split(",") if part.strip())
    if name in PORTS:
        if not text.isdecimal() or not 0 <= int(text) <= 65535:
            raise SettingsError(where, f'"{text}"', "a port from 0 to 65535")
        return int(text)
    if name in COUNTS:
        if not text.isdecimal() or len(text) > 6:
            raise SettingsError(where, f'"{text}"', "a whole number")
        return int(text)
    if name in CHOICES and text not in CHOICES[name]:
        raise SettingsError(where, f'"{text}"', " or ".join(CHOICES[name]))
    if name in SWITCHES:
        if text.lower() not in YES | NO:
            raise SettingsError(where, f'"{text}"', "yes or no")
        return text.lower() in YES
    return text


def read_file(path: Path) -> dict[str, Any]:
    """What a settings file says, as it is written there; nothing if there is none. Raises SettingsError."""
    try:
        return tomllib.loads(path.read_text()) if path.exists() else {}
    except (OSError, ValueError) as error:
        raise SettingsError(str(path), "a file that cannot be read", "TOML", str(error)) from error


def _read_written(path: Path) -> dict[str, Any]:
    """What the keeper's file says; a path in it begins where the file lies."""
    written = read_file(path)
    known = {field.name for field in fields(Settings)} - {"data"}
    for name in written:
        if name not in known:
            raise SettingsError(str(path), f'"{name}"', "one of " + ", ".join(sorted(known)))
    values = {name: _read(name, f"{path}, {name}", _flatten(value)) for name, value in written.items()}
    return {name: path.parent / value if name in PATHS else value for name, value in values.items()}


def _flatten(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ",".join(map(str, value)) if isinstance(value, list) else str(value)


def write_file(path: Path, settings: Mapping[str, Any]) -> None:
    """Write a settings file; the values are texts, numbers, yes or no, and lists of texts."""
    # Strings, numbers, lists and booleans of JSON are those of TOML.
    lines = [f"{name} = {json.dumps(value, ensure_ascii=False)}\n" for name, value in settings.items()]
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(
        "# Written by fillfirst init. A flag or an environment variable wins over it.\n" + "".join(lines)
    )


def _read_origin(text: str | None) -> str | None:
    """The origin as browsers write it: no path, no port that goes without saying."""
    if text is None:
        return None
    parts = urlsplit(text if "://" in text else f"https://{text}")
    try:
        port = parts.port
    except ValueError:
        port = -1
    if (
        parts.scheme not in ("http", "https")
        or not parts.hostname
        or port == -1
        or parts.path not in ("", "/")
    ):
        raise SettingsError("--origin", f'"{text}"', "an address such as https://garage.home.arpa:8765")
    ordinary = 443 if parts.scheme == "https" else 80
    return f"{parts.scheme}://{bracket(parts.hostname)}" + ("" if port in (None, ordinary) else f":{port}")


def find_folder(name: str, named: Path | None) -> Path:
    """The folder that was named; else the one of this checkout; else the one that came in the package.

    Raises SettingsError.
    """
    if named is not None:
        if not named.is_dir():
            raise SettingsError(f"--{name}", f"{named}, which is no folder", f"the folder of {name}")
        return named
    is_checkout = (CHECKOUT / "pyproject.toml").is_file() and PACKAGE.parent.name == "server"
    folder = CHECKOUT / name if is_checkout else PACKAGE / f"{name}_files"
    if not folder.is_dir():
        raise SettingsError(
            name,
            f"no folder {folder}",
            f"the {name} that come with fillfirst",
            f"Install again, or give --{name}.",
        )
    return folder
