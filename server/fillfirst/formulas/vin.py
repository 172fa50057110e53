"""What a vehicle identification number says of itself: whether its check digit fits, and the model year.

A slip of the pen is found while the plate is still in sight. The digit is a duty in North America alone, so
elsewhere one that does not fit is a question, never an error.

`webui/core/vin.js` is the same in the other language; `tests/agreement/functions.json` drives both.
Source: 49 CFR 565.15, Tables III to VI.
"""

from __future__ import annotations

import re

from fillfirst.formulas.outcome import Answer, Impossible, PartValue

_VIN = re.compile("[0-9A-HJ-NPR-Z]{17}")
_VALUES = dict(zip("0123456789ABCDEFGHJKLMNPRSTUVWXYZ", "012345678912345678123457923456789", strict=True))
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
#: Model years from 1980, and again from 2010.
_YEARS = "ABCDEFGHJKLMNPRSTVWXY123456789"


def read_vin(vin: str) -> Answer | Impossible:
    """Say the check digit it should have, whether it has it, and the model year of a car that is no truck."""
    letters = vin.strip().upper()
    if _VIN.fullmatch(letters) is None:
        return {"impossible": "17 letters and digits are needed, without I, O and Q"}
    rest = sum(int(_VALUES[letter]) * weight for letter, weight in zip(letters, _WEIGHTS, strict=True)) % 11
    check = "X" if rest == 10 else str(rest)
    year: PartValue = None
    if letters[9] in _YEARS:
        # Position 7 tells the two rounds apart: a digit in the first, a letter in the second.
        year = float(_YEARS.index(letters[9]) + (1980 if letters[6].isdigit() else 2010))
    return {"value": {"check": check, "agrees": letters[8] == check, "year": year}}
