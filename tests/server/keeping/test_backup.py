"""Restore drills: what a backup gives back, what the phones add, and what is refused."""

from __future__ import annotations

import asyncio
import sqlite3
import tarfile
from contextlib import closing
from pathlib import Path
from unittest.mock import patch

import pytest
from filled import fill
from samples import JPEG_SHA256, NOW_MS, make_event, make_new, write_text

from fillfirst.access.certificate import found_authority
from fillfirst.errors import BackupError, StoreError
from fillfirst.keeping.archive import DATABASE, MANIFEST, Manifest
from fillfirst.keeping.backup import make_backup, verify_backup
from fillfirst.keeping.folder import list_backups, name_backup, prune, read_moment
from fillfirst.keeping.restore import Restored, restore
from fillfirst.store.copying import LEFT_OUT, TABLES, Contents, copy_rows, measure
from fillfirst.store.interface import Device, Verdict
from fillfirst.store.opening import open_store
from fillfirst.store.sql import SqlStore
from fillfirst.sync.request import read_request
from fillfirst.sync.rounds import hold_round

pytestmark = pytest.mark.anyio
PASSPHRASE = "öl und wasser"
PHONE = Device(1, "garage phone", NOW_MS, NOW_MS, None, None, "owner")


async def back_up(store: SqlStore, folder: Path, passphrase: str | None = None, keep: int = 7) -> Path:
    made = await make_backup(
        store, folder, data=folder.parent, passphrase=passphrase, keep=keep, now_ms=NOW_MS
    )
    return made.path


async def back_up_of(store: SqlStore, data: Path, passphrase: str | None) -> Path:
    """With whatever makes this folder the house that phones trust."""
    folder = data.parent / "backups"
    made = await make_backup(store, folder, data=data, passphrase=passphrase, keep=7, now_ms=NOW_MS)
    return made.path


async def put_back(path: Path, data: Path, passphrase: str | None = None, url: str | None = None) -> Restored:
    return await restore(
        path,
        data,
        passphrase=passphrase,
        now_ms=NOW_MS + 5,
        open_target=lambda: open_store(data, database=url, now_ms=NOW_MS),
        is_in_folder=url is None,
    )


@pytest.fixture(params=[None, PASSPHRASE], ids=["plain", "sealed"])
def passphrase(request: pytest.FixtureRequest) -> str | None:
    return request.param


async def test_all_that_was_there_comes_back(store: SqlStore, tmp_path: Path, passphrase: str | None) -> None:
    before = await measure(store)
    path = await back_up(store, tmp_path / "backups", passphrase)
    await put_back(path, tmp_path / "new", passphrase)

    restored = await open_store(tmp_path / "new", now_ms=NOW_MS)
    after = await measure(restored)
    photo = await restored.photos.get(JPEG_SHA256)
    codes = await restored.database.read("SELECT * FROM pairing_codes")
    await restored.close()
    assert {table for table in TABLES if before[table] != after[table]} == {"meta"}
    assert all(content.row_count for content in after.values())
    assert photo is not None
    assert codes == []


async def test_a_restore_begins_a_new_epoch_of_the_same_server(store: SqlStore, tmp_path: Path) -> None:
    before = await store.get_meta()
    await put_back(await back_up(store, tmp_path / "backups"), tmp_path / "new")

    restored = await open_store(tmp_path / "new", now_ms=NOW_MS)
    after = await restored.get_meta()
    await restored.close()
    assert (after.server_id == before.server_id, after.epoch == before.epoch) == (True, False)


async def test_phones_give_back_what_the_backup_lacks(store: SqlStore, tmp_path: Path) -> None:
    path = await back_up(store, tmp_path / "backups")
    await store.events.push([make_new(4), make_new(5)], [], pushed_by=1, now_ms=NOW_MS)
    known = await store.get_meta()
    await put_back(path, tmp_path / "new")

    restored = await open_store(tmp_path / "new", now_ms=NOW_MS)
    held = ",".join(write_text(make_event(n)) for n in (4, 5))
    opening = f'"epoch":"{known.epoch}","cursor":5,"ack":5,"client_now":1,"device":"phone-1"'
    asked = read_request(f'{{{opening},"events":[{held}]}}'.encode())
    await hold_round(restored, asked, device=PHONE, catalog="", now_ms=NOW_MS)
    standing = await restored.events.get_standing("phone-1")
    await restored.close()
    assert standing.ack == 5


