"""Anchor gear: chain and rope by the metre, anchors; the rules behind them."""

from __future__ import annotations

from hullcalc.units import factor
from hullcalc.weights.parts.sums import positive
from hullcalc.weights.reference import figure, reference_table


def chain_mass_per_length(wire: float) -> float:
    """kg/m of short-link chain from the diameter of its wire [m]: 10 d² lb/ft with d in inches.

    A rule of public chain notes; the wire of calibrated chain is larger than its nominal size (table `chains`).
    """
    wire = positive(wire, "diameter of the chain's wire", "m", 0.05, "8 mm chain has wire of 0.008 m")
    inches = wire / factor("in", "length")
    return 10 * inches**2 * factor("lb", "mass") / factor("ft", "length")


def rope_mass_per_length(diameter: float) -> float:
    """kg/m of three-strand nylon rope of a diameter [m]: the mean kg/m to diameter squared of the table `ropes`."""
    diameter = positive(diameter, "diameter of the rope", "m", 0.06, "anchor rope is 10 to 20 mm; given in mm?")
    rows = [row for row in reference_table("ropes") if row["rope"] == "nylon three-strand"]
    each = [figure(row, "mass_kg_m") / (figure(row, "diameter_mm") * 1e-3) ** 2 for row in rows]
    return sum(each) / len(each) * diameter**2
