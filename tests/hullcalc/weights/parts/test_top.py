"""Tops and posts: tube, panels and gear by hand; what the wind sees of simple frames."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.parts import top as t
from hullcalc.weights.parts.part import line
from hullcalc.weights.parts.paths import tube_path

LEG = [[2.0, 0.6, 0.5], [2.0, 0.6, 2.4]]


def leg(paired=True, points=LEG, radius=0.0):
    return t.tube("legs", 0.05, 0.003, 2700.0, points, radius, paired)


def test_a_pair_of_legs_with_welds_by_hand():
    made = t.top("top", [leg()], welds=0.10)
    mass = 2 * 1.9 * np.pi * 0.047 * 0.003 * 2700
    assert [float(one.item.mass) for one in made.lines] == pytest.approx([mass, 0.1 * mass])
    assert_allclose(made.item.centre, [2.0, 0, 1.45], atol=1e-12)
    # from the side and from ahead each leg shows its diameter times its height, both counted
    assert made.from_the_side.area == pytest.approx(2 * 1.9 * 0.05) == made.from_ahead.area
    assert (made.from_the_side.along, made.from_the_side.height) == pytest.approx((2.0, 1.45))
    assert made.from_ahead.along == pytest.approx(0.0, abs=1e-12)


def test_a_leaning_leg_shows_its_shadow():
    # Raked 3-4-5 in the side view: the side sees its full length, ahead only its height.
    made = t.top("top", [leg(False, [[0, 0, 0], [0.9, 0, 1.2]])], welds=0.0)
    assert made.from_the_side.area == pytest.approx(1.5 * 0.05)
    assert made.from_ahead.area == pytest.approx(1.2 * 0.05)


def test_a_bend_shows_the_shadow_of_its_arc():
    # A half hoop across the boat, radius 0.4: seen from ahead its arc pi r, from the side twice its height.
    hoop = [[1.0, -0.4, 1.0], [1.0, -0.4, 1.4], [1.0, 0.4, 1.4], [1.0, 0.4, 1.0]]
    made = t.top("hoop", [leg(False, hoop, 0.4)], welds=0.0)
    assert made.from_ahead.area == pytest.approx(np.pi * 0.4 * 0.05, rel=2e-5)  # of 90 chords a quarter
    assert made.from_the_side.area == pytest.approx(2 * 0.4 * 0.05, rel=1e-12)  # up and down again


def test_panels_lie_or_stand():
    flat = t.panel("top", 2.0, 1.5, (2.7, 0, 2.4), per_area=8.0, thickness=0.04)
    curtain = t.panel("curtain", 2.0, 1.0, (2.7, 0.7, 1.8), made_of="clear vinyl 1 mm", stands="fore and aft")
    screen = t.panel("screen", 1.2, 0.8, (3.4, 0, 1.7), per_area=7.0, stands="across")
    made = t.top("top", [], [flat, curtain, screen])
    assert [float(one.item.mass) for one in made.lines] == pytest.approx([24.0, 2.5, 6.72])
    assert made.from_the_side.area == pytest.approx(2.0 * 0.04 + 2.0)
    assert made.from_ahead.area == pytest.approx(1.5 * 0.04 + 0.96)
    assert made.from_ahead.height == pytest.approx((1.5 * 0.04 * 2.4 + 0.96 * 1.7) / 1.02)
    # a table's range is triangular: sigma = half width / sqrt(6) (GUM 4.3.9)
    assert float(made.lines[1].item.u_mass) == pytest.approx(2.0 * 0.05 / np.sqrt(6))


def test_gear_counts_at_its_own_place():
    gear = t.Gear(line("top", "radar", "12 kg", 12, (2.9, 0, 2.6), "data sheet"), side=0.1, ahead=0.2)
    made = t.top("top", [leg()], gear=[gear], welds=0.0)
    area = 2 * 1.9 * 0.05
    assert made.from_ahead.area == pytest.approx(area + 0.2)
    assert made.from_ahead.height == pytest.approx((area * 1.45 + 0.2 * 2.6) / (area + 0.2))
    bare = t.top("top", [], gear=[t.Gear(line("top", "box", "", 3, (0, 0, 2), "weighed"))])
    assert bare.from_the_side.area == 0 and any("shows nothing to the wind" in says for says in bare.says)
    assert not any("windage" in fact.what for fact in bare.facts)


@pytest.mark.parametrize(
    ("make", "words"),
    [(lambda: t.top("top", []), "nothing to weigh; give tubes, panels or gear"),
     (lambda: leg(True, [[2, -0.6, 0.5], [2, -0.6, 2.4]]), "legs: a pair is given by its port half"),
     (lambda: leg(False, [[0, 0, 0]]), "needs two or more points"),
     (lambda: leg(False, [[0, 0, 0], [0, 0, 0]]), "must be positive; take one point out"),
     (lambda: leg(False, [[0, 0, 0], [0, 0, 1], [0, 0, 0.5]], 0.1), "turns back on itself"),
     (lambda: leg(False, [[0, 0, 0], [0, 0, 1], [0, 1, 1]], 1.2), "too near for bends of radius 1.200 m"),
     (lambda: leg(False, [[0, 0, 0], [0, 0, 1], [0, 1, 1]], 0.01), "less than half the tube"),
     (lambda: t.tube("a", 0.05, 0.03, 2700.0, LEG), "wall of tube = 0.03 m must lie between 0 and half the diameter"),
     (lambda: t.tube("a", 50.0, 3.0, 2700.0, LEG), "diameter of tube = 50 m"),
     (lambda: t.panel("p", 2, 1, (0, 0, 2)), "give what it is made of, or a mass per area"),
     (lambda: t.panel("p", 2, 1, (0, 0, 2), made_of="hardtop corded"), "did you mean: hardtop cored"),
     (lambda: t.panel("p", 2, 1, (0, 0, 2), per_area=8.0, stands="upright"), "stands 'upright' is not known")],
)  # fmt: skip
def test_tops_that_are_none(make, words):
    with pytest.raises(InputError, match=words):
        make()


def test_sharp_corners_and_straight_runs():
    path = tube_path([[0, 0, 0], [1, 0, 0], [3, 0, 0], [3, 2, 0]])
    assert path.length == pytest.approx(5) and path.bent_length == 0
    assert_allclose(path.centre, [(1 * 0.5 + 2 * 2 + 2 * 3) / 5, 2 / 5, 0])
    smooth = tube_path([[0, 0, 0], [1, 0, 0], [3, 0, 0]], 0.2)  # a point on the way bends nothing
    assert smooth.length == pytest.approx(3) and smooth.bent_length == 0
