"""Conversion factors: NIST Handbook 44, Appendix C, and NIST SP 811, Appendix B.8."""

from __future__ import annotations

import pytest

from fillfirst.quantities import conversion, from_si, parse, to_si

EXACT = {
    "gal": 3.785411784e-3,
    "qt": 0.946352946e-3,
    "pt": 0.473176473e-3,
    "floz": 29.5735295625e-6,
    "imp_gal": 4.54609e-3,
    "imp_qt": 1.1365225e-3,
    "imp_pt": 0.56826125e-3,
    "imp_floz": 28.4130625e-6,
    "psi": 6894.757293168361,
    "bar": 1e5,
    "mbar": 100.0,
    "mile": 1609.344,
    "lb": 0.45359237,
    "inch": 0.0254,
    "ft": 0.3048,
    # Conventional inch of mercury: 25.4 × 133.322387415 Pa, not the one at 60 °F.
    "inHg": 3386.38864034,
}


@pytest.mark.parametrize(("unit", "factor"), EXACT.items())
def test_factor_is_the_published_one(unit: str, factor: float) -> None:
    assert conversion(unit).factor == pytest.approx(factor, rel=1e-11)


def test_inch_of_mercury_agrees_with_the_rounded_one_of_sp_811() -> None:
    assert conversion("inHg").factor == pytest.approx(3386.389, rel=2e-7)


CHECKS = [
    (5, "qt", 4.73176473, "l"),
    (25, "inHg", 84.659716, "kPa"),
    (14.5, "psi", 0.99973980751, "bar"),
    (104, "degF", 40.0, "degC"),
    (-40, "degF", -40.0, "degC"),
    (100000, "km", 62137.119224, "mile"),
    (4, "qt", 3.785411784, "l"),
    (1, "gal", 4.0, "qt"),
    (101.325, "kPa", 29.92125, "inHg"),
]


@pytest.mark.parametrize(("shown", "unit", "other", "other_unit"), CHECKS)
def test_number_in_another_unit(shown: float, unit: str, other: float, other_unit: str) -> None:
    assert from_si(to_si(shown, unit), other_unit) == pytest.approx(other, rel=2e-7)


def test_four_us_quarts_are_less_than_three_litres_nine() -> None:
    assert parse("4 qt").value < parse("3.9 l").value


def test_difference_of_temperatures_has_no_offset() -> None:
    assert parse("18 delta_degF").value == pytest.approx(10, rel=1e-12)
