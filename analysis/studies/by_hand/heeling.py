"""Heel by hand and exactly: GM sin, the wall-sided formula and the exact righting arm; the list when a weight shifts.

The hand's figures are those of the boat held upright in her plan and condition: GM with liquids free, BM, TCG. Exact
arms have trim free and liquids moving. A weight off the centreline takes TCG cos(heel) from the arm to its own side;
the hand's arms have that too, so that only the shape of the hull parts them. Boat frame, SI; heels in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.by_hand.change import Afloat
from analysis.studies.by_hand.sums import Sum, Writer
from hullcalc.boats.many import float_added
from hullcalc.errors import InputError, require
from hullcalc.floating import small_angle
from hullcalc.floating.equilibrium import hold_heel
from hullcalc.floating.hydrostatics import hydrostatic_table
from hullcalc.units import say_heel

HEELS = np.array([0.0, 1, 2, 3, 5, 7, 10, 15, 20, 25, 30, 35, 40])
PERSON, STEP = 85.0, 1.0  # kg and m: one adult who steps to the side
APART = 0.05  # share of the exact arm by which a formula must be off to be called apart


@dataclass(frozen=True, eq=False)
class Heeling:
    """Righting arms three ways; `table` has a row a heel, arms in m, and the height of the first opening."""

    one: Afloat
    gm: float  # upright, liquids free [m]
    bm: float
    tcg: float  # liquids upright [m], to port
    table: pd.DataFrame
    first_under: tuple[str, float] | None  # opening and heel [deg] within the heels looked at; None if none goes under
    small_good_to: float  # last heel looked at up to which GM sin stays within 5 % of the exact arm
    wall_good_to: float
    sum: Sum  # at one heel

    @property
    def reading(self) -> str:
        return (
            f"GM sin(heel) is within 5 % to {say_heel(self.small_good_to)}, the wall-sided formula to "
            f"{say_heel(self.wall_good_to)}: a hard chine leaves the water and takes its breadth with it."
        )


def heeling(one: Afloat, at: float = 20.0) -> Heeling:
    """Righting arms at `HEELS`, and the wall-sided sum written out at the heel `at` [deg].

    Raises InputError where `at` is not over 0 and under 90, or GM upright is not positive.
    """
    require(0 < at < 90, "heel", at, "deg", "must be over 0 and under 90", "20 is a good one to look at")
    loading = one.loading
    heels = np.unique(np.append(HEELS, at))
    bodies = list(loading.solids.values())
    held, moment = hold_heel(bodies, loading.mass, loading.cg, heels, loading.density, loading.tanks)
    if np.any(held.status != "floats"):
        worst = float(heels[np.argmax(held.status != "floats")])
        raise InputError(f"{one.plan}, {one.condition}: held at {say_heel(worst)} she sinks; choose another condition")
    exact = moment / held.mass
    gm, mass = float(held.gm_transverse[0]), float(held.mass[0])
    require(gm > 0, "GM upright", gm, "m", "must be positive", "with GM zero or less she lolls: float her instead")
    row = hydrostatic_table(bodies, [float(held.offset[0])], trim=float(held.trim[0]), density=loading.density)
    bm, tcg = float(row.bm_transverse[0]), float(held.cg[0, 1])
    angle = np.radians(heels)
    off = tcg * np.cos(angle)
    table = pd.DataFrame(
        {
            "heel_deg": heels,
            "small_angle_m": small_angle.small_angle_gz(gm, angle) + off,
            "wall_sided_m": small_angle.wall_sided_gz(gm, bm, angle) + off,
            "exact_m": exact,
            "trim_deg": held.trim,
        }
    )
    openings = {name: held.height_above_water(loading.marks[name].point) for name in loading.openings}
    return Heeling(
        one, gm, bm, tcg, table, _first_under(heels, openings), _good_to(table, "small_angle_m"),
        _good_to(table, "wall_sided_m"), _wall_sum(gm, bm, tcg, mass, at, table),
    )  # fmt: skip


def _first_under(heels: np.ndarray, openings: dict[str, np.ndarray]) -> tuple[str, float] | None:
    first: tuple[str, float] | None = None
    for name, height in openings.items():
        under = np.flatnonzero(height < 0)
        if len(under) and (first is None or heels[under[0]] < first[1]):
            first = (name, float(heels[under[0]]))
    return first


def _good_to(table: pd.DataFrame, column: str) -> float:
    """The last heel up to which the formula's arm, without the offset of G, stays near the exact one."""
    start = table["exact_m"].iloc[0]
    lift = (table["exact_m"] - start * np.cos(np.radians(table["heel_deg"]))).to_numpy()
    off = np.abs((table[column] - table["exact_m"]).to_numpy()) > APART * np.abs(lift)
    off[0] = False
    heels = table["heel_deg"].to_numpy()
    return float(heels[-1] if not off.any() else heels[max(int(np.argmax(off)) - 1, 0)])


