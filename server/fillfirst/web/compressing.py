"""Answers as small as the browser that asks can take them: brotli, else gzip, else as they are."""

from __future__ import annotations

import gzip
from collections.abc import Mapping
from functools import lru_cache

import brotli

# Two steps more would be a tenth smaller and take thirty times as long, which a phone would wait for.
BROTLI_QUALITY = 9


def find_encoding(headers: Mapping[str, str]) -> str | None:
    """The best of the encodings that the browser takes (RFC 9110, 12.5.3); one with `q=0` it does not."""
    taken = set()
    for one in headers.get("accept-encoding", "").lower().split(","):
        name, _, weight = one.partition(";")
        if weight.replace(" ", "").removeprefix("q=").strip("0.") or not weight:
            taken.add(name.strip())
    return next((name for name in ("br", "gzip") if name in taken), None)


def compress(body: bytes, encoding: str) -> bytes:
    """The body in `br` or `gzip`."""
    if encoding == "br":
        return bytes(brotli.compress(body, quality=BROTLI_QUALITY))
    return gzip.compress(body, mtime=0)


# The catalog in service and those of a few visits that were begun with an older one.
_compress_kept = lru_cache(maxsize=8)(compress)


def compress_for(headers: Mapping[str, str], body: bytes) -> tuple[bytes, dict[str, str]]:
    """The body as this browser takes it, and the header that says how it was packed."""
    encoding = find_encoding(headers)
    if encoding is None:
        return body, {}
    return _compress_kept(body, encoding), {"content-encoding": encoding}
