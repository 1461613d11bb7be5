"""SI figures in people's words: whole millimetres, kilograms and litres, or eighths of an inch, pounds and gallons.

A direction is always a word, never a bare sign, and nothing is ever "-0". `system` is "metric" or "us".
"""

from __future__ import annotations

import numpy as np

from hullcalc.errors import require
from hullcalc.units.names import factor


def say_length_mm(length: float, system: str = "metric") -> str:
    """A length [m] in whole millimetres, or in inches and eighths: "347 mm", "13 5/8 in"; "minus 3 mm" if negative."""
    figure, negative = _small_length(length, system)
    return f"minus {figure}" if negative else figure


def say_height(height: float, system: str = "metric") -> str:
    """A height above the water [m]: "12 mm above", "76 mm under", "2 5/8 in above", "at the water"."""
    figure, negative = _small_length(height, system)
    if figure[:2] == "0 ":
        return "at the water"
    return f"{figure} {'under' if negative else 'above'}"


def say_heel(heel_deg: float) -> str:
    """A heel [deg, positive to starboard] to a tenth: "1.1° to starboard", "0.9° to port", "upright"."""
    return _say_angle(heel_deg, "to starboard", "to port", "upright")


def say_trim(trim_deg: float) -> str:
    """A trim of the keel run [deg, positive bow up] to a tenth: "1.3° bow up", "0.4° bow down", "level"."""
    return _say_angle(trim_deg, "bow up", "bow down", "level")


def say_mass(mass: float, system: str = "metric") -> str:
    """A mass [kg] in whole kilograms or pounds."""
    return _whole(mass, "mass", {"metric": "kg", "us": "lb"}[system])


def say_volume(volume: float, system: str = "metric") -> str:
    """A volume [m3] in whole litres or US gallons."""
    return _whole(volume, "volume", {"metric": "L", "us": "US gal"}[system])


def say_position(coordinate: float, axis: str, system: str = "metric") -> str:
    """A coordinate [m] in boat axes: "0.55 m aft of the transom", "0.35 m to starboard", "0.60 m above the keel line".

    The transom is met where its lower end meets the keel, the origin of the boat frame.
    """
    positive, negative, zero = {
        "x": ("forward of the transom", "aft of the transom", "at the transom"),
        "y": ("to port", "to starboard", "on the centreline"),
        "z": ("above the keel line", "below the keel line", "on the keel line"),
    }[axis]
    _finite(coordinate)
    if system == "us":
        eighths = round(abs(coordinate) / factor("in", "length") * 8)
        figure = _feet_and_inches(eighths)
        nothing = eighths == 0
    else:
        figure, nothing = f"{abs(coordinate):.2f} m", round(abs(coordinate), 2) == 0
    return zero if nothing else f"{figure} {positive if coordinate > 0 else negative}"


def say_in(value: float, kind: str, unit: str) -> str:
    """An SI value in the unit a person used, to four significant figures: "2680 kg", "472 lb", "95 %"."""
    _finite(value)
    number = np.format_float_positional(value / factor(unit, kind), 4, unique=False, fractional=False, trim="-")
    return f"{'0' if number == '-0' else number} {unit}".rstrip()


def _finite(value: float) -> None:
    require(np.isfinite(value), "figure to be said", value, "", "must be a finite number", "what made it so?")


def _small_length(length: float, system: str) -> tuple[str, bool]:
    """(figure with unit, whether negative) in whole millimetres or inches and eighths."""
    _finite(length)
    if system == "us":
        eighths = round(abs(length) / factor("in", "length") * 8)
        return f"{_mixed_inches(eighths)} in", length < 0 and eighths > 0
    millimetres = round(abs(length) * 1000)
    return f"{millimetres} mm", length < 0 and millimetres > 0


def _mixed_inches(eighths: int) -> str:
    whole, part = divmod(eighths, 8)
    fraction = {0: "", 2: "1/4", 4: "1/2", 6: "3/4"}.get(part, f"{part}/8")
    return " ".join(text for text in (str(whole) if whole or not part else "", fraction) if text)


def _feet_and_inches(eighths: int) -> str:
    feet, rest = divmod(eighths, 96)
    return " ".join(
        text for text in (f"{feet} ft" if feet else "", f"{_mixed_inches(rest)} in" if rest or not feet else "") if text
    )


def _say_angle(angle_deg: float, positive: str, negative: str, zero: str) -> str:
    _finite(angle_deg)
    figure = f"{abs(angle_deg):.1f}"
    return zero if figure == "0.0" else f"{figure}° {positive if angle_deg > 0 else negative}"


def _whole(value: float, kind: str, unit: str) -> str:
    _finite(value)
    figure = round(abs(value) / factor(unit, kind))
    return f"{'minus ' if value < 0 and figure else ''}{figure} {unit}"
