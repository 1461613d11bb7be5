"""The sole as a plane and the water line on the hull's side, against plane geometry."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh
from numpy.testing import assert_allclose
from shoe_box import write_box

import hullcalc as hc
from hullcalc.boats.skin import STARBOARD, below_sheer, level_across, on_transom, water_on_side, waterline
from hullcalc.boats.sole import sole_of


@pytest.fixture(scope="module")
def box(tmp_path_factory):
    return hc.read_boat(write_box(tmp_path_factory.mktemp("box")))


def unit(vector):
    return np.asarray(vector, dtype=float) / np.linalg.norm(vector)


def test_slopes_of_a_level_sole_are_those_of_the_water(box):
    # n = (-t, s, 1): the water rises t a metre forward and falls s a metre to port; a level sole does the reverse.
    sole = sole_of(box, "as found")
    t, s = 0.03, -0.02
    assert_allclose(sole.slopes(unit([-t, s, 1.0])), (-t, s), rtol=1e-3)  # apart by the square of the other slope
    assert_allclose(sole.slopes(unit([-t, 0, 1.0])), (-t, 0), rtol=0, atol=1e-15)
    assert sole.misfit == pytest.approx(0, abs=1e-12)


def test_the_floor_of_the_cockpit_gives_the_corners(box):
    sole = sole_of(box, "as found")
    assert set(sole.corners) == {"aft port", "aft starboard", "forward port", "forward starboard"}
    assert_allclose(sole.corners["aft starboard"], (0.5, -0.9, 0.4))
    assert set(sole.drains) == {"drain port", "drain starboard"}


def test_marks_alone_make_a_sole_when_no_cockpit_is_drawn(demo):
    # demo marks: (0.06, +-0.85, 0.530) and (3.80, 0, 0.570): 40 mm over 3.74 m
    sole = sole_of(replace(demo, spaces=()), "mended plan")
    assert sole.space is None and len(sole.corners) == 3
    assert_allclose(sole.slopes(np.array([0.0, 0.0, 1.0])), (0.040 / 3.74, 0), rtol=0, atol=1e-12)


def test_two_marks_and_no_cockpit_are_no_sole(demo):
    few = tuple(m for m in demo.all_marks if m.name != "sole forward")
    with pytest.raises(hc.InputError, match=r"2 marks of the kind sole .* marks\.csv .* spaces\.csv"):
        sole_of(replace(demo, spaces=(), all_marks=few), "mended plan")
    in_line = tuple(m for m in demo.all_marks if m.kind != "sole" or m.name == "sole forward")
    with pytest.raises(hc.InputError, match="1 marks of the kind sole"):
        sole_of(replace(demo, spaces=(), all_marks=in_line), "mended plan")


def test_water_on_a_wall_side(box):
    # the side stands at y = 1: z = d + t (x - 3) - s y there
    d, t, s = 0.3, 0.04, 0.05
    n = unit([-t, s, 1.0])
    plane = (n, float(n @ [3.0, 0.0, d]))
    for side in (1, -1):
        for x in (0.0, 2.2, 6.0):
            assert_allclose(water_on_side(box.hull, plane, x, side), (x, side, d + t * (x - 3) - s * side), atol=1e-12)
    assert water_on_side(box.hull, (n, 9.0), 1.0) is None  # all wet
    assert water_on_side(box.hull, (n, -9.0), 1.0) is None  # all dry
    assert_allclose(below_sheer(box.hull, np.array([2.0, 1.0, 0.5])), (0.7, 0.7), atol=1e-12)


def test_taking_the_heel_out_leaves_the_centreline(box):
    n = unit([-0.04, 0.05, 1.0])
    plane = level_across((n, 0.31))
    assert plane[0][1] == 0 and np.linalg.norm(plane[0]) == pytest.approx(1, abs=1e-15)
    for x in (0.0, 4.0):
        z = (0.31 - n[0] * x) / n[2]
        assert plane[0] @ [x, 0.0, z] - plane[1] == pytest.approx(0, abs=1e-15)


def test_the_line_lies_on_the_hull_and_in_the_plane(demo):
    # Other road: the outline that a general mesh library (trimesh) makes of the same cut.
    plane = demo.float("mended plan", "family", shut=True).plane
    mesh = trimesh.Trimesh(demo.hull.solid.vertices, demo.hull.solid.faces, process=False)
    section = mesh.section(plane_normal=plane[0], plane_origin=plane[1] * plane[0])
    for side in (1, STARBOARD):
        line = waterline(demo.hull, plane, side)
        assert_allclose(line @ plane[0], plane[1], rtol=0, atol=1e-12)
        assert np.all(np.diff(line[:, 0]) >= 0) and np.all(side * line[:, 1] > 0)
        assert max(distance(point, section) for point in line[::9]) < 1e-9
    aft = on_transom(demo.hull, plane)
    assert aft[0] == pytest.approx(-aft[2] * np.tan(np.radians(14)), abs=1e-12)


def distance(point, section):
    """From a point to the nearest piece of the outlines of a section [m]."""
    pieces = np.concatenate([np.stack([path[:-1], path[1:]], axis=1) for path in section.discrete])
    along = pieces[:, 1] - pieces[:, 0]
    share = np.clip(np.sum((point - pieces[:, 0]) * along, axis=1) / np.sum(along**2, axis=1), 0, 1)
    return float(np.min(np.linalg.norm(pieces[:, 0] + share[:, None] * along - point, axis=1)))


def test_down_from_the_sheer_along_the_skin(demo):
    # by hand at x = 0: sheer (1.180, 0.960), outer chine (1.070, 0.338); a point half-way between them
    point = np.array([0.0, (1.180 + 1.070) / 2, (0.960 + 0.338) / 2])
    skin, plumb = below_sheer(demo.hull, point)
    assert plumb == pytest.approx(0.311, abs=1e-12)
    assert skin == pytest.approx(np.hypot(0.110, 0.622) / 2, abs=1e-12)
