"""The log of events: add, and read on from a cursor."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fillfirst.store.connection import Connection, Database, Row
from fillfirst.store.interface import EventPage, NewEvent, NewRefusal, Standing, StoredEvent, Verdict
from fillfirst.store.packing import is_same_content, pack, read_id, unpack_all
from fillfirst.store.recent import RecentEvents

INSERT = (
    "INSERT INTO events (id, device, n, subject, kind, ms, c, seen, wall, v, body, pushed_by, received_at_ms)"
    " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING"
)
SELECT = "SELECT seq, received_at_ms, id, device, n, kind, subject, ms, c, seen, wall, v, body FROM events"
HEAD = "SELECT coalesce(max(seq), 0) FROM events"
# Words are never changed, so those that were read once need not be joined to every row. Of a hundred vans
# these are few; where there are more, they are forgotten and read again.
WORDS_KEPT = 20_000
WORDS_A_STATEMENT = 500
# Walks up from a number as long as the next one was taken or refused.
ADVANCE = """
WITH RECURSIVE run (n) AS (
  SELECT CAST(? AS BIGINT)
  UNION ALL
  SELECT n + 1 FROM run
  WHERE EXISTS (SELECT 1 FROM events WHERE device = ? AND events.n = run.n + 1)
     OR EXISTS (SELECT 1 FROM refusals WHERE device = ? AND refusals.n = run.n + 1)
)
SELECT max(n) FROM run
"""
GAPS = """
WITH one (id, above) AS (SELECT (SELECT id FROM words WHERE word = ?), CAST(? AS BIGINT)),
held (n) AS (
  SELECT above FROM one
  UNION SELECT n FROM events, one WHERE device = one.id AND n > above
  UNION SELECT n FROM refusals, one WHERE device = one.id AND n > above
)
SELECT n + 1, following - 1 FROM (SELECT n, lead(n) OVER (ORDER BY n) AS following FROM held) AS steps
WHERE following > n + 1 ORDER BY n LIMIT ?
"""
STANDING = """
WITH one (id) AS (SELECT id FROM words WHERE word = ?)
SELECT
  coalesce((SELECT n FROM acks WHERE device = (SELECT id FROM one)), 0),
  coalesce((SELECT max(n) FROM events WHERE device = (SELECT id FROM one)), 0),
  coalesce((SELECT max(n) FROM refusals WHERE device = (SELECT id FROM one)), 0)
