"""Texts with places: "Tighten to {wheel_torque}" shows the value of a name where it stands."""

from __future__ import annotations

import re

from fillfirst.specs.linking.context import Context
from fillfirst.specs.problems import Spot

_PLACE = re.compile(r"\{([^{}]*)\}")
ITEM = "item"


def find_places(text: str) -> list[str]:
    """The names between braces, in order."""
    return _PLACE.findall(text)


def check_text(context: Context, spot: Spot, text: str | None, has_item: bool = False) -> None:
    """Check that every place in a text can be filled in."""
    if not text:
        return
    for name in find_places(text):
        if name == ITEM:
            if not has_item:
                spot.problem(
                    "{item} stands in a step that is done once",
                    "only a step with each has items",
                    "Give the step each, or take the place out.",
                )
        else:
            context.find(spot, name)
    if re.search(r"[{}]", _PLACE.sub("", text)):
        spot.problem(
            "a brace stands alone", "a place is one name between { and }", "Close it, or take it out."
        )


def check_plain(spot: Spot, text: str) -> None:
    """Check that a text that stands alone has no places: nothing would fill them in."""
    if find_places(text):
        spot.problem(f"{{{find_places(text)[0]}}} stands in a text that has no places", "", "Take it out.")
