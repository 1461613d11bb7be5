"""On a box most hand sums are exact: each study against the closed form of its own.

Sources: box formulas of C. B. Barrass and D. R. Derrett, Ship Stability for Masters and Mates (BM = B² / (12 T), TPC,
MCT, free surface l b³ / 12, wall-sided arm; from memory) and the derivations beside each check.
"""

from __future__ import annotations

import numpy as np
import pytest
from hand_box import BREADTH, DEPTH, DRAUGHT, LENGTH, MASS, RHO, VCG
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from analysis.studies.by_hand.centres import neutral_point_of_trim
from analysis.studies.by_hand.change import Afloat, afloat, change_by_hand
from analysis.studies.by_hand.heeling import heeling, shift_person
from analysis.studies.by_hand.metacentre import wet_space
from analysis.studies.by_hand.parting import parting
from analysis.studies.by_hand.surface import free_surfaces
from analysis.studies.by_hand.tape import tape_slips
from analysis.studies.by_hand.water import other_water
from analysis.studies.by_hand.weights import moment_sum
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import Space
from hullcalc.geometry.makers import box

AREA = LENGTH * BREADTH


@pytest.fixture(scope="module")
def found(box_boat):
    return afloat(box_boat, "as found", "light")


def test_parallel_sinkage_is_exact(box_boat):
    change = change_by_hand(box_boat, "loaded", "light")
    assert change.sums[0]["TPC"] == pytest.approx(RHO * AREA, rel=1e-12)
    assert change.sums[0]["sinkage at the LCF"] == pytest.approx(205 / (RHO * AREA), rel=1e-9)
    assert change.worst_mm < 1e-6
    assert abs(change.table["table_error_mm"]).max() < 1e-6


def test_trim_by_mct_and_the_exact_trim_of_a_box(box_boat):
    # By hand: moment about the LCF over W GM_L, both of the boat before. Exactly, on one axis: with the slope s of the
    # water, x of B from the middle is s L² / (12 T) and its height T / 2 + s² L² / (24 T); G lies on the normal
    # through B, so x_G = s (BM_L + z_B - z_G).
    change = change_by_hand(box_boat, "forward", "light")
    gm_l = LENGTH**2 / (12 * DRAUGHT) + DRAUGHT / 2 - VCG
    slope = 123 * 2.0 / (MASS * gm_l)
    assert change.sums[0]["MCT, over LWL"] == pytest.approx(MASS * gm_l / LENGTH, rel=1e-9)
    assert change.from_before.trim == pytest.approx(-np.degrees(np.arctan(slope)), rel=1e-9)
    draught = (MASS + 123) / (RHO * AREA)
    bm, x_g = LENGTH**2 / (12 * draught), 123 * 2.0 / (MASS + 123)
    exact = brentq(lambda s: s * (bm + draught / 2 + bm * s**2 / 2 - VCG) - x_g, 0, 0.1, xtol=1e-15)
    assert change.exact.trim == pytest.approx(-np.degrees(np.arctan(exact)), rel=1e-8)
    # The table of the new displacement sees T and BM_L of the boat after; what it misses is the term in s².
    by_table = x_g / (bm + draught / 2 - VCG)
    assert change.from_table.trim == pytest.approx(-np.degrees(np.arctan(by_table)), rel=1e-8)
    assert abs(change.from_table.trim - change.exact.trim) < abs(change.from_before.trim - change.exact.trim)


def test_list_by_gm(box_boat):
    change = change_by_hand(box_boat, "aside", "light")
    gm = BREADTH**2 / (12 * DRAUGHT) + DRAUGHT / 2 - VCG
    assert np.tan(np.radians(change.from_before.heel)) == pytest.approx(82 * 0.75 / (MASS * gm), rel=1e-9)
    assert change.exact.heel > 0  # starboard down, as the batteries are on that side


def test_the_error_of_the_hand_grows_as_the_square_of_the_change(box_boat):
    # The hand is the tangent where she lies level, so halving the share quarters the error.
    one = parting(change_by_hand(box_boat, "forward", "light"), np.array([0.0, 0.01, 0.02, 0.04]))
    assert_allclose(one.error[2:] / one.error[1:3], 4.0, rtol=0.05)
    assert one.share_within(1.0) is None
    share = one.share_within(float(one.error[2]))
    assert share == pytest.approx(0.02, abs=1e-9)


