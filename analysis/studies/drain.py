"""Which way does water run on the sole, where does it stand, and what does water that cannot leave do?

The sole is a plane (`hullcalc.boats.sole`), looked at in the attitude she floats in with spaces shut. Water leaves it
at the lowest drain, and never below the level of the sea outside: what lies lower than both stands. Water that cannot
leave lies level in the cockpit and goes where she leans: it is floated as the liquid of a tank of the cockpit's shape,
from which nothing is taken off for what stands on the sole. Heights in mm, negative under the sea.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from analysis.studies.floats import NOT_WATCHED, Case, float_case
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.many import float_added
from hullcalc.boats.sole import Sole, sole_of
from hullcalc.errors import InputError, require
from hullcalc.floating.tanks import Tank

RAIN = 1000.0  # kg/m³
STEPS = (0.0, 0.05, 0.1, 0.2, 0.4)  # m³ on the sole
MOST = 0.6  # m³ tried when looking for what brings a corner to the sea
TRIED = 49
LEVEL = 5e-4  # m/m: less fall than this is none; half a millimetre on a metre
WATER = "water on the sole"
LEAST_DECK = 0.255  # m; 46 CFR 178.420(b): deck of a cockpit over the deepest load waterline, exposed waters
DECK_YARDSTICK = (
    "A yardstick, and no rule for a private boat: 46 CFR 178.420(b) wants the cockpit deck of an inspected passenger "
    "boat 255 mm above the deepest load waterline on exposed or partially protected waters."
)


@dataclass(frozen=True, eq=False)
class Drainage:
    """Rain on the sole of one case. Slopes are rises of the sole per metre [m/m]: forward, and to port."""

    case: Case
    sole: Sole
    rise_forward: float
    rise_port: float
    lowest: str  # the corner the water runs to
    drain: str  # where it leaves, the drain with the lowest outlet; "" where there is none
    level: float | None  # m above the sea: water lower than this stands; None without a drain
    table: pd.DataFrame  # corner, x_m, y_m, height_mm, depth_mm of standing water

    @property
    def steepest(self) -> float:
        """Fall along the line that water takes [m/m]."""
        return float(np.hypot(self.rise_forward, self.rise_port))

    @property
    def forward(self) -> bool:
        """Does the water run forward, away from drains at the stern?"""
        return bool(self.rise_forward < -LEVEL)

    @property
    def standing(self) -> float | None:
        """Volume of the water that stays [m³]; None where no cockpit was drawn or there is no drain."""
        if self.sole.space is None or self.level is None:
            return None
        normal, offset = self.case.shut.plane
        return float(self.sole.space.solid.cut(normal, offset + self.level).volume)

    @property
    def words(self) -> str:
        """Which way water runs: "aft and to starboard"."""
        ways = []
        if abs(self.rise_forward) >= LEVEL:
            ways.append("aft" if self.rise_forward > 0 else "forward")
        if abs(self.rise_port) >= LEVEL:
            ways.append("to starboard" if self.rise_port > 0 else "to port")
        return " and ".join(ways) or "nowhere: the sole is level"


def sole_drainage(boat: Boat, plan: AnyPlan, condition: AnyCondition) -> Drainage:
    """Rain on the sole of a plan in a condition; InputError without a sole, NoEquilibriumError where she sinks."""
    case, sole = float_case(boat, plan, condition), sole_of(boat, plan)
    state = case.shut
    rise_forward, rise_port = sole.slopes(state.normal)
    heights = {name: float(state.height_above_water(point)) for name, point in sole.corners.items()}
    outlets = {name: max(float(state.height_above_water(point)), 0.0) for name, point in sole.drains.items()}
    lowest = min(heights, key=lambda name: heights[name])
    at = sole.corners[lowest]
    drain = min(outlets, key=lambda n: (round(outlets[n], 6), float(np.hypot(*(sole.drains[n] - at)[:2]))), default="")
    level = outlets[drain] if drain else None
    rows = [
        {
            "corner": name,
            "x_m": float(sole.corners[name][0]),
            "y_m": float(sole.corners[name][1]),
            "height_mm": 1000 * height,
            "depth_mm": np.nan if level is None else 1000 * max(0.0, level - height),
        }
        for name, height in heights.items()
    ]
    return Drainage(case, sole, rise_forward, rise_port, lowest, drain, level, pd.DataFrame(rows))


@dataclass(frozen=True, eq=False)
class OnTheSole:
    """Water that cannot leave: `table` has a row a volume, `under_at` the volume that brings a sole mark to the sea."""

    condition: str
    marks: tuple[str, ...]  # of the sole, or all watched marks where there are none of it
    table: pd.DataFrame
    under_at: Mapping[str, float]  # mark -> m³; 0 where it is under without any, nan where `MOST` is not enough


def water_on_sole(
    boat: Boat, plan: AnyPlan, condition: AnyCondition, volumes: Sequence[float] = STEPS, density: float = RAIN
) -> OnTheSole:
    """Float her with water lying level in her cockpit, spaces shut.

    Parameters
    ----------
    volumes : sequence of float
        Water on the sole [m³].
    density : float
        Of that water [kg/m³]; rain unless said.

    Returns
    -------
    OnTheSole
        `table` columns: litres, kg, trim_deg, heel_deg, gm_m (all liquids free), gm_lost_mm (what this water's free
        surface alone takes off), lower_mm (how much lower the lowest mark is than without), one column mark each [mm].

    Raises
    ------
    InputError
        If no cockpit was drawn, a volume is negative or more than it holds, or she does not stay upright with it.
    """
    loading, sole = boat.loading(plan, condition), sole_of(boat, plan)
    if sole.space is None:
        raise InputError(
            f"{boat.name}: no cockpit is drawn in this plan, so water on its sole cannot be floated; write its "
            "corners in spaces.csv, with the scuppers among its openings"
        )
    asked = np.atleast_1d(np.asarray(volumes, dtype=float))
    holds = sole.space.solid.volume
    fits = (asked >= 0) & (asked <= holds)
    require(
        fits, "water", 1000 * asked, "L", f"is not from 0 to the {1000 * holds:.0f} L of the cockpit", "ask for less"
    )
    watched = [name for name, mark in loading.marks.items() if mark.kind not in NOT_WATCHED]
    marks = tuple(name for name in watched if loading.marks[name].kind == "sole") or tuple(watched)
    if not marks:
        raise InputError(f"{boat.name}: this plan has no mark to watch; write the corners of the sole in marks.csv")
    wet = replace(loading, tanks=(*loading.tanks, Tank(WATER, sole.space.solid, density=density, fill=0.0)))
    tried = np.concatenate([asked, np.linspace(0.0, min(MOST, holds), TRIED)])
    floats = float_added(wet, np.zeros((len(tried), 4)), {WATER: tried / holds})
    states, heights = floats.states, 1000 * floats.heights(marks)
    bad = np.flatnonzero(states.status[: len(asked)] != "floats")
    if len(bad):
        raise InputError(
            f"with {1000 * asked[bad[0]]:.0f} L on the sole she no longer floats upright; try less, and ask a "
            "naval architect"
        )
    n = len(asked)
    water = states.liquids[-1]
    load = np.column_stack([water.mass[:n], water.mass[:n, None] * np.nan_to_num(water.centre[:n])])
    fixed = float_added(loading, load).states  # the same water, frozen where it lies
    dry = heights[n]
    lowest = int(np.argmin(dry))
    table = pd.DataFrame(
        {
            "litres": 1000 * asked,
            "kg": water.mass[:n],
            "trim_deg": states.trim[:n],
            "heel_deg": states.heel[:n],
            "gm_m": states.gm_transverse[:n],
            "gm_lost_mm": 1000 * (fixed.gm_transverse - states.gm_transverse[:n]),
            "lower_mm": dry[lowest] - heights[:n].min(axis=1),
        }
        | {name: heights[:n, i] for i, name in enumerate(marks)}
    )
    under = {name: _first_under(tried[n:], heights[n:, i]) for i, name in enumerate(marks)}
    return OnTheSole(boat.condition(condition).name, marks, table, under)


def _first_under(volumes: np.ndarray, heights: np.ndarray) -> float:
    """The volume at which a mark reaches the sea, by a straight line between the floats about it."""
    under = np.flatnonzero(heights < 0)
    if not len(under):
        return float("nan")
    k = int(under[0])
    if k == 0:
        return 0.0
    above, below = heights[k - 1], heights[k]
    return float(volumes[k - 1] + (volumes[k] - volumes[k - 1]) * above / (above - below))
