"""Photos: bytes kept under their hash, and a row for each that is wholly here.

What a phone sends is written to this machine's disk, hashed and looked at first; only then is it put on the
shelf, so an upload that breaks off, or a power cut, leaves nothing that looks like a photo.
"""

from __future__ import annotations

import asyncio
import hashlib
import os
import secrets
import time
from collections.abc import AsyncIterator
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO, cast

from fillfirst.errors import RequestError, StoreError, StoreFullError
from fillfirst.store.connection import Database
from fillfirst.store.interface import Photo
from fillfirst.store.shelf import Shelf

LIMIT_BYTES = 16 * 1024 * 1024
# Enough of a file's beginning to tell its type.
HEAD_BYTES = 32
# No upload takes this long.
OLD_PART_S = 3600
# ISO/IEC 23008-12, the brands of still pictures coded with HEVC.
HEIC_BRANDS = {b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1"}


def read_type(head: bytes) -> str | None:
    """What kind of picture begins like this. The name a phone gives it is not believed."""
    if head.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "image/webp"
    if head[4:8] == b"ftyp" and head[8:12] in HEIC_BRANDS:
        return "image/heic"
    return None


class SqlPhotos:
    """See `interface.Photos`: rows in the database, bytes on a shelf.

    Raises RequestError for bytes that are no photo, StoreError if the disk or the shelf fails.
    """

    def __init__(
        self, database: Database, shelf: Shelf, parts: Path, *, limit_bytes: int = LIMIT_BYTES
    ) -> None:
        self._database = database
        self._shelf = shelf
        self._limit_bytes = limit_bytes
        self._parts = parts
        parts.mkdir(parents=True, exist_ok=True, mode=0o700)
        _clear(parts)

    async def put(self, sha256: str, chunks: AsyncIterator[bytes], *, pushed_by: int, now_ms: int) -> Photo:
        if (held := await self.get(sha256)) is not None:
            return held
        part = self._parts / secrets.token_hex(8)
        try:
            type, size = await self._receive(part, sha256, chunks)
            await self._shelf.put(part, sha256)
        except OSError as error:
            raise _explain(error) from error
        finally:
            await asyncio.to_thread(part.unlink, missing_ok=True)
        await self._database.execute(
            "INSERT INTO photos (sha256, type, size, pushed_by, received_at_ms) VALUES (?, ?, ?, ?, ?)"
            " ON CONFLICT DO NOTHING",
            (bytes.fromhex(sha256), type, size, pushed_by, now_ms),
        )
        return Photo(sha256, type, size, self._shelf.find_path(sha256))

    async def get(self, sha256: str) -> Photo | None:
        rows = await self._database.read(
            "SELECT type, size FROM photos WHERE sha256 = ?", (bytes.fromhex(sha256),)
        )
        # A database restored without its photos has the row but not the bytes.
        if not rows or not await self._shelf.has(sha256):
            return None
        return Photo(sha256, str(rows[0][0]), int(rows[0][1]), self._shelf.find_path(sha256))

    def read(self, sha256: str) -> AsyncIterator[bytes]:
        return self._shelf.read(sha256)

    async def _receive(self, part: Path, sha256: str, chunks: AsyncIterator[bytes]) -> tuple[str, int]:
        digest = hashlib.sha256()
        head = b""
        size = 0
        file = cast(BinaryIO, await asyncio.to_thread(part.open, "xb"))
        try:
            async for chunk in chunks:
                size += len(chunk)
                if size > self._limit_bytes:
                    raise RequestError(
                        413,
                        "photo_too_large",
                        f"A photo may have {self._limit_bytes:,} bytes; this one has more.",
                        "Send a smaller picture. The original stays on the phone.",
                    )
                head += chunk[: HEAD_BYTES - len(head)]
                digest.update(chunk)
                await asyncio.to_thread(file.write, chunk)
            _check(sha256, digest.hexdigest())
            type = read_type(head)
            if type is None:
                raise RequestError(
                    415,
                    "photo_type_unknown",
                    "These bytes do not begin like a JPEG, PNG, WebP or HEIC picture.",
                    "Send a picture of one of these types. The original stays on the phone.",
                )
            await asyncio.to_thread(_flush, file)
            return type, size
        finally:
            await asyncio.to_thread(file.close)


def _check(expected: str, found: str) -> None:
    if expected != found:
        raise RequestError(
            400,
            "photo_hash_differs",
            f"The address names a photo {expected[:12]}…, but the bytes received are {found[:12]}….",
            "Send it again.",
        )


def _flush(file: BinaryIO) -> None:
    file.flush()
    os.fsync(file.fileno())


def _clear(parts: Path) -> None:
    """Throw away what uploads left that a stop cut off; newer parts may be another process's."""
    for part in parts.iterdir():
        with suppress(FileNotFoundError):
            if part.stat().st_mtime < time.time() - OLD_PART_S:
                part.unlink()


def _explain(error: OSError) -> StoreError:
    kind = StoreFullError if error.errno == 28 else StoreError
    return kind(
        "The server could not keep this photo on its disk.",
        "Look at the free space on the server. The photo stays on the phone until then.",
    )
