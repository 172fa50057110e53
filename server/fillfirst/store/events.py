"""The log of events in SQLite: add, and read on from a cursor."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import aiosqlite

from fillfirst.store.database import Database, Row
from fillfirst.store.interface import EventPage, NewEvent, NewRefusal, Standing, StoredEvent, Verdict
from fillfirst.store.packing import is_same_content, pack, read_id, unpack

INSERT = (
    "INSERT INTO events (id, device, n, subject, kind, ms, c, seen, wall, v, body, pushed_by, received_at_ms)"
    " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING"
)
SELECT = (
    "SELECT seq, received_at_ms, events.id, d.word, n, k.word, s.word, ms, c, seen, wall, v, body FROM events"
    " JOIN words d ON d.id = device JOIN words k ON k.id = kind JOIN words s ON s.id = subject"
)
# Walks up from a number as long as the next one was taken or refused.
ADVANCE = """
WITH RECURSIVE run (n) AS (
  SELECT :from
  UNION ALL
  SELECT n + 1 FROM run
  WHERE EXISTS (SELECT 1 FROM events WHERE device = :device AND events.n = run.n + 1)
     OR EXISTS (SELECT 1 FROM refusals WHERE device = :device AND refusals.n = run.n + 1)
)
SELECT max(n) FROM run
"""
GAPS = """
WITH held (n) AS (
  SELECT :above
  UNION SELECT n FROM events WHERE device = (SELECT id FROM words WHERE word = :device) AND n > :above
  UNION SELECT n FROM refusals WHERE device = (SELECT id FROM words WHERE word = :device) AND n > :above
)
SELECT n + 1, next - 1 FROM (SELECT n, lead(n) OVER (ORDER BY n) AS next FROM held)
WHERE next > n + 1 ORDER BY n LIMIT :limit
"""
STANDING = """
WITH one (id) AS (SELECT id FROM words WHERE word = ?)
SELECT
  coalesce((SELECT n FROM acks WHERE device = (SELECT id FROM one)), 0),
  max(
    coalesce((SELECT max(n) FROM events WHERE device = (SELECT id FROM one)), 0),
    coalesce((SELECT max(n) FROM refusals WHERE device = (SELECT id FROM one)), 0)
  )
"""
VARIABLES_A_STATEMENT = 500


class SqliteEvents:
    """See `interface.Events`."""

    def __init__(self, database: Database) -> None:
        self._database = database

    async def push(
        self, events: Sequence[NewEvent], refusals: Sequence[NewRefusal], *, pushed_by: int, now_ms: int
    ) -> list[Verdict]:
        if not events and not refusals:
            return []

        async def work(connection: aiosqlite.Connection) -> list[Verdict]:
            words = await _get_words(connection, events, refusals)
            verdicts = await _insert(connection, events, words, pushed_by, now_ms)
            judged = zip(events, verdicts, strict=True)
            refused = [
                *refusals,
                *(
                    NewRefusal(e.device, e.n, verdict.value)
                    for e, verdict in judged
                    if verdict is not Verdict.ACCEPTED
                ),
            ]
            await _note_refusals(connection, refused, words, now_ms)
            for device in {event.device for event in events} | {refusal.device for refusal in refused}:
                counts = [event.n for event in events if event.device == device]
                await _advance_ack(connection, words[device], counts if not refused else [])
            return verdicts

        return await self._database.write(work)

    async def get_after(self, cursor: int, *, limit: int, limit_bytes: int) -> EventPage:
        rows = await self._database.read(f"{SELECT} WHERE seq > ? ORDER BY seq LIMIT ?", (cursor, limit + 1))
        events: list[StoredEvent] = []
        size = 0
        for row in rows[:limit]:
            event = _read(row)
            size += len(event.text)
            # One event is always given, however long, or the phone would ask for it for ever.
            if events and size > limit_bytes:
                break
            events.append(event)
        return EventPage(events, more=len(events) < len(rows))

    async def get_head(self) -> int:
        return int((await self._database.read("SELECT coalesce(max(seq), 0) FROM events"))[0][0])

    async def get_standing(self, device: str) -> Standing:
        return Standing(*(await self._database.read(STANDING, (device,)))[0])

    async def get_gaps(self, device: str, *, above: int, limit: int) -> list[tuple[int, int]]:
        rows = await self._database.read(GAPS, {"device": device, "above": above, "limit": limit})
        return [(int(first), int(last)) for first, last in rows]

    async def get_of_subject(self, subject: str) -> list[StoredEvent]:
        return await self._get_where("subject", subject)

    async def get_of_kind(self, kind: str) -> list[StoredEvent]:
        return await self._get_where("kind", kind)

    async def _get_where(self, column: str, word: str) -> list[StoredEvent]:
        rows = await self._database.read(
            f"{SELECT} WHERE {column} = (SELECT id FROM words WHERE word = ?) ORDER BY seq", (word,)
        )
        return [_read(row) for row in rows]


def _read(row: Row) -> StoredEvent:
    seq, received_at_ms, id, device, n, kind, subject, *packed = row
    return StoredEvent(seq, received_at_ms, unpack(id, device, n, kind, subject, tuple(packed)))


async def _get_words(
    connection: aiosqlite.Connection, events: Iterable[NewEvent], refusals: Iterable[NewRefusal]
) -> dict[str, int]:
    """The number of every device id, kind and subject in this batch; new ones get one."""
    wanted: set[str] = {refusal.device for refusal in refusals}
    for event in events:
        wanted.update((event.device, event.kind, event.subject))
    words = await _select_words(connection, wanted)
    if new := wanted - words.keys():
        await connection.executemany("INSERT INTO words (word) VALUES (?)", [(word,) for word in sorted(new)])
        words |= await _select_words(connection, new)
    return words


async def _select_words(connection: aiosqlite.Connection, wanted: Iterable[str]) -> dict[str, int]:
    return dict(await _select_in(connection, "SELECT word, id FROM words WHERE word", list(wanted)))


async def _select_in(connection: aiosqlite.Connection, sql: str, values: Sequence[Any]) -> list[Row]:
    """All rows of `sql IN (values)`, in as many statements as SQLite's limit on variables asks for."""
    rows: list[Row] = []
    for start in range(0, len(values), VARIABLES_A_STATEMENT):
        part = values[start : start + VARIABLES_A_STATEMENT]
        marks = ",".join("?" * len(part))
        rows += [tuple(row) for row in await connection.execute_fetchall(f"{sql} IN ({marks})", part)]
    return rows