async def test_what_was_there_is_set_aside_and_not_thrown_away(store: SqlStore, tmp_path: Path) -> None:
    path = await back_up(store, tmp_path / "backups")
    await store.events.push([make_new(4)], [], pushed_by=1, now_ms=NOW_MS)
    await store.close()
    done = await put_back(path, tmp_path / "data")

    assert done.set_aside is not None
    with closing(sqlite3.connect(done.set_aside / DATABASE)) as connection:
        assert connection.execute("SELECT count(*) FROM events").fetchone() == (4,)


async def test_who_was_sent_away_since_stays_away(store: SqlStore, tmp_path: Path) -> None:
    path = await back_up(store, tmp_path / "backups")
    await store.devices.revoke(2, now_ms=NOW_MS + 1)
    await store.close()
    done = await put_back(path, tmp_path / "data")

    restored = await open_store(tmp_path / "data", now_ms=NOW_MS)
    found = await restored.devices.find(b"token2"), await restored.devices.find(b"token1")
    await restored.close()
    assert done.sent_away == ["yard phone"]
    assert [device is not None for device in found] == [False, True]


async def test_a_backup_of_one_database_is_restored_into_the_other(
    tmp_path: Path, postgres_url: str, passphrase: str | None
) -> None:
    store = await open_store(tmp_path / "van", database=postgres_url, now_ms=NOW_MS)
    await fill(store)
    before = await measure(store)
    path = await back_up(store, tmp_path / "backups", passphrase)
    await store.close()
    await put_back(path, tmp_path / "small-box", passphrase)

    restored = await open_store(tmp_path / "small-box", now_ms=NOW_MS)
    after = await measure(restored)
    await restored.close()
    assert {table for table in TABLES if before[table] != after[table]} == {"meta"}


async def test_a_backup_goes_into_an_empty_postgres_database_alone(
    store: SqlStore, tmp_path: Path, postgres_url: str
) -> None:
    path = await back_up(store, tmp_path / "backups")
    await put_back(path, tmp_path / "van", url=postgres_url)
    with pytest.raises(StoreError, match="Name an empty one"):
        await put_back(path, tmp_path / "van", url=postgres_url)

    restored = await open_store(tmp_path / "van", database=postgres_url, now_ms=NOW_MS)
    pushed = await restored.events.push([make_new(4, subject="new")], [], pushed_by=1, now_ms=NOW_MS)
    seqs = [event.seq for event in (await restored.events.get_after(0, limit=9, limit_bytes=9**9)).events]
    await restored.close()
    assert len(pushed) == 1
    assert seqs == [1, 2, 3, 4]


async def test_the_server_goes_on_while_a_backup_is_made(store: SqlStore, tmp_path: Path) -> None:
    async def copy_and_push(source: SqlStore, target: SqlStore) -> Contents:
        pushing = asyncio.create_task(source.events.push([make_new(4)], [], pushed_by=1, now_ms=NOW_MS))
        copied = await copy_rows(source, target)
        assert await pushing == [Verdict.ACCEPTED]
        return copied

    with patch("fillfirst.keeping.backup.copy_rows", copy_and_push):
        path = await back_up(store, tmp_path / "backups")

    rows = verify_backup(path, None, tmp_path).rows
    assert rows["events"] in {3, 4}
    assert await store.events.get_head() == 4


def spoil(path: Path, place: float) -> None:
    body = bytearray(path.read_bytes())
    body[int(len(body) * place)] ^= 0x55
    path.write_bytes(body)


@pytest.mark.parametrize("left", [0.0, 0.2, 0.5, 0.9, 0.97])
async def test_a_truncated_backup_is_refused(
    store: SqlStore, tmp_path: Path, passphrase: str | None, left: float
) -> None:
    path = await back_up(store, tmp_path / "backups", passphrase)
    body = path.read_bytes()
    # The end of a tar is filled up with nothing, which may go.
    path.write_bytes(body[: int(len(body.rstrip(b"\0")) * left)])
    with pytest.raises(BackupError) as refused:
        await put_back(path, tmp_path / "new", passphrase)

    assert refused.value.code in {"cut_short", "not_a_backup", "damaged"}
    assert not (tmp_path / "new" / DATABASE).exists()


@pytest.mark.parametrize("place", [0.1, 0.3, 0.6])
async def test_a_corrupted_backup_is_refused(
    store: SqlStore, tmp_path: Path, passphrase: str | None, place: float
) -> None:
    path = await back_up(store, tmp_path / "backups", passphrase)
    spoil(path, place)
    with pytest.raises(BackupError) as refused:
        await put_back(path, tmp_path / "new", passphrase)

    assert refused.value.code in {"damaged", "cut_short"}
    assert not (tmp_path / "new" / DATABASE).exists()


