"""Boxes, segments and names kept apart: against counting by hand and dense sampling."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from analysis.figures import boxes as bx
from analysis.figures.frame import spread

near = st.floats(-10, 10)
box = st.tuples(near, near, near, near).map(
    lambda b: (min(b[0], b[2]), min(b[1], b[3]), max(b[0], b[2]), max(b[1], b[3]))
)
segment = st.tuples(near, near, near, near)


def test_boxes_that_meet():
    first = np.array([[0.0, 0.0, 2.0, 1.0]])
    others = np.array([[2.0, 0.0, 3.0, 1.0], [2.1, 0.0, 3.0, 1.0], [0.5, 0.2, 0.6, 0.3], [0.0, 1.5, 2.0, 2.0]])
    assert_array_equal(bx.boxes_meet(first, others), [[True, False, True, False]])
    assert_array_equal(bx.boxes_meet(bx.padded(first, 0.6), others), [[True, True, True, True]])


@given(segment, box)
def test_a_segment_meets_a_box_where_one_of_its_points_is_inside(ends, sides):
    met = bx.segments_meet_boxes(np.array([ends]), np.array([sides]))[0, 0]
    t = np.linspace(0, 1, 2001)[:, None]
    points = np.array(ends[:2]) + t * (np.array(ends[2:]) - np.array(ends[:2]))
    low, high = np.array(sides[:2]), np.array(sides[2:])
    slack = 0.02  # the steps between the points sampled are no longer than this
    if np.any(np.all((points >= low) & (points <= high), axis=1)):
        assert met
    if not np.any(np.all((points >= low - slack) & (points <= high + slack), axis=1)):
        assert not met


def test_segments_that_cross():
    first = np.array([[0.0, 0.0, 2.0, 2.0]])
    others = np.array([[0.0, 2.0, 2.0, 0.0], [3.0, 0.0, 4.0, 9.0], [1.0, 1.0, 1.0, 5.0], [1.0, 0.0, 3.0, 2.0]])
    assert_array_equal(bx.segments_cross(first, others), [[True, False, True, False]])


@given(st.lists(st.floats(0, 500), min_size=1, max_size=8))
def test_names_are_kept_apart_and_in_order(heights):
    moved = spread(heights, 15.0)
    order = np.argsort(heights, kind="stable")
    steps = np.diff(np.array(moved)[order])
    assert np.all(steps >= 15.0 - 1e-9)
    assert np.mean(moved) == pytest.approx(np.mean(heights), abs=1e-9)  # as many go up as go down


def test_names_far_apart_stay():
    assert_allclose(spread([100.0, 0.0, 50.0], 15.0), [100.0, 0.0, 50.0])
    assert_allclose(spread([100.0, 100.0], 15.0), [92.5, 107.5])
