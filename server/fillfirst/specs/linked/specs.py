"""The whole of it: the catalog document."""

from __future__ import annotations

from functools import cached_property
from typing import Literal

from fillfirst.specs.linked.base import Linked
from fillfirst.specs.linked.car import Rule, Variable
from fillfirst.specs.linked.facts import Fact, FactGroup, Fluid, Unit, Vehicle
from fillfirst.specs.linked.formulas import Figure, Formula, FunctionFormula, Table
from fillfirst.specs.linked.jobs import Job, Phase
from fillfirst.specs.linked.lists import Hazard, Kept, Source
from fillfirst.specs.linked.steps import Reading, Step


class Specs(Linked):
    format: Literal[1] = 1
    units: dict[str, Unit]
    fact_groups: list[FactGroup]
    facts: dict[str, Fact]
    fluids: dict[str, Fluid]
    formulas: dict[str, Formula]
    functions: dict[str, FunctionFormula] = {}
    tables: dict[str, Table]
    hazards: dict[str, Hazard]
    equipment: dict[str, Kept] = {}
    rules: list[Rule]
    variables: dict[str, Variable]
    phases: list[Phase]
    jobs: dict[str, Job]
    figures: dict[str, Figure]
    readings: dict[str, Reading]
    steps: list[Step]
    vehicles: dict[str, Vehicle]
    sources: dict[str, Source]

    @cached_property
    def steps_by_id(self) -> dict[str, Step]:
        """The steps again, to look up by "job/step"."""
        return {step.id: step for step in self.steps}
