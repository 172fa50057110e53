"""How fast rounds are taken and given, beside what SQLite alone needs for the same events. Run by hand:

    .venv/bin/python tests/bench/sync_rounds.py

A ratio counts, not a time: both are measured in turn, on the same disk, and the best of several runs is told.
"""

from __future__ import annotations

import asyncio
import json
import sqlite3
import sys
import tempfile
import time
import uuid
from collections.abc import Callable
from pathlib import Path

TOP = Path(__file__).parents[2]
sys.path[:0] = [str(TOP / "server")]

from fillfirst.store.interface import Device  # noqa: E402
from fillfirst.store.sqlite import SqliteStore, open_store  # noqa: E402
from fillfirst.sync.request import read_request  # noqa: E402
from fillfirst.sync.rounds import hold_round  # noqa: E402

BATCH, BATCHES = 1_000, 12
NOW_MS = 1_777_884_121_000
PHONE = Device(1, "garage phone", NOW_MS, NOW_MS, None, None, "owner")


def make_texts(batch: int) -> list[str]:
    """A thousand readings and ticks of one visit, as a phone writes them."""
    device, visit = str(uuid.UUID(int=1)), str(uuid.UUID(int=2))
    texts = []
    for n in range(batch * BATCH + 1, (batch + 1) * BATCH + 1):
        payload = (
            {"step": "engine-oil/measure-out", "reading": "engine_oil_out", "value": 0.0042, "typed": "4.2"}
            if n % 2
            else {"step": "engine-oil/close-drain-plug"}
        )
        event = {
            "id": str(uuid.UUID(int=(NOW_MS + n) << 80 | 7 << 76 | n * 7919)), "device": device, "n": n,
            "hlc": {"ms": NOW_MS + n, "c": 0}, "seen": n, "wall": "2026-05-04T10:42:00+02:00",
            "kind": "reading-taken" if n % 2 else "step-done", "v": 1, "subject": visit, "payload": payload,
        }  # fmt: skip
        if n % 2:
            event["payload"]["unit"] = "l"
        texts.append(json.dumps(event, separators=(",", ":")))
    return texts


def make_body(texts: list[str], cursor: int) -> bytes:
    opening = f'"epoch":null,"cursor":{cursor},"ack":0,"client_now":{NOW_MS},"device":"{uuid.UUID(int=1)}"'
    return f'{{{opening},"events":[{",".join(texts)}]}}'.encode()


def measure(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


class Floor:
    """The same texts in one table, as plainly as it can be done durably."""

    def __init__(self, path: Path) -> None:
        self.connection = sqlite3.connect(path, isolation_level=None)
        for pragma in ("journal_mode=WAL", "synchronous=FULL"):
            self.connection.execute(f"PRAGMA {pragma}")
        self.connection.execute(
            "CREATE TABLE events (seq INTEGER PRIMARY KEY, id BLOB UNIQUE, device TEXT, n INTEGER, body TEXT)"
        )

    def push(self, texts: list[str]) -> None:
        rows = []
        for text in texts:
            event = json.loads(text)
            rows.append((uuid.UUID(event["id"]).bytes, event["device"], event["n"], text))
        self.connection.execute("BEGIN IMMEDIATE")
        self.connection.executemany(
            "INSERT INTO events (id, device, n, body) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING", rows
        )
        self.connection.execute("COMMIT")

    def pull(self) -> bytes:
        rows = self.connection.execute("SELECT seq, body FROM events WHERE seq > 0 ORDER BY seq LIMIT 1000")
        return ",".join(f'{{"seq":{seq},"event":{body}}}' for seq, body in rows).encode()


async def push(store: SqliteStore, body: bytes) -> None:
    # As a phone that is up to date pushes: nothing comes down but its own.
    await hold_round(store, read_request(body), device=PHONE, catalog="", now_ms=NOW_MS)


async def take(store: SqliteStore, body: bytes, head: int) -> None:
    """A push alone: what is pulled with it is measured by itself."""
    from fillfirst.sync.judgement import judge

    events = [judge(one) for one in read_request(body).events]
    await store.events.push(events, [], pushed_by=1, now_ms=NOW_MS)  # type: ignore[arg-type]
    await store.events.get_standing(str(uuid.UUID(int=1)))


async def main() -> None:
    with tempfile.TemporaryDirectory(dir=TOP) as temporary:
        folder = Path(temporary)
        store = await open_store(folder, now_ms=NOW_MS)
        floor = Floor(folder / "floor.db")
        epoch = (await store.get_meta()).epoch
        pushes, fresh_pulls, pulls, floor_pushes, floor_pulls = [], [], [], [], []
        pull_body = make_body([], 0)
        for batch in range(BATCHES):
            texts = make_texts(batch)
            body = make_body(texts, 0)
            floor_pushes.append(measure(lambda texts=texts: floor.push(texts)))
            start = time.perf_counter()
            await take(store, body, batch * BATCH)
            pushes.append((time.perf_counter() - start) * 1000)
            floor_pulls.append(measure(floor.pull))
            fresh_body = make_body([], batch * BATCH).replace(b'"epoch":null', f'"epoch":"{epoch}"'.encode())
            for body, times in ((fresh_body, fresh_pulls), (pull_body, pulls)):
                start = time.perf_counter()
                await hold_round(store, read_request(body), device=PHONE, catalog="", now_ms=NOW_MS)
                times.append((time.perf_counter() - start) * 1000)
        (pages,), *_ = await store.database.read("PRAGMA page_count")
        await store.close()
    # The first ones are still at hand when a new phone asks for them.
    for name, ours, bare in (
        ("push", pushes, floor_pushes),
        ("pull of what just came,", fresh_pulls, floor_pulls),
        ("pull by a new phone,", pulls[3:], floor_pulls[3:]),
    ):
        ratio = min(bare) / min(ours)
        print(f"{name} of {BATCH}: {min(ours):5.1f} ms, bare SQLite {min(bare):5.1f} ms: {ratio:.2f} of it")
    print(f"{pages * 4096 / (BATCH * BATCHES):.0f} bytes an event on the disk")


if __name__ == "__main__":
    asyncio.run(main())
