"""Quantities as the spec files write them."""

from __future__ import annotations

import pytest

from fillfirst.errors import QuantityError
from fillfirst.quantities import from_si, parse, to_si


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("25 N*m", 25.0, "N*m"),
        ("6.5 l", 0.0065, "l"),
        ("250 ml", 0.00025, "ml"),
        ("1 bar", 1e5, "bar"),
        ("-40 degC", 233.15, "degC"),
        ("-40 degF", 233.15, "degF"),
        ("86 degF", 303.15, "degF"),
        ("5 delta_degC", 5.0, "delta_degC"),
        ("50 percent", 0.5, "percent"),
        ("10 min", 600.0, "min"),
        ("15000 km", 1.5e7, "km"),
        ("0.5", 0.5, "1"),
        ("+3", 3.0, "1"),
        ("1e3 m", 1000.0, "m"),
        ("0.0065 K/m", 0.0065, "K/m"),
        ("1.5 kg/m^3/K", 1.5, "kg/m^3/K"),
    ],
)
def test_quantity_is_read_into_si(text: str, value: float, unit: str) -> None:
    assert parse(text) == (value, unit)


SHAPE = 'expected a number, one space and a unit, such as "25 N*m".'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("25N*m", f'found "25N*m"; {SHAPE}'),
        ("25  N*m", f'found "25  N*m"; {SHAPE}'),
        ("N*m", f'found "N*m"; {SHAPE}'),
        ("", f'found ""; {SHAPE}'),
        ("nan l", f'found "nan l"; {SHAPE}'),
        ("1e999 l", f'found "1e999 l"; {SHAPE}'),
        ("٣ l", f'found "٣ l"; {SHAPE}'),
        ("6,5 l", 'found "6,5 l"; expected a decimal point, as everywhere in the spec files.'),
        ("25 Nm", 'found the unit "Nm"; expected a known unit, such as "N*m".'),
        ("25 N·m", 'found the unit "N·m"; expected a known unit, such as "N*m".'),
        ("3 kpa", 'found the unit "kpa"; expected a known unit, such as "kPa".'),
        ("5 L", 'found the unit "L"; expected a known unit, such as "l".'),
        ("5 litres", 'found the unit "litres"; expected a known unit, such as "l".'),
        ("5 %", 'found the unit "%"; expected a known unit, such as "percent".'),
        ("5 furlongs", 'found the unit "furlongs"; expected a known unit, such as "N*m", "l" or "kPa".'),
        ("1 m//s", 'found the unit "m//s"; expected a known unit, such as "m/s".'),
        ("3 m**2", 'found the unit "m**2"; expected a known unit, such as "m^2".'),
        (
            "1 degC/m",
            'found the unit "degC/m"; expected a temperature difference there, delta_degC or delta_degF.',
        ),
    ],
)
def test_quantity_that_cannot_be_read_is_refused(text: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text)

    assert str(caught.value) == message


def test_the_same_temperature_in_two_units_is_one_number() -> None:
    assert parse("140 degF").value == parse("60 degC").value == to_si(60, "degC")


@pytest.mark.parametrize(
    "unit", ["N*m", "lbf*ft", "qt", "psi", "inHg", "degC", "degF", "delta_degC", "percent"]
)
def test_number_comes_back_as_it_was_given(unit: str) -> None:
    assert from_si(to_si(36.5, unit), unit) == pytest.approx(36.5, rel=1e-9)
