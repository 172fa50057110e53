"""Encrypts a stream with a passphrase, so that a copy may lie where others can read it.

Chunks of one mebibyte, each with AES-256-GCM, its number and whether it is the last one in the nonce: none
can be changed, left out, repeated or put elsewhere, and a file that was cut short is told from a whole one.
The key comes from the passphrase by scrypt, whose cost stands in the head of the file.

Sources: NIST SP 800-38D (GCM); RFC 7914 (scrypt); Hoang, Reyhanitabar, Rogaway and Vizár, "Online
Authenticated-Encryption and its Nonce-Reuse Misuse-Resistance", 2015 (the STREAM construction).
"""

from __future__ import annotations

import hashlib
import json
import secrets
from typing import Any, BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from fillfirst.errors import BackupError

MAGIC = b"fillfirst-sealed "
CHUNK_BYTES = 1024 * 1024
TAG_BYTES = 16
# 32 MiB of memory and about a third of a second on a small box; a guess costs an attacker the same.
SCRYPT = {"n": 2**15, "r": 8, "p": 3}
SCRYPT_MEMORY_BYTES = 256 * 1024 * 1024
# A head may ask for dearer keys than ours, but not for a day of counting.
MOST_P = 16
SALT_BYTES, PREFIX_BYTES = 16, 7
HEAD_LIMIT_BYTES = 1024


def _derive(passphrase: str, head: dict[str, Any]) -> AESGCM:
    """Raises ValueError, KeyError, TypeError or OverflowError for a head that is none."""
    salt, prefix = bytes.fromhex(head["salt"]), bytes.fromhex(head["prefix"])
    if head["p"] > MOST_P or (len(salt), len(prefix)) != (SALT_BYTES, PREFIX_BYTES):
        raise ValueError("no such head is ever written")
    key = hashlib.scrypt(
        passphrase.encode(),
        salt=salt,
        n=head["n"], r=head["r"], p=head["p"],
        maxmem=SCRYPT_MEMORY_BYTES, dklen=32,
    )  # fmt: skip
    return AESGCM(key)


def _nonce(head: dict[str, Any], number: int, *, is_last: bool) -> bytes:
    return bytes.fromhex(head["prefix"]) + number.to_bytes(4) + bytes([is_last])


class Sealer:
    """Takes bytes and writes them sealed. `finish` must be called, or the file counts as cut short."""

    def __init__(self, file: BinaryIO, passphrase: str) -> None:
        head = {"format": 1, **SCRYPT, "salt": secrets.token_hex(SALT_BYTES)}
        head["prefix"] = secrets.token_hex(PREFIX_BYTES)
        self._cipher = _derive(passphrase, head)
        # Sealing nothing under a nonce that no chunk has tells a wrong passphrase from a damaged file.
        head["check"] = self._cipher.encrypt(_nonce(head, 2**32 - 1, is_last=False), b"", b"").hex()
        self._head = head
        self._line = MAGIC + json.dumps(head, separators=(",", ":")).encode() + b"\n"
        self._file = file
        self._waiting = bytearray()
        self._number = 0
        file.write(self._line)

    def write(self, data: bytes) -> int:
        self._waiting += data
        # One chunk is always held back: only the end tells which is the last.
        while len(self._waiting) > CHUNK_BYTES:
            self._seal(bytes(self._waiting[:CHUNK_BYTES]), is_last=False)
            del self._waiting[:CHUNK_BYTES]
        return len(data)

    def finish(self) -> None:
        self._seal(bytes(self._waiting), is_last=True)

    def _seal(self, chunk: bytes, *, is_last: bool) -> None:
        nonce = _nonce(self._head, self._number, is_last=is_last)
        self._file.write(self._cipher.encrypt(nonce, chunk, self._line))
        self._number += 1


class Opener:
    """Gives the bytes of a sealed file back. Raises BackupError, and never gives bytes that were changed."""

    def __init__(self, file: BinaryIO, passphrase: str) -> None:
        self._file = file
        self._line = file.readline(HEAD_LIMIT_BYTES)
        try:
            self._head = json.loads(self._line.removeprefix(MAGIC))
            self._cipher = _derive(passphrase, self._head)
            check = bytes.fromhex(self._head["check"])
            nonce = _nonce(self._head, 2**32 - 1, is_last=False)
        except (ValueError, KeyError, TypeError, OverflowError) as error:
            raise BackupError("damaged", "The head of this backup cannot be read.") from error
        try:
            self._cipher.decrypt(nonce, check, b"")
        except InvalidTag as error:
            raise BackupError(
                "wrong_passphrase", "The passphrase is not the one it was sealed with."
            ) from error
        self._next = file.read(CHUNK_BYTES + TAG_BYTES)
        self._number = 0
        self._open = b""
        self._at = 0

    def read(self, size: int = -1) -> bytes:
        assert size >= 0, "a sealed file is read part by part"
        while len(self._open) - self._at < size and self._next:
            self._open = self._open[self._at :] + self._unseal()
            self._at = 0
        found = self._open[self._at : self._at + size]
        self._at += len(found)
        return found

    def _unseal(self) -> bytes:
        chunk, self._next = self._next, self._file.read(CHUNK_BYTES + TAG_BYTES)
        is_last = not self._next
        nonce = _nonce(self._head, self._number, is_last=is_last)
        self._number += 1
        try:
            return self._cipher.decrypt(nonce, chunk, self._line)
        except InvalidTag as error:
            if is_last and self._is_whole_but_not_last(chunk):
                raise BackupError("cut_short", "The end of this backup is missing.") from error
            raise BackupError("damaged", "This backup was changed or cut short.") from error

    def _is_whole_but_not_last(self, chunk: bytes) -> bool:
        try:
            self._cipher.decrypt(_nonce(self._head, self._number - 1, is_last=False), chunk, self._line)
        except InvalidTag:
            return False
        return True
