"""A sealed file gives back exactly what was sealed, or nothing and the reason."""

from __future__ import annotations

import io
import json
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fillfirst.errors import BackupError
from fillfirst.keeping import sealing
from fillfirst.keeping.sealing import Opener, Sealer

PASSPHRASE = "öl und wasser"


@pytest.fixture(autouse=True)
def _cheap() -> object:
    """Small chunks and a cheap key, so that many fit into one test."""
    with (
        patch.object(sealing, "SCRYPT", {"n": 2, "r": 1, "p": 1}),
        patch.object(sealing, "CHUNK_BYTES", 16),
    ):
        yield


def seal(data: bytes) -> bytes:
    file = io.BytesIO()
    sealer = Sealer(file, PASSPHRASE)
    sealer.write(data[:5])
    sealer.write(data[5:])
    sealer.finish()
    return file.getvalue()


def unseal(sealed: bytes, passphrase: str = PASSPHRASE) -> bytes:
    opener = Opener(io.BytesIO(sealed), passphrase)
    found = b""
    while part := opener.read(7):
        found += part
    return found


@pytest.mark.parametrize("size", [0, 1, 15, 16, 17, 32, 33, 100])
def test_what_was_sealed_comes_back(size: int) -> None:
    data = bytes(range(size))

    assert unseal(seal(data)) == data


def test_nothing_of_it_can_be_read() -> None:
    assert b"engine oil" not in seal(b"engine oil " * 10)


def test_a_wrong_passphrase_is_told_from_a_damaged_file() -> None:
    with pytest.raises(BackupError) as refused:
        unseal(seal(b"x" * 100), "öl ohne wasser")

    assert refused.value.code == "wrong_passphrase"


def test_a_file_that_ends_between_two_chunks_is_told() -> None:
    sealed = seal(b"x" * 64)
    with pytest.raises(BackupError) as refused:
        unseal(sealed[:-32])

    assert refused.value.code == "cut_short"


def test_chunks_that_changed_places_are_refused() -> None:
    sealed = seal(b"x" * 64)
    head = len(sealed) - 4 * 32
    swapped = sealed[:head] + sealed[head + 32 : head + 64] + sealed[head : head + 32] + sealed[head + 64 :]
    with pytest.raises(BackupError) as refused:
        unseal(swapped)

    assert refused.value.code == "damaged"


@pytest.mark.parametrize(
    "changes",
    [
        {"p": 2**24},
        {"n": 2**80},
        {"n": 3},
        {"n": "two"},
        {"r": 2**30},
        {"salt": ""},
        {"prefix": ""},
        {"prefix": "00" * 200},
        {"check": "zz"},
    ],
    ids=str,
)
def test_a_head_that_nobody_wrote_is_refused_at_once(changes: dict[str, object]) -> None:
    line, _, rest = seal(b"x" * 20).partition(b"\n")
    head = json.loads(line.removeprefix(sealing.MAGIC)) | changes
    with pytest.raises(BackupError) as refused:
        unseal(sealing.MAGIC + json.dumps(head).encode() + b"\n" + rest)

    assert refused.value.code == "damaged"


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_no_byte_can_be_changed_unseen(data: st.DataObject) -> None:
    sealed = bytearray(seal(b"engine oil " * 5))
    place = data.draw(st.integers(0, len(sealed) - 1))
    sealed[place] ^= data.draw(st.integers(1, 255))
    with pytest.raises(BackupError):
        unseal(bytes(sealed))


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 120))
def test_no_end_can_be_cut_off_unseen(cut: int) -> None:
    with pytest.raises(BackupError):
        unseal(seal(b"engine oil " * 9)[:-cut])
