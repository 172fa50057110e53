"""Amounts as people write and paste them, and the same amount in another system of units."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fillfirst.quantities import to_si
from fillfirst.specs import load

UNITS = {
    key: unit.model_dump(mode="json") for key, unit in load(Path(__file__).parents[2] / "specs").units.items()
}
CATALOG = {"units": UNITS}

WRITTEN = [
    ("N*m", "18", 18, "N*m"),
    ("N*m", "18 lb-ft", 18, "lbf*ft"),
    ("N*m", "18 ft-lbs", 18, "lbf*ft"),
    ("N*m", "18 lbs ft.", 18, "lbf*ft"),
    ("N*m", "18 lbf·ft", 18, "lbf*ft"),
    ("N*m", "86 in lbs", 86, "lbf*in"),
    ("N*m", "25Nm", 25, "N*m"),
    ("N*m", "25 N·m (18 lb-ft)", 25, "N*m"),
    ("N*m", "2,5 daNm", 2.5, "daN*m"),
    ("N*m", "2.5 kgf-m", 2.5, "kgf*m"),
    ("l", "6,5 l", 6.5, "l"),
    ("l", "6.5 Liters", 6.5, "l"),
    ("qt", "0.75 qt", 0.75, "qt"),
    ("gal", "5 1/2 qt", 5.5, "qt"),
    ("floz", "5-1/2 quarts", 5.5, "qt"),
    ("imp_gal", "5½ qts", 5.5, "imp_qt"),
    ("l", "¾ US pt", 0.75, "pt"),
    ("l", "850 cc", 850, "ml"),
    ("l", "850 cm³", 850, "ml"),
    ("l", "12 US fl. oz.", 12, "floz"),
    ("l", "1 imp gal", 1, "imp_gal"),
    ("degC", "180°F", 180, "degF"),
    ("degC", "-35 °C", -35, "degC"),
    ("degC", "−35", -35, "degC"),
    ("inHg", '24 "Hg', 24, "inHg"),
    ("inHg", "-0,8 bar", -0.8, "bar"),
    ("bar", "1.1 bar", 1.1, "bar"),
    ("bar", "16 psi", 16, "psi"),
    ("km", "52 340 miles", 52340, "mile"),
    ("km", "52,340.5 mi", 52340.5, "mile"),
    ("mm", '9/16"', 0.5625, "inch"),
    ("mm", "1 1/4 in", 1.25, "inch"),
    ("degree", "270°", 270, "degree"),
    ("percent", "50 %", 50, "percent"),
    ("min", "10 mins", 10, "min"),
    ("min", "90 s", 90, "s"),
]


@pytest.mark.parametrize(("asked", "written", "number", "unit"), WRITTEN)
def test_written_amount_is_understood_with_its_unit(
    core_page: Any, asked: str, written: str, number: float, unit: str
) -> None:
    read = core_page.call("amounts.js", "readAmount", CATALOG, asked, written)

    assert (read["unit"], read["value"]) == (unit, to_si(number, unit))


@pytest.mark.parametrize(
    ("asked", "written", "expected"),
    [
        ("N*m", "", {"empty": True}),
        ("N*m", "lb-ft", {"wrong": True}),
        ("N*m", "25-30 Nm", {"wrong": True}),
        ("N*m", "25/35 Nm", {"wrong": True}),
        ("N*m", "18 psi", {"foreign": "psi", "isUnit": True}),
        ("N*m", "18 turns", {"foreign": "turns", "isUnit": False}),
        ("l", "5 l and a bit", {"foreign": "l and a bit", "isUnit": False}),
    ],
)
def test_what_is_not_understood_is_told_not_dropped(
    core_page: Any, asked: str, written: str, expected: dict[str, Any]
) -> None:
    assert core_page.call("amounts.js", "readAmount", CATALOG, asked, written) == expected


def test_a_number_that_may_be_two_is_asked_about_in_its_own_unit(core_page: Any) -> None:
    read = core_page.call("amounts.js", "readAmount", CATALOG, "km", "1.234 mi")

    assert [one["value"] for one in read["either"]] == [to_si(1.234, "mile"), to_si(1234, "mile")]


def test_a_quart_of_nobody_knows_which_country_is_asked_about(core_page: Any) -> None:
    read = core_page.call("amounts.js", "readAmount", CATALOG, "l", "5 qt")

    assert {(one["unit"], one["value"]) for one in read["either"]} == {
        ("qt", to_si(5, "qt")),
        ("imp_qt", to_si(5, "imp_qt")),
    }


@pytest.mark.parametrize(
    ("chosen", "system", "unit"),
    [("l", "us", "qt"), ("l", "imperial", "imp_qt"), ("imp_qt", "source", "imp_qt")],
)
def test_a_quart_is_the_one_of_the_persons_own_system(
    core_page: Any, chosen: str, system: str, unit: str
) -> None:
    assert core_page.call("amounts.js", "readAmount", CATALOG, chosen, "5 qt", system)["unit"] == unit


@pytest.mark.parametrize(
    ("unit", "system", "shown"),
    [
        ("N*m", "us", "lbf*ft"),
        ("N*m", "mixed", "lbf*ft"),
        ("N*m", "metric", "N*m"),
        ("kgf*m", "metric", "N*m"),
        ("l", "us", "qt"),
        ("l", "mixed", "l"),
        ("l", "imperial", "imp_qt"),
        ("ml", "us", "floz"),
        ("qt", "metric", "l"),
        ("kPa", "us", "inHg"),
        ("bar", "us", "psi"),
        ("bar", "mixed", "psi"),
        ("degC", "us", "degF"),
        ("degC", "imperial", "degC"),
        ("km", "imperial", "mile"),
        ("mm", "us", "inch"),
        ("min", "us", "min"),
        ("percent", "us", "percent"),
        ("N*m", "source", "N*m"),
    ],
)
def test_another_system_shows_the_unit_nearest_in_size(
    core_page: Any, unit: str, system: str, shown: str
) -> None:
    assert core_page.call("units.js", "unitIn", CATALOG, unit, system) == shown


@pytest.mark.parametrize(("torque", "shown"), [(9.5, "lbf*in"), (25, "lbf*ft")])
def test_small_torques_in_pounds_are_told_in_inches(core_page: Any, torque: float, shown: str) -> None:
    assert core_page.call("units.js", "unitIn", CATALOG, "N*m", "us", torque) == shown


def test_what_was_understood_is_said_by_the_custom_of_the_language(core_page: Any) -> None:
    read = core_page.call("amounts.js", "readAmount", CATALOG, "l", "1234,5", "source", "de")

    assert read["text"] == "1234,5\u00a0l"
