"""The order in which screws round a cover are tightened, from where they sit.

A cover goes down evenly only if its screws are drawn crosswise, and a long one only from the middle
outwards, so that what is between is pushed to the edge. The rule is that of common practice; on a round
flange it gives the cross pattern of ASME PCC-1. The maker's own picture always wins.

`webui/core/tightening.js` is the same in the other language; `tests/agreement/functions.json` drives both.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from fillfirst.formulas.outcome import Answer, Impossible

#: Distances are alike when they differ by less than this share: no pan is drilled or measured closer.
_ALIKE = 0.12
#: Room is alike within this: places are given to a millimetre or so.
_LIKE_ROOM = 0.01
#: A screw that is not beside the last one is preferred unless it is more crowded than this.
_NEARLY = 0.25


def order_screws(x: Sequence[float], y: Sequence[float]) -> Answer | Impossible:
    """Number the screws in the order of tightening; every pass takes the same order.

    A turn takes, of the screws nearest the middle, the one with most room to those already tight, not beside
    the last one if another is nearly as good; then the one that lies across from it.
    """
    if len(x) != len(y):
        return {"impossible": "every screw needs both its places"}
    if not x:
        return {"impossible": "there is no screw"}
    middle = (sum(x) / len(x), sum(y) / len(y))
    places = [(across - middle[0], along - middle[1]) for across, along in zip(x, y, strict=True)]
    order: list[int] = []
    left = list(range(len(places)))
    while left:
        first = _choose_first(places, order, left)
        left.remove(first)
        order.append(first)
        partner = _choose_partner(places, first, left)
        if partner is not None:
            left.remove(partner)
            order.append(partner)
    return {"value": {"order": [float(at + 1) for at in order]}}


def _choose_first(places: Sequence[tuple[float, float]], order: Sequence[int], left: Sequence[int]) -> int:
    """Nearest the middle, then not beside the last, then with most room, then the lowest number."""
    far = {at: _distance(places[at], (0.0, 0.0)) for at in left}
    ring = [at for at in left if far[at] <= min(far.values()) * (1 + _ALIKE)]
    crowd = {at: sum(_press(places[at], places[tight]) for tight in order) for at in ring}
    if not order:
        return _least(ring, crowd)[0]
    last = order[-1]
    steps = [_distance(places[last], place) for at, place in enumerate(places) if at != last]
    beside = min(steps) * (1 + _ALIKE)
    room = min(crowd.values()) * (1 + _NEARLY)
    apart = [at for at in ring if crowd[at] <= room and _distance(places[last], places[at]) > beside]
    return _least(apart or ring, crowd)[0]


def _choose_partner(places: Sequence[tuple[float, float]], first: int, left: Sequence[int]) -> int | None:
    """The screw nearest to the first one's image through the middle, if any lies on that side."""
    x, y = places[first]
    across = [at for at in left if places[at][0] * x + places[at][1] * y < 0]
    off = {at: _distance(places[at], (-x, -y)) for at in across}
    return _least(across, off)[0] if across else None


def _least(among: Iterable[int], measure: dict[int, float]) -> list[int]:
    """Those with the least measure, or one that is as good as that."""
    listed = list(among)
    least = min(measure[at] for at in listed)
    return [at for at in listed if measure[at] <= least * (1 + _LIKE_ROOM)]


def _press(place: tuple[float, float], tight: tuple[float, float]) -> float:
    """How much a tight screw crowds a place: less with the square of the distance."""
    square = _square(place, tight)
    return 1 / square if square > 0 else math.inf


def _distance(one: tuple[float, float], other: tuple[float, float]) -> float:
    return math.sqrt(_square(one, other))


def _square(one: tuple[float, float], other: tuple[float, float]) -> float:
    return (one[0] - other[0]) * (one[0] - other[0]) + (one[1] - other[1]) * (one[1] - other[1])
