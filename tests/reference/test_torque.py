"""Torque: exact conversion factors, the lever rule, and what a wrench may be used for."""

from __future__ import annotations

from typing import Any

import pytest

from fillfirst.quantities import conversion, from_si, to_si

# Exact chain: lbf = 4.4482216152605 N, ft = 0.3048 m, standard gravity 9.80665 m/s².
FACTORS = {
    "lbf*ft": 1.3558179483314004,
    "lbf*in": 0.1129848290276167,
    "kgf*m": 9.80665,
}


@pytest.mark.parametrize(("unit", "factor"), FACTORS.items())
def test_torque_factor_is_exact(unit: str, factor: float) -> None:
    assert conversion(unit).factor == pytest.approx(factor, rel=1e-15)


# NIST SP 811, Appendix B.8, prints seven digits.
@pytest.mark.parametrize(("unit", "printed"), [("lbf*ft", 1.355818), ("lbf*in", 0.1129848)])
def test_torque_factor_is_the_printed_one(unit: str, printed: float) -> None:
    assert conversion(unit).factor == pytest.approx(printed, rel=5e-7)


TORQUES = [
    (25, "N*m", 18.4391, "lbf*ft"),
    (25, "N*m", 221.269, "lbf*in"),
    (90, "N*m", 66.3806, "lbf*ft"),
    (18, "lbf*ft", 24.4047, "N*m"),
    (106, "lbf*in", 11.9764, "N*m"),
    (1, "N*m", 0.7375621492772654, "lbf*ft"),
    (1, "N*m", 8.850745791327185, "lbf*in"),
    (1, "N*m", 0.10197162129779283, "kgf*m"),
]


@pytest.mark.parametrize(("shown", "unit", "other", "other_unit"), TORQUES)
def test_torque_in_another_unit(shown: float, unit: str, other: float, other_unit: str) -> None:
    # Four or more digits are printed, so the last printed one may be half a unit off.
    assert from_si(to_si(shown, unit), other_unit) == pytest.approx(other, rel=3e-6)


# 80 N·m: the worked example of a torque tool maker's manual; the others by the lever rule.
LEVERS = [
    (80, 400, 50, 0, 71.111),
    (100, 500, 60, 0, 89.286),
    (100, 500, 60, 90, 100.0),
    (100, 500, 60, 180, 113.636),
]


@pytest.mark.parametrize(("torque", "wrench", "adapter", "angle", "setting"), LEVERS)
def test_adapter_lengthens_the_lever(
    shipped: Any, torque: float, wrench: float, adapter: float, angle: float, setting: float
) -> None:
    found = shipped.number(
        "wrench-with-adapter",
        "N*m",
        bolt_torque=f"{torque} N*m",
        wrench_length=f"{wrench} mm",
        adapter_length=f"{adapter} mm",
        adapter_angle=f"{angle} degree",
    )

    assert found == pytest.approx(setting, rel=5e-4)


# ISO 6789: setting tools are tested from 20 to 100 percent of the largest value.
@pytest.mark.parametrize(
    ("torque", "largest", "suits"),
    [
        (20, 100, True),
        (19.9, 100, False),
        (100, 100, True),
        (100.1, 100, False),
        (14, 70, True),
        (25, 100, True),
    ],
)
def test_wrench_suits_from_a_fifth_of_its_range(
    shipped: Any, torque: float, largest: float, suits: bool
) -> None:
    given = {"bolt_torque": f"{torque} N*m", "wrench_maximum": f"{largest} N*m"}

    assert shipped.outcome("wrench-suits-torque", **given) == {"value": suits}