async def _insert(
    connection: aiosqlite.Connection,
    events: Sequence[NewEvent],
    words: dict[str, int],
    pushed_by: int,
    now_ms: int,
) -> list[Verdict]:
    if not events:
        return []
    rows = [
        (
            read_id(event.id),
            words[event.device],
            event.n,
            words[event.subject],
            words[event.kind],
            *pack(event),
            pushed_by,
            now_ms,
        )
        for event in events
    ]
    cursor = await connection.executemany(INSERT, rows)
    if cursor.rowcount == len(events):
        return [Verdict.ACCEPTED] * len(events)
    return await _compare(connection, events)


async def _compare(connection: aiosqlite.Connection, events: Sequence[NewEvent]) -> list[Verdict]:
    """Judge a batch of which something was here before."""
    rows = await _select_in(connection, f"{SELECT} WHERE events.id", [read_id(event.id) for event in events])
    held = {row[2]: _read(row).text for row in rows}
    verdicts = []
    for event in events:
        text = held.get(read_id(event.id))
        if text is None:
            verdicts.append(Verdict.SAME_COUNT_OTHER_EVENT)
        elif is_same_content(text, event.text):
            verdicts.append(Verdict.ACCEPTED)
        else:
            verdicts.append(Verdict.SAME_ID_OTHER_CONTENT)
    return verdicts


async def _note_refusals(
    connection: aiosqlite.Connection, refused: Sequence[NewRefusal], words: dict[str, int], now_ms: int
) -> None:
    await connection.executemany(
        "INSERT INTO refusals (device, n, code, refused_at_ms) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
        [(words[device], n, code, now_ms) for device, n, code in refused],
    )
    # An event refused by an older version may be taken by this one.
    await connection.execute(
        "DELETE FROM refusals WHERE EXISTS"
        " (SELECT 1 FROM events WHERE events.device = refusals.device AND events.n = refusals.n)"
    )


async def _advance_ack(connection: aiosqlite.Connection, device: int, counts: list[int]) -> None:
    rows = list(await connection.execute_fetchall("SELECT n FROM acks WHERE device = ?", (device,)))
    before = reached = int(rows[0][0]) if rows else 0
    # Most batches go straight on from the last one; the walk through the table then starts at their end.
    for n in sorted(counts):
        if n == reached + 1:
            reached = n
    walked = list(await connection.execute_fetchall(ADVANCE, {"from": reached, "device": device}))
    reached = int(walked[0][0])
    if reached > before:
        await connection.execute(
            "INSERT INTO acks (device, n) VALUES (?, ?) ON CONFLICT (device) DO UPDATE SET n = excluded.n",
            (device, reached),
        )
