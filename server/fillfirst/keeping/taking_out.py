"""Writes everything that a store holds as files that need no fillfirst: JSON lines, CSV, JSON, pictures."""

from __future__ import annotations

import asyncio
import csv
import json
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any, NamedTuple

from fillfirst.errors import RequestError, SettingsError
from fillfirst.records.table import disarm
from fillfirst.store.copying import list_photos
from fillfirst.store.interface import StoredEvent
from fillfirst.store.sql import SqlStore
from fillfirst.sync.rounds import write_moment

PAGE = 1_000
PAGE_BYTES = 8 * 1024 * 1024
EVENT_COLUMNS = ("id", "device", "n", "wall", "kind", "v", "subject")
ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "image/heic": "heic"}
READ_ME = """\
Everything that this fillfirst server holds, in open formats.

events.jsonl   every entry, one a line, as the phone wrote it, with the server's number and moment beside it
events.csv     the same as a table; the last column is the payload, as JSON
devices.csv    the browsers that were let in
records/       each closed visit, as JSON and as a table
catalogs/      the procedures that the visits were done by, under the hash of their content
photos/        every photo, under the SHA-256 of its bytes

Moments are UTC. `fillfirst import` takes events.jsonl and the photos in again.
"""


class TakenOut(NamedTuple):
    """How much was written, and what could not be."""

    events: int
    records: int
    photo_count: int
    troubles: list[str]


async def take_out(store: SqlStore, folder: Path) -> TakenOut:
    """Raises SettingsError if the folder has something in it already, OSError if the disk fails."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise SettingsError("FOLDER", f"{folder}, which is not empty", "a new folder, or an empty one")
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    (folder / "README.txt").write_text(READ_ME)
    closed: dict[str, None] = {}
    count = 0
    with (
        (folder / "events.jsonl").open("w", encoding="utf-8", newline="\n") as lines,
        (folder / "events.csv").open("w", encoding="utf-8", newline="") as file,
    ):
        table = csv.writer(file)
        table.writerow(["seq", "received_at", *EVENT_COLUMNS, "payload"])
        async for stored in _read_all(store):
            event = json.loads(stored.text)
            moment = write_moment(stored.received_at_ms)
            lines.write(f'{{"seq":{stored.seq},"received_at":"{moment}","event":{stored.text}}}\n')
            cells = [disarm(str(event[name])) for name in EVENT_COLUMNS]
            table.writerow([stored.seq, moment, *cells, json.dumps(event["payload"], ensure_ascii=False)])
            count += 1
            if event["kind"] == "visit-closed":
                closed[event["subject"]] = None
    await _write_devices(store, folder / "devices.csv")
    await _write_catalogs(store, folder / "catalogs")
    records, troubles = await _write_records(store, list(closed), folder / "records")
    photo_count = await _write_photos(store, folder / "photos", troubles)
    return TakenOut(count, records, photo_count, troubles)


async def _read_all(store: SqlStore) -> AsyncIterator[StoredEvent]:
    cursor, more = 0, True
    while more:
        page = await store.events.get_after(cursor, limit=PAGE, limit_bytes=PAGE_BYTES)
        for event in page.events:
            yield event
            cursor = event.seq
        more = page.more


async def _write_devices(store: SqlStore, path: Path) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file)
        table.writerow(["id", "name", "role", "created_at", "last_seen_at", "sent_away_at"])
        for device in await store.devices.list_all():
            gone = "" if device.revoked_at_ms is None else write_moment(device.revoked_at_ms)
            moments = [write_moment(device.created_at_ms), write_moment(device.last_seen_at_ms), gone]
            table.writerow([device.id, disarm(device.name), device.role, *moments])


async def _write_catalogs(store: SqlStore, folder: Path) -> None:
    folder.mkdir()
    async for _, rows in store.database.scan(["SELECT hash, json FROM catalogs"]):
        for hash, body in rows:
            (folder / f"{hash}.json").write_bytes(body)


async def _write_records(store: SqlStore, visits: list[str], folder: Path) -> tuple[int, list[str]]:
    # What writes records brings all of specs along; only this command needs it.
    from fillfirst.records.finding import find_record
    from fillfirst.records.table import write_table

    folder.mkdir()
    count = 0
    troubles: list[str] = []
    for visit in visits:
        name = visit.replace(":", "_")
        try:
            record: Any = await find_record(store, visit)
        except RequestError as error:
            troubles.append(f"visit {visit}: {error.message}")
            continue
        (folder / f"{name}.json").write_text(record.model_dump_json(indent=1))
        (folder / f"{name}.csv").write_text(write_table([record]), newline="")
        count += 1
    return count, troubles


async def _write_photos(store: SqlStore, folder: Path, troubles: list[str]) -> int:
    folder.mkdir()
    count = 0
    async for sha256, _ in list_photos(store.database):
        photo = await store.photos.get(sha256)
        if photo is None:
            troubles.append(f"photo {sha256[:12]}…: it is not on the server; a phone may still hold it.")
            continue
        with (folder / f"{sha256}.{ENDINGS[photo.type]}").open("wb") as file:
            async for chunk in store.photos.read(sha256):
                await asyncio.to_thread(file.write, chunk)
        count += 1
    return count
