"""Where does added weight leave a mark where it is? The neutral point of each mark, and what 10 kg elsewhere do to it.

Read off the exact response of the floated state: a weight w at (x, y, z) changes the height of a mark by
w (a + b x + c y + d z). On the centreline, at the height of the boat's centre of gravity, that is nothing at the
neutral point x = -(a + d z) / b. Weight put forward of the neutral point of a stern mark lifts it. Small weights only:
a heavy one moves the point, so float again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

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
    neutral = _neutral(response, z)
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


def neutral_over_loads(
    boat: Boat, plan: AnyPlan, conditions: Iterable[AnyCondition], marks: Sequence[str]
) -> pd.DataFrame:
    """How neutral points wander as she is loaded: one row a condition, spaces shut, the lightest first.

    Columns condition, mass_kg, lcf_m (centre of the waterplane), trim_m (where added weight leaves her trim as it is:
    she sinks parallel) and one a mark of `marks` (nan where the plan has none such); places in x on the centreline, at
    the height of the centre of gravity [m]. A weight straight over the waterplane's centre turns her only by what
    height and heel take part in.
    """
    rows = []
    for condition in conditions:
        case = float_case(boat, plan, condition)
        state, z = case.shut, float(case.shut.cg[2])
        ends = state.response(np.array([(0.0, 0.0, 0.0), (1.0, 0.0, 0.0)]))
        row = {
            "condition": case.condition,
            "mass_kg": float(state.mass),
            "lcf_m": float(state.flotation[0]),
            "trim_m": _neutral(ends[1] - ends[0], z),
        }
        for name in marks:
            row[name] = _neutral(state.response(case.marks[name].point), z) if name in case.marks else np.nan
        rows.append(row)
    return pd.DataFrame(rows).sort_values("mass_kg", kind="stable").reset_index(drop=True)


def _neutral(response: np.ndarray, z: float) -> np.ndarray:
    """Where on the centreline, at height z, a weight changes nothing [m]: response (..., 4) to mass and moments."""
    return -(response[..., 0] + z * response[..., 3]) / response[..., 1]


def default_places(boat: Boat) -> dict[str, float]:
    """The transom, the middle of the hull and a place well forward, by x [m] rounded to the decimetre."""
    length = float(boat.hull.solid.vertices[:, 0].max())
    return {"at the transom": 0.0, "amidships": round(length / 2, 1), "well forward": round(0.85 * length, 1)}
