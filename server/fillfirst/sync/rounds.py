"""One round: events up, events down. Answers only after what was accepted is on the disk."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from functools import lru_cache

import orjson

from fillfirst.store.interface import Device, NewEvent, Standing, Store, StoredEvent, Verdict
from fillfirst.sync.judgement import Trouble, explain, judge
from fillfirst.sync.messages import MIN_CLIENT, PROTOCOL, Opening, Refused
from fillfirst.sync.request import Offered, SyncRound

PAGE_LIMIT = 1_000
PAGE_LIMIT_BYTES = 1024 * 1024
GAPS_LIMIT = 20


async def hold_round(store: Store, round: SyncRound, *, device: Device, catalog: str, now_ms: int) -> bytes:
    """The answer to a phone, as JSON. Raises StoreError, and then nothing was accepted."""
    opening = round.opening
    meta = await store.get_meta()
    goes_on = opening.epoch == meta.epoch
    if goes_on and await _is_behind(store, opening):
        meta = await store.begin_epoch(instead_of=meta.epoch)
        goes_on = False
    accepted, refused = await _take(store, round.events, device, now_ms)
    cursor = opening.cursor if goes_on else 0
    page = await store.events.get_after(cursor, limit=PAGE_LIMIT, limit_bytes=PAGE_LIMIT_BYTES)
    standing = await store.events.get_standing(opening.device)
    answer = {
        "server_id": meta.server_id,
        "epoch": meta.epoch,
        "accepted": accepted,
        "refused": [one.model_dump() for one in refused],
        "ack": standing.ack,
        "missing": await _list_missing(store, opening.device, standing),
        "events": orjson.Fragment(_pass_on(page.events)),
        "cursor": page.events[-1].seq if page.events else cursor,
        "more": page.more,
        "server_now": now_ms,
        "catalog": catalog,
        "protocol": PROTOCOL,
        "min_client": MIN_CLIENT,
    }
    return orjson.dumps(answer)


async def _is_behind(store: Store, opening: Opening) -> bool:
    """Whether a phone knows of more than the server holds: then the server was put back to an older state.

    Nobody told it so. Without a new epoch the other phones would not notice, once the log has grown
    past their cursors again, that part of what they hold is missing here.
    """
    if opening.cursor > await store.events.get_head():
        return True
    return opening.ack > 0 and opening.ack > (await store.events.get_standing(opening.device)).ack


async def _take(
    store: Store, offered: list[Offered], device: Device, now_ms: int
) -> tuple[list[str], list[Refused]]:
    judged = [judge(one) for one in offered]
    good = [(index, one) for index, one in enumerate(judged) if isinstance(one, NewEvent)]
    troubles = {index: one for index, one in enumerate(judged) if isinstance(one, Trouble)}
    refusals = [note for trouble in troubles.values() if (note := trouble.to_refusal()) is not None]
    verdicts = await store.events.push([one for _, one in good], refusals, pushed_by=device.id, now_ms=now_ms)
    accepted = []
    for (index, event), verdict in zip(good, verdicts, strict=True):
        if verdict is Verdict.ACCEPTED:
            accepted.append(event.id)
        else:
            troubles[index] = explain(event, verdict)
    return accepted, [troubles[index].to_refused(index) for index in sorted(troubles)]


async def _list_missing(store: Store, device: str, standing: Standing) -> list[dict[str, int]]:
    if standing.highest == standing.ack:
        return []
    gaps = await store.events.get_gaps(device, above=standing.ack, limit=GAPS_LIMIT)
    return [{"first": first, "last": last} for first, last in gaps]


def _pass_on(events: Sequence[StoredEvent]) -> str:
    """The list of events as JSON. Their texts are JSON already, and stay as they came."""
    entries = [
        f'{{"seq":{seq},"received_at":"{write_moment(received_at_ms)}","event":{text}}}'
        for seq, received_at_ms, text in events
    ]
    return f"[{','.join(entries)}]"


# Events that came in one round have one moment.
@lru_cache(maxsize=1024)
def write_moment(ms: int) -> str:
    """A moment in UTC, to the millisecond."""
    return datetime.fromtimestamp(ms / 1000, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
