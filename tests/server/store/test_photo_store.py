"""A photo is here whole or not at all."""

from __future__ import annotations

import hashlib
import os
from collections.abc import AsyncIterator
from pathlib import Path
from unittest.mock import patch

import pytest
from samples import JPEG, JPEG_SHA256, NOW_MS
from starlette.requests import ClientDisconnect

from fillfirst.errors import RequestError, StoreError
from fillfirst.store.photos import read_type
from fillfirst.store.sqlite import SqliteStore, open_store

pytestmark = pytest.mark.anyio


async def stream(*chunks: bytes) -> AsyncIterator[bytes]:
    for chunk in chunks:
        yield chunk


async def break_off() -> AsyncIterator[bytes]:
    yield JPEG[:20]
    raise ClientDisconnect


def list_files(folder: Path) -> list[str]:
    return sorted(path.name for path in (folder / "photos").rglob("*") if path.is_file())


async def put(store: SqliteStore, sha256: str, chunks: AsyncIterator[bytes]) -> None:
    await store.photos.put(sha256, chunks, pushed_by=1, now_ms=NOW_MS)


async def test_a_photo_comes_back_byte_for_byte(store: SqliteStore) -> None:
    await put(store, JPEG_SHA256, stream(JPEG[:2], JPEG[2:5], JPEG[5:]))

    photo = await store.photos.get(JPEG_SHA256)
    assert photo is not None
    assert (photo.type, photo.size, photo.path.read_bytes()) == ("image/jpeg", len(JPEG), JPEG)


async def test_an_upload_that_breaks_off_leaves_nothing(store: SqliteStore, tmp_path: Path) -> None:
    with pytest.raises(ClientDisconnect):
        await put(store, JPEG_SHA256, break_off())

    assert await store.photos.get(JPEG_SHA256) is None
    assert list_files(tmp_path / "data") == []


async def test_bytes_of_another_hash_are_refused(store: SqliteStore, tmp_path: Path) -> None:
    with pytest.raises(RequestError) as refused:
        await put(store, JPEG_SHA256, stream(JPEG + b"more"))

    assert refused.value.code == "photo_hash_differs"
    assert list_files(tmp_path / "data") == []


async def test_bytes_that_are_no_picture_are_refused(store: SqliteStore) -> None:
    page = b"<script>alert(1)</script>"
    with pytest.raises(RequestError) as refused:
        await put(store, hashlib.sha256(page).hexdigest(), stream(page))

    assert refused.value.code == "photo_type_unknown"


async def test_a_photo_past_the_limit_is_refused(store: SqliteStore) -> None:
    store.photos._limit_bytes = 100
    with pytest.raises(RequestError) as refused:
        await put(store, JPEG_SHA256, stream(JPEG))

    assert refused.value.code == "photo_too_large"


async def test_a_photo_whose_file_is_gone_can_be_put_again(store: SqliteStore) -> None:
    await put(store, JPEG_SHA256, stream(JPEG))
    photo = await store.photos.get(JPEG_SHA256)
    assert photo is not None
    photo.path.unlink()

    assert await store.photos.get(JPEG_SHA256) is None
    await put(store, JPEG_SHA256, stream(JPEG))
    assert await store.photos.get(JPEG_SHA256) == photo


async def test_a_disk_that_fails_is_a_store_error(store: SqliteStore, tmp_path: Path) -> None:
    with (
        patch("fillfirst.store.photos.os.fsync", side_effect=OSError(5, "input/output error")),
        pytest.raises(StoreError, match="could not keep this photo"),
    ):
        await put(store, JPEG_SHA256, stream(JPEG))

    assert list_files(tmp_path / "data") == []


async def test_what_an_earlier_run_left_half_done_is_cleared_away(tmp_path: Path) -> None:
    (tmp_path / "photos" / "parts").mkdir(parents=True)
    half = tmp_path / "photos" / "parts" / "half"
    half.write_bytes(b"half")
    os.utime(half, (0, 0))

    await (await open_store(tmp_path, now_ms=NOW_MS)).close()

    assert list_files(tmp_path) == []


@pytest.mark.parametrize(
    ("head", "type"),
    [
        (b"\xff\xd8\xff\xe1", "image/jpeg"),
        (b"\x89PNG\r\n\x1a\n", "image/png"),
        (b"RIFF\x00\x00\x00\x00WEBPVP8 ", "image/webp"),
        (b"\x00\x00\x00\x18ftypheic\x00", "image/heic"),
        (b"\x00\x00\x00\x18ftypisom\x00", None),
        (b"RIFF\x00\x00\x00\x00WAVE", None),
        (b"<svg xmlns=", None),
        (b"", None),
    ],
)
def test_a_picture_is_known_by_how_it_begins(head: bytes, type: str | None) -> None:
    assert read_type(head) == type
