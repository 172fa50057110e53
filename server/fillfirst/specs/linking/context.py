"""What every linker asks: does this name exist, what is it, and how much is this quantity in SI."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from fillfirst.errors import QuantityError
from fillfirst.formulas import LIST, TEXT, YES_NO, Kind, list_of, number_in, text_of
from fillfirst.quantities import conversion, describe, dimension_of, from_si, is_scale, parse
from fillfirst.specs.linked import Amount, Citation, Fixed, Named
from fillfirst.specs.models.base import CitationEntry
from fillfirst.specs.names import Holds, Index, Known, is_name
from fillfirst.specs.problems import Report, Spot, quote_all

_IN_WORDS: dict[Holds, str] = {
    "quantity": "a quantity",
    "text": "a text",
    "choice": "a choice",
    "list": "a list",
    "yes-no": "a yes or no",
    "judgement": "a judgement",
}


@dataclass(frozen=True)
class Context:
    """The declared names and the report, as all linkers share them."""

    index: Index
    report: Report
    # Conditions that could not be read: what holds under them is not known.
    unread_conditions: list[Spot] = field(default_factory=list)

    @cached_property
    def kinds(self) -> dict[str, Kind]:
        """The kind of every name that has a clear one."""
        found = {name: kind_of(known) for name, known in self.index.names.items()}
        return {name: kind for name, kind in found.items() if kind is not None}

    def citation(self, spot: Spot, entry: CitationEntry) -> Citation:
        if entry.document not in self.index.sources:
            spot.at("document").unknown(
                entry.document,
                "a document of specs/sources",
                self.index.sources,
                "Correct the name, or add specs/sources/…: no number without a source.",
            )
        return Citation(document=entry.document, page=entry.page, section=entry.section)

    def known(self, spot: Spot, name: str, what: str, names: Collection[str], do: str = "") -> bool:
        """Whether a name is among those declared; told when not."""
        if name in names:
            return True
        spot.unknown(name, what, names, do)
        return False

    def find(
        self, spot: Spot, name: str, kinds: Collection[str] = (), holds: Sequence[Holds] = ()
    ) -> Known | None:
        """A fact, reading or figure that is of one of these kinds and holds one of these; told when not."""
        what = quote_kinds(kinds or ("fact", "reading", "figure"))
        known = self.index.names.get(name)
        if known is None:
            fitting = [each for each, other in self.index.names.items() if not kinds or other.kind in kinds]
            spot.unknown(name, what, fitting)
            return None
        if kinds and known.kind not in kinds:
            spot.problem(
                f'"{name}" is a {known.kind}', f"{what} is expected", "Name another, or declare it so."
            )
            return None
        if known.holds == "unclear":
            return None
        if holds and known.holds not in holds:
            expected = " or ".join(_IN_WORDS[each] for each in holds)
            spot.problem(
                f'the {known.kind} "{name}" is {_IN_WORDS[known.holds]}',
                f"{expected} is expected",
                "Name another.",
            )
            return None
        return known

    def unit(self, spot: Spot, unit: str) -> bool:
        """Whether the phone may show this unit; told when not, with those that measure the same."""
        if unit in self.index.units:
            return True
        alike = sorted(each for each in self.index.units if _measures_alike(each, unit))
        if alike:
            found, expected = (
                f'"{unit}" is not a unit of specs/units.toml',
                f"for the same there is {quote_all(alike)}",
            )
            spot.problem(found, expected, "Use a listed unit, or add it to the list.")
        else:
            spot.unknown(
                unit, "a unit of specs/units.toml", self.index.units, "Use a listed unit, or add it."
            )
        return False

    def amount(self, spot: Spot, text: str, unit: str | None) -> Fixed | None:
        """A written quantity in SI; it must measure what `unit` measures."""
        try:
            found = parse(text)
        except QuantityError as cause:
            spot.problem(f"{cause.found} cannot be read", f"expected is {cause.expected}", "Correct it.")
            return None
        return (
            Fixed(value=found.value, shown=text)
            if self._is_alike(spot, text, found.unit, unit or "1")
            else None
        )

    def difference(self, spot: Spot, text: str, unit: str | None) -> float | None:
        """A written span in SI: "0.5 degC" means half a kelvin, not a temperature."""
        if is_known_scale(unit):
            try:
                found = parse(text)
            except QuantityError:
                found = None
            if found is not None and is_scale(found.unit):
                return found.value - conversion(found.unit).offset
            unit = "delta_degC"
        fixed = self.amount(spot, text, unit)
        return None if fixed is None else float(fixed.value)

    def amount_or_name(
        self, spot: Spot, text: str, unit: str, kinds: Collection[str] = ("fact", "figure")
    ) -> Amount | None:
        """A quantity, or the name of what holds one that measures the same."""
        if not is_name(text):
            return self.amount(spot, text, unit)
        known = self.find(spot, text, kinds, ("quantity",))
        if known is None or known.unit is None:
            return None
        return Named(name=text) if self._is_alike(spot, text, known.unit, unit) else None

    def _is_alike(self, spot: Spot, text: str, found: str, wanted: str) -> bool:
        try:
            pairs = [(dimension_of(unit), is_scale(unit)) for unit in (found, wanted)]
        except QuantityError:
            return True  # the unit itself is told where it is declared
        if pairs[0] == pairs[1]:
            return True
        spot.problem(
            f'"{text}" is {describe(*pairs[0])}',
            f"{describe(*pairs[1])} is expected",
            "Correct the quantity, or the unit it is for.",
        )
        return False


def kind_of(known: Known) -> Kind | None:
    """What a name is to an expression; nothing when its declaration is broken."""
    if known.holds == "quantity":
        try:
            return number_in(known.unit or "1")
        except QuantityError:
            return None
    if known.holds == "choice" and known.options:
        return text_of(known.options)
    if known.holds == "list":
        return list_of(known.options) if known.options else LIST
    return {"text": TEXT, "choice": TEXT, "yes-no": YES_NO, "judgement": YES_NO}.get(known.holds)


def _measures_alike(one: str, other: str) -> bool:
    try:
        return (dimension_of(one), is_scale(one)) == (dimension_of(other), is_scale(other))
    except QuantityError:
        return False


def is_known_scale(unit: str | None) -> bool:
    try:
        return is_scale(unit or "1")
    except QuantityError:
        return False


def show(value: float, unit: str | None) -> str:
    """A number in SI, said in a unit: "25 N*m"."""
    number = f"{from_si(value, unit or '1'):.6g}"
    return f'"{number}"' if unit in (None, "1") else f'"{number} {unit}"'


def quote_kinds(kinds: Collection[str]) -> str:
    """The kinds of names in words: a fact, a reading or a figure."""
    words = [f"a {kind}" for kind in kinds]
    return " or ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]
