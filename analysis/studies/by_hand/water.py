"""Fresh water or salt, by hand and exactly; and what a pod lifts: only what of it is under. Boat frame, SI."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from analysis.studies.by_hand.change import Afloat, end_points
from analysis.studies.by_hand.sums import Sum, Writer
from analysis.studies.by_hand.weights import require_upright
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.boat import HULL
from hullcalc.floating.by_hand import density_change, hand_figures

FRESH, SEA = 1000.0, 1025.0  # kg/m³; common practice, no source


@dataclass(frozen=True, eq=False)
class OtherWater:
    """The same boat in other water: how much deeper by hand and exactly."""

    one: Afloat
    density: float  # of the other water [kg/m³]
    table: pd.DataFrame  # point, by_hand_mm, exact_mm, error_mm, positive deeper
    sum: Sum


def other_water(one: Afloat, density: float | None = None) -> OtherWater:
    """Float her in water of another density; fresh unless said, or sea water where she floats in fresh.

    Raises InputError where the density is not positive.
    """
    state, was = one.state, float(one.state.density)
    if density is None:
        density = FRESH if was > (FRESH + SEA) / 2 else SEA
    figures = hand_figures(state)
    change = density_change(figures, float(state.buoyancy[0]), was, density)
    after = require_upright(float_loading(replace(one.loading, density=density), shut=True), "in other water")
    points = end_points(one.boat, one.loading)
    rows = []
    for name, point in points.items():
        by_hand = -float(change.rise(point))
        exact = float(state.height_above_water(point) - after.height_above_water(point))
        rows.append({"point": name, "by_hand_mm": 1000 * by_hand, "exact_mm": 1000 * exact})
    table = pd.DataFrame(rows)
    table["error_mm"] = table["by_hand_mm"] - table["exact_mm"]
    write = Writer("Sinkage in the other water")
    mass = write.given("displacement", figures.mass, "mass")
    old, new = write.given("density before", was, "density"), write.given("density after", density, "density")
    volume = figures.mass / density - figures.mass / was
    more = write.line("more volume", volume, "volume", "{0} / {1} − {0} / {2}", mass, new, old)
    area = write.given("waterplane area", float(state.waterplane_area), "area")
    write.line("sinkage at the LCF", change.sinkage, "small", "{0} / {1}", more, area)
    lcf, lcb = write.given("LCF", figures.lcf, "length"), write.given("LCB", float(state.buoyancy[0]), "length")
    gm_l = write.given("GM_L", figures.gm_longitudinal, "length")
    write.line("change of trim, bow up", np.arctan(change.bow_up), "angle",
               "atan((1 − {0} / {1}) × ({2} − {3}) / {4})", new, old, lcf, lcb, gm_l)  # fmt: skip
    return OtherWater(one, density, table, write.done("Thinner water carries less: she sinks by a layer at the LCF."))


@dataclass(frozen=True, eq=False)
class Lift:
    """A body beside the hull: how much of it is under and what that lifts."""

    name: str
    gross: float  # m³
    immersed: float
    lift: float  # kg
    centre: np.ndarray  # (3,) m of what is under; nan where nothing is
    sum: Sum


def lifts(one: Afloat) -> tuple[Lift, ...]:
    """Each body that floats her beside the hull (a bracket's pod), at the attitude she floats in."""
    found = []
    for name, solid in one.loading.solids.items():
        if name == HULL or name in one.loading.held_open:
            continue
        cut = solid.cut(*one.state.plane)
        write = Writer(f"Lift of {name}")
        gross = write.given("volume of the body", solid.volume, "volume")
        under = write.given("of it under the water she floats in", cut.volume, "volume")
        density = write.given("density of the water", float(one.state.density), "density")
        lift = write.line("lift", cut.volume * density.value, "mass", "{0} × {1}", under, density)
        write.line("in reserve above the water", gross.value - under.value, "volume", "{0} − {1}", gross, under)
        if cut.volume > 0:
            x = write.given("centre of what is under, x", float(cut.centroid[0]), "length")
            lcf = write.given("LCF", float(one.state.flotation[0]), "length")
            arm = x.value - lcf.value
            write.line(
                "moment about the LCF, bow down", -lift.value * arm, "moment", "−{0} × ({1} − {2})", lift, x, lcf
            )
        said = "Only what is under lifts; the rest is reserve."
        found.append(Lift(name, solid.volume, cut.volume, lift.value, np.asarray(cut.centroid), write.done(said)))
    return tuple(found)
