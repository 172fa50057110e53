"""A quantity as a spec file writes it, "25 N*m": one string, number and unit together."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from fillfirst.errors import QuantityError
from fillfirst.quantities.units import conversion, exact_conversion, keep_digits

_AMOUNT = re.compile(
    r"(?P<number>[+-]?(\d+(\.\d+)?)(e[+-]?\d{1,2})?)( (?P<unit>\S.*\S|\S))?", re.ASCII | re.IGNORECASE
)
_EXAMPLE = 'a number, one space and a unit, such as "25 N*m"'


class Amount(NamedTuple):
    """A quantity that has been read: its value in SI base units, and the unit it was written in."""

    value: float
    unit: str


def parse(text: str) -> Amount:
    """Read "25 N*m", "-40 degC" or, for a pure number, "0.5".

    Raises QuantityError, for a decimal comma and for an unknown unit too.
    """
    match = _AMOUNT.fullmatch(text)
    if match is None:
        comma = re.match(r"[+-]?\d+,\d", text)
        expected = "a decimal point, as everywhere in the spec files" if comma else _EXAMPLE
        raise QuantityError(f'"{text}"', expected)
    unit = match["unit"] or "1"
    factor, offset = exact_conversion(unit)
    return Amount(keep_digits(float(Fraction(match["number"]) * factor + offset)), unit)


def to_si(shown: float, unit: str) -> float:
    """A number in a unit, in SI base units."""
    return conversion(unit).to_si(shown)


def from_si(value: float, unit: str) -> float:
    """A number in SI base units, in a unit."""
    return conversion(unit).from_si(value)