def _wall_sum(gm: float, bm: float, tcg: float, mass: float, at: float, table: pd.DataFrame) -> Sum:
    write = Writer(f"Wall-sided righting arm at {say_heel(at)}")
    angle = np.radians(at)
    heel = write.given("heel", angle, "angle")
    g, b = write.given("GM upright, liquids free", gm, "length"), write.given("BM upright", bm, "length")
    off = write.given("TCG, to port", tcg, "length")
    first = write.line("GM sin(heel)", gm * np.sin(angle), "length", "{0} × sin({1})", g, heel)
    more = write.line("½ BM tan²(heel) sin(heel)", 0.5 * bm * np.tan(angle) ** 2 * np.sin(angle), "length",
                      "{0} / 2 × tan({1})² × sin({1})", b, heel)  # fmt: skip
    aside = write.line("for G off the centreline", tcg * np.cos(angle), "length", "{0} × cos({1})", off, heel)
    arm = write.line("righting arm by hand", first.value + more.value + aside.value, "length", "{0} + {1} + {2}",
                     first, more, aside)  # fmt: skip
    weight = write.given("displacement", mass, "mass")
    write.line("righting moment by hand", arm.value * mass, "moment", "{0} × {1}", arm, weight)
    exact = float(table.loc[table["heel_deg"] == at, "exact_m"].iloc[0])
    true = write.given("righting arm, exact", exact, "length")
    write.line("error of the hand", arm.value - exact, "small", "{0} − {1}", arm, true)
    return write.done("Exact while the sides stand vertical at the water; a flared, hard-chined boat's do not.")


@dataclass(frozen=True, eq=False)
class Shifted:
    """One person steps to starboard: heel by GM and exactly [deg], and how far the marks fall or rise by it [mm]."""

    mass: float
    distance: float
    by_hand: float  # change of heel [deg]
    exact: float
    table: pd.DataFrame  # mark, by_hand_mm, exact_mm, error_mm
    sum: Sum


def shift_person(one: Afloat, mass: float = PERSON, distance: float = STEP) -> Shifted:
    """A weight aboard shifted to starboard by `distance` [m]: GG₁ over GM, beside a new float.

    Raises InputError where mass or distance is not positive, or GM is not.
    """
    for name, value, unit in (("mass", mass, "kg"), ("distance", distance, "m")):
        require(value > 0, name, value, unit, "must be positive", "85 kg and 1 m are one adult's step")
    state = one.state
    gm, displacement = float(state.gm_transverse), float(state.mass)
    write = Writer("A weight shifted across, to starboard")
    moved, far = write.given("mass shifted", mass, "mass"), write.given("how far", distance, "length")
    whole = write.given("displacement", displacement, "mass")
    gg1 = write.line("GG₁", float(small_angle.shift_of_g(mass, distance, displacement)), "small", "{0} × {1} / {2}",
                     moved, far, whole)  # fmt: skip
    height = write.given("GM, liquids free", gm, "length")
    turned = float(small_angle.small_angle_list(gm, gg1.value))
    write.line("list", turned, "angle", "atan({0} / {1})", gg1, height)
    after = float_added(one.loading, [[0.0, 0.0, -mass * distance, 0.0]])
    exact = float(after.states.heel[0] - state.heel)
    names = list(one.loading.marks)
    points = np.array([one.loading.marks[n].point for n in names], dtype=float).reshape(-1, 3)
    by_hand = np.tan(turned) * (points[:, 1] - float(state.flotation[1]))
    true = after.heights()[0] - state.height_above_water(points)
    table = pd.DataFrame(
        {"mark": names, "by_hand_mm": 1000 * by_hand, "exact_mm": 1000 * true, "error_mm": 1000 * (by_hand - true)}
    )
    return Shifted(
        mass, distance, float(np.degrees(turned)), exact, table,
        write.done("The list is GG₁ over GM; a mark falls by its distance from the middle times tan(list)."),
    )  # fmt: skip
