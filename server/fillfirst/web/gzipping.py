"""Packs what is large for whoever can unpack it."""

from __future__ import annotations

import gzip
from collections.abc import Mapping
from functools import lru_cache


@lru_cache(maxsize=4)
def _pack(body: bytes) -> bytes:
    return gzip.compress(body, mtime=0)


def gzip_for(headers: Mapping[str, str], body: bytes) -> tuple[bytes, dict[str, str]]:
    """The body as this browser takes it, and the header that says how it was packed."""
    if "gzip" not in headers.get("accept-encoding", ""):
        return body, {}
    return _pack(body), {"content-encoding": "gzip"}
