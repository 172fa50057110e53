"""Coolant against published tables.

CRC: CRC Handbook of Chemistry and Physics, 102nd edition, concentrative properties of aqueous solutions.
AEG, APG: CoolProp 8.0.0, incompressible mixtures by volume, fitted to the ASHRAE tables.
ASHRAE: Handbook of Fundamentals, secondary coolants, rows known from memory.
Lange: Lange's Handbook of Chemistry, 15th edition, Table 5.13, page 5.85.
"""

from __future__ import annotations

from typing import Any

import pytest

# AEG, at 2.5 percent steps between the rows that the table holds: what linear interpolation must not lose.
AEG = {
    10: -3.619,
    12.5: -4.839,
    15: -6.152,
    20: -8.976,
    30: -15.700,
    33: -18.125,
    40: -24.795,
    42.5: -27.564,
    47.5: -33.732,
    50: -37.115,
    52.5: -40.671,
    57.5: -48.169,
    60: -52.020,
}


@pytest.mark.parametrize(("volume_percent", "freezing_point"), AEG.items())
def test_frost_protection_is_the_fit_by_volume(
    shipped: Any, volume_percent: float, freezing_point: float
) -> None:
    found = shipped.number("freeze-protection", "degC", strength=f"{volume_percent} percent")

    assert found == pytest.approx(freezing_point, abs=0.15)


@pytest.mark.parametrize(
    ("volume_percent", "freezing_point"),
    [(10, -3.6), (20, -9.0), (30, -15.7), (33, -18.1), (40, -24.8), (50, -37.1)],
)
def test_frost_protection_is_curve_a(shipped: Any, volume_percent: float, freezing_point: float) -> None:
    found = shipped.number("freeze-protection", "degC", strength=f"{volume_percent} percent")

    assert found == pytest.approx(freezing_point, abs=0.8)


@pytest.mark.parametrize(
    ("volume_percent", "freezing_point"),
    [(8.9, -3.2), (18.1, -7.8), (27.7, -14.1), (37.5, -22.3), (47.6, -33.8), (57.8, -48.3)],
)
def test_frost_protection_agrees_with_rows_of_ashrae(
    shipped: Any, volume_percent: float, freezing_point: float
) -> None:
    found = shipped.number("freeze-protection", "degC", strength=f"{volume_percent} percent")

    assert found == pytest.approx(freezing_point, abs=0.4)


# CRC by mass, turned into the volumes poured (1113.5 and 998.2 kg/m³ at 20 °C).
CRC = {10: -3.8, 20: -9.0, 30: -16.5, 33: -19.3, 40: -26.8, 50: -39.9}


@pytest.mark.parametrize(("volume_percent", "freezing_point"), CRC.items())
def test_frost_protection_never_promises_more_than_pure_glycol(
    shipped: Any, volume_percent: float, freezing_point: float
) -> None:
    found = shipped.number("freeze-protection", "degC", strength=f"{volume_percent} percent")

    assert found >= freezing_point - 0.05


@pytest.mark.parametrize("strength", ["60.5 percent", "70 percent", "100 percent"])
def test_frost_protection_has_no_number_above_sixty_percent(shipped: Any, strength: str) -> None:
    assert "outside" in shipped.outcome("freeze-protection", strength=strength)


# Lange.
LANGE = {0: 0.0, 5: -1.1, 10: -2.2, 20: -6.7, 30: -12.8, 40: -20.6, 50: -33.3}


@pytest.mark.parametrize(("volume_percent", "freezing_point"), LANGE.items())
def test_frost_protection_of_propylene_glycol_is_the_published_table(
    shipped: Any, volume_percent: float, freezing_point: float
) -> None:
    found = shipped.number("freeze-protection-propylene", "degC", strength=f"{volume_percent} percent")

    assert found == pytest.approx(freezing_point, abs=0.001)


@pytest.mark.parametrize(
    ("volume_percent", "freezing_point"), [(10, -3.4), (20, -7.4), (30, -13.1), (40, -21.5), (50, -33.7)]
)
def test_frost_protection_of_propylene_glycol_agrees_with_apg(
    shipped: Any, volume_percent: float, freezing_point: float
) -> None:
    found = shipped.number("freeze-protection-propylene", "degC", strength=f"{volume_percent} percent")

    assert found == pytest.approx(freezing_point, abs=1.5)


def test_frost_protection_of_propylene_glycol_has_no_number_above_fifty_percent(shipped: Any) -> None:
    assert "outside" in shipped.outcome("freeze-protection-propylene", strength="51 percent")


def test_strength_table_is_the_freezing_table_the_other_way_round(shipped: Any) -> None:
    tables = shipped.specs.tables
    turned = sorted((value, key) for key, value in tables["ethylene-glycol-freezing-point"].rows)

    assert sorted(tables["ethylene-glycol-strength"].rows) == turned


