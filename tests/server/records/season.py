"""A year of three cars and their people, as their phones record it: twelve visits, slips included."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import httpx
from samples import make_event, make_id, make_round

from fillfirst.catalog.document import Catalog, write
from fillfirst.formulas import evaluate_figure
from fillfirst.specs import Specs, load
from fillfirst.visits.compose import compose
from fillfirst.visits.events import read_event
from fillfirst.visits.fold import fold

TOP = Path(__file__).parents[3]
KM = 1000.0
MONTH = 365.25 * 86400 / 12


class Device:
    """One phone: its own count, and the entries it has not told the server of."""

    def __init__(self, name: str, number: int) -> None:
        self.name = name
        self.number = number
        self.made: list[dict[str, Any]] = []
        self.sent = 0

    def record(self, subject: str, day: str, kind: str, **payload: Any) -> dict[str, Any]:
        n = len(self.made) + 1
        noon = date.fromisoformat(day).toordinal() * 86_400_000 - 62_135_596_800_000 + 43_200_000
        event = make_event(
            n,
            id=make_id(n, device=self.number),
            device=self.name,
            hlc={"ms": noon + n, "c": self.number},
            subject=subject,
            kind=kind,
            payload=payload,
            wall=f"{day}T{9 + n // 3600 % 9:02}:{n // 60 % 60:02}:{n % 60:02}+01:00",
        )
        self.made.append(event)
        return event

    async def sync(self, client: httpx.AsyncClient) -> None:
        waiting = self.made[self.sent :]
        for start in range(0, len(waiting), 900):
            part = waiting[start : start + 900]
            answer = await client.post("/api/sync", json=make_round(*part, device=self.name))
            assert answer.status_code == 200, answer.text
            assert answer.json()["refused"] == []
        self.sent = len(self.made)


class Season:
    """The cars of one house, their facts taken from demo cars, and visits on given days."""

    def __init__(self) -> None:
        self.specs: Specs = load(TOP / "specs")
        self.catalog: Catalog = write(self.specs)
        self.facts: dict[str, dict[str, Any]] = {}
        self.names: dict[str, dict[str, str]] = {}

    def add_car(self, phone: Device, day: str, id: str, like: str, title: str, **intervals: float) -> None:
        """A car typed in like a demo car, with how long its fluids last by whoever says so."""
        vehicle = self.specs.vehicles[like]
        source = {"kind": "makers-manual", "reference": "service schedule, p. 40"}
        facts = {name: fact.model_dump(mode="json") for name, fact in vehicle.facts.items()}
        facts |= {name: {"value": value, "source": source} for name, value in intervals.items()}
        self.facts[id] = facts
        self.names[id] = {"id": id, "title": title, "plate": f"DEMO {title[:1]}"}
        phone.record(id, day, "car-added", title=title, plate=f"DEMO {title[:1]}", vin="1M8GDM9AXKP042788")
        for name, fact in facts.items():
            phone.record(id, day, "fact-written", fact=name, value=fact["value"], source=fact["source"])

    def visit(
        self,
        phone: Device,
        visit: str,
        car: str,
        day: str,
        km: float,
        jobs: list[str],
        *,
        but: str = " ",
        helper: Device | None = None,
        is_closed: bool = True,
    ) -> None:
        """Every step done but those of one job; a helper does each second one."""
        facts = self.facts[car]
        settings = {name: fact.default for name, fact in self.specs.facts.items() if fact.of == "visit"}
        settings = {name: value for name, value in settings.items() if value is not None}
        composition = compose(
            self.specs, jobs, {name: fact["value"] for name, fact in facts.items()} | settings
        )
        start = {id(device): len(device.made) for device in (phone, helper) if device}
        phone.record(
            visit,
            day,
            "visit-opened",
            car=self.names[car],
            odometer_m=km * KM,
            catalog=self.catalog.hash,
            jobs=jobs,
            facts=facts,
            settings=settings,
            by="Ada",
        )
        for at, instance in enumerate(composition["steps"]):
            hand = helper if helper and at % 2 else phone
            self._do(hand, visit, day, instance, is_skipped=instance["step"].startswith(but))
        made = [event for device in (phone, helper) if device for event in device.made[start[id(device)] :]]
        if is_closed:
            folded = fold(self.specs, composition, [read_event(event) for event in made])
            phone.record(visit, day, "visit-closed", by="Ada", figures=dict(self._figures(folded["values"])))

    def _do(self, phone: Device, visit: str, day: str, instance: Any, *, is_skipped: bool) -> None:
        step, id = self.specs.steps_by_id[instance["step"]], instance["id"]
        if is_skipped:
            phone.record(visit, day, "step-skipped", step=id, reason="the fluid was not delivered")
            return
        for name in step.readings:
            reading = self.specs.readings[name]
            middle = (reading.from_ + reading.to) / 2
            phone.record(
                visit, day, "reading-taken", step=id, reading=name, value=middle, typed="5", unit=reading.unit
            )
        good: Iterable[str] = (finding.id for finding in step.findings if finding.good)
        finding = next(iter(good), None)
        phone.record(visit, day, "step-done", step=id, **({"finding": finding} if finding else {}))

    def _figures(self, values: Any) -> Iterator[tuple[str, Any]]:
        for name in self.specs.figures:
            outcome = evaluate_figure(self.specs, name, values)
            if "value" in outcome:
                yield name, outcome["value"]
