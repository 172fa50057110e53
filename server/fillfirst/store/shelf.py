"""Where the bytes of photos lie: a folder, or a store elsewhere that takes files by name."""

from __future__ import annotations

import asyncio
import os
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Protocol

CHUNK_BYTES = 256 * 1024


class Shelf(Protocol):
    """Files by their hash. The same name always means the same bytes."""

    async def put(self, part: Path, sha256: str) -> None:
        """Keep this file for good; it may be moved away. Raises OSError or StoreError."""
        ...

    async def has(self, sha256: str) -> bool: ...

    def read(self, sha256: str) -> AsyncIterator[bytes]:
        """Raises StoreError or OSError if it is not there."""
        ...

    def find_path(self, sha256: str) -> Path | None:
        """Its path, where the shelf is a folder of this machine."""
        ...

    async def close(self) -> None: ...


class FolderShelf:
    """See `Shelf`. A file appears under its name only when every byte of it is on the disk."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    async def put(self, part: Path, sha256: str) -> None:
        await asyncio.to_thread(_put_in_place, part, self.find_path(sha256))

    async def has(self, sha256: str) -> bool:
        return await asyncio.to_thread(self.find_path(sha256).is_file)

    async def read(self, sha256: str) -> AsyncIterator[bytes]:
        with await asyncio.to_thread(self.find_path(sha256).open, "rb") as file:
            while chunk := await asyncio.to_thread(file.read, CHUNK_BYTES):
                yield chunk

    def find_path(self, sha256: str) -> Path:
        return self._folder / sha256[:2] / sha256

    async def close(self) -> None:
        """There is nothing to let go of."""


def _put_in_place(part: Path, path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    try:
        part.replace(path)
    except OSError:
        # The folder is on another disk than the parts: copy, and let it appear under its name at the end.
        beside = path.with_name(f"{path.name}.{os.getpid()}.part")
        with part.open("rb") as source, beside.open("wb") as target:
            while chunk := source.read(CHUNK_BYTES):
                target.write(chunk)
            target.flush()
            os.fsync(target.fileno())
        beside.replace(path)
    # The name is in the folder, and the folder's own name in the one above: both have to reach the disk.
    for folder in (path.parent, path.parent.parent):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
