"""Air pressure and vacuum against the U.S. Standard Atmosphere, 1976 (the troposphere of ISO 2533)."""

from __future__ import annotations

from typing import Any

import pytest

# Height m -> pressure kPa, and the same in inches of mercury: no gauge vacuum can be deeper.
ATMOSPHERE = {
    0: (101.325, 29.921),
    500: (95.461, 28.190),
    1000: (89.876, 26.540),
    1500: (84.560, 24.970),
    1600: (83.528, 24.666),
    2000: (79.501, 23.477),
    3000: (70.121, 20.707),
    4000: (61.660, 18.208),
}


@pytest.mark.parametrize(("height", "pressures"), ATMOSPHERE.items())
def test_air_pressure_is_the_standard_atmosphere(
    shipped: Any, height: float, pressures: tuple[float, float]
) -> None:
    found = tuple(
        shipped.number("air-pressure-at-altitude", unit, altitude=f"{height} m") for unit in ("kPa", "inHg")
    )

    assert found == pytest.approx(pressures, rel=1e-3)


@pytest.mark.parametrize(("height", "pressure"), [("5000 ft", 12.229), ("10000 ft", 10.108)])
def test_air_pressure_is_the_printed_one_in_psi(shipped: Any, height: str, pressure: float) -> None:
    found = shipped.number("air-pressure-at-altitude", "psi", altitude=height)

    assert found == pytest.approx(pressure, rel=1e-3)


def test_air_pressure_has_no_value_above_the_roads(shipped: Any) -> None:
    assert "outside" in shipped.outcome("air-pressure-at-altitude", altitude="9000 m")


# 25 inHg near the sea is common practice; elsewhere the same share of the air is pulled.
EQUIVALENTS = {0: 25.0, 1000: 22.18, 1600: 20.61, 2000: 19.62, 2500: 18.43}


@pytest.mark.parametrize(("height", "vacuum"), EQUIVALENTS.items())
def test_vacuum_on_a_hill_takes_the_same_share_of_the_air(shipped: Any, height: float, vacuum: float) -> None:
    air = shipped.number("air-pressure-at-altitude", "kPa", altitude=f"{height} m")

    found = shipped.number("vacuum-target", "inHg", air_pressure=f"{air} kPa")

    assert found == pytest.approx(vacuum, abs=0.01)


def test_sea_level_vacuum_cannot_be_reached_at_sixteen_hundred_metres(shipped: Any) -> None:
    assert shipped.number("air-pressure-at-altitude", "inHg", altitude="1600 m") < 25


# Air left, (p - V) / p, to the power of the pulls.
LEFT = [
    ("101.325 kPa", "25 inHg", 1, 0.16447),
    ("101.325 kPa", "25 inHg", 2, 0.02705),
    ("101.325 kPa", "20 inHg", 1, 0.3316),
    ("89.876 kPa", "20 inHg", 1, 0.2464),
    ("79.501 kPa", "20 inHg", 1, 0.1481),
]


@pytest.mark.parametrize(("air", "vacuum", "times", "share"), LEFT)
def test_air_left_is_what_the_vacuum_did_not_take(
    shipped: Any, air: str, vacuum: str, times: int, share: float
) -> None:
    found = shipped.number("air-left-after-vacuum", "1", air_pressure=air, vacuum=vacuum, times=str(times))

    assert found == pytest.approx(share, abs=1e-4)


@pytest.mark.parametrize(("before", "after", "vacuum"), [(20, 10, 25.168), (40, 20, 25.314)])
def test_cooling_deepens_a_vacuum(shipped: Any, before: float, after: float, vacuum: float) -> None:
    found = shipped.number(
        "vacuum-after-cooling",
        "inHg",
        air_pressure="101.325 kPa",
        vacuum="25 inHg",
        temperature_before=f"{before} degC",
        temperature_after=f"{after} degC",
    )

    assert found == pytest.approx(vacuum, abs=0.02)
