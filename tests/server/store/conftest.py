"""Every store there is, for the tests that all of them must pass."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import pytest
from little_s3 import KEYS, LittleS3, running_s3
from samples import NOW_MS

from fillfirst.store.opening import open_store
from fillfirst.store.sql import SqlStore

ENVIRON = {"AWS_ACCESS_KEY_ID": KEYS.id, "AWS_SECRET_ACCESS_KEY": KEYS.secret, "AWS_REGION": KEYS.region}


@pytest.fixture
def s3() -> Iterator[LittleS3]:
    with running_s3() as server:
        yield server


@pytest.fixture(params=["sqlite-folder", "postgres-folder", "sqlite-s3"])
async def any_store(request: pytest.FixtureRequest, tmp_path: Path) -> AsyncIterator[SqlStore]:
    database, _, shelf = request.param.partition("-")
    url = request.getfixturevalue("postgres_url") if database == "postgres" else None
    photos = request.getfixturevalue("s3").url if shelf == "s3" else None
    store = await open_store(tmp_path / "data", database=url, photos=photos, now_ms=NOW_MS, environ=ENVIRON)
    yield store
    await store.close()