"""


class SqlEvents:
    """See `interface.Events`."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._words: dict[int, str] = {}
        self._recent = RecentEvents()

    async def push(
        self, events: Sequence[NewEvent], refusals: Sequence[NewRefusal], *, pushed_by: int, now_ms: int
    ) -> list[Verdict]:
        if not events and not refusals:
            return []

        added: list[StoredEvent] = []

        async def work(connection: Connection) -> list[Verdict]:
            before = await self._begin(connection, len(events))
            words = await _get_words(connection, events, refusals)
            verdicts = await self._insert(connection, events, words, pushed_by, now_ms, before, added)
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

        verdicts = await self._database.write(work)
        if added:
            self._recent.add(added)
        return verdicts

    async def get_after(self, cursor: int, *, limit: int, limit_bytes: int) -> EventPage:
        found = self._recent.find(cursor, await self.get_head())
        if found is None:
            sql = f"{SELECT} WHERE seq > ? ORDER BY seq LIMIT ?"
            rows = await self._database.read(sql, (cursor, limit + 1))
            words = await self._find_words(rows)
            found = unpack_all(rows, words)
        events: list[StoredEvent] = []
        size = 0
        for event in found[:limit]:
            size += len(event.text)
            # One event is always given, however long, or the phone would ask for it for ever.
            if events and size > limit_bytes:
                break
            events.append(event)
        return EventPage(events, more=len(events) < len(found))

    async def get_head(self) -> int:
        return int((await self._database.read(HEAD))[0][0])

    async def get_standing(self, device: str) -> Standing:
        ack, taken, refused = (await self._database.read(STANDING, (device,)))[0]
        return Standing(ack, max(taken, refused))

    async def get_gaps(self, device: str, *, above: int, limit: int) -> list[tuple[int, int]]:
        rows = await self._database.read(GAPS, (device, above, limit))
        return [(int(first), int(last)) for first, last in rows]

    async def get_of_subject(self, subject: str) -> list[StoredEvent]:
        return await self._get_where("subject", subject)

    async def get_of_kind(self, kind: str) -> list[StoredEvent]:
        return await self._get_where("kind", kind)

    async def _begin(self, connection: Connection, count: int) -> int:
        """What must come first in the transaction of a push; the number after which it adds its events."""
        return 0

    async def _insert(
        self,
        connection: Connection,
        events: Sequence[NewEvent],
        words: dict[str, int],
        pushed_by: int,
        now_ms: int,
        before: int,
        added: list[StoredEvent],
    ) -> list[Verdict]:
        """Where all of them are new, they are noted in `added` as they are in the log now."""
        added.clear()
        if not events:
            return []
        rows: list[Row] = [
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
        if await self._add(connection, rows, before) == len(events):
            first = int((await connection.fetch(HEAD))[0][0]) - len(events) + 1
            added += [StoredEvent(seq, now_ms, event.text) for seq, event in enumerate(events, first)]
            return [Verdict.ACCEPTED] * len(events)
        return await _compare(connection, events)

    async def _add(self, connection: Connection, rows: list[Row], before: int) -> int:
        """Add the rows that are new, and say how many these were."""
        return await connection.execute_many(INSERT, rows)

    async def _get_where(self, column: str, word: str) -> list[StoredEvent]:
        rows = await self._database.read(
            f"{SELECT} WHERE {column} = (SELECT id FROM words WHERE word = ?) ORDER BY seq", (word,)
        )
        words = await self._find_words(rows)
        return unpack_all(rows, words)

    async def _find_words(self, rows: Sequence[Row]) -> dict[int, str]:
        """The words of these rows, by their numbers."""
        wanted = {number for row in rows for number in (row[3], row[5], row[6])}
        if new := wanted - self._words.keys():
            if len(self._words) > WORDS_KEPT:
                self._words = {}
                new = wanted
            self._words |= await self._read_words(list(new))
        return self._words

    async def _read_words(self, numbers: list[int]) -> dict[int, str]:
        found: dict[int, str] = {}
        for start in range(0, len(numbers), WORDS_A_STATEMENT):
            part = numbers[start : start + WORDS_A_STATEMENT]
            marks = ",".join("?" * len(part))
            sql = f"SELECT id, word FROM words WHERE id IN ({marks})"
            for number, word in await self._database.read(sql, part):
                found[number] = word
        return found


async def _get_words(
    connection: Connection, events: Iterable[NewEvent], refusals: Iterable[NewRefusal]
) -> dict[str, int]:
    """The number of every device id, kind and subject in this batch; new ones get one."""
    wanted: set[str] = {refusal.device for refusal in refusals}
    for event in events:
        wanted.update((event.device, event.kind, event.subject))
    words = await _select_words(connection, wanted)
    if new := wanted - words.keys():
        await connection.execute_many(
            "INSERT INTO words (word) VALUES (?)", [(word,) for word in sorted(new)]
        )
        words |= await _select_words(connection, new)
    return words


async def _select_words(connection: Connection, wanted: Iterable[str]) -> dict[str, int]:
    return dict(await connection.fetch_in("SELECT word, id FROM words WHERE word", list(wanted)))


async def _compare(connection: Connection, events: Sequence[NewEvent]) -> list[Verdict]:
    """Judge a batch of which something was here before."""
    rows = await connection.fetch_in(f"{SELECT} WHERE id", [read_id(event.id) for event in events])
    numbers = {number for row in rows for number in (row[3], row[5], row[6])}
    sql = "SELECT id, word FROM words WHERE id"
    words: dict[int, str] = dict(await connection.fetch_in(sql, list(numbers)))
    held = {row[2]: event.text for row, event in zip(rows, unpack_all(rows, words), strict=True)}
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
    connection: Connection, refused: Sequence[NewRefusal], words: dict[str, int], now_ms: int
) -> None:
    if refused:
        await connection.execute_many(
            "INSERT INTO refusals (device, n, code, refused_at_ms) VALUES (?, ?, ?, ?)"
            " ON CONFLICT DO NOTHING",
            [(words[device], n, code, now_ms) for device, n, code in refused],
        )
    # An event refused by an older version may be taken by this one.
    await connection.execute(
        "DELETE FROM refusals WHERE EXISTS"
        " (SELECT 1 FROM events WHERE events.device = refusals.device AND events.n = refusals.n)"
    )


async def _advance_ack(connection: Connection, device: int, counts: list[int]) -> None:
    rows = await connection.fetch("SELECT n FROM acks WHERE device = ?", (device,))
    before = reached = int(rows[0][0]) if rows else 0
    # Most batches go straight on from the last one; the walk through the table then starts at their end.
    for n in sorted(counts):
        if n == reached + 1:
            reached = n
    walked = await connection.fetch(ADVANCE, (reached, device, device))
    reached = int(walked[0][0])
    if reached > before:
        await connection.execute(
            "INSERT INTO acks (device, n) VALUES (?, ?) ON CONFLICT (device) DO UPDATE SET n = excluded.n",
            (device, reached),
        )
