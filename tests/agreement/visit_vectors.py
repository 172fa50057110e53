"""What the vectors of compose, gate and fold have in common: a small catalog, short forms, random logs."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random
from typing import Any

import pytest

from fillfirst.specs.linked import Specs

HERE = Path(__file__).parent

#: Five jobs, three kinds of car. Written without what has a default; the phone gets it whole.
SPECS = Specs.model_validate_json((HERE / "visits-catalog.json").read_text())
CATALOG = SPECS.model_dump(mode="json", by_alias=True)


def read(name: str) -> list[Any]:
    vectors: list[Any] = json.loads((HERE / name).read_text())["vectors"]
    return vectors


def each(vectors: Sequence[Any]) -> Any:
    return pytest.mark.parametrize("vector", [pytest.param(vector, id=vector["name"]) for vector in vectors])


def differences(found: Any, expected: Any, where: str = "") -> list[str]:
    """Where a result is not as a vector shows it. Objects may hold more than is shown; null is nothing."""
    if isinstance(expected, Mapping) and isinstance(found, Mapping):
        return [
            line for key in expected for line in differences(found.get(key), expected[key], f"{where}.{key}")
        ]
    if isinstance(expected, list) and isinstance(found, list) and len(expected) == len(found):
        pairs = enumerate(zip(found, expected, strict=True))
        return [line for at, (one, two) in pairs for line in differences(one, two, f"{where}[{at}]")]
    return [] if found == expected else [f"{where or 'all'}: {found!r}, not {expected!r}"]


def as_events(entries: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Whole events from short ones: without more said, one phone, one second after another, `e1`, `e2` …"""
    counts: dict[str, int] = {}
    events = []
    for index, entry in enumerate(entries, 1):
        device = entry.get("device", "phone")
        counts[device] = counts.get(device, 0) + 1
        whole = {
            "id": f"e{index}",
            "device": device,
            "n": counts[device],
            "hlc": {"ms": 1000 * index, "c": 0},
            "seen": 0,
            "wall": f"2026-05-04T10:00:{index:02}+02:00",
            "v": 1,
            "subject": "visit",
            "payload": {},
            **entry,
        }
        events.append(whole)
    return events


class Phone:
    """A phone of a random log: what it has made, what it has heard, and how far it has read the server."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.cursor = 0
        self.clock = 0
        self.made: list[dict[str, Any]] = []


def random_log(random: Random, instances: Sequence[Mapping[str, Any]], length: int) -> list[dict[str, Any]]:
    """Events as two phones make them that meet the server now and then, some of it offline."""
    phones = [Phone("garage"), Phone("yard")]
    server: list[dict[str, Any]] = []
    for index in range(length):
        phone = random.choice(phones)
        phone.clock += random.choice([0, 1, 1, 7])
        kind, payload = random_body(random, instances, [event["id"] for event in server + phone.made])
        event = {
            "id": f"{phone.name}-{index}",
            "device": phone.name,
            "n": len(phone.made) + 1,
            "hlc": {"ms": phone.clock, "c": index},
            "seen": phone.cursor,
            "wall": "2026-05-04T10:00:00+02:00",
            "kind": kind,
            "v": 1,
            "subject": "visit",
            "payload": payload,
        }
        phone.made.append(event)
        if random.random() < 0.2:
            for unsent in phone.made:
                if "seq" not in unsent:
                    unsent["seq"] = len(server) + 1
                    server.append(unsent)
            phone.cursor = len(server)
            phone.clock = max([phone.clock, *(each["hlc"]["ms"] for each in server)])
    return [event for phone in phones for event in phone.made]


def random_body(
    random: Random, instances: Sequence[Mapping[str, Any]], ids: Sequence[str]
) -> tuple[str, dict[str, Any]]:
    """Some kind of event, about one of the first steps so that the phones meet."""
    at = random.randrange(len(instances))
    instance = instances[at]
    step = SPECS.steps_by_id[instance["step"]]
    kinds = ["step-done"] * 8 + ["step-skipped", "timer-started", "stop-overridden", "photo-taken", "undone"]
    kinds += [
        "went-back",
        "state-confirmed",
        "reading-taken",
        "reading-taken",
        "from-the-future",
        "fact-given",
        "closing-up",
        "taken-up-again",
    ]
    kind = random.choice(kinds)
    if kind == "reading-taken" and not step.readings:
        kind = "step-done"
    bodies: dict[str, dict[str, Any]] = {
        "step-done": {
            "step": instance["id"],
            "finding": random.choice([None, *(f.id for f in step.findings)]),
        },
        "step-skipped": {"step": instance["id"], "reason": "no time"},
        "timer-started": {"step": instance["id"], "started_ms": at, "least_s": 600, "most_s": None},
        "stop-overridden": {"step": instance["id"], "stops": ["heat"], "reason": "cold by hand"},
        "photo-taken": {"step": instance["id"], "sha256": f"{at % 3:064x}", "type": "image/jpeg"},
        "undone": {"event": random.choice(ids) if ids else "none"},
        "closing-up": {"aim": random.choice(["to-stand", "to-drive", "to-fly"]), "steps": [instance["id"]]},
        "taken-up-again": {"by": random.choice([None, "Ida"])},
        "went-back": {"from": instance["id"], "to": instances[random.randrange(at + 1)]["id"]},
        "state-confirmed": {"variable": "coolant-cap", "value": random.choice(["closed", "open", "ajar"])},
        "reading-taken": {
            "step": instance["id"],
            "reading": step.readings[0] if step.readings else "",
            "value": random.choice([0.001, 0.002, 0.0025]),
            "typed": "1",
            "unit": "l",
        },
        "fact-given": {
            "fact": random.choice(["wheel_torque", "has_undertray"]),
            "value": random.choice([120, 140, True]),
            "source": {"kind": "label", "reference": "on the door"},
        },
        "from-the-future": {"anything": True},
    }
    return kind, bodies[kind]
