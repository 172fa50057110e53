"""The cheapest packs that cover a need.

Buying by the lowest price per litre fails on small needs, so every way of reaching the amount is weighed.
Volumes are whole millilitres here: a litre bought is a litre, whatever the last bit of a fraction says.

`webui/core/packs.js` is the same in the other language; `tests/agreement/functions.json` drives both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from fillfirst.formulas.outcome import Answer, Impossible

_ML = 1e6
#: What a conversion of units may have added to a whole millilitre.
_NOISE = 1e-6


def choose_packs(
    need: float, sizes: Sequence[float], prices: Sequence[float] | None = None
) -> Answer | Impossible:
    """Say how many packs of each size to buy: for the least money, then the least volume, then the fewest.

    Without prices, for the least volume. Counts stand in the order of `sizes`.
    """
    if prices is not None and len(prices) != len(sizes):
        return {"impossible": "as many prices as sizes are needed"}
    wanted = math.ceil(need * _ML - _NOISE)
    packs = [math.floor(size * _ML + _NOISE) for size in sizes]
    if not packs or min(packs) <= 0:
        return {"impossible": "a pack that holds nothing"}
    costs = [0] * len(packs) if prices is None else [math.floor(price * 100 + 0.5) for price in prices]
    counts = _cover(wanted, packs, costs)
    volume = sum(count * pack for count, pack in zip(counts, packs, strict=True))
    cost = sum(count * cost for count, cost in zip(counts, costs, strict=True))
    return {
        "value": {
            "counts": [float(count) for count in counts],
            "volume": volume / _ML,
            "left_over": (volume - wanted) / _ML,
            "price": None if prices is None else cost / 100,
        }
    }


def _cover(wanted: int, packs: list[int], costs: list[int]) -> list[int]:
    """The best counts, worked up from nothing in steps that every pack is a multiple of."""
    step = math.gcd(*packs)
    order = sorted(range(len(packs)), key=lambda at: -packs[at])
    best: list[tuple[int, int, int]] = [(0, 0, 0)]
    last: list[int] = [-1]
    for amount in range(1, -(-wanted // step) + 1):
        found: tuple[int, int, int] | None = None
        chosen = -1
        for at in order:
            cost, volume, count = best[max(0, amount - packs[at] // step)]
            tried = (cost + costs[at], volume + packs[at], count + 1)
            if found is None or tried < found:
                found, chosen = tried, at
        best.append(found or (0, 0, 0))
        last.append(chosen)
    counts = [0] * len(packs)
    amount = len(best) - 1
    while amount > 0:
        counts[last[amount]] += 1
        amount = max(0, amount - packs[last[amount]] // step)
    return counts
