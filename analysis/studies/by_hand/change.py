"""A change by hand and exactly: sinkage by TPC, trim by MCT, list by GM, beside the float after it.

Two hand methods, as textbooks give them:
- *from the boat before*: displacement, LCF, TPC, MCT and GM of the floated boat before the change. The weights are
  taken about her LCF; a body that comes with the change counts as a weight taken off, what of it lies under her water.
- *from the table*: hydrostatics of the boat as she will be, at her new displacement and the trim she had; trim by the
  lever of G from B over GM_L, list by TCG over GM.
Both put liquids where they lie upright. Heights are along the water's normal, all spaces shut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.by_hand.liquids import upright_liquid
from analysis.studies.by_hand.sums import Sum, Writer
from analysis.studies.by_hand.weights import MomentSum, moment_sum, require_upright
from analysis.studies.floats import end_marks
from analysis.studies.plans import AS_FOUND, name_of
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.rounds import Loading
from hullcalc.errors import InputError, NoEquilibriumError
from hullcalc.floating.by_hand import HandChange, HandFigures, hand_figures
from hullcalc.floating.hydrostatics import hydrostatic_table
from hullcalc.floating.state import FloatState
from hullcalc.floating.waterline import waterline_extent
from hullcalc.geometry.solid import Solid

FORWARD_SHARE = 0.75  # of the hull's length: where "forward" is read on a boat without two draught marks


@dataclass(frozen=True, eq=False)
class Afloat:
    """A boat in one plan and condition, spaces shut: how she floats, and the moment sum a hand would write."""

    boat: Boat
    plan: str
    condition: str
    loading: Loading
    state: FloatState
    items: MomentSum  # liquids upright


def afloat(boat: Boat, plan: AnyPlan, condition: AnyCondition) -> Afloat:
    """Float her with every space shut; raises InputError where she does not rest upright, NoEquilibriumError."""
    loading = boat.loading(plan, condition)
    name, said = name_of(boat, plan), boat.condition(condition).name
    state = boat.float(plan, condition, shut=True)
    require_upright(state, f"{name}, {said}")
    return Afloat(boat, name, said, loading, state, moment_sum(boat, plan, condition))


def end_points(boat: Boat, loading: Loading) -> dict[str, np.ndarray]:
    """The two points that draughts are read at: the end draught marks, or the transom and a point well forward."""
    aft, forward = end_marks(loading.marks, "draught")
    if aft is not None and forward is not None:
        return {aft: loading.marks[aft].point, forward: loading.marks[forward].point}
    length = float(np.ptp(boat.hull.solid.vertices[:, 0]))
    return {"transom": np.zeros(3), "well forward": np.array([round(FORWARD_SHARE * length, 1), 0.0, 0.0])}


@dataclass(frozen=True, eq=False)
class Reckoned:
    """What one method says of the boat after a change: slopes as angles [deg] and heights of points [m]."""

    trim: float
    heel: float
    heights: Mapping[str, float]


@dataclass(frozen=True, eq=False)
class ChangeByHand:
    """One change: from `before` to `after`, by hand and exactly; `sums` open each number of the hand methods."""

    before: Afloat
    after: Afloat
    mass: float  # added [kg], bodies not counted
    moment: np.ndarray  # (3,) [kg m]
    lifts: Mapping[str, tuple[float, np.ndarray]]  # bodies that came: lift [kg] under the water before, and its centre
    from_before: Reckoned
    from_table: Reckoned
    exact: Reckoned
    sums: tuple[Sum, ...]

    @property
    def table(self) -> pd.DataFrame:
        """A row a point: height before, after by hand both ways and exactly [mm], and the errors of the hand [mm]."""
        rows = []
        for name, point in _points(self.after).items():
            was = float(self.before.state.height_above_water(point))
            exact = self.exact.heights[name]
            by_hand, by_table = self.from_before.heights[name], self.from_table.heights[name]
            rows.append(
                {"point": name, "before_mm": 1000 * was, "by_hand_mm": 1000 * by_hand, "by_table_mm": 1000 * by_table}
                | {"exact_mm": 1000 * exact, "hand_error_mm": 1000 * (by_hand - exact)}
                | {"table_error_mm": 1000 * (by_table - exact)}
            )
        return pd.DataFrame(rows)

    @property
    def worst_mm(self) -> float:
        """The greatest error of the first hand method at any point [mm], without sign."""
        return float(self.table["hand_error_mm"].abs().max())


def change_by_hand(boat: Boat, plan: AnyPlan, condition: AnyCondition, start: AnyPlan = AS_FOUND) -> ChangeByHand:
    """From plan `start` to `plan` in one condition.

    Raises InputError where she does not rest upright before or after, NoEquilibriumError where she sinks.
    """
    return compare(afloat(boat, start, condition), afloat(boat, plan, condition))


def compare(before: Afloat, after: Afloat) -> ChangeByHand:
    """The change between two floats of one boat."""
    mass, moment = after.items.mass - before.items.mass, after.items.moment - before.items.moment
    lifts = _lifts(before, after)
    figures = hand_figures(before.state)
    total = mass - sum(lift for lift, _ in lifts.values())
    about = moment - sum((lift * centre for lift, centre in lifts.values()), start=np.zeros(3))
    by_hand, first = _hand_sum(before, figures, total, about, mass, lifts)
    by_table, second = _table_sum(before, after)
    points = _points(after)
    exact = {name: float(after.state.height_above_water(point)) for name, point in points.items()}
    slope, across = before.state.normal[:2] / before.state.normal[2]
    hand = Reckoned(
        float(np.degrees(np.arctan(slope + by_hand.bow_up))),
        float(np.degrees(np.arctan(across + by_hand.starboard_down))),
        {n: float(before.state.height_above_water(p) + by_hand.rise(p)) for n, p in points.items()},
    )
    return ChangeByHand(
        before, after, mass, moment, lifts, hand, by_table,
        Reckoned(float(after.state.trim), float(after.state.heel), exact), (first, second),
    )  # fmt: skip


def _points(after: Afloat) -> dict[str, np.ndarray]:
    return end_points(after.boat, after.loading) | {name: mark.point for name, mark in after.loading.marks.items()}


def _lifts(before: Afloat, after: Afloat) -> dict[str, tuple[float, np.ndarray]]:
    """Of the bodies that come with the change: the lift [kg] of what lies under the water before, and its centre."""
    came = {n: s for n, s in after.loading.solids.items() if before.loading.solids.get(n) is not s}
    went = {n: s for n, s in before.loading.solids.items() if after.loading.solids.get(n) is not s}
    found = {}
    for sign, bodies in ((1.0, came), (-1.0, went)):
        for name, solid in bodies.items():
            cut = solid.cut(*before.state.plane)
            if cut.volume > 0:
                label = name if sign > 0 else f"{name}, gone"
                found[label] = (sign * before.loading.density * cut.volume, np.asarray(cut.centroid))
    return found


def _hand_sum(
    before: Afloat, figures: HandFigures, mass: float, moment: np.ndarray, items: float,
    lifts: Mapping[str, tuple[float, np.ndarray]],
) -> tuple[HandChange, Sum]:  # fmt: skip
    """The first method, written out."""
    state, change = before.state, figures.change(mass, moment)
    write = Writer(f"By hand from {before.plan}: TPC, MCT and GM of the boat before")
    weight = write.given("weight of the change", items, "mass")
    for name, (lift, _) in lifts.items():
        off = write.given(f"lift of {name} under her water", lift, "mass")
        weight = write.line(f"weight less lift of {name}", weight.value - lift, "mass", "{0} − {1}", weight, off)
    along = write.given("its moment along her, about the transom", float(moment[0]), "moment")
    across = write.given("its moment across her, to port", float(moment[1]), "moment")
    density = write.given("density of the water", float(state.density), "density")
    area = write.given("waterplane area before", float(state.waterplane_area), "area")
    tpc = write.line("TPC", figures.tpc, "per length", "{0} × {1}", density, area)
    write.line("sinkage at the LCF", change.sinkage, "small", "{0} / {1}", weight, tpc)
    lcf, tcf = write.given("LCF before", figures.lcf, "length"), write.given("TCF before", figures.tcf, "length")
    about = write.line(
        "moment about the LCF, bow down", float(moment[0]) - mass * figures.lcf, "moment", "{0} − {1} × {2}",
        along, weight, lcf,
    )  # fmt: skip
    was = write.given("displacement before", figures.mass, "mass")
    gm_l = write.given("GM_L before", figures.gm_longitudinal, "length")
    length = write.given("LWL before", _lwl(before), "length")
    mct = write.line("MCT, over LWL", figures.mass * figures.gm_longitudinal / length.value, "trim moment",
                     "{0} × {1} / {2}", was, gm_l, length)  # fmt: skip
    trim = write.line("trim over LWL, by the bow", about.value / mct.value, "small", "{0} / {1}", about, mct)
    write.line("change of trim, bow up", np.arctan(change.bow_up), "angle", "−atan({0} / {1})", trim, length)
    side = write.line("moment about the TCF, to port", float(moment[1]) - mass * figures.tcf, "moment",
                      "{0} − {1} × {2}", across, weight, tcf)  # fmt: skip
    gm = write.given("GM before, liquids free", figures.gm_transverse, "length")
    write.line("change of heel, to starboard", np.arctan(change.starboard_down), "angle", "−atan({0} / ({1} × {2}))",
               side, was, gm)  # fmt: skip
    return change, write.done("Right for a light change; the figures are those of the boat before it.")


def _lwl(one: Afloat) -> float:
    return waterline_extent(list(one.loading.solids.values()), *one.state.plane).length


def _table_sum(before: Afloat, after: Afloat) -> tuple[Reckoned, Sum]:
    """The second method, written out: hydrostatics at the new displacement, at the trim she had, upright."""
    bodies = list(after.loading.solids.values())
    mass, (lcg, tcg, vcg) = after.items.mass, after.items.cg
    trim, density = float(before.state.trim), after.loading.density
    draught = draught_of(bodies, mass, trim, density)
    row = hydrostatic_table(bodies, [draught], trim=trim, density=density)
    lean = np.radians(trim)
    write = Writer(f"By the table of {after.plan}: hydrostatics at her new displacement and the trim she had")
    displaced = write.given("displacement after", mass, "mass")
    had = write.given("trim she had, bow up", lean, "angle")
    write.given("draught at the transom, from the table", draught, "length")
    g_x, b_x = write.given("LCG after", lcg, "length"), write.given("LCB, from the table", float(row.lcb[0]), "length")
    g_z, b_z = write.given("VCG after", vcg, "length"), write.given("KB, from the table", float(row.kb[0]), "length")
    lever = np.cos(lean) * (lcg - row.lcb[0]) - np.sin(lean) * (vcg - row.kb[0])
    level = write.line("G forward of B, level", lever, "small", "cos({0}) × ({1} − {2}) − sin({0}) × ({3} − {4})",
                       had, g_x, b_x, g_z, b_z)  # fmt: skip
    bm_l = write.given("BM_L, from the table", float(row.bm_longitudinal[0]), "length")
    over = np.cos(lean) * (vcg - row.kb[0]) + np.sin(lean) * (lcg - row.lcb[0])
    up = write.line("G over B, square to the water", over, "length", "cos({0}) × ({1} − {2}) + sin({0}) × ({3} − {4})",
                    had, g_z, b_z, g_x, b_x)  # fmt: skip
    gm_l = write.line("GM_L", bm_l.value - over, "length", "{0} − {1}", bm_l, up)
    turned = write.line(
        "change of trim, bow up", -np.arctan(lever / gm_l.value), "angle", "−atan({0} / {1})", level, gm_l
    )
    t_cg = write.given("TCG after, to port", tcg, "length")
    bm = write.given("BM, from the table", float(row.bm_transverse[0]), "length")
    slack = write.given("taken off for free surfaces", _free_surface(after, displaced.value), "length")
    gm = write.line("GM", bm.value - over - slack.value, "length", "{0} − {1} − {2}", bm, up, slack)
    if not (gm.value > 0 and gm_l.value > 0):
        raise InputError(
            f"{after.plan}, {after.condition}: the table gives GM {gm.value:.2f} m and GM_L {gm_l.value:.2f} m, and a "
            "hand sum needs both positive; choose another plan or condition"
        )
    heel = write.line("heel, to starboard", -np.arctan(tcg / gm.value), "angle", "−atan({0} / {1})", t_cg, gm)
    normal = np.array([np.sin(lean), 0.0, np.cos(lean)])
    change = HandChange(0.0, np.tan(turned.value), np.tan(heel.value), float(row.lcf[0]), float(row.tcf[0]))
    at = {n: float(normal @ p - draught + change.rise(p)) for n, p in _points(after).items()}
    reckoned = Reckoned(float(np.degrees(lean + turned.value)), float(np.degrees(heel.value)), at)
    return reckoned, write.done("Sees how much she sinks, but not how the waterplane changes as she trims.")


def _free_surface(after: Afloat, mass: float) -> float:
    """ρ i / W of the slack tanks, their surfaces as they lie upright [m]."""
    return sum(tank.density * upright_liquid(tank).second_moment for tank in after.loading.tanks) / mass


def draught_of(bodies: Sequence[Solid], mass: float, trim: float, density: float) -> float:
    """The draught at the origin [m] at which the bodies displace `mass`, at a fixed trim [deg], upright."""
    from scipy.optimize import brentq  # here, as importing it takes a while

    lean = np.radians(trim)
    normal = np.array([np.sin(lean), 0.0, np.cos(lean)])
    heights = np.concatenate([solid.vertices @ normal for solid in bodies])
    if mass >= density * sum(solid.volume for solid in bodies):
        raise NoEquilibriumError(
            f"{mass:.0f} kg is more than the bodies can carry; take weight off",
            mass - density * sum(solid.volume for solid in bodies),
        )

    def over(offset: float) -> float:
        return density * sum(solid.cut(normal, offset).volume for solid in bodies) - mass

    return float(brentq(over, heights.min(), heights.max(), xtol=1e-12))
