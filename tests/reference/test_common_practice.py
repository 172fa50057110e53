"""Figures of common practice: no document stands behind them, and the specs say so."""

from __future__ import annotations

from typing import Any

import pytest


def test_about_a_litre_of_brake_fluid_serves_four_corners(shipped: Any) -> None:
    assert shipped.number("brake-fluid-to-buy", "l", corners="4") == pytest.approx(1.0, abs=0.05)


def test_usual_vacuum_near_the_sea_is_twenty_five_inches(shipped: Any) -> None:
    found = shipped.number("vacuum-target", "inHg", air_pressure="101.325 kPa")

    assert found == pytest.approx(25, abs=0.01)


@pytest.mark.parametrize(("end", "holds"), [("25 inHg", True), ("24.5 inHg", True), ("24 inHg", False)])
def test_vacuum_is_steady_before_filling(shipped: Any, end: str, holds: bool) -> None:
    given = {"vacuum_at_start": "25 inHg", "vacuum_at_end": end}

    assert shipped.outcome("vacuum-holds", **given) == {"value": holds}


@pytest.mark.parametrize(
    ("temperature", "inside"), [("29 degC", False), ("30 degC", True), ("50 degC", True), ("51 degC", False)]
)
def test_overflow_level_is_set_between_thirty_and_fifty(shipped: Any, temperature: str, inside: bool) -> None:
    window = {"window_from": "30 degC", "window_to": "50 degC"}

    assert shipped.outcome("temperature-in-window", temperature=temperature, **window) == {"value": inside}


@pytest.mark.parametrize("formula", ["brake-fluid-to-buy", "vacuum-target", "vacuum-holds", "oil-first-fill"])
def test_formula_without_a_document_says_common_practice(shipped: Any, formula: str) -> None:
    assert shipped.specs.formulas[formula].source.document == "common-practice"


def test_every_worked_example_is_run_when_the_specs_load(shipped: Any) -> None:
    assert all(formula.examples for formula in shipped.specs.formulas.values())
