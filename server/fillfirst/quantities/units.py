"""What one unit is in SI: its factor and, for a temperature scale, its offset.

The rows computed here travel in the catalog, so that the phone converts with the same numbers and needs
no table of units of its own. Factors are worked out as fractions: a litre is 0.001 m³ to the last bit.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from typing import Any

from fillfirst.errors import QuantityError

#: Units that the spec files use, in the order in which one is offered as an example of its dimension:
#: torque before energy, since torque is what this trade measures.
USUAL_UNITS = (
    *("N*m", "lbf*ft", "lbf*in", "kgf*m", "l", "ml", "qt", "gal", "imp_qt", "m^2", "N"),
    *("kPa", "bar", "psi", "inHg", "mbar", "degC", "degF", "delta_degC", "K", "mm", "m", "inch", "ft"),
    *("km", "mile", "kg", "lb", "min", "s", "h", "day", "month", "year", "rpm", "kg/m^3"),
    *("m/s", "l/min", "percent", "degree", "1"),
)

#: The words that a unit may be made of. pint knows thousands; "Nm" is a yarn count to it, and torque is N*m.
UNIT_WORDS = frozenset(
    (
        *("N", "lbf", "kgf", "W", "kW", "J", "l", "ml", "cl", "qt", "gal", "pt", "floz", "g", "kg", "lb"),
        *("imp_qt", "imp_gal", "imp_pt", "imp_floz", "daN"),
        *("Pa", "mPa", "hPa", "kPa", "MPa", "bar", "mbar", "psi", "inHg", "degC", "degF", "delta_degC"),
        *(
            "delta_degF",
            "K",
            "mm",
            "cm",
            "m",
            "km",
            "inch",
            "in",
            "ft",
            "mile",
            "s",
            "min",
            "h",
            "day",
            "week",
            "month",
        ),
        *("year", "rpm", "degree", "percent"),
    )
)

#: Kept of a number in SI, so that 86 °F and 30 °C are one number and not two that differ in the last bit.
SI_DIGITS = 12
#: Kept of a number on its way back, so that what was typed is what is shown again.
SHOWN_DIGITS = 10


@dataclass(frozen=True)
class Conversion:
    """One row of the unit table: si = shown * factor + offset."""

    factor: float
    offset: float

    def to_si(self, shown: float) -> float:
        """From the number a person sees to SI base units."""
        return keep_digits(shown * self.factor + self.offset)

    def from_si(self, value: float) -> float:
        """From SI base units to the number a person sees."""
        return keep_digits((value - self.offset) / self.factor, SHOWN_DIGITS)


def keep_digits(value: float, digits: int = SI_DIGITS) -> float:
    """Drop what lies past the last significant digit that is kept; the phone does the same."""
    return float(f"{value:.{digits}g}")


@cache
def conversion(unit: str) -> Conversion:
    """The factor and offset of a unit such as "N*m", "degF" or "1".

    Raises QuantityError when there is no such unit.
    """
    factor, offset = exact_conversion(unit)
    return Conversion(float(factor), float(offset))


def is_scale(unit: str) -> bool:
    """Whether the unit counts from an arbitrary zero, as degC does; delta_degC and K do not."""
    return exact_conversion(unit)[1] != 0


@cache
def exact_conversion(unit: str) -> tuple[Fraction, Fraction]:
    """Factor and offset as fractions.

    Raises QuantityError when there is no such unit.
    """
    found = pint_unit(unit)
    quantity = registry().Quantity
    nought, one = (Fraction(quantity(Fraction(number), found).to_base_units().magnitude) for number in (0, 1))
    return one - nought, nought


@cache
def pint_unit(unit: str) -> Any:
    """The unit as pint knows it.

    Raises QuantityError when it is not made of UNIT_WORDS, or has a temperature scale in a product.
    """
    if unit == "1":
        return registry().Unit("")
    unknown = [word for word in _WORD.findall(unit) if word not in UNIT_WORDS]
    if unknown or _UNIT.fullmatch(unit) is None:
        raise QuantityError(f'the unit "{unit}"', _offer(unit))
    if unit not in _SCALES and _SCALES & set(_WORD.findall(unit)):
        raise QuantityError(f'the unit "{unit}"', "a temperature difference there, delta_degC or delta_degF")
    return registry().parse_units(unit)


@cache
def registry() -> Any:
    """The one registry, built at the first use."""
    import pint

    built: Any = pint.UnitRegistry(non_int_type=Fraction)
    for ours, its in _IMPERIAL.items():
        built.define(f"{ours} = {its}")
    return built


def _offer(unit: str) -> str:
    called = [known for known, names in _CALLED.items() if unit.lower().rstrip("s") in names]
    folded = [usual for usual in USUAL_UNITS if _fold(usual) == _fold(unit)]
    nearest = get_close_matches(unit, USUAL_UNITS, n=1, cutoff=0.6)
    offered = [*called, *folded, *nearest]
    if offered:
        return f'a known unit, such as "{offered[0]}"'
    return 'a known unit, such as "N*m", "l" or "kPa"'


def _fold(unit: str) -> str:
    """The unit without what people leave out: N*m is written Nm and N·m, kPa is written kpa."""
    return re.sub(r"[^a-z]", "", unit.lower())


#: What people write instead, in the singular.
_CALLED = {
    "l": ("litre", "liter", "ltr"),
    "ml": ("millilitre", "milliliter", "cc", "cm3"),
    "qt": ("quart", "u_quart", "us_quart", "usqt"),
    "gal": ("gallon",),
    "lbf*ft": ("lbft", "ftlb", "ft*lb", "lb*ft", "ft-lb", "ft*lbf"),
    "lbf*in": ("lbin", "inlb", "in*lb", "lb*in", "in-lb"),
    "degC": ("c", "°c", "celsiu", "deg"),
    "degF": ("f", "°f", "fahrenheit"),
    "degree": ("°",),
    "percent": ("%", "pct"),
    "min": ("minute",),
    "h": ("hour", "hr"),
    "s": ("second", "sec"),
    "mm": ("millimetre", "millimeter"),
    "km": ("kilometre", "kilometer"),
}
#: pint names the imperial measures in full.
_IMPERIAL = {
    "imp_qt": "imperial_quart",
    "imp_gal": "imperial_gallon",
    "imp_pt": "imperial_pint",
    "imp_floz": "imperial_fluid_ounce",
}
_SCALES = frozenset(("degC", "degF"))
_WORD = re.compile(r"[^\W\d]+")
_UNIT = re.compile(r"[A-Za-z_]+(\^-?\d)?([*/][A-Za-z_]+(\^-?\d)?)*")
