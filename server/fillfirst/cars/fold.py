"""What the entries about a car say: its names, its facts with their sources, and how each came to be.

Nothing is forgotten: a number that was corrected stays in `history` with who changed it, when and why. Two
phones that wrote one fact unseen by each other, and differ, are both kept, and the fact has no value until
somebody confirms one. `webui/core/car.js` is the same in the other language; tests/agreement drives both.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from fillfirst.cars.shapes import Car, FactChange, KnownFact, Mark
from fillfirst.visits.events import Event, in_order, read_event
from fillfirst.visits.frontier import Frontiers, Write, find_undone, write
from fillfirst.visits.given import is_same_value
from fillfirst.visits.kinds import READ_APART

NAMES = ("title", "plate", "note", "vin", "market")


def fold_car(events: Iterable[Event]) -> Car:
    """Say what these entries of one car amount to.

    Raises EventError when an entry has a bad body, or one id names two different entries.
    """
    log = in_order(read_event(event) for event in events)
    known = [event for event in log if event.is_known]
    undone = find_undone(known)
    folding = _Folding({event.id: event for event in known if event.id not in undone})
    folding.car["undone"] = [event.id for event in log if event.id in undone]
    folding.car["unknown"] += len(log) - len(known)
    return folding.car


class _Folding:
    """One fold over entries in clock order."""

    def __init__(self, entries: Mapping[str, Event]) -> None:
        self.entries = entries
        self.frontiers: Frontiers[KnownFact | None] = {}
        self.car: Car = {
            "title": "",
            "plate": "",
            "note": "",
            "vin": "",
            "market": "",
            "added": None,
            "described": [],
            "facts": {},
            "history": {},
            "disputed_facts": [],
            "odometer": None,
            "odometers": [],
            "undone": [],
            "unknown": 0,
        }
        for event in entries.values():
            self._take(event)
        self._settle()

    def _take(self, event: Event) -> None:
        if event.kind == "car-added":
            self.car["added"] = self.car["added"] or _mark(event)
            self._describe(event)
        elif event.kind == "car-described":
            self._describe(event)
        elif event.kind == "fact-written":
            is_confirmed = event.payload.get("confirmed") is not False
            self._write(event, "written", _known(event, _mark(event) if is_confirmed else None), None)
        elif event.kind == "fact-withdrawn":
            self._write(event, "withdrawn", None, None)
        elif event.kind == "fact-confirmed":
            self._confirm(event)
        elif event.kind == "odometer-read":
            payload = event.payload
            self.car["odometers"].append(
                {
                    "value": payload["value"],
                    "typed": payload["typed"],
                    "unit": payload["unit"],
                    **_mark(event),
                }
            )
            self.car["odometer"] = self.car["odometers"][-1]
        elif event.kind != "undone" and event.kind not in READ_APART:
            self.car["unknown"] += 1

    def _describe(self, event: Event) -> None:
        payload = event.payload
        told = {name: payload.get(name) for name in NAMES}
        self.car["described"].append(
            {
                "title": told["title"],
                "plate": told["plate"],
                "note": told["note"],
                "vin": told["vin"],
                "market": told["market"],
                "because": payload.get("because"),
                **_mark(event),
            }
        )
        self.car["title"] = _latest(told["title"], self.car["title"])
        self.car["plate"] = _latest(told["plate"], self.car["plate"])
        self.car["note"] = _latest(told["note"], self.car["note"])
        self.car["vin"] = _latest(told["vin"], self.car["vin"])
        self.car["market"] = _latest(told["market"], self.car["market"])

    def _confirm(self, event: Event) -> None:
        """Make what another entry wrote this one's own, by whoever has looked it up."""
        target = self.entries.get(event.payload["event"])
        if target is None or target.kind != "fact-written" or target.payload["fact"] != event.payload["fact"]:
            self.car["unknown"] += 1
            return
        self._write(event, "confirmed", _known(target, _mark(event)), target.id)

    def _write(
        self,
        event: Event,
        kind: Literal["written", "withdrawn", "confirmed"],
        known: KnownFact | None,
        of: str | None,
    ) -> None:
        name = event.payload["fact"]
        write(self.frontiers, name, known, event)
        change: FactChange = {
            "kind": kind,
            "value": known["value"] if known else None,
            "typed": known["typed"] if known else None,
            "unit": known["unit"] if known else None,
            "source": known["source"] if known else None,
            "because": event.payload.get("because"),
            "doubt": event.payload.get("doubt"),
            "of": of,
            **_mark(event),
        }
        self.car["history"].setdefault(name, []).append(change)

    def _settle(self) -> None:
        for name, frontier in self.frontiers.items():
            if not _agree(frontier):
                events = [each.event.id for each in frontier]
                self.car["disputed_facts"].append({"fact": name, "events": events})
                continue
            standing = [each.value for each in frontier if each.value is not None]
            confirmed = [fact for fact in standing if fact["confirmed"] is not None]
            if standing:
                self.car["facts"][name] = (confirmed or standing)[-1]


def _agree(frontier: list[Write[KnownFact | None]]) -> bool:
    values = [None if each.value is None else each.value["value"] for each in frontier]
    return all(is_same_value(value, values[0]) for value in values)


def _latest(told: str | None, before: str) -> str:
    return before if told is None else told


def _known(event: Event, confirmed: Mark | None) -> KnownFact:
    payload = event.payload
    return {
        "value": payload["value"],
        "typed": payload.get("typed"),
        "unit": payload.get("unit"),
        "source": payload["source"],
        "because": payload.get("because"),
        "doubt": payload.get("doubt"),
        **_mark(event),
        "confirmed": confirmed,
    }


def _mark(event: Event) -> Mark:
    return {"event": event.id, "at": event.wall, "device": event.device, "by": event.payload.get("by")}