def test_wall_sides_are_exact_to_the_bottom_corner(found):
    # Exact while tan(heel) < draught / half-breadth, 26.6 degrees here: the freeboard is greater.
    one = heeling(found, at=25.0)
    within = one.table[one.table["heel_deg"] <= 25]
    assert_allclose(within["wall_sided_m"], within["exact_m"], rtol=0, atol=1e-9)
    beyond = one.table[one.table["heel_deg"] >= 30]
    assert (abs(beyond["wall_sided_m"] - beyond["exact_m"]) > 1e-3).all()
    assert one.bm == pytest.approx(BREADTH**2 / (12 * DRAUGHT), rel=1e-9)
    assert one.gm == pytest.approx(one.bm + DRAUGHT / 2 - VCG, rel=1e-9)
    # The scupper is 0.3 m above and 0.9 m out: under from tan(heel) = 1/3 on, 18.4 degrees; 20 is looked at next.
    assert one.first_under == ("scupper", 20.0)
    assert one.sum["error of the hand"] == pytest.approx(0.0, abs=1e-9)


def test_one_person_across(found):
    # GG1 over GM; exactly tan(heel) (GM + BM tan²(heel) / 2) = GG1 for wall sides.
    one = shift_person(found)
    gm, bm = BREADTH**2 / (12 * DRAUGHT) + DRAUGHT / 2 - VCG, BREADTH**2 / (12 * DRAUGHT)
    shifted = 85 / MASS
    assert np.tan(np.radians(one.by_hand)) == pytest.approx(shifted / gm, rel=1e-9)
    exact = brentq(lambda t: t * (gm + bm * t**2 / 2) - shifted, 0, 0.2, xtol=1e-15)
    assert np.tan(np.radians(one.exact)) == pytest.approx(exact, rel=1e-7)


def test_free_surface_of_a_box_tank(box_boat):
    # Half full: the surface is whole until tan(heel) = 2 x 0.13 / 0.6 both at the top and at the bottom, 23.4 degrees.
    # The moment of the liquid that runs aside: m (y cos(heel) + (z - h/2) sin(heel)) with y = b² tan / (12 h) and
    # z = h/2 + b² tan² / (24 h), the shift of the centroid of a wall-sided liquid.
    one = afloat(box_boat, "as found", "half")
    (tank,) = free_surfaces(one).tanks
    length, breadth, depth = 1.2, 0.6, 0.13
    inertia, mass = length * breadth**3 / 12, 740 * length * breadth * depth
    assert tank.by_hand == pytest.approx(740 * inertia / (MASS + mass), rel=1e-9)
    assert tank.exact == pytest.approx(tank.by_hand, rel=1e-9)
    assert tank.sum["inertia l b³ / 12"] == pytest.approx(inertia, rel=1e-9)
    limit = np.degrees(np.arctan(2 * depth / breadth))
    assert tank.touches_top == pytest.approx(limit, abs=1e-3)  # read off a chord half a degree long
    assert tank.bares_bottom == pytest.approx(limit, abs=1e-3)
    row = tank.curve[tank.curve["heel_deg"] == 10].iloc[0]
    t = np.tan(np.radians(10))
    y, rise = breadth**2 * t / (12 * depth), breadth**2 * t**2 / (24 * depth)
    assert row["exact_kgm"] == pytest.approx(
        mass * (y * np.cos(np.radians(10)) + rise * np.sin(np.radians(10))), rel=1e-9
    )
    assert row["by_hand_kgm"] == pytest.approx(740 * inertia * np.sin(np.radians(10)), rel=1e-9)


