"""A store with something of everything in it, and a PostgreSQL for whoever asks."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from pathlib import Path
from unittest.mock import patch

import pytest
from filled import fill
from samples import NOW_MS

from fillfirst.keeping import sealing
from fillfirst.store.sql import SqlStore
from fillfirst.store.sqlite import open_store


@pytest.fixture(autouse=True)
def _cheap_key() -> Iterator[None]:
    with patch.object(sealing, "SCRYPT", {"n": 2, "r": 1, "p": 1}):
        yield


@pytest.fixture
async def store(tmp_path: Path) -> AsyncIterator[SqlStore]:
    store = await open_store(tmp_path / "data", now_ms=NOW_MS)
    await fill(store)
    yield store
    await store.close()
