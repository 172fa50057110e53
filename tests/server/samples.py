"""Events, pictures and a web client for tests: as small as they can be."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from fillfirst.store.interface import NewEvent

NOW_MS = 1_777_884_121_000
ORIGIN = "http://127.0.0.1:8765"
TINY_CATALOG = b'{"format":1}'
JPEG = b"\xff\xd8\xff\xe0" + b"picture" * 100
JPEG_SHA256 = hashlib.sha256(JPEG).hexdigest()


def make_id(number: int, *, device: int = 0) -> str:
    return f"019df1ab-6f00-7000-{0x8000 + device:04x}-{number:012x}"


def make_event(n: int = 1, **changes: Any) -> dict[str, Any]:
    """An event of device "phone-1", as a phone makes it."""
    event = {
        "id": make_id(n),
        "device": "phone-1",
        "n": n,
        "hlc": {"ms": NOW_MS + n, "c": 0},
        "seen": 0,
        "wall": "2026-05-04T10:42:00+02:00",
        "kind": "step-skipped",
        "v": 1,
        "subject": "visit-1",
        "payload": {"step": "engine-oil/drain", "reason": "no pan at hand"},
    }
    return event | changes


def write_text(event: dict[str, Any]) -> str:
    """As JSON.stringify writes it."""
    return json.dumps(event, separators=(",", ":"), ensure_ascii=False)


def make_new(n: int = 1, *, text: str | None = None, **changes: Any) -> NewEvent:
    """An event as the store takes it."""
    event = make_event(n, **changes)
    return NewEvent(
        event["id"],
        event["device"],
        event["n"],
        event["hlc"]["ms"],
        event["hlc"]["c"],
        event["seen"],
        event["wall"],
        event["kind"],
        event["v"],
        event["subject"],
        text if text is not None else write_text(event),
    )


def make_round(*events: dict[str, Any], **changes: Any) -> dict[str, Any]:
    opening = {"epoch": None, "cursor": 0, "ack": 0, "client_now": NOW_MS - 1000, "device": "phone-1"}
    return {**opening, "events": list(events), **changes}


def write_webui(folder: Path) -> Path:
    """A web client of four files."""
    files = {
        "index.html": '<link rel="stylesheet" href="./styles/index.css"><script src="./main.js"></script>',
        "main.js": 'import "./core/units.js";\n' + "void 'long enough to be worth packing';\n" * 40,
        "core/units.js": "export {};\n",
        "styles/index.css": "@layer reset;\n",
        "service-worker.js": "void worker;\n",
        "sw-off.js": "// off\n",
        ".hidden": "not served\n",
    }
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return folder
