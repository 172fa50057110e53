"""Takes the files that phones export, and pictures, into the store: for a phone that can no longer sync.

Every line is judged as if it had come in a round, so a line twice is a line once, and what is refused is told
by its number. A file may be large, so it is read line by line: a photo in it is one line (sync/PROTOCOL.md,
"A file from a phone").
"""

from __future__ import annotations

import base64
import binascii
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


class PhotoLine(NamedTuple):
    """A photo that stands in a file among the entries."""

    sha256: str
    body: bytes


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
            with path.open("rb") as file:
                sha256 = hashlib.file_digest(file, "sha256").hexdigest()
            photo_count += await _put_photo(store, path.name, sha256, _read_parts(path), troubles, now_ms)
            continue
        events: list[tuple[int, NewEvent]] = []
        # Only this sign ends a line: the others that Python knows may stand inside a text of JSON.
        with path.open(encoding="utf-8", errors="replace", newline="\n") as lines:
            for number, line in enumerate(lines, 1):
                if not line.strip():
                    continue
                found = _read_line(line, with_rescued=with_rescued)
                if found is None:
                    rescued += 1
                elif isinstance(found, str):
                    troubles.append(f"{path.name}, line {number}: {found}")
                elif isinstance(found, PhotoLine):
                    name = f"{path.name}, line {number}"
                    photo_count += await _put_photo(
                        store, name, found.sha256, _give(found.body), troubles, now_ms
                    )
                elif isinstance(judged := judge(found), Trouble):
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


def _read_line(line: str, *, with_rescued: bool) -> Offered | PhotoLine | str | None:
    """One entry or photo; a text says what is wrong, None that it is a draft which was not asked for."""
    try:
        value = json.loads(line, parse_constant=refuse_constant)
    except (ValueError, RecursionError):
        return "It is not JSON."
    if not isinstance(value, dict):
        return "It is no entry."
    if isinstance(value.get("photo"), dict):
        return _read_photo(value["photo"])
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


def _read_photo(photo: dict[str, Any]) -> PhotoLine | str:
    sha256, text = photo.get("sha256"), photo.get("base64")
    if not isinstance(sha256, str) or not isinstance(text, str):
        return "It is a photo without its hash or its bytes."
    try:
        body = base64.b64decode(text, validate=True)
    except binascii.Error:
        return "The bytes of this photo cannot be read."
    if hashlib.sha256(body).hexdigest() != sha256:
        return "The bytes of this photo are not those that its hash names."
    return PhotoLine(sha256, body)


def _number(draft: dict[str, Any]) -> dict[str, Any]:
    """A draft as the only entry of a device of its own: the phone that made it had no count for it."""
    envelope = {"device": f"rescued:{draft.get('id')}", "n": 1, "hlc": {"ms": draft["made_ms"], "c": 0}}
    keys = ("wall", "kind", "subject", "payload")
    return {"id": draft.get("id"), **envelope, "seen": 0, "v": 1} | {key: draft.get(key) for key in keys}


def _is_picture(path: Path) -> bool:
    with path.open("rb") as file:
        return read_type(file.read(HEAD_BYTES)) is not None


async def _put_photo(
    store: Store, name: str, sha256: str, parts: AsyncIterator[bytes], troubles: list[str], now_ms: int
) -> int:
    try:
        await store.photos.put(sha256, parts, pushed_by=KEEPER, now_ms=now_ms)
    except RequestError as error:
        troubles.append(f"{name}: {error.message}")
        return 0
    return 1


async def _give(body: bytes) -> AsyncIterator[bytes]:
    yield body


async def _read_parts(path: Path) -> AsyncIterator[bytes]:
    with path.open("rb") as file:
        while chunk := file.read(PART_BYTES):
            yield chunk
