"""Keeps a restore from taking the data folder from under a running server."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fillfirst.errors import StoreError

FILE_NAME = "in-use"


@contextmanager
def holding(data: Path, *, alone: bool) -> Iterator[None]:
    """Hold the data folder, alone or with others. The system lets go of it when the process ends.

    Raises StoreError if somebody else holds it in a way that does not allow this.
    """
    data.mkdir(parents=True, exist_ok=True, mode=0o700)
    descriptor = os.open(data / FILE_NAME, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        try:
            fcntl.flock(descriptor, (fcntl.LOCK_EX if alone else fcntl.LOCK_SH) | fcntl.LOCK_NB)
        except OSError as error:
            raise StoreError(
                f"A server is running with the data in {data}." if alone else f"{data} is being restored.",
                "Stop the server, then try again." if alone else "Start again when that is done.",
            ) from error
        yield
    finally:
        os.close(descriptor)
