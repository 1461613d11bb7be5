"""Outlines against the boat's own points, and areas in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from analysis.figures import shapes
from analysis.studies.floats import float_case
from hullcalc.geometry.makers import box


def area(outline):
    x, z = outline[:-1].T
    return 0.5 * abs(np.sum(x * np.roll(z, -1) - z * np.roll(x, -1)))


def test_the_profile_is_the_hulls_own(demo):
    outline = shapes.profile(demo.hull)
    low, high = demo.hull.solid.vertices.min(axis=0), demo.hull.solid.vertices.max(axis=0)
    assert_allclose(outline.min(axis=0), low[[0, 2]], atol=1e-12)
    assert_allclose(outline.max(axis=0), high[[0, 2]], atol=1e-12)
    # the transom's line is raked as the folder says: 14 degrees, top aft
    top, bottom = outline[-2], outline[-1]
    assert np.degrees(np.arctan((bottom[0] - top[0]) / (top[1] - bottom[1]))) == pytest.approx(14, abs=1e-9)


def test_astern_port_is_on_the_left(demo):
    outline = shapes.transom(demo.hull)
    assert_allclose(sorted(outline[:, 0]), sorted(-outline[:, 0]), atol=0)
    assert shapes.to_view(np.array([0.0, 1.0, 0.2]), shapes.ASTERN)[0] == -1.0


def test_silhouette_of_a_box():
    outline = shapes.silhouette(box((0, 2), (-0.5, 0.5), (1, 1.5)), shapes.SIDE)
    assert area(outline) == pytest.approx(2 * 0.5)
    assert area(shapes.silhouette(box((0, 2), (-0.5, 0.5), (1, 1.5)), shapes.ASTERN)) == pytest.approx(1 * 0.5)


@pytest.mark.parametrize("slope", [0.0, 0.1, -0.2])
def test_liquid_under_its_surface(slope):
    outline = shapes.silhouette(box((0, 2), (-0.5, 0.5), (0, 1)), shapes.SIDE)
    wet = shapes.below(outline, lambda x: 0.4 + slope * (x - 1))
    assert area(wet) == pytest.approx(2 * 0.4)  # the mean depth is that in the middle while no corner is cut off
    assert np.all(wet[:, 1] <= 0.4 + slope * (wet[:, 0] - 1) + 1e-12)


def test_nothing_under_a_surface_below_the_tank():
    outline = shapes.silhouette(box((0, 2), (-0.5, 0.5), (0, 1)), shapes.SIDE)
    assert len(shapes.below(outline, lambda x: -0.1 + 0 * x)) == 0


@pytest.mark.parametrize(("view", "at"), [(shapes.SIDE, 0.7), (shapes.ASTERN, -0.1)])
def test_a_plane_in_a_view_lies_in_the_plane(view, at):
    normal = np.array([0.03, -0.02, 1.0])
    normal /= np.linalg.norm(normal)
    across = np.linspace(-1, 5, 7)
    z = shapes.plane_in_view((normal, 0.4), view, at)(across)
    points = [(a, at, h) if view == shapes.SIDE else (at, -a, h) for a, h in zip(across, z, strict=True)]
    assert_allclose(np.array(points) @ normal, 0.4, rtol=0, atol=1e-12)


def test_the_outboard_hangs_where_the_plan_has_it(demo):
    places = {plan: shapes.engine_places(float_case(demo, plan, "light")) for plan in demo.plans}
    assert_allclose(places["as found"], [(-0.37, 0, 0.88)])
    assert_allclose(places["first plan"], [(-1.14, 0, 0.98)])
    shorter = [*demo.plans["first plan"].packages, "10 bracket 0.51 m instead"]
    assert_allclose(shapes.engine_places(float_case(demo, shorter, "light")), [(-0.89, 0, 0.96)])
