"""Everything that can be set, in one frozen object that is read once at start.

A flag wins over an environment variable, and that over what is written here. Each setting is the flag
`--name` and the variable `FILLFIRST_NAME`, with `-` and `_` in place of spaces.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from fillfirst.errors import SettingsError

PREFIX = "FILLFIRST_"
PACKAGE = Path(__file__).parent
# server/fillfirst/ lies two folders below the top of a checkout.
CHECKOUT = PACKAGE.parent.parent
YES = {"1", "yes", "true", "on"}
NO = {"", "0", "no", "false", "off"}


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
    specs: Path | None = None
    """The folder of specs; what came with fillfirst where none is named."""
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
        """What a person types into a browser on this machine."""
        host = {"0.0.0.0": "127.0.0.1", "::": "[::1]"}.get(self.host, self.host)
        return f"http://{f'[{host}]' if ':' in host and not host.startswith('[') else host}:{self.port}"

    @property
    def specs_folder(self) -> Path:
        return find_folder("specs", self.specs)

    @property
    def webui_folder(self) -> Path:
        return find_folder("webui", self.webui)


def read_settings(environ: Mapping[str, str] | None = None, **flags: Any) -> Settings:
    """Settings from the environment and from flags; a flag that is None was not given.

    Raises SettingsError.
    """
    environ = os.environ if environ is None else environ
    settings = Settings(data=find_data_folder(environ))
    known = {field.name: f"{PREFIX}{field.name.upper()}" for field in fields(Settings)}
    given = {name: environ[variable] for name, variable in known.items() if variable in environ}
    settings = replace(settings, **{name: _read(name, known[name], text) for name, text in given.items()})
    return replace(settings, **{name: value for name, value in flags.items() if value is not None})


def _read(name: str, variable: str, text: str) -> Any:
    if name in {"data", "specs", "webui"}:
        return Path(text)
    if name == "names":
        return tuple(part.strip() for part in text.split(",") if part.strip())
    if name == "port":
        if not text.isdecimal() or not 0 <= int(text) <= 65535:
            raise SettingsError(variable, f'"{text}"', "a port from 0 to 65535")
        return int(text)
    if name in {"demo", "sw_off", "force_update", "follow"}:
        if text.lower() not in YES | NO:
            raise SettingsError(variable, f'"{text}"', "yes or no")
        return text.lower() in YES
    return text


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
