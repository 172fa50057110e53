"""What may stand under a key of an entry, by the names that shapes of entries use: "text", "number?", …"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


# JSON numbers beyond this are not whole on the phone.
_LARGEST_COUNT = 2**53 - 1


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _LARGEST_COUNT


def _is_clock(value: object) -> bool:
    return isinstance(value, dict) and _is_count(value.get("ms")) and _is_count(value.get("c"))


def _is_list_of_texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(item, str) for item in value)


def _is_value(value: object) -> bool:
    return isinstance(value, str | bool) or _is_number(value) or _is_list_of_texts(value)


def _is_source(value: object) -> bool:
    """A kind, and where exactly: a page, a plate, what was measured."""
    return isinstance(value, dict) and all(isinstance(value.get(key), str) for key in ("kind", "reference"))


_STROKES = re.compile(r"(M[0-9]{1,4} [0-9]{1,4}(L[0-9]{1,4} [0-9]{1,4})+)+")
_LONGEST_DRAWING = 20_000


def _is_drawing(value: object) -> bool:
    """Strokes as SVG path data, of M and L alone: "M12 34L56 78M…", in a box of 1000 by 400."""
    return isinstance(value, str) and len(value) <= _LONGEST_DRAWING and _STROKES.fullmatch(value) is not None


_CHECKS: dict[str, Callable[[object], bool]] = {
    "object": lambda value: isinstance(value, dict),
    "number": _is_number,
    "count": _is_count,
    "clock": _is_clock,
    "text": lambda value: isinstance(value, str),
    "list of texts": _is_list_of_texts,
    "yes-no": lambda value: isinstance(value, bool),
    "value": _is_value,
    "source": _is_source,
    "drawing": _is_drawing,
    "sha256": lambda value: isinstance(value, str) and re.fullmatch("[0-9a-f]{64}", value) is not None,
}


class Field(NamedTuple):
    """A key, whether it may be left out, what its value is, and whether a value is that."""

    name: str
    is_optional: bool
    kind: str
    is_right: Callable[[object], bool]


def read_fields(shape: Mapping[str, str]) -> list[Field]:
    """The fields of a shape such as `{"step": "text", "note": "text?"}`."""
    kinds = {name: kind.removesuffix("?") for name, kind in shape.items()}
    return [Field(name, kind != shape[name], kind, _CHECKS[kind]) for name, kind in kinds.items()]


def find_wrong(body: Mapping[str, object], fields: Iterable[Field]) -> str | None:
    """The first field that is not what it must be, in a sentence."""
    for name, is_optional, kind, is_right in fields:
        value = body.get(name)
        if not is_right(value) and not (is_optional and value is None):
            return f'"{name}" must be {"an" if kind == "object" else "a"} {kind}.'
    return None
