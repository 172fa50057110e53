"""The web client's files, each version under its own address, so that a page never mixes two versions.

The version is the hash of every file. Files under `/v/<version>/` never change; `/` and `/sw.js` are asked
for anew each time and name the version. The service worker is given the hash of every file, so that it keeps
a version whole or not at all; it fetches them in one answer, which packs far better than two hundred.

Comments stay in the files and do not travel: a line that is nothing but comment goes out empty, so that lines
keep their numbers.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, field
from pathlib import Path

import orjson

from fillfirst.errors import SettingsError
from fillfirst.web.compressing import compress
from fillfirst.web.gathering import join_styles, name_modules

INDEX = "index.html"
STYLES = "styles/index.css"
WORKER = "service-worker.js"
WORKER_OFF = "sw-off.js"
# These have addresses of their own.
APART = {INDEX, WORKER, WORKER_OFF}
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".woff2": "font/woff2",
}
# All files at once, as the worker asks for them: name -> [type, text].
WHOLE = "whole.json"
# Comments that fill their lines. A line of a text that looks like one would go too: tests/webui/test_types.py
# finds out whether a script has one.
COMMENT_LINES = {
    ".js": re.compile(rb"^[ \t]*(?://[^\n]*|/\*(?:(?!\*/).)*\*/[ \t]*)$", re.MULTILINE | re.DOTALL),
    ".css": re.compile(rb"^[ \t]*/\*(?:(?!\*/).)*\*/[ \t]*$", re.MULTILINE | re.DOTALL),
}
# Smaller than this, or packed already, a file gains nothing.
COMPRESS_FROM_BYTES = 600
PACKED = {".png", ".woff2"}
VERSION_DIGITS = 16


@dataclass(slots=True)
class ShellFile:
    """One file, as it is served."""

    body: bytes
    type: str
    suffix: str
    _compressed: dict[str, bytes] = field(default_factory=dict, repr=False)
    _tag: str = field(default="", repr=False)

    @property
    def tag(self) -> str:
        """The same however it is packed, and so a weak one."""
        self._tag = self._tag or f'W/"{hashlib.sha256(self.body).hexdigest()[:32]}"'
        return self._tag

    def compress(self, encoding: str) -> bytes | None:
        """Packed on the first demand: a start should not wait for what nobody asked for yet."""
        if len(self.body) < COMPRESS_FROM_BYTES or self.suffix in PACKED:
            return None
        if encoding not in self._compressed:
            self._compressed[encoding] = compress(self.body, encoding)
        return self._compressed[encoding]


@dataclass(frozen=True, slots=True)
class ShellVersion:
    """All files of one version; `files` by their address under the version, `whole` all texts among them."""

    version: str
    index: ShellFile
    worker: ShellFile
    files: dict[str, ShellFile]
    whole: ShellFile


class Shell:
    """The version that is served. With `follow`, changed files are a new version at the next request."""

    def __init__(
        self, folder: Path, *, is_off: bool = False, force_update: bool = False, follow: bool = False
    ) -> None:
        self._folder = folder
        self._is_off = is_off
        self._force_update = force_update
        self._follow = follow
        self._stamp = _stamp(folder) if follow else None
        self._version = self._load()

    def get(self) -> ShellVersion:
        if self._follow and (stamp := _stamp(self._folder)) != self._stamp:
            self._version, self._stamp = self._load(), stamp
        return self._version

    def _load(self) -> ShellVersion:
        return load_version(self._folder, is_off=self._is_off, force_update=self._force_update)


def load_version(folder: Path, *, is_off: bool = False, force_update: bool = False) -> ShellVersion:
    """Read all files and work out the version. Raises SettingsError if the folder is no web client."""
    found = {path.relative_to(folder).as_posix(): path.read_bytes() for path in _list(folder)}
    for name in (INDEX, WORKER, WORKER_OFF) if is_off else (INDEX, WORKER):
        if name not in found:
            raise SettingsError("--webui", f"no {name} in {folder}", "the folder of the web client")
    hashes = {name: hashlib.sha256(body).hexdigest() for name, body in sorted(found.items())}
    # Of the files as they were written: a changed comment is another version too.
    version = hashlib.sha256(orjson.dumps(hashes)).hexdigest()[:VERSION_DIGITS]
    page = name_modules(found[INDEX].decode(), found).encode()
    index = page.replace(b'="./', f'="/v/{version}/'.encode())
    if STYLES in found:
        found[STYLES] = join_styles(STYLES, found)
    files = {
        name: ShellFile(
            drop_comments(name, body),
            TYPES.get(Path(name).suffix, "application/octet-stream"),
            Path(name).suffix,
        )
        for name, body in found.items()
        if name not in APART
    }
    package = {
        "version": version,
        "files": {"/": hashlib.sha256(index).hexdigest()}
        | {f"/v/{version}/{name}": hashlib.sha256(files[name].body).hexdigest() for name in sorted(files)},
        "force": force_update,
    }
    worker = b"self.PACKAGE = " + orjson.dumps(package) + b";\n" + drop_comments(WORKER, found[WORKER])
    return ShellVersion(
        version,
        ShellFile(index, TYPES[".html"], ".html"),
        ShellFile(found[WORKER_OFF] if is_off else worker, TYPES[".js"], ".js"),
        files,
        _join(files),
    )


def drop_comments(name: str, body: bytes) -> bytes:
    """The file without the comments that fill whole lines; each line keeps its number."""
    lines = COMMENT_LINES.get(Path(name).suffix)
    return body if lines is None else lines.sub(lambda found: b"\n" * found[0].count(b"\n"), body)


def _join(files: dict[str, ShellFile]) -> ShellFile:
    texts = {
        name: [file.type, file.body.decode()] for name, file in files.items() if file.suffix not in PACKED
    }
    return ShellFile(orjson.dumps(texts), TYPES[".json"], ".json")


def _list(folder: Path) -> list[Path]:
    """Every file, except hidden ones."""
    paths = (path for path in folder.rglob("*") if path.is_file())
    return sorted(
        path for path in paths if not any(p.startswith(".") for p in path.relative_to(folder).parts)
    )


def _stamp(folder: Path) -> list[tuple[str, int]]:
    return [(str(path), path.stat().st_mtime_ns) for path in _list(folder)]
