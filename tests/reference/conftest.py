"""The shipped formulas, for every test of this folder."""

from __future__ import annotations

import pytest
from shipped_formulas import Shipped


@pytest.fixture(scope="session")
def shipped() -> Shipped:
    return Shipped()
