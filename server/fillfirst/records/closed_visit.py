"""A closed visit as its record is written from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from fillfirst.records.history import Afterwards
from fillfirst.records.words import title_step
from fillfirst.specs.linked import Specs
from fillfirst.visits.events import Event
from fillfirst.visits.people import find_person
from fillfirst.visits.shapes import Composition, Instance, Visit


@dataclass(frozen=True)
class ClosedVisit:
    """The steps of a visit, what its entries come to, and the entries themselves in clock order."""

    specs: Specs
    composition: Composition
    visit: Visit
    after: Afterwards
    opened: Event
    closed: Event
    log: Sequence[Event]

    @cached_property
    def by_id(self) -> dict[str, Event]:
        return {event.id: event for event in self.log}

    @cached_property
    def instances(self) -> dict[str, Instance]:
        """A stop may be overruled at a step on standby too, as when the car is made safe."""
        steps = [*self.composition["steps"], *self.composition["standby"]]
        return {instance["id"]: instance for instance in steps}

    def title(self, instance: Instance) -> str:
        return title_step(self.specs, instance, self.composition["facts"])

    def find_person(self, device: str, by: str | None) -> str | None:
        return find_person(self.log, device, by)

    def find_maker(self, id: str) -> str | None:
        """Who made the entry of this id."""
        event = self.by_id[id]
        return find_person(self.log, event.device, event.payload.get("by"))
