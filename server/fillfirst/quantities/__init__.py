"""Numbers with units: the only place that imports pint.

Everything past the spec files runs on plain floats in SI base units. This package is where "25 N*m"
becomes such a float, and where one learns what a unit measures, so that torque is never added to pressure.
pint takes a third of a second to start, so it is loaded at the first question, never at import.
"""

from fillfirst.quantities.amounts import Amount, from_si, parse, to_si
from fillfirst.quantities.dimensions import NUMBER, Dimension, describe, dimension_of
from fillfirst.quantities.units import Conversion, conversion, is_scale, keep_digits

__all__ = [
    "NUMBER",
    "Amount",
    "Conversion",
    "Dimension",
    "conversion",
    "describe",
    "dimension_of",
    "from_si",
    "is_scale",
    "keep_digits",
    "parse",
    "to_si",
]
