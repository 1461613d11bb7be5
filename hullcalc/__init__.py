"""hullcalc: weight, balance and floating trim of small planing powerboats in refit.

Boat axes: origin at the lower end of the transom on the centreline, x forward along the straight aft run of the keel,
y to port, z up. Inside all is SI (kg, m, rad) and signed; trim is positive bow up, heel positive to starboard.
"""

import logging
from importlib.metadata import version

from hullcalc.boats.folder import read_boat
from hullcalc.errors import GeometryError, HullcalcError, InputError, NoEquilibriumError
from hullcalc.floating.equilibrium import float_at_rest, float_many
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.solid import Solid

__version__ = version("hullcalc")
__all__ = [
    "GeometryError",
    "HullcalcError",
    "InputError",
    "NoEquilibriumError",
    "Solid",
    "Tank",
    "float_at_rest",
    "float_many",
    "read_boat",
]

logging.getLogger("hullcalc").addHandler(logging.NullHandler())
