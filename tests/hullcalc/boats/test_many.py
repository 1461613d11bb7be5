"""Many loads at once, against a box barge by hand and against the same boats floated one by one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.many import float_added
from hullcalc.boats.marks import Mark
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import Space
from hullcalc.geometry.makers import box

AREA, DENSITY = 12.0, 1000.0  # of a box barge 6 m by 2 m, in fresh water
MARKS = {"drain": Mark("drain", np.array([3.0, 0.0, 0.5]), "scupper")}
BARGE = Loading(
    mass=4800.0, cg=np.array([3.0, 0.0, 0.4]), density=DENSITY, solids={"hull": box((0, 6), (-1, 1), (0, 1))},
    tanks=(hc.Tank("tank", box((2.5, 3.5), (-0.5, 0.5), (0.1, 0.6)), density=800.0, fill=0.5),), spaces={},
    held_open=(), tight_tanks=(), tight_inside={}, marks=MARKS,
)  # fmt: skip


def test_a_barge_sinks_by_weight_over_area():
    # Draught of a box: mass / (density x area). The tank's half fill weighs 0.25 m³ x 800 = 200 kg.
    added = np.array([0.0, 600.0, -1200.0])
    many = float_added(BARGE, np.outer(added, [1, 3.0, 0, 0.4]))
    assert_allclose(many.heights(["drain"])[:, 0], 0.5 - (4800 + 200 + added) / (DENSITY * AREA), atol=1e-12)


def test_fills_and_water_of_each():
    fill, sea = np.array([0.0, 1.0]), np.array([1000.0, 1025.0])
    many = float_added(BARGE, np.zeros((2, 4)), {"tank": fill}, sea)
    assert_allclose(many.heights()[:, 0], 0.5 - (4800 + 400 * fill) / (sea * AREA), atol=1e-12)


def test_as_one_by_one(demo):
    loading = demo.loading("mended plan", "4 adults full")
    loads = np.array([[0, 0, 0, 0], [60, 60 * 0.3, 0, 60 * 1.0], [0, -100, 40, 0], [-85, -85 * 2.35, -30, -120]])
    many = float_added(loading, loads)
    for load, heights in zip(loads, many.heights(), strict=True):
        mass = loading.mass + load[0]
        one = float_loading(replace(loading, mass=mass, cg=(loading.mass * loading.cg + load[1:]) / mass), shut=True)
        assert_allclose(heights, list(one.marks.values()), atol=1e-9)


def test_as_one_by_one_with_a_space_held_open(demo):
    loading = demo.loading("first plan", "light, bracket flooded")
    assert loading.held_open
    one = float_loading(loading, shut=True)
    assert_allclose(float_added(loading, np.zeros((1, 4))).heights()[0], list(one.marks.values()), atol=1e-9)


def test_held_open_is_not_shut():
    well = {"well": Space("well", box((2, 4), (-0.5, 0.5), (0.0, 1.0)))}
    for held, area in (((), AREA), (("well",), AREA - 2.0)):  # lost buoyancy: less area by 2 m²
        loading = replace(BARGE, tanks=(), spaces=well, held_open=held)
        height = float_added(loading, np.zeros((1, 4))).heights(["drain"])[0, 0]
        assert height == pytest.approx(0.5 - 4.8 / area, abs=1e-12)


def test_one_that_sinks_does_not_stop_the_others():
    many = float_added(
        BARGE, [[0, 0, 0, 0], [7500, 22500, 0, 3000]]
    )  # with 200 kg of liquid 500 kg over what 12 m³ carry
    heights, short = many.heights(["drain"])[:, 0], many.states.short_by_kg
    assert np.isnan(heights[1]) and np.isnan(short[0])
    assert short[1] == pytest.approx(500, abs=1e-6)
    assert heights[0] == pytest.approx(0.5 - 5.0 / AREA, abs=1e-12)


@pytest.mark.parametrize(
    ("loads", "more", "words"),
    [
        (np.zeros((2, 3)), {}, r"loads must be \(n, 4\)"),
        ([[np.nan, 0, 0, 0]], {}, r"loads\[0, 0\] = nan"),
        ([[-4800, 0, 0, 0]], {}, r"mass of the boat\[0\] = 0 kg must be positive"),
        (np.zeros((1, 4)), {"fills": {"well": 0.5}}, "no tank is called 'well' in this plan; there are: tank"),
        (np.zeros((1, 4)), {"fills": {"tank": 1.5}}, "fills"),
    ],
)
def test_what_cannot_be_floated(loads, more, words):
    with pytest.raises(hc.InputError, match=words):
        float_added(BARGE, loads, **more)
