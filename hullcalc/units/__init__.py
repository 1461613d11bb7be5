"""Units meet people here and nowhere else: what they type becomes SI, what we answer becomes their words.

`grammar` reads numbers as people write them, `names` knows units and their factors, `quantities` puts both together
for files and controls, `saying` turns SI figures into words. Everything above this package is SI and signed.
"""

from hullcalc.units.grammar import NotUnderstood
from hullcalc.units.names import factor, find_unit, say_units
from hullcalc.units.quantities import Reading, parse_position, parse_quantity, read_position, read_quantity
from hullcalc.units.saying import (
    say_heel,
    say_height,
    say_in,
    say_length_mm,
    say_mass,
    say_position,
    say_trim,
    say_volume,
)

__all__ = [
    "NotUnderstood",
    "Reading",
    "factor",
    "find_unit",
    "parse_position",
    "parse_quantity",
    "read_position",
    "read_quantity",
    "say_heel",
    "say_height",
    "say_in",
    "say_length_mm",
    "say_mass",
    "say_position",
    "say_trim",
    "say_units",
    "say_volume",
]
