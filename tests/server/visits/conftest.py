"""The small catalog that the agreement vectors use, and the specs themselves."""

from __future__ import annotations

from pathlib import Path

import pytest

from fillfirst.specs import load
from fillfirst.specs.linked import Specs

TOP = Path(__file__).parents[3]


@pytest.fixture(scope="session")
def small_specs() -> Specs:
    """Five jobs and three kinds of car, few enough to play every visit literally."""
    return Specs.model_validate_json((TOP / "tests/agreement/visits-catalog.json").read_text())


@pytest.fixture(scope="session")
def real_specs() -> Specs:
    return load(TOP / "specs")