@pytest.mark.parametrize(("tried", "code"), [("wasser", "wrong_passphrase"), (None, "passphrase_needed")])
async def test_without_the_passphrase_nothing_is_restored(
    store: SqlStore, tmp_path: Path, tried: str | None, code: str
) -> None:
    path = await back_up(store, tmp_path / "backups", PASSPHRASE)
    with pytest.raises(BackupError) as refused:
        await put_back(path, tmp_path / "new", tried)

    assert refused.value.code == code


async def test_a_refused_backup_leaves_what_is_there_alone(store: SqlStore, tmp_path: Path) -> None:
    path = await back_up(store, tmp_path / "backups")
    spoil(path, 0.3)
    with pytest.raises(BackupError):
        await put_back(path, tmp_path / "data")

    assert (await store.events.get_head()) == 3
    assert not list((tmp_path / "data").glob("before-restore-*"))


@pytest.mark.parametrize("body", [b"", b"GIF89a", b"\0" * 10240])
async def test_a_file_that_is_no_backup_is_refused(tmp_path: Path, body: bytes) -> None:
    path = tmp_path / "holiday.gif"
    path.write_bytes(body)
    with pytest.raises(BackupError) as refused:
        await put_back(path, tmp_path / "new")

    assert refused.value.code == "not_a_backup"


async def test_nothing_is_written_outside_the_folder(tmp_path: Path) -> None:
    path = tmp_path / "trap.tar"
    (tmp_path / "payload").write_text("owned")
    with tarfile.open(path, "w") as tar:
        tar.add(tmp_path / "payload", "../../escaped")
    with pytest.raises(BackupError) as refused:
        await put_back(path, tmp_path / "new")

    assert refused.value.code == "damaged"
    assert not list(tmp_path.rglob("escaped"))


def describe(name: str, **pax: str) -> tarfile.TarInfo:
    member = tarfile.TarInfo(name)
    member.pax_headers = pax
    return member


#: What a file says it holds, and no backup does: the members of a tar.
TRAPS = {
    "a name that leads out": [describe("../escaped")],
    "a name from the root": [describe("/tmp/escaped")],
    "a hidden name": [describe("photos/.ssh")],
    "a name with a null byte": [describe("photos/a", path="photos/a\0b")],
    "one name twice": [describe("photos/a"), describe("photos/a")],
    "a file that is a folder too": [describe("photos/a"), describe("photos/a/b")],
    "a hole as long as a disk": [
        describe(
            "photos/a",
            **{"GNU.sparse.size": str(10**12), "GNU.sparse.numblocks": "0", "GNU.sparse.map": "0,0"},
        )
    ],
}


@pytest.mark.parametrize("name", TRAPS)
async def test_a_tar_that_is_a_trap_is_refused_before_anything_is_put_back(tmp_path: Path, name: str) -> None:
    path = tmp_path / "trap.tar"
    with tarfile.open(path, "w", format=tarfile.PAX_FORMAT) as tar:
        for member in TRAPS[name]:
            tar.addfile(member)
    with pytest.raises(BackupError, match="which no backup does") as refused:
        await put_back(path, tmp_path / "new")

    assert refused.value.code == "damaged"
    assert not list((tmp_path / "new").iterdir())


async def test_a_tar_whose_numbers_are_none_is_no_backup(tmp_path: Path) -> None:
    path = tmp_path / "holiday.tar"
    odd = {"GNU.sparse.size": "1", "GNU.sparse.numblocks": "0", "GNU.sparse.map": "many"}
    with tarfile.open(path, "w", format=tarfile.PAX_FORMAT) as tar:
        tar.addfile(describe("photos/a", **odd))
    with pytest.raises(BackupError) as refused:
        await put_back(path, tmp_path / "new")

    assert refused.value.code == "not_a_backup"


async def test_a_plain_backup_opens_with_tar(store: SqlStore, tmp_path: Path) -> None:
    path = await back_up(store, tmp_path / "backups")
    with tarfile.open(path) as tar:
        names = tar.getnames()

    assert names == [DATABASE, f"photos/{JPEG_SHA256[:2]}/{JPEG_SHA256}", MANIFEST]


async def test_a_photo_that_is_gone_or_spoilt_is_told(store: SqlStore, tmp_path: Path) -> None:
    photo = store.shelf.find_path(JPEG_SHA256)
    assert photo is not None
    photo.write_bytes(b"rust")
    first = await make_backup(store, tmp_path / "b", data=tmp_path, passphrase=None, keep=7, now_ms=NOW_MS)
    photo.unlink()
    second = await make_backup(
        store, tmp_path / "b", data=tmp_path, passphrase=None, keep=7, now_ms=NOW_MS + 1
    )

    assert (first.manifest.missing_photos, first.manifest.spoilt_photos) == ([], [JPEG_SHA256])
    assert (second.manifest.missing_photos, second.manifest.spoilt_photos) == ([JPEG_SHA256], [])