@pytest.mark.parametrize("strength", [5, 22, 33, 48, 59])
def test_strength_read_from_frost_is_the_strength_that_gave_it(shipped: Any, strength: float) -> None:
    frost = shipped.number("freeze-protection", "degC", strength=f"{strength} percent")

    found = shipped.number("coolant-strength", "percent", freezing_point=f"{frost} degC")

    assert found == pytest.approx(strength, abs=1e-6)


@pytest.mark.parametrize(
    ("by_volume", "by_mass"),
    [(10, 11.03), (20, 21.81), (30, 32.34), (33, 35.46), (40, 42.65), (50, 52.73)],
)
def test_strength_by_mass_is_the_weight_of_the_volumes_poured(
    shipped: Any, by_volume: float, by_mass: float
) -> None:
    found = shipped.number("coolant-mass-strength", "percent", strength=f"{by_volume} percent")

    assert found == pytest.approx(by_mass, abs=0.01)


# V, d, retained, target -> concentrate, water, least drain (l); arithmetic, to the millilitre.
MIXES = [
    (10, 6, 0, 50, 5.0, 1.0, 5.0),
    (10, 6, 40, 50, 3.4, 2.6, 1.6667),
    (10, 6, 60, 50, 2.6, 3.4, 1.6667),
]


@pytest.mark.parametrize(("volume", "drained", "retained", "target", "concentrate", "water", "least"), MIXES)
def test_mix_reaches_the_strength_wanted(
    shipped: Any,
    volume: float,
    drained: float,
    retained: float,
    target: float,
    concentrate: float,
    water: float,
    least: float,
) -> None:
    circuit = {"volume": f"{volume} l", "retained_strength": f"{retained} percent"}
    wanted = {"target_strength": f"{target} percent", "concentrate_strength": "100 percent"}
    room = {"drained": f"{drained} l"}
    poured = {"concentrate": f"{concentrate} l"}
    mixed = {"added": f"{concentrate} l", "added_strength": "100 percent", "water": f"{water} l"}

    assert [
        shipped.number("coolant-concentrate", "l", **circuit, **wanted, **room),
        shipped.number("coolant-water", "l", **room, **poured),
        shipped.number("coolant-least-drain", "l", **circuit, **wanted),
        shipped.number("coolant-strength-after", "percent", **circuit, **room, **mixed),
    ] == pytest.approx([concentrate, water, least, target], abs=0.001)


def test_rinse_can_leave_too_little_room(shipped: Any) -> None:
    given = {"volume": "10 l", "drained": "4 l", "retained_strength": "0 percent"}
    wanted = {"target_strength": "50 percent", "concentrate_strength": "100 percent"}

    assert shipped.outcome("coolant-target-reachable", **given, **wanted) == {"value": False}


def test_least_drain_is_just_enough_room(shipped: Any) -> None:
    given = {"volume": "10 l", "drained": "5 l", "retained_strength": "0 percent"}
    wanted = {"target_strength": "50 percent", "concentrate_strength": "100 percent"}

    assert shipped.outcome("coolant-target-reachable", **given, **wanted) == {"value": True}


def test_ready_mix_cannot_make_up_for_weak_coolant(shipped: Any) -> None:
    inside = {"volume": "10 l", "drained": "6 l", "retained_strength": "30 percent"}
    mix = {"added": "6 l", "added_strength": "50 percent", "water": "0 l"}

    found = shipped.number("coolant-strength-after", "percent", **inside, **mix)

    assert found == pytest.approx(42, abs=1e-4)


def test_half_and_half_of_a_large_engine_is_common_practice(shipped: Any) -> None:
    dry = {"volume": "3.5 gal", "drained": "3.5 gal", "retained_strength": "0 percent"}
    wanted = {"target_strength": "50 percent", "concentrate_strength": "100 percent"}

    found = shipped.number("coolant-concentrate", "gal", **dry, **wanted)

    assert found == pytest.approx(1.75, abs=1e-6)


# Complete mixing between drains: 1 - (1 - d/V)^n.
RENEWALS = [
    (9, 4, [0.444444, 0.691358, 0.828532, 0.904740]),
    (8, 4, [0.5, 0.75, 0.875, 0.9375]),
]


@pytest.mark.parametrize(("volume", "drained", "shares"), RENEWALS)
def test_repeated_drains_renew_less_each_time(
    shipped: Any, volume: float, drained: float, shares: list[float]
) -> None:
    given = {"volume": f"{volume} l", "drained": f"{drained} l"}

    found = [shipped.number("renewal-share", "1", **given, times=str(times)) for times in (1, 2, 3, 4)]

    assert found == pytest.approx(shares, abs=1e-6)
