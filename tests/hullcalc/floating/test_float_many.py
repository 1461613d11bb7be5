"""Many load cases at once: the answers of one by one, the same bits on any number of threads, and no exceptions."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from trial_bodies import BAIT, FUEL, HULL, POD, WELL

import hullcalc as hc
from hullcalc.geometry.makers import box

TANKS = [hc.Tank("fuel", FUEL, 740, fill=0.5), hc.Tank("bait", BAIT, 1025, level_at=(0.7, -0.6, 0.75))]
RNG = np.random.default_rng(4)
MASS = RNG.uniform(900, 2200, 150)
CG = RNG.normal((2.1, 0, 0.5), (0.1, 0.03, 0.05), (150, 3))
POINTS = np.array([[0.0, 0.8, 0.6], [3.0, 0.0, 0.5], [5.0, -0.5, 1.0]])


def test_the_answers_of_single_floats():
    many = hc.float_many([HULL, POD], MASS, CG, tanks=TANKS)
    for row in range(0, 150, 17):
        one = hc.float_at_rest([HULL, POD], MASS[row], CG[row], tanks=TANKS)
        assert many.status[row] == one.status and many.hull_cuts[row] == one.hull_cuts
        for name in ("normal", "offset", "mass", "cg", "volume", "buoyancy", "trim", "heel", "gm_transverse",
                     "gm_longitudinal", "waterplane_area", "flotation"):  # fmt: skip
            assert_array_equal(getattr(many, name)[row], getattr(one, name), err_msg=name)
        assert_allclose(many.height_above_water(POINTS)[row], one.height_above_water(POINTS), rtol=0, atol=1e-15)
        assert_allclose(many.response(POINTS)[row], one.response(POINTS), rtol=1e-13)
        for liquids, liquid in zip(many.liquids, one.liquids, strict=True):
            assert liquids.mass[row] == liquid.mass and liquids.surface_offset[row] == liquid.surface_offset


def test_shapes_carry_a_leading_axis():
    many = hc.float_many(HULL, MASS, CG)
    assert many.plane[0].shape == (150, 3) and many.plane[1].shape == (150,)
    assert many.height_above_water(POINTS).shape == (150, 3)
    assert many.response(POINTS).shape == (150, 3, 4)
    assert many.response(POINTS[0]).shape == (150, 4)
    assert many.status.shape == many.trim.shape == many.hull_cuts.shape == many.short_by_kg.shape == (150,)


def test_the_bits_do_not_depend_on_the_number_of_threads():
    one, two, five = (hc.float_many([HULL, POD], MASS, CG, tanks=TANKS, threads=t) for t in (1, 2, 5))
    for other in (two, five):
        for name in ("normal", "offset", "mass", "stiffness", "flotation"):
            assert_array_equal(getattr(one, name), getattr(other, name))


def test_fills_override_and_nan_keeps_the_tank_s_own():
    fills = np.array([[0.1, np.nan], [np.nan, 0.4], [0.9, 0.2]])
    many = hc.float_many(HULL, 1400, (2.1, 0, 0.5), tanks=TANKS, fills=fills)
    fuel, bait = many.liquids
    assert_allclose(fuel.fill, [0.1, 0.5, 0.9], rtol=1e-12)
    assert_allclose(bait.fill[1:], [0.4, 0.2], rtol=1e-12)
    assert_allclose(bait.surface_offset[0], many.normal[0] @ [0.7, -0.6, 0.75], rtol=0, atol=1e-13)
    by_hand = hc.float_at_rest(
        HULL, 1400, (2.1, 0, 0.5), tanks=[hc.Tank("f", FUEL, fill=0.9), hc.Tank("b", BAIT, 1025, 0.2)]
    )
    assert_array_equal(many.normal[2], by_hand.normal)


def test_a_row_that_sinks_is_nan_and_says_by_how_much():
    capacity = 1025 * HULL.volume
    many = hc.float_many(HULL, [1500, capacity + 250, 1600], (2.1, 0, 0.5))
    assert_array_equal(many.status == "sinks", [False, True, False])
    assert_allclose(many.short_by_kg, [np.nan, 250, np.nan], rtol=1e-9)
    for figures in (many.normal[1], many.offset[1], many.mass[1], many.gm_transverse[1], many.response(POINTS)[1]):
        assert np.all(np.isnan(figures))
    assert np.all(np.isfinite(many.response(POINTS)[[0, 2]]))


def test_density_and_single_figures_broadcast():
    many = hc.float_many(HULL, 1500, (2.1, 0, 0.5), density=[1000, 1025])
    assert_allclose(many.volume, [1.5, 1500 / 1025], rtol=1e-10)
    assert hc.float_many(HULL, 1500, (2.1, 0, 0.5)).mass.shape == (1,)


def test_statuses_of_many_at_once():
    hull = box((-3, 3), (-1, 1), (0, 1.2))
    many = hc.float_many(hull, 6 * 1025, [(0, 0, 0.3), (0, 0, 0.95), (0, 0.05, 1.9), (0, 0.2, 0.3)])
    assert list(many.status) == ["floats", "lolls", "capsizes", "floats"]
    assert many.other is None


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"mass": [1500, np.nan]}, r"mass\[1\]"),
        ({"mass": [1500, 1600, 1700], "cg": np.zeros((2, 3))}, "one length"),
        ({"cg": np.zeros((2, 2))}, "three figures"),
        ({"fills": [[0.5]]}, "one column a tank"),
        ({"fills": [[0.5, 1.5]]}, r"fills\[0, 1\] = 1.5"),
        ({"density": [1025, -1]}, r"density\[1\]"),
    ],
)
def test_what_cannot_be_floated_shows_its_first_entry(arguments, words):
    with pytest.raises(hc.InputError, match=words):
        hc.float_many(HULL, **({"mass": 1500, "cg": (2.1, 0, 0.5), "tanks": TANKS} | arguments))


def test_flooded_spaces_serve_all_rows():
    many = hc.float_many([HULL, POD], MASS[:5], CG[:5], flooded=[WELL])
    one = hc.float_at_rest([HULL, POD], MASS[3], CG[3], flooded=[WELL])
    assert_array_equal(many.normal[3], one.normal)


def test_no_rows_and_no_threads():
    assert hc.float_many(HULL, [], np.zeros((0, 3))).normal.shape == (0, 3)
    with pytest.raises(hc.InputError, match="threads = -1 must be 1 or more"):
        hc.float_many(HULL, MASS, CG, threads=-1)


def test_large_standpipes_near_sinking_answer_every_row():
    hull = box((0, 6), (-1, 1), (0, 1))
    rng = np.random.default_rng(3)
    tank = hc.Tank("well", box((2, 4), (-0.6, 0.6), (0.1, 0.6)), 1025, level_at=(3.5, 0.3, 0.5))
    many = hc.float_many(
        hull, rng.uniform(3000, 11_500, 300), rng.normal((3, 0, 0.5), (0.3, 0.1, 0.1), (300, 3)), tanks=tank
    )
    assert set(many.status) <= {"floats", "lolls", "capsizes", "sinks"}
