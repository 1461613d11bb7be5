"""LCG, LCB, LCF and the neutral point of trim, as the load grows: where added weight sinks her without trimming her.

B stands under G, not under F: F is the middle of the waterplane, about which she trims. The neutral point of trim is
read off the exact response: the place on the centreline, at the height of G, where a small weight changes no trim. It
lies near LCF; heights and the lean of the water part them a little. Boat frame, SI.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.by_hand.change import Afloat, afloat
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.many import float_added
from hullcalc.errors import HullcalcError
from hullcalc.floating.state import FloatState

SHARES = np.linspace(0.0, 1.0, 21)


def neutral_point_of_trim(state: FloatState) -> float:
    """x [m] on the centreline, at the height of G, where a small weight added changes no trim."""
    response = state.response([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0]])
    mass, along, _, up = response[..., 1, :].T - response[..., 0, :].T  # of the slope, for mass, mx, my, mz
    return float(-(mass + up * state.cg[2]) / along)


def centres_table(boat: Boat, plan: AnyPlan) -> pd.DataFrame:
    """A row a condition that floats upright, the lightest first: kg, LCG, LCB, LCF, neutral point, trim."""
    rows = []
    for condition in boat.conditions:
        try:
            state = afloat(boat, plan, condition).state
        except HullcalcError:  # sinks or lolls: `float` tells of it
            continue
        rows.append(
            {
                "condition": condition,
                "mass_kg": float(state.mass),
                "lcg_m": float(state.cg[0]),
                "lcb_m": float(state.buoyancy[0]),
                "lcf_m": float(state.flotation[0]),
                "neutral_x_m": neutral_point_of_trim(state),
                "trim_deg": float(state.trim),
            }
        )
    return pd.DataFrame(rows).sort_values("mass_kg", kind="stable").reset_index(drop=True)


@dataclass(frozen=True, eq=False)
class Drift:
    """How the centres move as the load of one condition is brought aboard, share by share."""

    start: Afloat
    end: Afloat
    table: pd.DataFrame  # share, mass_kg, lcg_m, lcb_m, lcf_m, trim_deg


def drift(start: Afloat, end: Afloat) -> Drift:
    """From one condition to another of one plan: the difference of the two moment sums added share by share."""
    load = np.append(end.items.mass - start.items.mass, end.items.moment - start.items.moment)
    states = float_added(start.loading, SHARES[:, None] * load).states
    table = pd.DataFrame(
        {
            "share": SHARES,
            "mass_kg": states.mass,
            "lcg_m": states.cg[:, 0],
            "lcb_m": states.buoyancy[:, 0],
            "lcf_m": states.flotation[:, 0],
            "trim_deg": states.trim,
        }
    )
    return Drift(start, end, table)
