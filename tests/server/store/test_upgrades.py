"""A database of every version that there was is brought up to this one, and nothing in it changes."""

from __future__ import annotations

import asyncio
import sqlite3
from contextlib import closing
from pathlib import Path
from unittest.mock import patch

import pytest
from samples import NOW_MS, make_new

from fillfirst.errors import StoreError
from fillfirst.store.copying import copy_rows, measure
from fillfirst.store.interface import Verdict
from fillfirst.store.migrations import Migration, read_migrations
from fillfirst.store.opening import open_store
from fillfirst.store.postgres import open_database
from fillfirst.store.sqlite import FILE_NAME

pytestmark = pytest.mark.anyio

# Kept as SQL, written by the version that had that many migrations; one more for every migration.
DATABASES = sorted((Path(__file__).parents[2] / "fixtures" / "databases").glob("*.sql"))
NEWEST = len(read_migrations())
TEXTS = [
    make_new(1).text,
    make_new(2, wall="2026-05-04T10:42:00.1234Z").text,
    make_new(3, kind="song-sung").text,
]


def lay(kept: Path, folder: Path) -> Path:
    folder.mkdir()
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        connection.executescript(kept.read_text())
    return folder


def test_there_is_a_database_of_every_version() -> None:
    assert [int(path.stem) for path in DATABASES] == list(range(1, NEWEST + 1))


@pytest.mark.parametrize("kept", DATABASES, ids=lambda path: path.stem)
async def test_what_an_older_version_kept_is_there(kept: Path, tmp_path: Path) -> None:
    store = await open_store(lay(kept, tmp_path / "data"), now_ms=NOW_MS)
    events = await store.events.get_after(0, limit=9, limit_bytes=9**9)
    devices = await store.devices.list_all()
    pushed = await store.events.push([make_new(1), make_new(4)], [], pushed_by=1, now_ms=NOW_MS)
    standing = await store.events.get_standing("phone-1")
    catalog = await store.catalogs.get("a" * 64)
    await store.close()

    assert [event.text for event in events.events] == TEXTS
    assert [(device.name, device.role) for device in devices] == [
        ("garage phone", "owner"),
        ("yard phone", "owner"),
    ]
    assert pushed == [Verdict.ACCEPTED] * 2
    assert standing == (4, 4)
    assert catalog == b'{"format":1}'


@pytest.mark.parametrize("kept", DATABASES, ids=lambda path: path.stem)
async def test_what_an_older_version_kept_moves_to_postgres(
    kept: Path, tmp_path: Path, postgres_url: str
) -> None:
    store = await open_store(lay(kept, tmp_path / "data"), now_ms=NOW_MS)
    target = await open_store(tmp_path / "van", database=postgres_url, now_ms=NOW_MS)
    copied = await copy_rows(store, target)
    found = await measure(target)
    await store.close()
    await target.close()

    assert found == copied
    assert found["events"].row_count == 3


@pytest.mark.parametrize("kept", DATABASES, ids=lambda path: path.stem)
async def test_a_copy_is_made_before_anything_is_changed(kept: Path, tmp_path: Path) -> None:
    folder = lay(kept, tmp_path / "data")
    await (await open_store(folder, now_ms=NOW_MS)).close()

    copies = list(folder.glob("before-update-*.db"))
    assert len(copies) == (int(kept.stem) < NEWEST)
    assert [int(copy.name.split("-")[2]) for copy in copies] == [int(kept.stem)][: len(copies)]


@pytest.mark.parametrize("number", range(1, NEWEST))
async def test_a_postgres_database_is_copied_before_anything_is_changed(
    number: int, tmp_path: Path, postgres_url: str
) -> None:
    with patch("fillfirst.store.postgres.read_migrations", lambda: read_migrations()[:number]):
        old = await open_database(postgres_url, now_ms=NOW_MS)
    await old.execute("INSERT INTO words (word) VALUES (?)", ("visit-1",))
    await old.execute("UPDATE log_head SET seq = 7")
    await old.close()
    # Two processes at once, of which one copies and changes.
    stores = await asyncio.gather(
        *(open_store(tmp_path / name, database=postgres_url, now_ms=NOW_MS + 1) for name in "ab")
    )
    copy = f"before_update_{number:04}_{NOW_MS + 1}"
    kept = [
        (await stores[0].database.read(f"SELECT {column} FROM {copy}.{table}"))[0][0]
        for table, column in (("words", "word"), ("log_head", "seq"))
    ]
    reached = await stores[0].database.read("SELECT max(number) FROM migrations")
    for store in stores:
        await store.close()

    assert kept == ["visit-1", 7]
    assert reached == [(NEWEST,)]


async def test_an_update_that_fails_changes_nothing(tmp_path: Path) -> None:
    folder = lay(DATABASES[-1], tmp_path / "data")
    broken = Migration(
        NEWEST + 1, "broken", "ALTER TABLE events ADD COLUMN colour TEXT;\nDROP TABLE nowhere;\n"
    )
    with (
        patch("fillfirst.store.migrations.read_migrations", lambda: [*read_migrations(), broken]),
        pytest.raises(StoreError, match="cannot be opened"),
    ):
        await open_store(folder, now_ms=NOW_MS)

    store = await open_store(folder, now_ms=NOW_MS)
    columns = await store.database.read("PRAGMA table_info(events)")
    await store.close()
    assert "colour" not in {row[1] for row in columns}


async def test_a_disk_without_room_for_the_copy_stops_the_update(tmp_path: Path) -> None:
    folder = lay(DATABASES[0], tmp_path / "data")
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        before = connection.execute("SELECT number FROM migrations").fetchall()
    (folder / f"before-update-0001-{NOW_MS}.db").write_text("in the way")
    with pytest.raises(StoreError, match="cannot be opened"):
        await open_store(folder, now_ms=NOW_MS)

    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        assert connection.execute("SELECT number FROM migrations").fetchall() == before
