"""Takes the files that phones export, and pictures, into the store: for a phone that can no longer sync.

Every line is judged as if it had come in a round, so a line twice is a line once, and what is refused is told
by its number.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any, NamedTuple

from fillfirst.errors import RequestError
from fillfirst.store.interface import NewEvent, Store, Verdict
from fillfirst.store.photos import HEAD_BYTES, read_type
from fillfirst.sync.judgement import Trouble, explain, judge
from fillfirst.sync.messages import EVENTS_LIMIT, Refused
from fillfirst.sync.request import Offered, refuse_constant

# No device pushed these; the keeper brought them.
KEEPER = 0
# The server's own notes, which a phone's export may carry beside an entry of another phone.
NOTES = ("seq", "received_at")
PART_BYTES = 256 * 1024


class BroughtIn(NamedTuple):
    """What became of the files."""

    accepted: int
    photo_count: int
    rescued: int
    """Entries that a phone had not numbered yet and that were left out."""
    troubles: list[str]


async def bring_in(store: Store, files: list[Path], *, with_rescued: bool, now_ms: int) -> BroughtIn:
    """Raises StoreError, and OSError for a file that cannot be read; all before it was kept."""
    accepted = photo_count = rescued = 0
    troubles: list[str] = []
    for path in files:
        if _is_picture(path):
            photo_count += await _put_photo(store, path, troubles, now_ms)
            continue
        events: list[tuple[int, NewEvent]] = []
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1):
            if not line.strip():
                continue
            offered = _read_line(line, with_rescued=with_rescued)
            if offered is None:
                rescued += 1
            elif isinstance(offered, str):
                troubles.append(f"{path.name}, line {number}: {offered}")
            elif isinstance(judged := judge(offered), Trouble):
                troubles.append(f"{path.name}, line {number}: {judged.message}")
            else:
                events.append((number, judged))
        accepted += await _push(store, path, events, troubles, now_ms)
    return BroughtIn(accepted, photo_count, rescued, troubles)


async def _push(
    store: Store, path: Path, events: list[tuple[int, NewEvent]], troubles: list[str], now_ms: int
) -> int:
    accepted = 0
    for start in range(0, len(events), EVENTS_LIMIT):
        part = events[start : start + EVENTS_LIMIT]
        verdicts = await store.events.push([event for _, event in part], [], pushed_by=KEEPER, now_ms=now_ms)
        for (number, event), verdict in zip(part, verdicts, strict=True):
            if verdict is Verdict.ACCEPTED:
                accepted += 1
            else:
                refused: Refused = explain(event, verdict).to_refused(number)
                troubles.append(f"{path.name}, line {number}: {refused.message}")
    return accepted


def _read_line(line: str, *, with_rescued: bool) -> Offered | str | None:
    """One entry; a text says what is wrong, None that it is a draft which was not asked for."""
    try:
        value = json.loads(line, parse_constant=refuse_constant)
    except (ValueError, RecursionError):
        return "It is not JSON."
    if not isinstance(value, dict):
        return "It is no entry."
    # As the server passes entries on, and exports them.
    if isinstance(value.get("event"), dict):
        value = value["event"]
    elif "made_ms" in value and "n" not in value:
        if not with_rescued:
            return None
        value = _number(value)
    elif not any(note in value for note in NOTES):
        return Offered(line.strip(), value)
    value = {key: inner for key, inner in value.items() if key not in NOTES}
    return Offered(json.dumps(value, separators=(",", ":"), ensure_ascii=False), value)


def _number(draft: dict[str, Any]) -> dict[str, Any]:
    """A draft as the only entry of a device of its own: the phone that made it had no count for it."""
    envelope = {"device": f"rescued:{draft.get('id')}", "n": 1, "hlc": {"ms": draft["made_ms"], "c": 0}}
    keys = ("wall", "kind", "subject", "payload")
    return {"id": draft.get("id"), **envelope, "seen": 0, "v": 1} | {key: draft.get(key) for key in keys}


def _is_picture(path: Path) -> bool:
    with path.open("rb") as file:
        return read_type(file.read(HEAD_BYTES)) is not None


async def _put_photo(store: Store, path: Path, troubles: list[str], now_ms: int) -> int:
    with path.open("rb") as file:
        sha256 = hashlib.file_digest(file, "sha256").hexdigest()
    try:
        await store.photos.put(sha256, _read_parts(path), pushed_by=KEEPER, now_ms=now_ms)
    except RequestError as error:
        troubles.append(f"{path.name}: {error.message}")
        return 0
    return 1


async def _read_parts(path: Path) -> AsyncIterator[bytes]:
    with path.open("rb") as file:
        while chunk := file.read(PART_BYTES):
            yield chunk
