"""One backup as one file: a plain tar, or the same tar sealed with a passphrase.

In it are the database as an SQLite file, every photo under its hash, in a sealed one also what makes this
the house that phones trust, and last `manifest.json`, which says the hash of each. A file without its
manifest was cut short. Whoever has the file and no fillfirst can still open it: with tar and sqlite3, after
unsealing it as `sealing` says.
"""

from __future__ import annotations

import hashlib
import io
import os
import re
import tarfile
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import BinaryIO, cast

from pydantic import BaseModel, ValidationError

from fillfirst.errors import BackupError
from fillfirst.keeping.sealing import MAGIC, Opener, Sealer

DATABASE = "fillfirst.db"
MANIFEST = "manifest.json"
FORMAT = 1
PART_BYTES = 256 * 1024
MANIFEST_LIMIT_BYTES = 256 * 1024 * 1024
# What is put in is named so; nothing of such a name is outside the folder or a file of the system's.
NAME = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9_.-]*(/[A-Za-z0-9_-][A-Za-z0-9_.-]*)*")


class Manifest(BaseModel):
    """What a backup says of itself."""

    format: int
    version: str
    made_at_ms: int
    server_id: str
    schema_number: int
    rows: dict[str, int]
    files: dict[str, str]
    """The hash of every other member, by its name."""
    missing_photos: list[str]
    """Photos that the database knows and the shelf did not give; a phone may still hold them."""
    spoilt_photos: list[str]
    """Photos whose bytes on the shelf are no longer what they were: its disk may be failing."""


class ArchiveWriter:
    """Adds files one by one and remembers their hashes. Raises OSError if the disk fails."""

    def __init__(self, path: Path, passphrase: str | None) -> None:
        self._file = path.open("xb")
        path.chmod(0o600)
        self._sealer = Sealer(self._file, passphrase) if passphrase is not None else None
        target = cast(BinaryIO, self._sealer or self._file)
        # Closed by `finish`; one that was never finished must not get an end.
        self._tar = tarfile.open(mode="w|", fileobj=target, bufsize=PART_BYTES)  # noqa: SIM115
        self.files: dict[str, str] = {}

    def add(self, name: str, path: Path) -> str:
        """Add a file, and say the hash of its bytes as they were read."""
        with path.open("rb") as file:
            counted = _Hashing(file)
            self._tar.addfile(_describe(name, path.stat().st_size), cast(BinaryIO, counted))
        self.files[name] = counted.digest.hexdigest()
        return self.files[name]

    def finish(self, manifest: Manifest) -> None:
        """Write the list of contents, and everything to the disk."""
        body = manifest.model_dump_json(indent=1).encode()
        self._tar.addfile(_describe(MANIFEST, len(body)), io.BytesIO(body))
        self._tar.close()
        if self._sealer is not None:
            self._sealer.finish()
        self._file.flush()
        os.fsync(self._file.fileno())

    def close(self) -> None:
        """Let go of the file, finished or not."""
        self._file.close()


def is_sealed(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(len(MAGIC)) == MAGIC


def read_archive(
    path: Path, passphrase: str | None, into: Path, *, keeps: Callable[[str], bool] = lambda name: True
) -> Manifest:
    """Unpack a backup into a folder that is empty, every byte compared with the manifest.

    What `keeps` says no to is read and compared all the same, and not written.

    Raises BackupError if it is none, is cut short, was changed, or the passphrase is not its own.
    """
    files: dict[str, str] = {}
    manifest: Manifest | None = None
    try:
        with path.open("rb") as file, _open_tar(file, passphrase, is_sealed(path)) as tar:
            for member in tar:
                _check_member(member, files)
                if member.name == MANIFEST:
                    manifest = _read_manifest(tar, member)
                else:
                    files[member.name] = _unpack(tar, member, into if keeps(member.name) else None)
    # ValueError is what tarfile says of a head whose numbers are none.
    except (tarfile.TarError, EOFError, ValueError) as error:
        if not files:
            raise BackupError("not_a_backup", f"{path} is no backup of fillfirst.") from error
        raise BackupError("cut_short", f"{path} ends too early.") from error
    except BackupError as error:
        raise BackupError(error.code, f"{path}: {error.message}", error.next) from error
    if manifest is None:
        if not files:
            raise BackupError("not_a_backup", f"{path} is no backup of fillfirst.")
        raise BackupError("cut_short", f"{path} ends before its list of contents.")
    _compare(path, files, manifest)
    return manifest


def _open_tar(file: BinaryIO, passphrase: str | None, sealed: bool) -> tarfile.TarFile:
    if not sealed:
        return tarfile.open(mode="r|", fileobj=file, bufsize=PART_BYTES)
    if passphrase is None:
        raise BackupError("passphrase_needed", "It is sealed with a passphrase.")
    return tarfile.open(mode="r|", fileobj=cast(BinaryIO, Opener(file, passphrase)), bufsize=PART_BYTES)


def _read_manifest(tar: tarfile.TarFile, member: tarfile.TarInfo) -> Manifest:
    file = tar.extractfile(member)
    if file is None or member.size > MANIFEST_LIMIT_BYTES:
        raise BackupError("damaged", "Its list of contents is none.")
    try:
        manifest = Manifest.model_validate_json(file.read())
    except ValidationError as error:
        raise BackupError("damaged", "Its list of contents cannot be read.") from error
    if manifest.format > FORMAT:
        raise BackupError(
            "newer_format", f"It was made by fillfirst {manifest.version}.", "Restore it with that version."
        )
    return manifest


def _check_member(member: tarfile.TarInfo, files: dict[str, str]) -> None:
    """Whatever a file says of itself, nothing is written outside the folder, twice, or longer than it is.

    A sparse member says in a few bytes that it is as long as a disk.
    """
    is_plain = member.isreg() and not member.issparse() and NAME.fullmatch(member.name) is not None
    folders = {*Path(member.name).parents} & {Path(name) for name in files}
    if not is_plain or member.name in files or folders:
        raise BackupError("damaged", f"It holds {member.name[:80]!r}, which no backup does.")


def _unpack(tar: tarfile.TarFile, member: tarfile.TarInfo, into: Path | None) -> str:
    file = tar.extractfile(member)
    assert file is not None, "a plain file has bytes"
    digest = hashlib.sha256()
    with ExitStack() as open_files:
        out: BinaryIO | None = None
        if into is not None:
            target = into / member.name
            target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            out = open_files.enter_context(target.open("xb"))
        while chunk := file.read(PART_BYTES):
            digest.update(chunk)
            if out is not None:
                out.write(chunk)
    return digest.hexdigest()


def _compare(path: Path, files: dict[str, str], manifest: Manifest) -> None:
    if changed := sorted(name for name in files if manifest.files.get(name) != files[name]):
        raise BackupError("damaged", f"{path}: {changed[0]} is not what was put in.")
    if lost := sorted(manifest.files.keys() - files.keys()):
        raise BackupError("damaged", f"{path}: {lost[0]} is missing.")


def _describe(name: str, size: int) -> tarfile.TarInfo:
    info = tarfile.TarInfo(name)
    info.size = size
    info.mode = 0o600
    return info


class _Hashing:
    """A file that hashes what is read of it."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self.digest = hashlib.sha256()

    def read(self, size: int = -1) -> bytes:
        data = self._file.read(size)
        self.digest.update(data)
        return data
