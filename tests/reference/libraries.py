"""Values that libraries of general purpose compute: the same checks as in `values/`, on finer grids.

CoolProp 8.0.0 (properties of coolants), iapws 1.5.5 (water and steam), scipy 1.17.1 (an exchange solved in
steps). They are needed by these tests alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np
from CoolProp.CoolProp import PropsSI
from iapws.iapws97 import _PSat_T, _TSat_P
from published import Check
from scipy.integrate import solve_ivp

FREEZING = 273.15
#: Pure ethylene glycol and water at 20 °C, kg/m³ and g/mol.
GLYCOL, WATER = (1113.5, 62.068), (998.2, 18.01528)
#: CRC Handbook: index of 1,2-ethanediol in water at 20 °C, by mass, and its degrees Brix by ICUMSA.
INDEX = np.array([1.3330, 1.3367, 1.3405, 1.3425, 1.3444, 1.3523, 1.3605, 1.3687, 1.3769, 1.3851, 1.3931])
BRIX = np.array([0, 2.58, 5.16, 6.50, 7.76, 12.87, 17.98, 22.89, 27.61, 32.17, 36.48])


@cache
def compute_checks() -> tuple[Check, ...]:
    """Every comparison with a library, point by point."""
    return tuple(check for compute in (freeze, grow, weigh, refract, boil, flush) for check in compute())


def make(formula: str, source: str, given: dict[str, str], expect: str, within: str) -> Check:
    return Check("libraries", formula, source, "library", given, expect, within)


def freeze() -> Iterator[Check]:
    for formula, fluid, most, within in (
        ("freeze-protection", "AEG", 60, 0.15),
        ("freeze-protection-propylene", "APG", 50, 1.5),
    ):
        for percent in range(10, most + 1, 5):
            found = PropsSI("T_freeze", "T", 300, "P", 101325, f"INCOMP::{fluid}[{percent / 100}]")
            yield make(
                formula,
                f"CoolProp, {fluid}",
                {"strength": f"{percent} percent"},
                f"{found - FREEZING:.4f} degC",
                f"{within} delta_degC",
            )


def grow() -> Iterator[Check]:
    def density(celsius: float) -> float:
        return float(PropsSI("D", "T", celsius + FREEZING, "P", 3e5, "INCOMP::MEG[0.5]"))

    for before, after in ((20, 90), (20, 50), (-10, 95), (90, 20), (5, 30)):
        rise = 8000 * (density(before) / density(after) - 1)
        given = {
            "volume": "8 l",
            "temperature_before": f"{before} degC",
            "temperature_after": f"{after} degC",
        }
        yield make("coolant-growth", "CoolProp, MEG 50 percent by mass", given, f"{rise:.2f} ml", "5 ml")


def weigh() -> Iterator[Check]:
    for percent in (20, 30, 40, 50, 57):
        for celsius in (5, 20, 40, 55):
            density = PropsSI("D", "T", celsius + FREEZING, "P", 101325, f"INCOMP::AEG[{percent / 100}]")
            given = {"density": f"{density:.3f} kg/m^3", "temperature": f"{celsius} degC"}
            yield make("coolant-strength-density", "CoolProp, AEG", given, f"{percent} percent", "1 percent")


def refract() -> Iterator[Check]:
    """The index of warm coolant from its density (Lorentz and Lorenz), read on the Brix scale of 20 °C."""
    for mass, index, volume in ((0.28, 1.3605, 25.85), (0.44, 1.3769, 41.33), (0.52, 1.3851, 49.27)):
        for celsius in (10, 15, 25, 30, 35):
            cold, warm = (
                PropsSI("D", "T", each + FREEZING, "P", 101325, f"INCOMP::MEG[{mass}]")
                for each in (20, celsius)
            )
            packed = (index**2 - 1) / (index**2 + 2) * warm / cold
            read = float(np.interp(((1 + 2 * packed) / (1 - packed)) ** 0.5, INDEX, BRIX))
            given = {"brix": f"{read:.4f}", "temperature": f"{celsius} degC"}
            yield make(
                "coolant-strength-refraction",
                "CoolProp, MEG, by the law of Lorentz and Lorenz",
                given,
                f"{volume} percent",
                "0.8 percent",
            )


def boil() -> Iterator[Check]:
    """Raoult's law on the saturation line of IAPWS-IF97 itself, between the rows of the table."""
    for strength in (0, 33, 50, 60):
        share = strength / 100
        water = (1 - share) * WATER[0] / WATER[1]
        fraction = water / (water + share * GLYCOL[0] / GLYCOL[1])
        for air, cap in ((101.325, 0), (101.325, 90), (84.56, 110), (70.121, 140)):
            boils = _TSat_P((air + cap) / fraction / 1000) - FREEZING
            given = {
                "strength": f"{strength} percent",
                "air_pressure": f"{air} kPa",
                "cap_pressure": f"{cap} kPa",
            }
            yield make("coolant-boiling-point", "iapws, Raoult", given, f"{boils:.3f} degC", "0.3 delta_degC")
    for celsius in (20, 30, 40, 50, 60, 70, 80):
        vacuum = 101.325 - _PSat_T(celsius + FREEZING) * 1000
        given = {"strength": "0 percent", "air_pressure": "101.325 kPa", "vacuum": f"{vacuum:.4f} kPa"}
        yield make("coolant-boils-under-vacuum", "iapws, water", given, f"{celsius} degC", "0.3 delta_degC")


def flush() -> Iterator[Check]:
    """The exchange solved step by step instead of in closed form."""
    for volume, through in ((8, 4), (8, 8), (8, 16), (5.5, 12)):
        solved = solve_ivp(
            lambda _, old, held=volume: -old / held, (0, through), [1.0], rtol=1e-10, atol=1e-12
        )
        given = {"volume": f"{volume} l", "flushed": f"{through} l"}
        renewed = 100 * (1 - solved.y[0, -1])
        yield make(
            "renewal-share-flush", "scipy, solve_ivp", given, f"{renewed:.7f} percent", "0.0001 percent"
        )
