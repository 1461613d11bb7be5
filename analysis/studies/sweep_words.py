"""A sweep in the reader's words: its finding, its limits, and values of knobs; `system` is "metric" or "us"."""

from __future__ import annotations

import numpy as np

from analysis.studies.sweeps import Sweep
from analysis.studies.watching import say_watched
from hullcalc.boats.knobs import Knob
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.boats.marks import KINDS
from hullcalc.units import factor, say_height, say_length_mm, say_mass, say_position, say_volume

SHOWN = {
    "metric": {"length": "m", "volume": "L", "fraction": "%", "mass": "kg"},
    "us": {"length": "ft", "volume": "US gal", "fraction": "%", "mass": "lb"},
}
FITS = 0.002  # m outside the hull: within what a tape tells, a tank still fits


def shown_unit(knob: Knob, system: str) -> tuple[float, str]:
    """SI value of the unit a knob is shown in, and the unit."""
    unit = SHOWN[system][knob.quantity]
    return factor(unit, knob.quantity), unit


def knob_name(knob: Knob) -> str:
    """A knob's name beside figures whose unit stands with them: "volume of fuel tank new" of its litres or gallons."""
    return knob.label.replace("litres of", "volume of", 1)


def say_value(knob: Knob, value: float, system: str) -> str:
    """A value of a knob with its unit: "2.60 m", "416 L", "95 %", "8 ft 6 3/8 in"."""
    if knob.quantity == "length":
        figure = say_position(abs(float(value)), "x", system).removesuffix(" forward of the transom")
        figure = "0" if figure == "at the transom" else figure
        return f"{figure} aft" if value < 0 and figure != "0" else figure
    if knob.quantity == "fraction":
        return f"{round(100 * float(value))} %"
    return say_mass(float(value), system) if knob.quantity == "mass" else say_volume(float(value), system)


def say_set(knob: Knob, value: float, system: str) -> str:
    """A knob at a value, in words: "fuel tank new at 2.60 m", "fuel tank new of 416 L", "setback 0.76 m"."""
    said, name = say_value(knob, value, system), knob.label
    for begins, joint in (("place of ", " at "), ("litres of ", " of "), ("fill of ", " ")):
        if name.startswith(begins):
            return f"{name.removeprefix(begins)}{joint}{said}"
    return f"{said} {name.removeprefix('weight ')}" if name.startswith("weight at ") else f"{name} {said}"


def least_name(swept: Sweep) -> str:
    """What the figures are of: "lowest sole mark", or the one mark watched."""
    if len(swept.watched) == 1:
        return swept.watched[0]
    said = say_watched(swept.watched, swept.loading.marks)
    return f"lowest {said} mark" if said in KINDS else "lowest mark"


def fitting(swept: Sweep) -> np.ndarray:
    """States that are done, float, and whose tanks fit the hull (n,)."""
    return np.isfinite(swept.least_mm) & (swept.swept.outside <= FITS)


def sweep_finding(swept: Sweep, now_mm: float, system: str = "metric") -> str:
    """The finding without a full stop: where she is, the best and the worst of what was tried."""
    fit = np.flatnonzero(fitting(swept))
    about = f"{swept.plan}, {swept.condition}"
    if not len(fit):
        none = (
            "nothing was floated"
            if not swept.done
            else "no state of those done both floats and has tanks that fit the hull"
        )
        return f"{about}: {none}"
    least = swept.least_mm
    best, worst = (int(fit[pick(least[fit])]) for pick in (np.argmax, np.argmin))
    now = say_height(now_mm / 1000, system)
    said = f"{about}: {least_name(swept)} {now} as she is"
    ends = [f"{say_height(least[i] / 1000, system)} at {say_state(swept, i, system)}" for i in (best, worst)]
    if say_height(least[best] / 1000, system) == say_height(least[worst] / 1000, system):
        return f"{said}; the same all over what was tried"
    return f"{said}; at best {ends[0]}, at worst {ends[1]}"


def say_state(swept: Sweep, row: int, system: str) -> str:
    """The knobs of one state: "fuel tank new at 2.60 m, fuel tank new of 416 L"."""
    pairs = zip(swept.knobs, swept.values[row], strict=True)
    return ", ".join(say_set(knob, value, system) for knob, value in pairs)


def say_turn(knob: Knob, step: float, mm: float, system: str) -> str:
    """What a small turn buys: "place of fuel tank new, 0.1 m more: 3 mm up"."""
    if not np.isfinite(mm):
        return f"{knob_name(knob)}: cannot be turned both ways from here"
    figure = say_length_mm(abs(mm) / 1000, system)
    way = "no change" if figure[:2] == "0 " else f"{figure} {'up' if mm > 0 else 'deeper'}"
    more = "farther forward" if knob.label.startswith("place of") else "more"
    return f"{knob_name(knob)}, {say_value(knob, step, system)} {more}: {way}"


def sweep_caution(swept: Sweep) -> str:
    """What the figures leave out."""
    said = ["Openings shut in every state, whatever is under water."]
    if any(knob.quantity == "volume" for knob in swept.knobs):
        said.append("A tank's litres change its length; its shell weighs what the ledger says.")
    if any(knob.label == "setback" for knob in swept.knobs):
        said.append("The bracket is drawn out between transom and engine; its end keeps its shape.")
    said += STANDING_CARE
    return " ".join([*said, "Invented boat."] if swept.boat.invented else said)
