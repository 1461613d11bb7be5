"""Cables by section and length: copper by its density, and insulation round the strands by its wall.

Strands fill 70 % of the round they lie in, so the conductor is 2 sqrt(A / 0.7 pi) thick; the insulation is a ring of
the table's wall round it. Copper 8960 kg/m3 (standard value, from memory), plasticised PVC 1400 kg/m3 (from memory).
American wire gauges by their definition: 0.127 mm x 92^((36 - n) / 39) in diameter, 1/0 to 4/0 being n = 0 to -3 (ASTM
B258, from memory).
"""

from __future__ import annotations

import math
import re

from hullcalc.errors import InputError
from hullcalc.weights.parts.sums import positive
from hullcalc.weights.reference import figure, reference_table

COPPER, PVC = 8960.0, 1400.0  # kg/m3
PACKING = 0.70  # of the conductor's round is copper, flexible strands


def gauge_area(gauge: str) -> float:
    """Section [m2] of an American wire gauge, "16" to "1", "1/0" to "4/0" ("2/0 AWG" is read too)."""
    match = re.fullmatch(r"\s*(?:(0|[1-9]\d?)|([1-4])\s*/\s*0)\s*(?:awg)?\s*", gauge, re.IGNORECASE)
    n = None if match is None else int(match[1]) if match[1] else 1 - int(match[2])
    if n is None or n > 36:
        raise InputError(f'gauge {gauge!r} is not known; write "6", "2" or "2/0", or give the section in mm2')
    return math.pi / 4 * (0.127e-3 * 92 ** ((36 - n) / 39)) ** 2


def insulation_wall(section: float) -> float:
    """Wall of the insulation [m] for a section [m2]: that of the next larger section of the table `cables`."""
    rows = sorted(reference_table("cables"), key=lambda row: figure(row, "section_mm2"))
    for row in rows:
        if section <= figure(row, "section_mm2") * 1e-6 * (1 + 1e-9):
            return figure(row, "wall_mm") * 1e-3
    raise InputError(
        f"section {section * 1e6:g} mm2 is larger than the table's largest, {figure(rows[-1], 'section_mm2'):g} mm2; "
        "give the wall of its insulation"
    )


def cable_mass_per_length(section: float, wall: float | None = None) -> float:
    """kg/m of a stranded, insulated copper cable.

    Parameters
    ----------
    section : float
        Of the copper [m2]; 50 mm2 is 50e-6.
    wall : float, optional
        Of the insulation [m]; by the table `cables` unless given.
    """
    section = positive(
        section, "section of the cable", "m2", 1e-3, "battery cables are 16 to 95 mm2; 50 mm2 is 50e-6 m2"
    )
    wall = insulation_wall(section) if wall is None else positive(wall, "wall of insulation", "m", 0.01, "1 to 2 mm")
    conductor = 2 * math.sqrt(section / (PACKING * math.pi))
    return COPPER * section + PVC * math.pi * (conductor + wall) * wall
