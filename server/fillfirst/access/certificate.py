"""The certificate that browsers are shown, on the disk: made, read, and renewed in time.

The folder `tls` of the data folder holds `authority.pem`, its key, and `server.pem`, which has both the key
and the certificate, so that one rename changes both. A keeper's own certificate lies wherever they keep it.
"""

from __future__ import annotations

import datetime
import os
import ssl
from collections.abc import Sequence
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import load_pem_private_key

from fillfirst.access.authority import (
    KeyPair,
    is_permitted,
    list_names,
    make_authority,
    make_leaf,
    write_certificate,
    write_key,
)
from fillfirst.errors import SettingsError

FOLDER = "tls"
AUTHORITY, AUTHORITY_KEY, SERVER = "authority.pem", "authority-key.pem", "server.pem"
DAY_MS = 24 * 60 * 60 * 1000


def found_authority(data: Path, names: Sequence[str], *, anew: bool, now_ms: int) -> Path:
    """Make the authority, unless there is one, and a certificate for these names; the file that has it.

    Raises SettingsError where the authority that phones trust already may not speak for one of the names.
    """
    folder = data / FOLDER
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    if anew or not (folder / AUTHORITY).exists():
        authority = make_authority(names, now=_read_moment(now_ms))
        _write(folder / AUTHORITY_KEY, write_key(authority.key), mode=0o600)
        _write(folder / AUTHORITY, write_certificate(authority.certificate), mode=0o644)
    authority = _read_authority(folder)
    foreign = [name for name in names if not is_permitted(authority.certificate, name)]
    if foreign:
        raise SettingsError(
            "--name",
            f"{foreign[0]}, for which this house's authority may not speak",
            "a name it was made for",
            "With --new-authority another one is made, and every phone has to be told to trust it.",
        )
    _write_leaf(folder, authority, names, now_ms=now_ms)
    return folder / SERVER


def read_authority(data: Path) -> x509.Certificate | None:
    """The authority of this house, without its key, if there is one."""
    path = data / FOLDER / AUTHORITY
    return x509.load_pem_x509_certificate(path.read_bytes()) if path.exists() else None


class ServedCertificate:
    """A certificate in use. `refresh` renews or reads it again."""

    def __init__(self, certificate: Path, key: Path | None, *, data: Path, names: Sequence[str]) -> None:
        """Raises SettingsError if the files are not a certificate and its key."""
        self.file, self.key_file = certificate, key or certificate
        self._folder = data / FOLDER
        self._names = names
        self._found = self._read()

    @property
    def is_own(self) -> bool:
        """Whether it is made by this house's authority, and so renewed by this server."""
        return self.file.resolve() == (self._folder / SERVER).resolve()

    def count_days(self, now_ms: int) -> int:
        """Whole days until browsers refuse it; below zero when they do."""
        return int((_write_moment(self._found.not_valid_after_utc) - now_ms) // DAY_MS)

    def refresh(self, now_ms: int) -> bool:
        """Renew the certificate if it is time, and read it anew; whether it is another one now.

        Raises SettingsError, and then the one in use stays.
        """
        before, self._found = self._found, self._read()
        if self.is_own and self._is_due(now_ms):
            _write_leaf(self._folder, _read_authority(self._folder), self._names, now_ms=now_ms)
            self._found = self._read()
        return self._found != before

    def _is_due(self, now_ms: int) -> bool:
        """At one third of its life, or when it is for other names."""
        start, end = self._found.not_valid_before_utc, self._found.not_valid_after_utc
        is_late = _read_moment(now_ms) >= end - (end - start) / 3
        return is_late or set(list_names(self._found)) != set(self._names)

    def _read(self) -> x509.Certificate:
        try:
            # On a context of its own: a pair that does not match would spoil the one in use.
            ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(self.file, self.key_file)
            return x509.load_pem_x509_certificates(self.file.read_bytes())[0]
        except (OSError, ValueError) as error:
            raise SettingsError(
                "--tls-cert and --tls-key",
                f"{self.file} and {self.key_file}, which cannot be used together",
                "a certificate and its key, both in PEM",
                "fillfirst init makes both.",
            ) from error


def _read_authority(folder: Path) -> KeyPair:
    try:
        certificate = x509.load_pem_x509_certificate((folder / AUTHORITY).read_bytes())
        key = load_pem_private_key((folder / AUTHORITY_KEY).read_bytes(), None)
    except (OSError, ValueError) as error:
        raise SettingsError(
            str(folder), "no authority and its key", "those that init made", "Put them back from a backup."
        ) from error
    assert isinstance(key, ec.EllipticCurvePrivateKey)
    return KeyPair(certificate, key)


def _write_leaf(folder: Path, authority: KeyPair, names: Sequence[str], *, now_ms: int) -> None:
    leaf = make_leaf(authority, names, now=_read_moment(now_ms))
    _write(folder / SERVER, write_key(leaf.key) + write_certificate(leaf.certificate), mode=0o600)


def _write(path: Path, body: bytes, *, mode: int) -> None:
    """The whole file or the old one, and never for a moment readable by others."""
    part = path.with_suffix(".part")
    part.unlink(missing_ok=True)
    with open(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
        file.write(body)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)


def _read_moment(ms: int) -> datetime.datetime:
    return datetime.datetime.fromtimestamp(ms / 1000, datetime.UTC)


def _write_moment(moment: datetime.datetime) -> int:
    return int(moment.timestamp() * 1000)
