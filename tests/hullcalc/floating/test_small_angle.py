"""The named approximations: each against a closed form, another road or its own limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from hullcalc.errors import InputError
from hullcalc.floating import small_angle as sa


def test_gz_of_a_heeled_box():
    # Exact for a box while tan(heel) < draught / half-beam (26.6 degrees here).
    # Other road: integrate immersed depth across the beam (half-beam 1 m); 3 Gauss points are exact for cubics.
    draught, vcg, heel = 0.5, 0.7, np.radians(np.linspace(-25, 25, 11))
    y, w = np.polynomial.legendre.leggauss(3)  # y to port
    depth = draught - y * np.tan(heel)[:, None]  # heel to starboard
    tcb, vcb = (y * depth) @ w / (depth @ w), (depth**2 / 2) @ w / (depth @ w)
    bm = 1.0**2 / (3 * draught)
    gz = sa.wall_sided_gz(draught / 2 + bm - vcg, bm, heel)
    assert_allclose(gz, (vcb - vcg) * np.sin(heel) - tcb * np.cos(heel), rtol=0, atol=1e-14)  # rounding only
    assert_array_equal(gz, -gz[::-1])  # port mirrors starboard


@given(st.floats(-0.5, -1e-6), st.floats(0.1, 5.0))
def test_a_lolling_boat_has_no_righting_arm_at_her_angle_of_loll_and_a_positive_slope(gm, bm):
    loll = sa.wall_sided_loll(gm, bm)
    assert_allclose(sa.wall_sided_gz(gm, bm, loll), 0.0, atol=1e-14)
    assert_allclose(sa.wall_sided_gm_from_loll(loll, bm), gm, rtol=1e-9)
    # The slope by central differences: error of second order in the step, some 1e-6 of BM tan² here.
    step = 1e-5
    slope = (sa.wall_sided_gz(gm, bm, loll + step) - sa.wall_sided_gz(gm, bm, loll - step)) / (2 * step)
    assert_allclose(sa.wall_sided_gm_at_loll(gm, bm), slope, rtol=1e-4, atol=1e-9)


def test_no_loll_where_gm_is_zero_or_positive():
    assert_array_equal(sa.wall_sided_loll([0.0, 0.3], 1.0), 0.0)


def test_the_wall_sided_range_ends_at_the_lesser_of_freeboard_and_draught():
    assert_allclose(np.degrees(sa.wall_sided_limit(1.0, [0.5, 2.0], [2.0, 1.0])), [26.565051177, 45.0], rtol=1e-10)


@given(st.floats(0.05, 2.0), st.floats(0.1, 3.0), st.floats(-0.02, 0.02))
def test_at_small_heel_both_righting_arms_agree(gm, bm, heel):
    # The next term is BM tan²(heel) / 2 of GM.
    allowed = 0.51 * bm * abs(heel) ** 3 + 1e-16
    assert abs(sa.wall_sided_gz(gm, bm, heel) - sa.small_angle_gz(gm, heel)) <= allowed


@given(
    st.floats(1.0, 100.0),
    st.floats(-3.0, 3.0).filter(lambda d: abs(d) > 1e-3),
    st.floats(500.0, 5000.0),
    st.floats(0.1, 2.0),
)
def test_an_inclining_finds_the_gm_that_made_the_list(moved, distance, mass, gm):
    heel = sa.small_angle_list(gm, sa.shift_of_g(moved, distance, mass))
    assert np.sign(heel) == np.sign(distance)
    assert_allclose(sa.inclining_gm(moved, distance, mass, heel), gm, rtol=1e-12)
    length = 1.5
    assert_allclose(sa.plumb_line_heel(length * np.tan(heel), length), heel, rtol=1e-14)


def test_free_surface_of_cells_against_their_own_sum():
    # n cells of breadth b/n, each about its own axis.
    whole = sa.rectangle_second_moment(15.0, 10.0)
    for n in (1, 2, 3, 7):
        assert_allclose(sa.divided_second_moment(whole, n), n * sa.rectangle_second_moment(15.0, 10.0 / n), rtol=1e-14)


box = {"lcf": 3.0, "tpc": 1025.0 * 12.0, "mct": 4305.0 * 8.2 / 6.0, "length": 6.0}


def test_a_mass_at_the_lcf_sinks_her_evenly_and_a_move_only_trims_her():
    before, at = np.array([0.35, 0.33, 0.31]), np.array([0.0, 3.0, 6.0])
    assert_allclose(sa.draughts_after_loading(before, at, [123.0], [3.0], **box), before + 0.01, rtol=1e-13)
    moved = sa.draughts_after_loading(before, at, [-50.0, 50.0], [1.0, 2.5], **box)
    assert_allclose(moved[1], before[1], rtol=1e-14)
    trim = (moved[2] - moved[0]) - (before[2] - before[0])
    assert_allclose(trim, 50.0 * 1.5 / box["mct"], rtol=1e-12)  # weight went forward: bow deeper
    assert_allclose(sa.draughts_after_loading(moved, at, [50.0, -50.0], [1.0, 2.5], **box), before, rtol=1e-14)


def test_draughts_after_loading_meet_the_box_they_approximate():
    # Closed form of a box of 6 x 2 m, LCF amidships: sinkage m / (rho A) exactly, trim by BM_L + KB - KG. The error of
    # the hand method is of second order: halve the mass and it falls to a quarter.
    length, beam, rho, kg, draught = 6.0, 2.0, 1025.0, 0.30, 0.35

    def error(added, x):
        mass = rho * length * beam * draught
        gm = draught / 2 + length**2 / (12 * draught) - kg
        hand = sa.draughts_after_loading(
            [draught] * 2, [0.0, 6.0], [added], [x], 3.0, sa.tpc(length * beam, rho), sa.mct(mass, gm, length), length
        )
        t = draught + added / (rho * length * beam)
        moment = added * (x - 3.0) / (mass + added)
        slope = moment / (t / 2 + length**2 / (12 * t) - kg)  # slope terms of third order left out: 1e-9 here
        return hand[1] - (t + slope * 3.0)

    assert_allclose(error(20.0, 4.0) / error(10.0, 4.0), 4.0, rtol=0.05)


def test_lost_buoyancy_of_a_box_is_its_volume_regained_by_what_is_left():
    # A box with a full-height compartment of share s of its length: (1 - mu s) T' = T.
    for s, mu in ((0.1, 1.0), (0.3, 0.6), (0.2, 0.0)):
        sinkage = sa.lost_buoyancy_sinkage(s * 100 * 15 * 5.0, 100 * 15.0, s * 100 * 15.0, mu)
        assert_allclose(5.0 + sinkage, 5.0 / (1 - mu * s), rtol=1e-14)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: sa.wall_sided_gz(0.6, 1.1, [0.1, 10.0]), r"heel\[1\] = 10 rad .* np\.radians"),
        (lambda: sa.wall_sided_gz(0.6, 0.0, 0.1), r"bm = 0 m must be positive; check the waterplane"),
        (lambda: sa.wall_sided_gz(np.nan, 1.0, 0.1), r"gm = nan must be a finite number"),
        (lambda: sa.wall_sided_loll(-0.1, -1.0), r"bm = -1 m must be positive"),
        (lambda: sa.wall_sided_gm_at_loll([0.1], 1.0), r"gm\[0\] = 0.1 m must be negative; .*rests upright"),
        (lambda: sa.wall_sided_limit(1.0, -0.1, 1.0), r"freeboard = -0.1 m must be positive"),
        (lambda: sa.small_angle_list(-0.1, 0.01), r"gm = -0.1 m must be positive; .*wall_sided_loll"),
        (lambda: sa.small_angle_gz(0.5, 5.0), r"heel = 5 rad .* np\.radians"),
        (lambda: sa.inclining_gm(10.0, 1.0, 2000.0, 0.0), r"heel = 0 rad must not be zero"),
        (lambda: sa.shift_of_g(10.0, 1.0, 0.0), r"mass = 0 kg must be positive"),
        (lambda: sa.plumb_line_heel(0.1, 0.0), r"length = 0 m must be positive"),
        (lambda: sa.free_surface_correction(1.0, 740.0, [2000.0, -1.0]), r"mass\[1\] = -1 kg"),
        (lambda: sa.divided_second_moment(1.0, 2.5), r"cells = 2.5 must be a whole number"),
        (lambda: sa.tpc(0.0, 1025.0), r"waterplane_area = 0 m²"),
        (lambda: sa.tpc(10.0, 0.0), r"density = 0 kg/m³ must be positive; sea water is 1025"),
        (lambda: sa.mct(0.0, 8.0, 6.0), r"mass = 0 kg"),
        (lambda: sa.draughts_after_loading([1.0], [0.0], [5.0], [1.0], 3.0, 0.0, 1.0, 6.0), r"tpc = 0 kg/m"),
        (lambda: sa.draughts_after_loading([1.0], [0.0], [np.nan], [1.0], 3.0, 1.0, 1.0, 6.0), r"added\[0\] = nan"),
        (lambda: sa.lost_buoyancy_sinkage(10.0, 100.0, 100.0), r"waterplane area left = 0 m² must be positive"),
        (
            lambda: sa.lost_buoyancy_sinkage(10.0, 100.0, 10.0, 25.0),
            r"permeability = 25 must lie in 0 to 1; 25 % is 0.25",
        ),
    ],
)
def test_what_is_out_of_range_is_refused_in_words(call, words):
    with pytest.raises(InputError, match=words):
        call()
