"""Written sums for people: each line with its figures and units put in. `system` is "metric" or "us".

Sums keep to metres and feet, so that the arithmetic comes out as written; only small lengths are in millimetres or
inches. No bare sign: a figure below zero is "minus". The last digit is there for the reader who reckons after; it says
nothing of how well a figure is known.
"""

from __future__ import annotations

import numpy as np

from analysis.studies.by_hand.sums import Figure, Line
from hullcalc.units import factor, say_length_mm

POUND, FOOT, INCH = factor("lb", "mass"), factor("ft", "length"), factor("in", "length")

# kind -> for either system: SI in one unit shown, the unit, decimals
SHOWN = {
    "mass": {"metric": (1.0, " kg", 1), "us": (POUND, " lb", 0)},
    "length": {"metric": (1.0, " m", 3), "us": (FOOT, " ft", 3)},
    "small": {"metric": (0.001, " mm", 1), "us": (INCH, " in", 2)},
    "moment": {"metric": (1.0, " kg m", 1), "us": (POUND * FOOT, " lb ft", 0)},
    "angle": {"metric": (np.radians(1), "°", 2), "us": (np.radians(1), "°", 2)},
    "area": {"metric": (1.0, " m²", 3), "us": (FOOT**2, " ft²", 2)},
    "volume": {"metric": (1.0, " m³", 3), "us": (FOOT**3, " ft³", 2)},
    "fourth": {"metric": (1.0, " m⁴", 4), "us": (FOOT**4, " ft⁴", 2)},
    "density": {"metric": (1.0, " kg/m³", 0), "us": (POUND / FOOT**3, " lb/ft³", 1)},
    "per length": {"metric": (1000.0, " kg/mm", 2), "us": (POUND / INCH, " lb/in", 0)},
    "trim moment": {"metric": (100.0, " kg m/cm", 1), "us": (POUND * FOOT / INCH, " lb ft/in", 0)},
    "number": {"metric": (1.0, "", 5), "us": (1.0, "", 5)},
}


def say_figure(figure: Figure, system: str = "metric") -> str:
    """A figure with its unit: "1612.0 kg", "minus 47.1 mm"."""
    per, unit, decimals = SHOWN[figure.kind][system]
    said = f"{abs(figure.value) / per:.{decimals}f}"
    below = figure.value < 0 and float(said) != 0
    return f"{'minus ' if below else ''}{said}{unit}"


def say_line(line: Line, system: str = "metric") -> str:
    """A line of a sum: "TPC = 1025 kg/m³ × 9.272 m² = 9.50 kg/mm"."""
    result = say_figure(line.figure, system)
    if not line.how:
        return f"{line.what}: {result}"
    put_in = []
    for place, figure in enumerate(line.of):
        said = say_figure(figure, system)
        raised = f"{{{place}}}³" in line.how or f"{{{place}}}²" in line.how
        put_in.append(f"({said})" if said.startswith("minus") or raised else said)
    return f"{line.what} = {line.how.format(*put_in)} = {result}"


def say_error(metres: float, system: str = "metric") -> str:
    """The error of a height said by hand: "10 mm too deep", "3 mm too high", "right"."""
    said = say_length_mm(abs(metres), system)
    if said[:2] == "0 ":
        return "right"
    return f"{said} too {'high' if metres > 0 else 'deep'}"


def say_excess(figure: Figure, system: str = "metric") -> str:
    """How much a hand's figure is more or less than the exact one: "6.5 mm too much", "0.03° too little", "right"."""
    said = say_figure(Figure(abs(figure.value), figure.kind), system)
    if not any(digit in said for digit in "123456789"):
        return "right"
    return f"{said} too {'much' if figure.value > 0 else 'little'}"
