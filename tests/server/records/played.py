"""Plays a visit as a phone would: every step done, every reading in the middle of its range."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
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
MINI = load(TOP / "tests" / "fixtures" / "specs" / "mini")
MINI_CATALOG: Catalog = write(MINI)


class Phone:
    """One visit being recorded; `events` grows with each entry."""

    def __init__(
        self,
        specs: Specs = MINI,
        catalog: str = MINI_CATALOG.hash,
        *,
        car: str = "demo",
        jobs: Iterable[str] | None = None,
        visit: str = "visit-1",
        device: str = "phone-1",
    ) -> None:
        self.specs = specs
        self.visit = visit
        self.device = device
        self.events: list[dict[str, Any]] = []
        vehicle = specs.vehicles[car]
        chosen = list(jobs) if jobs is not None else [id for id, job in specs.jobs.items() if not job.shared]
        facts = {name: fact.model_dump(mode="json") for name, fact in vehicle.facts.items()}
        settings = {name: fact.default for name, fact in specs.facts.items() if fact.of == "visit"}
        self.settings = {name: value for name, value in settings.items() if value is not None}
        self.composition = compose(
            specs, chosen, {name: fact["value"] for name, fact in facts.items()} | self.settings
        )
        self.record(
            "visit-opened",
            car={"id": car, "title": vehicle.title, "plate": vehicle.plate},
            odometer_m=vehicle.odometer.value,
            catalog=catalog,
            jobs=chosen,
            facts=facts,
            settings=self.settings,
            by="Ada",
        )

    def record(self, kind: str, **payload: Any) -> dict[str, Any]:
        n = len(self.events) + 1
        number = hash((self.visit, self.device)) % 2**40 + n
        event = make_event(
            n,
            id=make_id(number),
            device=self.device,
            subject=self.visit,
            kind=kind,
            payload=payload,
            wall=f"2026-05-04T10:{n // 60 % 60:02}:{n % 60:02}+02:00",
        )
        self.events.append(event)
        return event

    def take(self, step: str, reading: str, value: float | None = None) -> dict[str, Any]:
        shape = self.specs.readings[reading]
        middle = (shape.from_ + shape.to) / 2 if value is None else value
        return self.record(
            "reading-taken", step=step, reading=reading, value=middle, typed="5", unit=shape.unit
        )

    def do_all(self, *, but: Iterable[str] = (), values: Mapping[str, float] | None = None) -> None:
        """Do every step in order, except some."""
        for instance in self.composition["steps"]:
            step = self.specs.steps_by_id[instance["step"]]
            if instance["id"] in but:
                continue
            for reading in step.readings:
                self.take(instance["id"], reading, (values or {}).get(reading))
            good = next((finding.id for finding in step.findings if finding.good), None)
            self.record("step-done", step=instance["id"], **({"finding": good} if good else {}))

    def close(self, **changed: Any) -> None:
        visit = fold(self.specs, self.composition, [read_event(event) for event in self.events])
        figures = {}
        for name in self.specs.figures:
            outcome = evaluate_figure(self.specs, name, visit["values"])
            if "value" in outcome:
                figures[name] = outcome["value"]
        self.record("visit-closed", figures=figures | changed, by="Ada")

    async def sync(self, client: httpx.AsyncClient) -> None:
        for start in range(0, len(self.events), 500):
            part = self.events[start : start + 500]
            # Escaped as a browser does it, half signs included.
            body = json.dumps(make_round(*part, device=self.device))
            answer = await client.post(
                "/api/sync", content=body, headers={"content-type": "application/json"}
            )
            assert answer.status_code == 200, answer.text
            assert answer.json()["refused"] == []
