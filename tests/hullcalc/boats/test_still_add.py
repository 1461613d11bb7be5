"""What may still be added: against wall-sided boxes by hand, and against the boat floated again with it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy.optimize import brentq, fsolve

import hullcalc as hc
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.many import float_added
from hullcalc.boats.rounds import Loading
from hullcalc.boats.still_add import still_add
from hullcalc.geometry.makers import box

LENGTH, BEAM, DENSITY = 6.0, 2.0, 1000.0
AREA, MASS = LENGTH * BEAM, 4800.0  # draught 0.4 m
CG = np.array([3.0, 0.0, 0.4])
BARGE = Loading(
    mass=MASS, cg=CG, density=DENSITY, solids={"hull": box((0, 6), (-1, 1), (0, 1))}, tanks=(), spaces={},
    held_open=(), tight_tanks=(), tight_inside={}, marks={},
)  # fmt: skip
# GM_L of a box: KB + BM - KG = T/2 + L²/(12 T) - KG
GM_L = 0.2 + LENGTH**2 / (12 * 0.4) - 0.4


def test_over_the_middle_she_sinks_by_weight_over_area():
    # A mark 0.15 m above the water: the weight is density x area x 0.15, by hand 1800 kg; to keep 0.05 m, 1200 kg.
    places, marks = [[3.0, 0.0, 0.4]], [[3.0, 0.0, 0.55], [3.0, 0.0, 0.80]]
    for keep, kg in ((0.0, 1800.0), (0.05, 1200.0)):
        room = still_add(BARGE, places, marks, keep, 4000.0)
        assert_allclose(room.kg, kg, atol=2e-6)  # it closes in to a millionth of a kilogram
        assert_allclose(room.linear, kg, atol=1e-6)
        assert_array_equal(room.first, [0])


def heights_by_hand(extra, x, z):
    """Slope s and draught T amidships of the barge with a weight on her centreline: wall-sided, ends plumb.

    Water plane z = T + s u, u from the middle: T = mass / (density area); the centre of buoyancy is at u = s L²/(12 T),
    z = T/2 + s² L²/(24 T). At rest it lies under the centre of gravity along (-s, 1).
    """
    mass = MASS + extra
    draught = mass / (DENSITY * AREA)
    g_u, g_z = extra * (x - 3.0) / mass, (MASS * 0.4 + extra * z) / mass

    def apart(s):
        b_u, b_z = s * LENGTH**2 / (12 * draught), draught / 2 + s**2 * LENGTH**2 / (24 * draught)
        return (g_u - b_u) + s * (g_z - b_z)

    return brentq(apart, -0.2, 0.2, xtol=1e-15), draught


@pytest.mark.parametrize("x", [0.5, 2.0, 4.5, 5.5])
def test_away_from_the_middle_as_by_hand(x):
    """A mark at the after end: the weight at which the plane by hand passes through it."""
    mark, z = np.array([0.0, 0.0, 0.6]), 0.7

    def spare(extra):
        slope, draught = heights_by_hand(extra, x, z)
        return (mark[2] - draught - slope * (mark[0] - 3.0)) / np.hypot(1.0, slope)

    room = still_add(BARGE, [[x, 0.0, z]], [mark], 0.0, 2000.0)
    if x > 4:  # beyond the neutral point 3 + K / (density area 3), 4.26 m: it rises
        assert np.isinf(room.kg[0]) and room.first[0] == -1 and room.most == 2000.0
        assert spare(2000.0) > 0
    else:
        (kg,) = fsolve(lambda extra: spare(float(extra[0])), [100.0], xtol=1e-13)
        assert room.kg[0] == pytest.approx(kg, abs=1e-4)
        assert room.first[0] == 0
        assert abs(spare(room.kg[0])) < 1e-8


def test_weight_at_the_neutral_point_leaves_the_mark():
    # Response of a level box: -1/(density area) - (x - 3)(u)/K with K = mass GM_L, so the mark at u = -3 stays for a
    # weight at x = 3 + K / (density area 3); to first order, so a kilogram there does a thousandth of one elsewhere.
    neutral = 3 + MASS * GM_L / (DENSITY * AREA * 3)
    mark = np.array([0.0, 0.0, 0.6])
    before = 0.2
    at, ahead = float_added(
        BARGE, [[1, neutral, 0, 0.4], [1, neutral + 1, 0, 0.4]]
    ).states.height_above_water(mark)  # fmt: skip
    assert abs(at - before) < 1e-3 * abs(ahead - before)
    room = still_add(BARGE, [[neutral - 1e-6, 0, 0.4], [neutral + 1e-6, 0, 0.4]], [mark], 0.0, 300.0)
    assert room.linear[0] > 1e6 and np.isinf(room.linear[1])


def test_to_one_side_the_nearer_mark_is_first():
    marks = [[3.0, 0.9, 0.55], [3.0, -0.9, 0.55]]
    room = still_add(BARGE, [[3.0, 0.5, 0.4], [3.0, -0.5, 0.4], [3.0, 0.0, 0.4]], marks, 0.0, 3000.0)
    assert_array_equal(room.first[:2], [0, 1])
    assert room.kg[0] == pytest.approx(room.kg[1], abs=1e-4)
    assert room.kg[2] > room.kg[0]


def test_what_is_short_already_takes_nothing():
    room = still_add(BARGE, [[3.0, 0, 0.4], [5.0, 0, 0.4]], [[0, 0, 0.7], [6, 0, 0.39]], 0.0, 500.0)
    assert_array_equal(room.kg, 0.0)
    assert_array_equal(room.first, 1)


def test_where_she_sinks_it_was_too_much():
    """A high mark: she sinks (7200 kg more) before it is wet, so that is the limit found."""
    room = still_add(BARGE, [[3.0, 0.0, 0.1]], [[3.0, 0.0, 50.0]], 0.0, 9000.0)
    assert room.kg[0] == pytest.approx(AREA * 1.0 * DENSITY - MASS, abs=1e-3)


@pytest.mark.parametrize("keep", [0.0, 0.009])
def test_floated_again_with_it_the_mark_is_at_its_margin(demo, keep):
    loading = demo.loading("mended plan", "4 adults full")
    names = [name for name, mark in loading.marks.items() if mark.kind == "sole"]
    places = np.array([(-0.55, 0, 0.58), (0.3, 0, 0.8), (2.0, 0, 0.8), (2.0, 0.6, 0.8)])
    room = still_add(loading, places, [loading.marks[name].point for name in names], keep, 1000.0)
    for kg, place, first in zip(room.kg, places, room.first, strict=True):
        mass = loading.mass + kg
        heavier = replace(loading, mass=mass, cg=(loading.mass * loading.cg + kg * place) / mass)
        marks = float_loading(heavier, shut=True).marks
        assert marks[names[first]] == pytest.approx(keep, abs=1e-8)
        assert min(marks[name] for name in names) == pytest.approx(keep, abs=1e-8)


def test_the_map_of_the_mended_boat(demo):
    # Source: an independent program (exact integrals over the mesh): 92 kg at the bracket, 117 at x 0.3, 262 at x 2
    # until the sole's corner is wet, mended plan, four adults, tanks full; printed to the kilogram.
    loading = demo.loading("mended plan", "4 adults full")
    names = [name for name, mark in loading.marks.items() if mark.kind == "sole"]
    room = still_add(
        loading, [(-0.55, 0, 0.8), (0.3, 0, 0.8), (2.0, 0, 0.8)], [loading.marks[n].point for n in names], 0.0, 500.0
    )
    assert_allclose(room.kg, [92, 117, 262], atol=1.0)


def test_bad_figures_are_told():
    good = ([[3.0, 0, 0.4]], [[0, 0, 0.7]], 0.0, 500.0)
    for change, words in (
        ({0: np.zeros((0, 3))}, r"places must be one or more rows of \(x, y, z\)"),
        ({1: np.zeros((0, 3))}, "marks must be one or more rows"),
        ({0: [[np.nan, 0, 0]]}, "places.* must be a finite number"),
        ({2: np.inf}, "keep.* must be a finite number"),
        ({3: 0.0}, "most = 0 kg must be positive"),
        ({3: "much"}, "most = 'much' must be one finite number"),
    ):
        given = [change.get(i, value) for i, value in enumerate(good)]
        with pytest.raises(hc.InputError, match=words):
            still_add(BARGE, *given)
