"""A job: one fluid's service, or what all of them share, with its steps."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

from fillfirst.specs.models.base import AmountText, CitationEntry, Condition, Written
from fillfirst.specs.models.steps import StepEntry


def _bound(value: Any) -> Any:
    if isinstance(value, bool | str):
        return value
    if isinstance(value, int | float):
        return f"{value:.15g}"
    raise PydanticCustomError("bound", 'a name, a quantity such as "50 percent", a number, true or false')


Bound = Annotated[Any, BeforeValidator(_bound)]


class IntervalEntry(Written):
    distance: AmountText | None = None
    time: AmountText | None = None
    authority: str
    source: CitationEntry


class RecheckEntry(Written):
    id: str
    title: str
    says: str
    step: str
    distance: AmountText | None = None
    time: AmountText | None = None


class FigureEntry(Written):
    formula: str
    with_: dict[str, Bound] = {}


class SupplyEntry(Written):
    id: str
    title: str
    fluid: str | None = None
    approval: str | None = None
    grade: str | None = None
    quantity: AmountText | None = None
    packs: list[AmountText] = []
    part: str | None = None
    number: str | None = None
    count: AmountText | None = None
    when: Condition | None = None


class ToolEntry(Written):
    title: str
    size: str | None = None
    kept: list[str] = []
    when: Condition | None = None


class EquipmentEntry(Written):
    title: str
    why: str
    kept: list[str] = []
    count: int = 1
    when: Condition | None = None


class JobFile(Written):
    title: str
    summary: str
    order: float
    shared: bool = False
    when: Condition | None = None
    renews: list[str] = []
    uses: dict[str, Condition] = {}
    risk: str = ""
    reserved: dict[str, Condition] = {}
    stream: str = ""
    home: Literal["fine", "with-equipment", "hand-over"] = "fine"
    intervals: list[IntervalEntry] = []
    rechecks: list[RecheckEntry] = []
    figures: dict[str, FigureEntry] = {}
    supplies: list[SupplyEntry] = []
    tools: list[ToolEntry] = []
    equipment: list[EquipmentEntry] = []
    steps: list[StepEntry]
