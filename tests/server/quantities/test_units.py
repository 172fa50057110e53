"""The rows of the unit table, and the units that are refused."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from fillfirst.errors import QuantityError
from fillfirst.quantities import conversion, is_scale
from fillfirst.quantities.units import UNIT_WORDS, USUAL_UNITS

UNITS = tomllib.loads((Path(__file__).parents[3] / "specs" / "units.toml").read_text())


@pytest.mark.parametrize("unit", sorted({*UNITS, *USUAL_UNITS, *UNIT_WORDS}))
def test_every_unit_has_a_factor(unit: str) -> None:
    assert conversion(unit).factor > 0


@pytest.mark.parametrize(
    ("unit", "factor"),
    [("l", 0.001), ("ml", 1e-6), ("mm", 0.001), ("percent", 0.01), ("psi", 6894.757293168362)],
)
def test_factor_is_right_to_the_last_bit(unit: str, factor: float) -> None:
    assert conversion(unit).factor == factor


def test_only_temperature_scales_have_an_offset() -> None:
    assert [unit for unit in UNITS if is_scale(unit)] == ["degC", "degF"]


@pytest.mark.parametrize(
    "unit", ["", "Nm", "1 l", "l ", "l*", "*l", "os.system", "l**2", "(l)", "degC*m", "2"]
)
def test_unit_that_is_not_known_is_refused(unit: str) -> None:
    with pytest.raises(QuantityError):
        conversion(unit)


def test_units_library_is_loaded_at_the_first_question_only() -> None:
    program = "import sys, fillfirst.formulas, fillfirst.quantities; sys.exit('pint' in sys.modules)"

    loaded = subprocess.run(
        [sys.executable, "-c", program], env={"PYTHONPATH": ":".join(sys.path)}, check=False
    )

    assert loaded.returncode == 0
