"""How many rounds a second a PostgreSQL takes that flushes to its disk, and how much room an event takes.

.venv/bin/python tests/bench/postgres_store.py
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
import time
import uuid
from pathlib import Path

TOP = Path(__file__).parents[2]
sys.path[:0] = [str(TOP / "server"), str(TOP / "tests" / "server")]

from postgres import create_database, running_postgres  # noqa: E402
from samples import NOW_MS, make_new  # noqa: E402

from fillfirst.store.interface import NewEvent  # noqa: E402
from fillfirst.store.opening import open_store  # noqa: E402
from fillfirst.store.sql import SqlStore  # noqa: E402

SECONDS, VANS, EVENTS_A_ROUND = 5, 16, 10


def make_events(van: int, turn: int) -> list[NewEvent]:
    names = {"device": str(uuid.UUID(int=van)), "subject": str(uuid.UUID(int=van * 1000 + turn // 30))}
    first = turn * EVENTS_A_ROUND
    return [
        make_new(n, id=str(uuid.UUID(int=(NOW_MS + n) << 80 | van << 40 | n)), **names)
        for n in range(first + 1, first + EVENTS_A_ROUND + 1)
    ]


async def drive(store: SqlStore, van: int, until: float) -> int:
    turn = 0
    while time.perf_counter() < until:
        await store.events.push(make_events(van, turn), [], pushed_by=1, now_ms=NOW_MS)
        turn += 1
    return turn


async def main(url: str, folder: Path) -> None:
    store = await open_store(folder, database=url, now_ms=NOW_MS)
    until = time.perf_counter() + SECONDS
    turns = sum(await asyncio.gather(*(drive(store, van, until) for van in range(1, VANS + 1))))
    (size,), *_ = await store.database.read(
        "SELECT pg_total_relation_size('events') + pg_total_relation_size('words')"
    )
    await store.close()
    print(f"{turns / SECONDS:.0f} rounds a second of {EVENTS_A_ROUND} events, from {VANS} vans at once")
    print(f"{size / (turns * EVENTS_A_ROUND):.0f} bytes an event")


if __name__ == "__main__":
    with running_postgres(fsync="on") as cluster, tempfile.TemporaryDirectory() as temporary:
        asyncio.run(main(create_database(cluster), Path(temporary)))
