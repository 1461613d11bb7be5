"""Where does added weight leave a mark where it is? The neutral point of each mark, and what 10 kg elsewhere do to it.

Read off the exact response of the floated state: a weight w at (x, y, z) changes the height of a mark by
w (a + b x + c y + d z). On the centreline, at the height of the boat's centre of gravity, that is nothing at the
neutral point x = -(a + d z) / b. Weight put forward of the neutral point of a stern mark lifts it. Small weights only:
a heavy one moves the point, so float again.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd

from analysis.studies.floats import float_case
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat


def neutral_points(
    boat: Boat,
    plan: AnyPlan,
    condition: AnyCondition = "light",
    places: Mapping[str, float] | None = None,
    opened: bool = False,
) -> pd.DataFrame:
    """One row a mark: its neutral point and how far weights move it (mm, positive up).

    Parameters
    ----------
    places
        Names and x [m] of places on the centreline where 10 kg are tried; default the transom, amidships and forward.
    opened
        True for the state at rest with spaces open to the sea where an opening is under; False: all spaces shut.

    Returns
    -------
    DataFrame with columns mark, kind, height_mm, neutral_x_m (on the centreline at the height of the CG),
    inside_boat (False: the point lies beyond her ends, weight anywhere aboard moves this mark one way),
    mm_per_100_kgm_forward, mm_per_100_kgm_to_port, and one column `mm_per_10_kg ` + place for each place.
    """
    case = float_case(boat, plan, condition)
    state = case.state if opened else case.shut
    places = default_places(boat) if places is None else places
    names = list(case.marks)
    points = np.array([case.marks[n].point for n in names], dtype=float).reshape(-1, 3)
    response = state.response(points)
    z = float(state.cg[2])
    heights = case.heights if opened else case.heights_shut
    neutral = -(response[:, 0] + z * response[:, 3]) / response[:, 1]
    ends = np.vstack([solid.vertices for solid in boat.solids_in(plan).values()])[:, 0]
    table = {
        "mark": names,
        "kind": [case.marks[n].kind for n in names],
        "height_mm": [1000 * heights[n] for n in names],
        "neutral_x_m": neutral,
        "inside_boat": (neutral >= ends.min()) & (neutral <= ends.max()),
        "mm_per_100_kgm_forward": 1e5 * response[:, 1],
        "mm_per_100_kgm_to_port": 1e5 * response[:, 2],
    }
    for place, x in places.items():
        table[f"mm_per_10_kg {place}"] = 1e4 * (response[:, 0] + x * response[:, 1] + z * response[:, 3])
    return pd.DataFrame(table)


def default_places(boat: Boat) -> dict[str, float]:
    """The transom, the middle of the hull and a place well forward, by x [m] rounded to the decimetre."""
    length = float(boat.hull.solid.vertices[:, 0].max())
    return {"at the transom": 0.0, "amidships": round(length / 2, 1), "well forward": round(0.85 * length, 1)}
