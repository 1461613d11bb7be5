"""Hydrostatic table over draughts at a named mark, and righting arms as far as the first opening under water.

Both are of one plan in one condition, spaces shut but those held open. The table is at the trim she floats at, upright;
its MCT is by GM_L with her VCG. Righting arms have trim free and liquids moving; past the first opening under water
there is none to tell, and `valid` says where that is. Boat frame, SI; heels in degrees to starboard.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from analysis.studies.floats import end_marks
from analysis.studies.plans import name_of
from analysis.studies.words import capital, the_plan
from hullcalc.boats.afloat import bodies_open, float_loading
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.rounds import Loading
from hullcalc.errors import InputError
from hullcalc.floating.hydrostatics import HydrostaticTable, hydrostatic_table
from hullcalc.floating.righting import RightingCurve, righting_curve
from hullcalc.floating.state import FloatState
from hullcalc.geometry.solid import Solid
from hullcalc.units import say_heel

STEP = 0.02  # m between the draughts of the table
EITHER_WAY = 6  # rows lighter and deeper than she floats
HEELS = np.array([0.0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60])


@dataclass(frozen=True, eq=False)
class Curves:
    """One boat in one plan and condition."""

    boat: Boat
    plan: str
    condition: str
    mark: str  # whose draught is meant; "transom" where she has no draught mark
    draught: float  # at it as she floats [m]
    state: FloatState
    hydrostatics: HydrostaticTable
    righting: RightingCurve

    @property
    def table(self) -> pd.DataFrame:
        """A row a draught; SI but TPC in kg/mm and MCT in kg m/cm."""
        rows = self.hydrostatics
        names = {"lcb_m": rows.lcb, "lcf_m": rows.lcf, "kb_m": rows.kb, "km_m": rows.km_transverse}
        return pd.DataFrame(
            {"draught_m": rows.draught, "displacement_kg": rows.displacement}
            | names
            | {"tpc_kg_per_mm": rows.kg_per_mm, "mct_kgm_per_cm": rows.mct, "lwl_m": rows.lwl, "bwl_m": rows.bwl}
        )

    @property
    def arms(self) -> pd.DataFrame:
        """A row a heel: righting arm, trim, the lowest opening and whether the arm is valid there."""
        curve = self.righting
        frame: dict[str, Any] = {
            "heel_deg": curve.heels,
            "gz_m": curve.gz,
            "trim_deg": curve.trims,
            "valid": self.valid,
        }
        if curve.heights:
            heights = np.array(list(curve.heights.values()))
            lowest = np.argmin(heights, axis=0)
            frame["lowest_opening"] = [list(curve.heights)[k] for k in lowest]
            frame["opening_m"] = heights.min(axis=0)
        return pd.DataFrame(frame)

    @property
    def valid(self) -> np.ndarray:
        """Where no opening is under water on the way from rest to that heel (n,)."""
        curve = self.righting
        good = np.ones(len(curve.heels), dtype=bool)
        for side, outward in ((curve.starboard, 1.0), (curve.port, -1.0)):
            if side is not None and side.downflooding is not None:
                good &= ~(outward * curve.heels >= outward * side.downflooding)
        return good


def curves(boat: Boat, plan: AnyPlan, condition: AnyCondition, mark: str | None = None) -> Curves:
    """Hydrostatic table and righting arms.

    Raises
    ------
    InputError
        For a mark that is not there, or a boat that rests on her side or over.
    NoEquilibriumError
        If she sinks.
    """
    loading = boat.loading(plan, condition)
    name, said = name_of(boat, plan), boat.condition(condition).name
    where, point = _mark(loading, mark)
    state = float_loading(loading, shut=True)
    if state.status == "capsizes":
        raise InputError(f"{name}, {said}: she comes to rest with the deck over 60° from level; no curves to tell")
    bodies, flooded = bodies_open(loading, loading.held_open)
    normal = np.array([np.sin(np.radians(state.trim)), 0.0, np.cos(np.radians(state.trim))])
    volume = _upright_draught(bodies, flooded, normal, float(state.mass) / loading.density, point)
    rows = hydrostatic_table(
        bodies, _draughts(bodies, normal, point, volume), trim=float(state.trim), density=loading.density,
        flooded=flooded, at=point, vcg=float(state.cg[2]),
    )  # fmt: skip
    righting = righting_curve(
        bodies, loading.mass, loading.cg, np.concatenate([-HEELS[:0:-1], HEELS]), loading.density, loading.tanks,
        flooded, {opening: loading.marks[opening].point for opening in loading.openings},
    )  # fmt: skip
    return Curves(boat, name, said, where, -float(state.height_above_water(point)), state, rows, righting)


def _mark(loading: Loading, mark: str | None) -> tuple[str, np.ndarray]:
    draught_marks = [n for n, m in loading.marks.items() if m.kind == "draught"]
    if mark is not None and mark not in loading.marks:
        known = ", ".join(draught_marks) or "none of kind draught; write one in marks.csv"
        raise InputError(f"no mark is called {mark!r} in this plan; draught marks: {known}")
    name = mark or end_marks(loading.marks, "draught")[0]
    return (name, loading.marks[name].point) if name is not None else ("transom", np.zeros(3))


def _upright_draught(
    bodies: Sequence[Solid], flooded: Sequence[Solid], normal: np.ndarray, volume: float, point: np.ndarray
) -> float:
    """The draught at the mark, upright at the trim she has, at which she displaces her volume [m]."""
    from scipy.optimize import brentq  # here, as importing it takes a while

    heights = np.concatenate([solid.vertices @ normal for solid in bodies])

    def over(offset: float) -> float:
        whole = sum(s.cut(normal, offset).volume for s in bodies) - sum(s.cut(normal, offset).volume for s in flooded)
        return whole - volume

    return float(brentq(over, heights.min(), heights.max(), xtol=1e-10) - normal @ point)


def _draughts(bodies: Sequence[Solid], normal: np.ndarray, point: np.ndarray, floats_at: float) -> np.ndarray:
    """Whole centimetres about the draught she floats at, those at which the bodies meet the water."""
    heights = np.concatenate([solid.vertices @ normal for solid in bodies]) - normal @ point
    middle = STEP * round(floats_at / STEP)
    draughts = middle + STEP * np.arange(-EITHER_WAY, EITHER_WAY + 1)
    met = (draughts > heights.min() + STEP) & (draughts < heights.max() - STEP)
    return np.asarray(draughts[met])


def curves_finding(curves: Curves) -> str:
    """How far the righting arms hold, without a full stop."""
    sides = [s for s in (curves.righting.starboard, curves.righting.port) if s is not None]
    under = [s for s in sides if s.downflooding is not None]
    name = f"{capital(the_plan(curves.plan))}, {curves.condition}"
    if not under:
        return f"{name}: no opening goes under to {say_heel(max(abs(s.valid_to) for s in sides))}"
    first = min(under, key=lambda s: abs(float(s.downflooding or 0.0) - s.rest))
    if first.downflooding == first.rest:
        return f"{name}: {first.first_under} is under water where she rests, so no righting arm holds"
    until = say_heel(float(first.downflooding or 0.0))
    return f"{name}: righting arms hold to {until}, where {first.first_under} goes under"
