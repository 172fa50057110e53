"""What a unit measures, in words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from fillfirst.quantities import NUMBER, describe, dimension_of


@pytest.mark.parametrize(
    ("unit", "said"),
    [
        ("N*m", "[mass]·[length]²/[time]² (such as N*m)"),
        ("J", "[mass]·[length]²/[time]² (such as N*m)"),
        ("N", "[mass]·[length]/[time]² (such as N)"),
        ("kPa", "[mass]/[length]/[time]² (such as kPa)"),
        ("qt", "[length]³ (such as l)"),
        ("rpm", "1/[time] (such as rpm)"),
        ("kg/m^3", "[mass]/[length]³ (such as kg/m^3)"),
        ("percent", "a pure number"),
        ("degree", "a pure number"),
        ("1", "a pure number"),
        ("K", "a temperature difference (such as delta_degC)"),
        ("K/m", "[temperature]/[length]"),
    ],
)
def test_dimension_is_said_with_a_unit_of_it(unit: str, said: str) -> None:
    assert describe(dimension_of(unit)) == said


def test_reading_of_a_scale_is_said_apart_from_a_difference() -> None:
    assert describe(dimension_of("degC"), scale=True) == "a temperature (such as degC)"


def test_powers_multiply() -> None:
    assert dimension_of("l") ** Fraction(2, 3) == dimension_of("m^2")


def test_dividing_by_itself_leaves_a_number() -> None:
    assert dimension_of("N*m") / dimension_of("lbf*ft") == NUMBER
