"""Tilt, axle loads and thermal expansion: arithmetic on the stated formulas, and ASTM D1250 for oils."""

from __future__ import annotations

from typing import Any

import pytest


@pytest.mark.parametrize(("rise", "tilt"), [(350, 7.448), (150, 3.185)])
def test_raised_axle_tilts_the_car(shipped: Any, rise: float, tilt: float) -> None:
    found = shipped.number("tilt-of-raised-axle", "degree", rise=f"{rise} mm", wheelbase="2700 mm")

    assert found == pytest.approx(tilt, abs=0.01)


@pytest.mark.parametrize(("tilt", "shift"), [(1, 4.364), (2, 8.730), (3, 13.102)])
def test_tilt_moves_the_level(shipped: Any, tilt: float, shift: float) -> None:
    found = shipped.number("level-shift-with-tilt", "mm", distance="250 mm", tilt=f"{tilt} degree")

    assert found == pytest.approx(shift, abs=0.05)


CAR = {"mass": "1600 kg", "wheelbase": "2700 mm", "centre_of_gravity": "1200 mm"}
RAISED = {**CAR, "centre_of_gravity_height": "550 mm", "tilt": "7.45 degree"}


@pytest.mark.parametrize(
    ("formula", "given", "load"),
    [
        ("axle-load-front", CAR, 888.9),
        ("axle-load-rear", CAR, 711.1),
        ("axle-load-front-nose-up", RAISED, 846.3),
        ("axle-load-rear-nose-up", RAISED, 753.7),
    ],
)
def test_axle_carries_its_share(shipped: Any, formula: str, given: dict[str, str], load: float) -> None:
    assert shipped.number(formula, "kg", **given) == pytest.approx(load, abs=0.06)


def test_axle_loads_add_up_to_the_car(shipped: Any) -> None:
    front = shipped.number("axle-load-front-nose-up", "kg", **RAISED)
    rear = shipped.number("axle-load-rear-nose-up", "kg", **RAISED)

    assert front + rear == pytest.approx(1600)


# Volume correction of lubricating oils, K1 = 0.6278 kg/(m³·K): V(15) = V(t) · VCF.
CORRECTIONS = [
    (850, 0, 1.01104),
    (850, 20, 0.99630),
    (850, 40, 0.98144),
    (850, 60, 0.96646),
    (850, 80, 0.95137),
    (850, 100, 0.93619),
    (890, 0, 1.01055),
    (890, 20, 0.99647),
    (890, 40, 0.98228),
    (890, 60, 0.96798),
    (890, 80, 0.95358),
    (890, 100, 0.93910),
]


@pytest.mark.parametrize(("density", "temperature", "correction"), CORRECTIONS)
def test_oil_grows_as_the_petroleum_tables_say(
    shipped: Any, density: float, temperature: float, correction: float
) -> None:
    error = shipped.number(
        "level-error-with-temperature",
        "l",
        volume="1 l",
        density=f"{density} kg/m^3",
        set_temperature=f"{temperature} degC",
        right_temperature="15 degC",
    )

    assert 1 + error == pytest.approx(correction, abs=2e-4)


def test_level_set_too_cold_ends_too_high(shipped: Any) -> None:
    found = shipped.number(
        "level-error-with-temperature",
        "ml",
        volume="8 l",
        density="850 kg/m^3",
        set_temperature="25 degC",
        right_temperature="40 degC",
    )

    assert found == pytest.approx(91, abs=3)


def test_level_set_too_warm_ends_too_low(shipped: Any) -> None:
    found = shipped.number(
        "level-error-with-temperature",
        "ml",
        volume="8 l",
        density="850 kg/m^3",
        set_temperature="55 degC",
        right_temperature="40 degC",
    )

    assert found < -80
