"""One load condition opened: who and what is aboard and where, how the trim is told, and what other water would do.

Figures are with every space shut that the condition does not hold open. Boat frame; heights in mm, trim positive bow
up, angles in degrees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.floats import Case, end_marks, least_mark
from hullcalc.boats.boat import Boat
from hullcalc.boats.many import float_added
from hullcalc.floating.state import FloatState
from hullcalc.weights.items import combine, remove

BOAT, ABOARD, LIQUID = "boat", "aboard", "liquid"
# kg/m3: fresh water at 15 C (ITTC 7.5-02-01-03, from memory, gives 999.1), half salt, sea (common practice, no source)
WATERS = {"fresh": 1000.0, "brackish": 1012.0, "sea": 1025.0}
FORWARD = 0.75  # of the way from the transom to the stem: where the forward figure is given


def what_is_aboard(case: Case) -> pd.DataFrame:
    """The boat in her plan, each person and store, and the liquid of each tank where it lies.

    Columns what, kind, mass_kg, x_m, y_m, z_m, mx_kg_m, my_kg_m, fill (of a tank). Masses and moments add up to the
    weight she floats at, spaces shut.
    """
    boat, said, plan = case.boat, case.boat.condition(case.condition), case.packages
    there = boat.ledger.apply(plan)[1]
    taken = [there[name].item for name in boat.taken_off(plan, said) if name in there]
    light = combine([boat.weight(plan), *map(remove, taken)], BOAT)
    rows = [_line("the boat, nobody aboard", BOAT, float(light.mass), light.centre)]
    rows += [_line(item.name, ABOARD, float(item.mass), item.centre) for item in boat.carried_in(said, plan)]
    rows += [
        _line(liquid.name, LIQUID, float(liquid.mass), liquid.centre) | {"fill": float(liquid.fill)}
        for liquid in case.shut.liquids
        if liquid.mass > 0
    ]
    return pd.DataFrame(rows)


def _line(what: str, kind: str, mass: float, centre: np.ndarray) -> dict[str, object]:
    x, y, z = (float(c) for c in centre)
    return {
        "what": what, "kind": kind, "mass_kg": mass, "x_m": x, "y_m": y, "z_m": z, "mx_kg_m": mass * x,
        "my_kg_m": mass * y, "fill": np.nan,
    }  # fmt: skip


@dataclass(frozen=True)
class Trims:
    """The four things people call trim; None where the boat's folder does not give what it is read from."""

    keel_run: float  # deg, of the straight run of the keel to the water, bow up
    between_marks: float | None  # mm, the after draught less the forward one: by the stern
    draught_marks: tuple[str, str] | None
    by_stripe: float | None  # mm, how much higher above water the stripe is forward than aft
    stripe_marks: tuple[str, str] | None
    looks: float | None  # deg, bow up from the trim at which she looks level to the eye


def trims(case: Case) -> Trims:
    """Trim by its four names, spaces shut."""
    heights = case.heights_shut
    draught, stripe = _ends(case, "draught"), _ends(case, "boot stripe")
    level = case.boat.looks_level
    return Trims(
        float(case.shut.trim),
        1000 * (heights[draught[1]] - heights[draught[0]]) if draught else None,
        draught,
        1000 * (heights[stripe[1]] - heights[stripe[0]]) if stripe else None,
        stripe,
        None if level is None else float(case.shut.trim) - float(np.degrees(level)),
    )


def _ends(case: Case, kind: str) -> tuple[str, str] | None:
    aft, forward = end_marks(case.marks, kind)
    return (aft, forward) if aft is not None and forward is not None else None


def in_other_waters(case: Case, waters: Mapping[str, float] | None = None) -> pd.DataFrame:
    """What fresh, brackish and sea water do to her: columns water, density_kg_m3, stern_mm, forward_mm, least_mm.

    `stern_mm` and `forward_mm` are how much deeper than in the boat's own water [mm], along z at the transom and at
    `FORWARD` of the hull's length; `least_mm` is the height of the mark that is least in her own water. Livewells keep
    the water they are filled with.
    """
    waters = WATERS if waters is None else waters
    loading = case.state.loading
    densities = np.array([loading.density, *waters.values()])
    many = float_added(loading, np.zeros((len(densities), 4)), density=densities)
    forward = forward_place(case.boat)
    water_at = {"stern_mm": _surface(many.states, 0.0), "forward_mm": _surface(many.states, forward)}
    least = least_mark(case)
    heights = many.heights([least])[:, 0] if least else np.full(len(densities), np.nan)
    rows = [
        {"water": name, "density_kg_m3": density}
        | {column: 1000 * (at[i] - at[0]) for column, at in water_at.items()}
        | {"least_mm": 1000 * heights[i]}
        for i, (name, density) in enumerate(waters.items(), start=1)
    ]
    return pd.DataFrame(rows)


def forward_place(boat: Boat) -> float:
    """Where the forward figure is given [m]."""
    return FORWARD * float(boat.hull.solid.bounds[1, 0])


def _surface(states: FloatState, x: float) -> np.ndarray:
    """Height of the water above the x axis at a place on it [m], along z."""
    normal, offset = states.plane
    height: np.ndarray = (offset - normal[..., 0] * x) / normal[..., 2]
    return height
