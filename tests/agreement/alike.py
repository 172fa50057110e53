"""When two outcomes of the two languages count as one."""

from __future__ import annotations

import math
from typing import Any


def is_alike(found: Any, expected: Any) -> bool:
    """Equal, numbers to one part in a thousand million; a yes is not a one."""
    if isinstance(expected, bool) or isinstance(found, bool):
        return found is expected
    if isinstance(expected, (int, float)) and isinstance(found, (int, float)):
        return math.isclose(found, expected, rel_tol=1e-9, abs_tol=1e-12)
    if isinstance(expected, dict) and isinstance(found, dict):
        return found.keys() == expected.keys() and all(
            is_alike(found[key], expected[key]) for key in expected
        )
    if isinstance(expected, list) and isinstance(found, list):
        return len(found) == len(expected) and all(map(is_alike, found, expected))
    return bool(found == expected)