async def test_only_the_newest_are_kept(store: SqlStore, tmp_path: Path) -> None:
    for day in range(4):
        await make_backup(store, tmp_path / "b", data=tmp_path, passphrase=None, keep=2, now_ms=NOW_MS + day)
    (tmp_path / "b" / "my own.tar").write_text("not ours")

    assert [read_moment(path) - NOW_MS for path in list_backups(tmp_path / "b")] == [2, 3]


def test_the_last_backup_of_each_month_is_kept_besides(tmp_path: Path) -> None:
    day_ms = 24 * 60 * 60 * 1000
    for day in range(0, 120, 5):
        (tmp_path / name_backup(NOW_MS - day * day_ms, is_sealed=False)).touch()
    prune(tmp_path, keep=2, keep_months=3)

    assert [path.name[10:20] for path in list_backups(tmp_path)] == [
        "2026-03-30", "2026-04-29", "2026-05-04"
    ]  # fmt: skip


async def test_a_sealed_backup_brings_the_house_along(store: SqlStore, tmp_path: Path) -> None:
    data = tmp_path / "data"
    found_authority(data, ["garage.home.arpa"], anew=False, now_ms=NOW_MS)
    (data / "settings.toml").write_text('origin = "https://garage.home.arpa:8765"\n')
    path = await back_up_of(store, data, PASSPHRASE)
    done = await put_back(path, tmp_path / "new", PASSPHRASE)
    kept = [tmp_path / "new" / name for name in done.house]

    assert done.house == ["settings.toml", "tls/authority-key.pem", "tls/authority.pem", "tls/server.pem"]
    assert [file.read_bytes() for file in kept] == [(data / name).read_bytes() for name in done.house]
    assert {file.stat().st_mode & 0o777 for file in kept} == {0o600}


async def test_a_plain_backup_holds_no_key(store: SqlStore, tmp_path: Path) -> None:
    data = tmp_path / "data"
    found_authority(data, ["garage.home.arpa"], anew=False, now_ms=NOW_MS)
    path = await back_up_of(store, data, None)

    assert b"PRIVATE KEY" not in path.read_bytes()


async def test_an_authority_that_phones_trust_by_now_stays(store: SqlStore, tmp_path: Path) -> None:
    data = tmp_path / "data"
    found_authority(data, ["garage.home.arpa"], anew=False, now_ms=NOW_MS)
    path = await back_up_of(store, data, PASSPHRASE)
    found_authority(tmp_path / "new", ["garage.home.arpa"], anew=False, now_ms=NOW_MS)
    before = (tmp_path / "new" / "tls" / "authority.pem").read_bytes()
    done = await put_back(path, tmp_path / "new", PASSPHRASE)

    assert done.house == []
    assert (tmp_path / "new" / "tls" / "authority.pem").read_bytes() == before


async def test_nothing_lies_in_the_clear_where_sealed_backups_go(store: SqlStore, tmp_path: Path) -> None:
    folder, seen = tmp_path / "b", set[str]()

    def look(*given: object) -> Manifest:
        seen.update(path.suffix for path in folder.iterdir())
        return verify_backup(*given)

    with patch("fillfirst.keeping.backup.verify_backup", look):
        await back_up(store, folder, PASSPHRASE)

    assert seen == {".part"}


async def test_a_disk_that_fails_leaves_no_half_a_backup(store: SqlStore, tmp_path: Path) -> None:
    with (
        patch("fillfirst.keeping.archive.os.fsync", side_effect=OSError(28, "No space left on device")),
        pytest.raises(BackupError, match="No space left"),
    ):
        await back_up(store, tmp_path / "b")

    assert list((tmp_path / "b").iterdir()) == []


def test_a_name_says_when_and_how() -> None:
    assert name_backup(NOW_MS + 7, is_sealed=True) == "fillfirst-2026-05-04T08-42-01-007Z.sealed"


async def test_every_table_is_copied_or_left_out_on_purpose(store: SqlStore) -> None:
    names = await store.database.read("SELECT name FROM sqlite_master WHERE type = 'table'")
    columns = {
        table: tuple(row[1] for row in await store.database.read(f"PRAGMA table_info({table})"))
        for table in TABLES
    }

    assert {name for (name,) in names if not name.startswith("sqlite_")} == TABLES.keys() | LEFT_OUT
    assert {table: set(names) for table, names in columns.items()} == {
        table: set(names) for table, names in TABLES.items()
    }
