"""What formulas and tables owe each other: ways there and back, sums, and the careful side of two curves."""

from __future__ import annotations

from typing import Any

import pytest
from shipped_formulas import load_shipped

from fillfirst.formulas import tables

SPECS = load_shipped()


@pytest.mark.parametrize("id", SPECS.tables)
def test_every_table_is_read_by_a_formula(id: str) -> None:
    assert [name for name, formula in SPECS.formulas.items() if id in tables(formula.tree)]


@pytest.mark.parametrize(
    ("there", "back"),
    [
        ("ethylene-glycol-freezing-point", "ethylene-glycol-strength"),
        ("propylene-glycol-freezing-point", "propylene-glycol-strength"),
    ],
)
def test_strength_table_is_the_freezing_table_the_other_way_round(there: str, back: str) -> None:
    turned = sorted((value, key) for key, value in SPECS.tables[there].rows)

    assert sorted(SPECS.tables[back].rows) == turned


@pytest.mark.parametrize("strength", [5, 22, 33, 48, 59])
def test_strength_read_from_frost_is_the_strength_that_gave_it(shipped: Any, strength: float) -> None:
    frost = shipped.number("freeze-protection", "degC", strength=f"{strength} percent")

    found = shipped.number("coolant-strength", "percent", freezing_point=f"{frost} degC")

    assert found == pytest.approx(strength, abs=1e-6)


# CRC Handbook, 102nd edition, by mass, turned into the volumes poured (1113.5 and 998.2 kg/m³ at 20 °C).
CRC = {10: -3.8, 20: -9.0, 30: -16.5, 33: -19.3, 40: -26.8, 50: -39.9}


@pytest.mark.parametrize(("volume_percent", "freezing_point"), CRC.items())
def test_frost_protection_never_promises_more_than_pure_glycol(
    shipped: Any, volume_percent: float, freezing_point: float
) -> None:
    found = shipped.number("freeze-protection", "degC", strength=f"{volume_percent} percent")

    assert found >= freezing_point - 0.05


def test_axle_loads_add_up_to_the_car(shipped: Any) -> None:
    car = {"mass": "1600 kg", "wheelbase": "2700 mm", "centre_of_gravity": "1200 mm"}
    raised = {**car, "centre_of_gravity_height": "550 mm", "tilt": "7.45 degree"}

    front = shipped.number("axle-load-front-nose-up", "kg", **raised)
    rear = shipped.number("axle-load-rear-nose-up", "kg", **raised)

    assert front + rear == pytest.approx(1600)


def test_sea_level_vacuum_cannot_be_reached_at_sixteen_hundred_metres(shipped: Any) -> None:
    air = shipped.number("air-pressure-at-altitude", "kPa", altitude="1600 m")

    assert shipped.number("vacuum-possible", "inHg", air_pressure=f"{air} kPa") < 25


@pytest.mark.parametrize(("before", "after"), [(20, 10), (10, 20), (40, 20), (20, 20)])
def test_hold_is_judged_by_the_mark_that_is_drawn(shipped: Any, before: float, after: float) -> None:
    given = {
        "vacuum_at_start": "24 inHg",
        "air_pressure": "98 kPa",
        "temperature_before": f"{before} degC",
        "temperature_after": f"{after} degC",
    }
    mark = shipped.number("vacuum-pass-mark", "inHg", **given)

    above = shipped.outcome("vacuum-holds", **given, vacuum_at_end=f"{mark + 0.01:.4f} inHg")
    below = shipped.outcome("vacuum-holds", **given, vacuum_at_end=f"{mark - 0.01:.4f} inHg")

    assert (above, below) == ({"value": True}, {"value": False})


@pytest.mark.parametrize("wanted", [30, 63.2, 90, 99])
def test_flush_of_that_volume_renews_that_share(shipped: Any, wanted: float) -> None:
    volume = shipped.number("renewal-flush-volume", "l", volume="8 l", wanted=f"{wanted} percent")

    found = shipped.number("renewal-share-flush", "percent", volume="8 l", flushed=f"{volume} l")

    assert found == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("wanted", [30, 50, 63.2, 90, 99])
def test_one_pass_fewer_renews_too_little(shipped: Any, wanted: float) -> None:
    unit = {"volume": "9 l", "drained": "4 l"}
    passes = shipped.number("renewal-passes", "1", **unit, wanted=f"{wanted} percent")

    enough = shipped.number("renewal-share", "percent", **unit, times=str(passes))

    assert enough >= wanted
    assert 100 * (1 - (5 / 9) ** (passes - 1)) < wanted


CLASSES = {"dot-3": "3", "dot-4": "4", "dot-5-1": "5.1", "dot-4-thin": "6"}


@pytest.mark.parametrize("specified", CLASSES)
@pytest.mark.parametrize("offered", CLASSES)
def test_no_glycol_fluid_stands_in_that_boils_earlier_or_is_too_thick_for_the_thin_class(
    shipped: Any, specified: str, offered: str
) -> None:
    """Thickness in the cold is what the thin class is for; the others differ too little for it to decide."""
    points = [
        [
            shipped.number(f"brake-fluid-{kind}-boiling-point", "degC", class_number=CLASSES[each])
            for kind in ("dry", "wet")
        ]
        for each in (specified, offered)
    ]
    thick = shipped.number("brake-fluid-cold-viscosity", "mm^2/s", class_number=CLASSES[offered])
    suits = points[1][0] >= points[0][0] and points[1][1] >= points[0][1]
    is_thin_enough = specified != "dot-4-thin" or thick <= 750

    found = shipped.outcome("brake-fluid-may-replace", specified=specified, offered=offered)

    assert found == {"value": suits and is_thin_enough}


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