def test_a_wet_well_by_both_methods(found):
    # Lost buoyancy: 12 T - 2.4 (T - 0.3) = 6. The well is 2.0 x 1.2 m, its floor 0.3 m up, amidships.
    well, floor, volume = 2.0 * 1.2, 0.3, LENGTH * BREADTH * DRAUGHT
    draught = (volume - well * floor) / (AREA - well)
    inertia, lost = LENGTH * BREADTH**3 / 12, 2.0 * 1.2**3 / 12
    water = RHO * well * (draught - floor)
    one = wet_space(found, ["well"])
    assert float(one.state.offset) == pytest.approx(draught, rel=1e-9)
    assert one.water == pytest.approx(water, rel=1e-9)
    kb = (AREA * draught**2 - well * (draught**2 - floor**2)) / 2 / volume
    assert one.lost.gm == pytest.approx(kb + (inertia - lost) / volume - VCG, rel=1e-9)
    total = MASS + water
    kg = (MASS * VCG + water * (draught + floor) / 2) / total
    assert one.added.gm == pytest.approx(draught / 2 + inertia / (AREA * draught) - kg - RHO * lost / total, rel=1e-9)
    assert one.lost.righting_per_degree == pytest.approx(one.added.righting_per_degree, rel=1e-12)
    assert one.lost.gm > one.added.gm
    assert one.added.communication == pytest.approx(0.0, abs=1e-12)
    assert one.dry.gm == pytest.approx(BREADTH**2 / (12 * DRAUGHT) + DRAUGHT / 2 - VCG, rel=1e-9)


def test_a_wing_compartment_lets_water_in_and_out_as_she_heels():
    # Box 12 x 4 m at 1.0 m draught, KG 1.2 m; a compartment 3 m long amidships, 1 m in from the port side, open to the
    # sea. Derived from the box (depths integrated over the plan that is left) and found by a clipping solver as well:
    # level at the middle z0 = 1.0854548 m, slope 0.187881, port side down by 10.640742 degrees.
    hull = box((0, 12), (-2, 2), (0, 3))
    loading = Loading(
        mass=RHO * 48, cg=np.array([6.0, 0.0, 1.2]), density=RHO, solids={"hull": hull}, tanks=(),
        spaces={"wing": Space("wing", box((4.5, 7.5), (1, 2), (0, 3)))}, held_open=(), tight_tanks=(), tight_inside={},
        marks={},
    )  # fmt: skip
    one = wet_space(Afloat(None, "box", "light", loading, float_loading(loading), None), ["wing"])
    assert one.heel == pytest.approx(-10.640742, abs=1e-5)
    assert one.added.communication > 0.1  # far off the centreline: without it the two would not agree
    assert one.added.righting_per_degree == pytest.approx(one.lost.righting_per_degree, rel=1e-9)


def test_other_water_is_exact_for_wall_sides(found):
    one = other_water(found)
    assert one.density == 1000
    assert_allclose(one.table["by_hand_mm"], 1000 * DRAUGHT * (RHO / 1000 - 1), rtol=1e-9)
    assert_allclose(one.table["exact_mm"], one.table["by_hand_mm"], rtol=1e-8)


def test_slips_of_the_tape_on_a_box(found):
    # Half-breadths 10 mm wider: the same volume at T B / (B + 0.02). Chine 10 mm up: a flat V takes L B 0.01 / 2 away.
    slips = tape_slips(found).table.set_index("slip")
    # The bottom is measured at the chine alone; the side leans in from there to a sheer that is not moved.
    risen = slips.loc["chine heights +10 mm"]
    assert_allclose(risen[["aft_mm", "forward_mm"]].astype(float), 5.0, rtol=1e-6)
    volume = AREA * DRAUGHT
    # Side lines from half-breadth 1.01 at the bottom to 1.00 at the sheer: breadth falls by 0.02 z / depth.
    wider = brentq(lambda d: LENGTH * (2.02 * d - 0.01 * d**2 / DEPTH) - volume, 0.3, 0.6, xtol=1e-15)
    assert float(slips.loc["chine half-breadths +10 mm", "aft_mm"]) == pytest.approx(1000 * (wider - DRAUGHT), rel=1e-6)


def test_the_neutral_point_of_a_level_box_is_its_lcf(found):
    assert neutral_point_of_trim(found.state) == pytest.approx(LENGTH / 2, abs=1e-9)


def test_the_moment_sum_of_a_box(box_boat):
    one = moment_sum(box_boat, "forward", "half")
    liquid = 740 * 1.2 * 0.6 * 0.13
    assert one.mass == pytest.approx(MASS + 123 + liquid, rel=1e-12)
    assert one.moment[0] == pytest.approx(MASS * 3 + 123 * 5 + liquid * 3, rel=1e-12)
    assert one.cg[2] == pytest.approx((MASS * VCG + 123 * 0.5 + liquid * 0.085) / one.mass, rel=1e-12)
    assert [row for row in one.table["item"]] == ["boat as found, as weighed", "anchor", "liquid in tank", "total"]
