"""What is said of a VIN that somebody typed.

The check digit and the model year are a duty where 49 CFR 565 holds, and a remark elsewhere.
`webui/core/vin.js` has the same; tests/agreement drives both.
"""

from __future__ import annotations

from typing import Literal, TypedDict

from fillfirst.cars.judgement import Remark
from fillfirst.formulas.vin import read_vin

#: 49 CFR 565 holds for what is sold in the United States, and Canada asks the same.
MANDATORY = "north-america"
_LETTERS = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"


class VinJudgement(TypedDict):
    verdict: Literal["fine", "odd", "refused"]
    remarks: list[Remark]
    year: float | None


def judge_vin(vin: str, market: str) -> VinJudgement:
    """Judge a VIN; `market` is "north-america", another, or empty when nobody has said."""
    letters = vin.strip().upper()
    wrong = "".join(letter for letter in dict.fromkeys(letters) if letter not in _LETTERS)
    refusals: list[Remark] = []
    if len(letters) != 17:
        refusals.append({"code": "vin-length", "found": str(len(letters))})
    if wrong:
        refusals.append({"code": "vin-letters", "found": wrong})
    outcome = read_vin(letters)
    if refusals or "value" not in outcome:
        return {"verdict": "refused", "remarks": refusals, "year": None}
    found = outcome["value"]
    remarks: list[Remark] = []
    if not found["agrees"]:
        remarks.append({"code": "vin-check-digit", "found": letters[8], "check": found["check"]})
    year = found["year"]
    if year is None and market == MANDATORY:
        remarks.append({"code": "vin-year", "found": letters[9]})
    verdict: Literal["odd", "refused"] = "refused" if market == MANDATORY else "odd"
    return {
        "verdict": verdict if remarks else "fine",
        "remarks": remarks,
        "year": year if isinstance(year, float) else None,
    }
