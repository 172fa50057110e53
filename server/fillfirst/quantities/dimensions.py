"""What a unit measures, as powers of the base dimensions, and how to say it to a person.

The powers come from pint; the arithmetic on them is kept apart so that an expression can be checked
without running it on numbers (a sample value could divide by zero where the formula never will).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from fillfirst.quantities.units import USUAL_UNITS, is_scale, pint_unit

#: The order in which dimensions are said.
_ORDER = ("[mass]", "[length]", "[temperature]", "[current]", "[substance]", "[luminosity]", "[time]")
_RAISED = str.maketrans("0123456789/", "⁰¹²³⁴⁵⁶⁷⁸⁹ᐟ")


@dataclass(frozen=True)
class Dimension:
    """Powers of base dimensions; none at all is a pure number."""

    powers: tuple[tuple[str, Fraction], ...] = ()

    def __mul__(self, other: Dimension) -> Dimension:
        powers = dict(self.powers)
        for name, power in other.powers:
            powers[name] = powers.get(name, Fraction(0)) + power
        return _collect(powers)

    def __truediv__(self, other: Dimension) -> Dimension:
        return self * other ** Fraction(-1)

    def __pow__(self, exponent: Fraction) -> Dimension:
        return _collect({name: power * exponent for name, power in self.powers})

    def __str__(self) -> str:
        above = [_raise(name, power) for name, power in self.powers if power > 0]
        below = [_raise(name, -power) for name, power in self.powers if power < 0]
        if not above and not below:
            return "a pure number"
        return "·".join(above or ["1"]) + "".join(f"/{each}" for each in below)


#: The dimension of a pure number, a share or an angle.
NUMBER = Dimension()


@cache
def dimension_of(unit: str) -> Dimension:
    """What a unit measures.

    Raises QuantityError when there is no such unit.
    """
    found = pint_unit(unit).dimensionality
    return _collect({name: Fraction(power) for name, power in found.items()})


@cache
def describe(dimension: Dimension, scale: bool = False) -> str:
    """Say a dimension to a person, with a unit of it: "[mass]·[length]²/[time]² (such as N*m)"."""
    if dimension == _TEMPERATURE:
        return "a temperature (such as degC)" if scale else "a temperature difference (such as delta_degC)"
    example = next(
        (unit for unit in USUAL_UNITS if dimension_of(unit) == dimension and not is_scale(unit)), None
    )
    if example is None or dimension == NUMBER:
        return str(dimension)
    return f"{dimension} (such as {example})"


def _collect(powers: dict[str, Fraction]) -> Dimension:
    kept = [(name, power) for name, power in powers.items() if power != 0]
    return Dimension(tuple(sorted(kept, key=lambda each: (_place(each[0]), each[0]))))


def _place(name: str) -> int:
    return _ORDER.index(name) if name in _ORDER else len(_ORDER)


def _raise(name: str, power: Fraction) -> str:
    return name if power == 1 else name + str(power).translate(_RAISED)


_TEMPERATURE = Dimension((("[temperature]", Fraction(1)),))
