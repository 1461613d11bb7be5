"""Livewells: rooms by closed form, the standpipe and the rim at any trim, open to the sea."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.parts import livewell as w
from hullcalc.weights.parts.part import line

AT = (1.98, 0.0, 0.62)


def made(room, lip):
    return w.livewell(
        "well", room, lip, [line("well", "shell", "", 20, AT, "weighed")], basis="weighed", density=1025.0
    )


@pytest.mark.parametrize(
    ("shape", "sizes", "radius", "area"),
    [("box", (0.4, 0.8), None, 0.32), ("rounded box", (0.4, 0.8), 0.1, 0.32 - (4 - np.pi) * 0.01),
     ("rounded box", (0.4, 0.8), 0.2, 0.4 * 0.4 + np.pi * 0.04), ("oval", (0.4, 0.8), None, np.pi * 0.2 * 0.4),
     ("cylinder", (0.5, 0.5), None, np.pi * 0.0625)],
)  # fmt: skip
def test_rooms_have_the_area_of_their_shape(shape, sizes, radius, area):
    room = w.well(shape, *sizes, 0.47, AT, radius)
    assert room.volume == pytest.approx(area * 0.47, rel=1e-12)
    assert_allclose(room.centroid, [1.98, 0, 0.62 + 0.235], atol=1e-12)
    one = made(room, (1.98, 0.0, 0.62 + 0.42))
    assert one.standing().volume == pytest.approx(area * 0.42, rel=1e-12)
    assert one.standing().rim_above == pytest.approx(0.05)


def test_at_a_trim_the_lip_decides_by_its_place():
    # A box: volume at the lip is area times the height over the middle, which a lip off the middle shifts by x tan.
    room = w.well("box", 0.4, 0.8, 0.47, AT)
    turn = np.radians(2.0)
    up = np.array([np.sin(turn), 0.0, np.cos(turn)])  # bow up
    for x in (1.85, 1.98, 2.10):
        standing = made(room, (x, 0.0, 1.04)).standing(up)
        middle = 0.42 + (x - 1.98) * np.tan(turn)
        assert standing.volume == pytest.approx(0.32 * middle, rel=1e-12)
        # the lowest rim is the after one: 0.05 m over the lip upright, less (x - 1.78) tan, along the water's normal
        assert standing.rim_above == pytest.approx((0.05 - (x - 1.78) * np.tan(turn)) * np.cos(turn), rel=1e-9)
        assert standing.lowest_rim[0] == pytest.approx(1.78)


def test_past_the_rim_it_overflows_and_stays_full_to_there():
    room = w.well("box", 0.4, 0.8, 0.47, AT)
    turn = np.radians(20.0)
    standing = made(room, (2.10, 0.0, 1.06)).standing((np.sin(turn), 0.0, np.cos(turn)))
    assert standing.overflows and standing.rim_above < 0
    assert standing.volume == pytest.approx(0.32 * (0.47 - 0.2 * np.tan(turn)), rel=1e-12)  # level with the after rim
    heel = made(room, (1.98, 0.3, 1.05)).standing((0.0, np.sin(turn), np.cos(turn)))
    assert heel.overflows and heel.lowest_rim[1] == pytest.approx(-0.4)  # starboard down, over the starboard rim
    assert not made(room, (1.98, 0.0, 1.04)).standing().overflows


def test_open_to_the_sea_is_the_room_below_it():
    one = made(w.well("box", 0.4, 0.8, 0.47, (0.36, -0.74, 0.48)), (0.36, -0.74, 0.9))
    sea = one.open_to_the_sea((0, 0, 1), 0.55, 1025.0)
    assert sea.volume == pytest.approx(0.32 * 0.07, rel=1e-12)
    assert sea.lift == pytest.approx(1025 * 0.32 * 0.07)  # what it floats her no more
    assert one.open_to_the_sea((0, 0, 1), 0.40, 1025.0).volume == 0.0


def test_walls_and_floor_by_hand():
    area, centre = w.wall_faces(w.well("box", 0.4, 0.8, 0.47, AT))
    walls = 2 * (0.4 + 0.8) * 0.47
    assert area == pytest.approx(walls + 0.32, rel=1e-12)
    assert centre[2] == pytest.approx(0.62 + walls * 0.235 / area, rel=1e-12)


@pytest.mark.parametrize(
    ("make", "words"),
    [(lambda: w.well("drum", 0.4, 0.4, 0.4, AT), "shape = 'drum' is not known; write one of: box, rounded box"),
     (lambda: w.well("box", 400, 0.8, 0.4, AT), "length of the well = 400 m"),
     (lambda: w.well("cylinder", 0.4, 0.5, 0.4, AT), "differ; for two axes write oval"),
     (lambda: w.well("rounded box", 0.4, 0.8, 0.4, AT), "needs a corner radius"),
     (lambda: w.well("rounded box", 0.4, 0.8, 0.4, AT, 0.3), "corner radius = 0.3 m must lie between 0 and 0.2 m"),
     (lambda: w.well("box", 0.4, 0.8, 0.4, AT, 0.1), "has no corner radius"),
     (lambda: made(w.well("box", 0.4, 0.8, 0.4, AT), (1.98, 0, 1.2)), "lies outside the well"),
     (lambda: w.livewell("w", w.well("box", 0.4, 0.8, 0.4, AT), AT, [], basis="table", density=1025.0), "to weigh")],
)  # fmt: skip
def test_wells_that_are_none(make, words):
    with pytest.raises(InputError, match=words):
        make()
