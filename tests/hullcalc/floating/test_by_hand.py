"""The hand method on three axes: the tangent to the exact answer, and closed forms."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from trial_bodies import HULL

import hullcalc as hc
from hullcalc.errors import InputError
from hullcalc.floating.by_hand import HandFigures, density_change, hand_figures
from hullcalc.geometry.makers import box

POINTS = np.array([[0.0, 0.0, 0.0], [5.0, 0.4, 0.3], [1.0, -0.8, 0.7]])


def test_list_and_trim_of_an_open_water_box():
    # Box 6 x 2 m at 0.35 m draught, G at (0.30, 0.05, 0.55) from the middle: small slopes x_G / GM_L and y_G / GM_T,
    # BM = L² / 12 T and B² / 12 T; derived from the box formulas of every stability book.
    draught, mass = 0.35, 1025 * 6 * 2 * 0.35
    gm_l, gm_t = 36 / (12 * draught) + draught / 2 - 0.55, 4 / (12 * draught) + draught / 2 - 0.55
    state = hc.float_at_rest(box((0, 6), (-1, 1), (0, 1)), mass, (3.0, 0.0, 0.55))
    change = hand_figures(state).change(0.0, (0.30 * mass, 0.05 * mass, 0.0))
    assert change.sinkage == 0
    assert_allclose([change.bow_up, change.starboard_down], [-0.30 / gm_l, -0.05 / gm_t], rtol=1e-9)
    assert_allclose(change.rise([[3.0, 0.0, 0.0]]), 0.0, atol=1e-12)  # the centre of flotation stays


def test_it_is_the_tangent_of_the_exact_answer_where_she_lies_level():
    # A lopsided hull trimmed level by choosing G over B; a load at the height of G, so that heights play no part.
    level = np.array([0.0, 0.0, 1.0])
    cut = HULL.cut(level, 0.55)
    cg = np.array([*cut.centroid[:2], 0.6])
    state = hc.float_at_rest(HULL, 1025 * cut.volume, cg)
    assert_allclose(state.normal, level, atol=1e-9)
    figures = hand_figures(state)
    ratios = []
    for kg in (1.0, 2.0):
        place = np.array([4.0, 0.3, float(state.flotation[2])])
        total = state.mass + kg
        after = hc.float_at_rest(HULL, total, (state.mass * cg + kg * place) / total)
        exact = after.height_above_water(POINTS) - state.height_above_water(POINTS)
        by_hand = figures.change(kg, kg * place).rise(POINTS)
        ratios.append(np.max(abs(by_hand - exact)))
        assert_allclose(by_hand, exact, rtol=0.02, atol=1e-6)
    assert ratios[1] / ratios[0] == pytest.approx(4, rel=0.2)  # the error is of second order


def test_other_water_under_a_box_is_parallel_sinkage():
    # T ρ stays what it was: draught 0.5 m in 1025 is 0.5125 m in 1000.
    state = hc.float_at_rest(box((0, 6), (-1, 1), (0, 1)), 1025 * 6.0, (3.0, 0.0, 0.4))
    change = density_change(hand_figures(state), float(state.buoyancy[0]), 1025, 1000)
    assert change.sinkage == pytest.approx(0.0125, rel=1e-9)
    assert change.bow_up == pytest.approx(0.0, abs=1e-12)


def test_thinner_water_lifts_the_bow_where_f_lies_forward_of_b():
    figures = HandFigures(mass=2000, tpc=10000, lcf=2.5, tcf=0, gm_longitudinal=12, gm_transverse=1)
    assert density_change(figures, 2.3, 1025, 1000).bow_up > 0
    assert density_change(figures, 2.7, 1025, 1000).bow_up < 0


def test_bad_input_is_told():
    lolling = hc.float_at_rest(box((0, 6), (-1, 1), (0, 1.2)), 1025 * 6.0, (3.0, 0.0, 0.95))
    upright = hc.float_at_rest(box((0, 6), (-1, 1), (0, 1.2)), 1025 * 6.0, (3.0, 0.0, 0.4))
    figures = hand_figures(upright)
    assert lolling.status == "lolls"
    with pytest.raises(InputError, match="moment"):
        figures.change(1.0, (1.0, np.nan, 0.0))
    with pytest.raises(InputError, match=r"points must be \(x, y, z\)"):
        figures.change(1.0, (1.0, 0.0, 0.0)).rise([1.0, 2.0])
    with pytest.raises(InputError, match=r"density after = -1 .*must be positive"):
        density_change(figures, 3.0, 1025, -1)
