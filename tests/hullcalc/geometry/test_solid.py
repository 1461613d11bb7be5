"""Cuts of a closed surface: exact at any plane, in any frame; what bounds nothing is refused before any number."""

from __future__ import annotations

import pickle
from copy import deepcopy

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.spatial import ConvexHull, Delaunay
from scipy.spatial.transform import Rotation

import hullcalc as hc
from hullcalc.geometry.makers import box, convex_hull

unit = st.floats(-1, 1, allow_subnormal=False)
directions = st.tuples(unit, unit, unit).filter(lambda v: np.linalg.norm(v) > 0.1)


def lumpy_body(seed: int, points: int = 40) -> hc.Solid:
    """A random convex body around (2, 0, 0.5), some metres long."""
    rng = np.random.default_rng(seed)
    return convex_hull(rng.normal(size=(points, 3)) * [2, 0.8, 0.5] + [2, 0, 0.5])


def clipped_corners(solid: hc.Solid, normal, offset):
    """Points whose convex hull is the wet part of a convex body, and those of them in the plane."""
    heights = solid.vertices @ normal - offset
    wet, dry = heights < 0, heights >= 0
    a, b = solid.vertices[wet][:, None], solid.vertices[dry][None]
    share = (heights[wet][:, None] / (heights[wet][:, None] - heights[dry][None]))[..., None]
    section = (a + share * (b - a)).reshape(-1, 3)
    return np.concatenate([solid.vertices[wet], section]), section


def figures(cut) -> np.ndarray:
    return np.concatenate([[cut.volume, cut.area], np.nan_to_num(cut.centroid), np.nan_to_num(cut.area_centroid),
                           cut.area_inertia.ravel()])  # fmt: skip


def moved(solid: hc.Solid, turn: Rotation, shift) -> hc.Solid:
    return hc.Solid(turn.apply(np.array(solid.vertices)) + shift, solid.faces)


@given(st.integers(0, 10_000), directions, st.floats(-1, 1))
def test_against_qhull(seed, normal, part):
    # Other road: scipy's Qhull on the corners of the clipped body; its own merging of near-coplanar facets costs 1e-9.
    solid = lumpy_body(seed)
    heights = solid.vertices @ normal
    offset = heights.mean() + part * np.ptp(heights) / 2
    cut = solid.cut(normal, offset)
    if not 0.01 < cut.volume / solid.volume < 0.99:
        return  # a sliver, or nothing to cut
    corners, section = clipped_corners(solid, normal, offset)
    assert_allclose(cut.volume, ConvexHull(corners).volume, rtol=1e-8)
    tets = corners[Delaunay(corners, qhull_options="QJ").simplices]
    sizes = abs(np.linalg.det(tets[:, 1:] - tets[:, :1]))
    assert_allclose(cut.centroid, sizes @ tets.mean(axis=1) / sizes.sum(), rtol=0, atol=1e-6)  # joggled input
    u = np.linalg.svd(np.array([normal]))[2][1:]
    assert_allclose(cut.area, ConvexHull(section @ u.T).volume, rtol=1e-8)


@given(st.integers(0, 10_000), directions, st.floats(-1, 1))
def test_both_sides_make_the_whole(seed, normal, part):
    solid = lumpy_body(seed)
    heights = solid.vertices @ normal
    offset = heights.mean() + part * np.ptp(heights) / 2
    below, above = solid.cut(normal, offset), solid.cut(-np.asarray(normal), -offset)
    assert_allclose(below.volume + above.volume, solid.volume, rtol=1e-12)
    both = below.volume * np.nan_to_num(below.centroid) + above.volume * np.nan_to_num(above.centroid)
    assert_allclose(both, solid.volume * solid.centroid, rtol=0, atol=1e-11 * solid.volume)
    assert_allclose(below.area, above.area, rtol=1e-9, atol=1e-10)
    assert_allclose(below.area_inertia, above.area_inertia, rtol=1e-9, atol=1e-9)


@given(st.integers(0, 10_000), directions, st.floats(-0.9, 0.9), directions, st.floats(0, 6), directions)
def test_turning_body_and_plane_together_turns_the_answer(seed, normal, part, axis, angle, shift):
    solid = lumpy_body(seed)
    heights = solid.vertices @ normal
    offset = heights.mean() + part * np.ptp(heights) / 2
    turn = Rotation.from_rotvec(np.asarray(axis) / np.linalg.norm(axis) * angle)
    shift = 10 * np.asarray(shift)
    before = solid.cut(normal, offset)
    n = turn.apply(normal)
    after = moved(solid, turn, shift).cut(n, offset + n @ shift)
    assert_allclose(after.volume, before.volume, rtol=1e-9, atol=1e-12)
    assert_allclose(after.area, before.area, rtol=1e-9, atol=1e-10)
    if before.volume > 1e-9:
        assert_allclose(after.centroid, turn.apply(before.centroid) + shift, rtol=0, atol=1e-9)
    r = turn.as_matrix()
    assert_allclose(after.area_inertia, r @ before.area_inertia @ r.T, rtol=0, atol=1e-9)


@given(st.integers(0, 10_000), directions, st.floats(-0.9, 0.9))
def test_a_mirrored_body_gives_a_mirrored_answer(seed, normal, part):
    solid = lumpy_body(seed)
    mirror = np.array([1, -1, 1])
    twin = hc.Solid(solid.vertices * mirror, solid.faces[:, ::-1])
    heights = solid.vertices @ normal
    offset = heights.mean() + part * np.ptp(heights) / 2
    one, other = solid.cut(normal, offset), twin.cut(normal * mirror, offset)
    assert_allclose(other.volume, one.volume, rtol=1e-12, atol=1e-14)
    assert_allclose(np.nan_to_num(other.centroid), np.nan_to_num(one.centroid) * mirror, rtol=0, atol=1e-10)


def test_planes_through_vertices_edges_and_faces_are_exact():
    # Closed form: a box 6 x 2 x 1.2 m cut level at z has volume 12 z; planes through its edges cut wedges.
    body = box((-3, 3), (-1, 1), (0, 1.2))
    for z in (0.3, 0.6, 0.9):
        assert body.cut((0, 0, 1), z).volume == pytest.approx(12 * z, rel=1e-14)
    through_edges = body.cut((-1.2, 0, 6), 3.6)  # from the bottom edge aft to the top edge forward
    assert_allclose(through_edges.volume, body.volume / 2, rtol=1e-14)
    assert_allclose(through_edges.area, 2 * np.hypot(6, 1.2), rtol=1e-14)
    corner = body.cut((1, 1, 1), -4.0 + 1e-3)  # the corner (-3, -1, 0): a small tetrahedron
    assert_allclose(corner.volume, 1e-9 / 6, rtol=1e-9)
    assert body.cut((1, 1, 1), -4.0).volume == 0.0
    assert np.all(np.isnan(body.cut((1, 1, 1), -4.0).centroid))


def test_a_face_in_the_plane_counts_from_below():
    body = box((-3, 3), (-1, 1), (0, 1.2))
    awash, touching = body.cut((0, 0, 1), 1.2), body.cut((0, 0, 1), 0.0)
    assert (awash.volume, awash.area) == (pytest.approx(14.4, rel=1e-14), pytest.approx(12, rel=1e-15))
    assert_allclose(awash.area_centroid, [0, 0, 1.2], atol=1e-15)
    assert_allclose(np.diag(awash.area_inertia), [2 * 6**3 / 12, 6 * 2**3 / 12, 0], rtol=1e-14, atol=1e-15)
    assert (touching.volume, touching.area) == (0.0, 0.0)
    assert np.all(np.isnan(touching.area_centroid)) and not np.any(touching.area_inertia)
    wholly_under = body.cut((0, 0, 1), 2.0)
    assert wholly_under.area == 0.0 and np.all(np.isnan(wholly_under.area_centroid))
    assert_allclose(wholly_under.centroid, body.centroid, atol=1e-15)


def test_an_inclined_section_s_inertia_stands_in_boat_axes():
    # Closed form: a plane 3:4 across a square column cuts a rectangle 1 x 1.25 m; J = a b^3 / 12 along its long side.
    body = box((0, 1), (0, 1), (-5, 5))
    cut = body.cut((0, -3, 4), 0.0)
    along, n = np.array([0, 0.8, 0.6]), np.array([0, -0.6, 0.8])
    assert_allclose(cut.area, 1.25, rtol=1e-14)
    assert_allclose(along @ cut.area_inertia @ along, 1.25**3 / 12, rtol=1e-13)
    assert_allclose([1, 0, 0] @ cut.area_inertia @ [1, 0, 0], 1.25 / 12, rtol=1e-13)
    assert_allclose(cut.area_inertia @ n, 0, atol=1e-14)  # rounding of a column 10 m long


@pytest.mark.parametrize("away", [1e3, 1e5, 1e7])
def test_a_far_origin_costs_only_the_coordinates_own_rounding(away):
    near = lumpy_body(7)
    shift = away * np.array([1.0, -0.5, 0.25])
    far = hc.Solid(near.vertices + shift, near.faces)
    here = hc.Solid(far.vertices - shift, near.faces)  # the same points, rounded as the far file rounds them
    n = np.array([0.1, 0.2, 1.0])
    offset = near.vertices.mean(axis=0) @ n
    cut, reference = far.cut(n, offset + shift @ n), here.cut(n, offset)
    rounding = 4e-16 * away / 0.1  # of the coordinates, over the body's own thickness
    assert_allclose(cut.volume, reference.volume, rtol=20 * rounding)
    assert_allclose(cut.centroid - shift, reference.centroid, rtol=0, atol=20 * rounding)


def test_triangles_of_no_area_change_nothing():
    body = lumpy_body(3)
    v, f = body.vertices, body.faces
    extra = np.concatenate([f, np.stack([f[:, 0], f[:, 1], f[:, 1]], axis=1)[::3]])  # along an edge and back
    padded = hc.Solid(v, extra)
    for normal, offset in (((0.2, 0.1, 1), 0.5), ((1, 0, 0), 2.0)):
        assert_allclose(figures(padded.cut(normal, offset)), figures(body.cut(normal, offset)), rtol=0, atol=5e-14)


def test_a_finer_mesh_of_the_same_body_gives_the_same_cut():
    body = lumpy_body(5)
    mesh = trimesh.Trimesh(body.vertices, body.faces, process=False)
    fine = mesh.subdivide().subdivide().subdivide()
    finer = hc.Solid(fine.vertices, fine.faces)
    assert len(finer.faces) == 64 * len(body.faces)
    for normal, offset in (((0.02, -0.03, 1), 0.5), ((0.4, 0.3, 1), 1.0), ((0, 1, 0), 0.1)):
        assert_allclose(figures(finer.cut(normal, offset)), figures(body.cut(normal, offset)), rtol=0, atol=1e-12)


def test_volume_and_centroid_of_the_whole_against_a_general_mesh_library():
    for seed in range(20):
        body = lumpy_body(seed)
        mesh = trimesh.Trimesh(body.vertices, body.faces, process=False)
        assert_allclose(body.volume, mesh.volume, rtol=1e-13)
        assert_allclose(body.centroid, mesh.center_mass, rtol=0, atol=1e-13)


def test_many_parallel_cuts_are_the_single_ones():
    body = lumpy_body(9)
    offsets = np.linspace(-1, 2, 7)
    for cut, offset in zip(body.cut_level(offsets, (0.1, 0, 2)), offsets, strict=True):
        assert_allclose(figures(cut), figures(body.cut((0.1, 0, 2), offset)), rtol=0, atol=0)


def test_an_open_box_is_refused_before_any_number_exists():
    body = box((0, 1), (0, 1), (0, 1))
    with pytest.raises(hc.GeometryError, match="edge") as caught:
        hc.Solid(body.vertices, body.faces[1:])
    assert caught.value.edges.shape == (3, 2, 3)  # the three edges of the missing triangle


@pytest.mark.parametrize("normal", [(0, 0, 0), (np.nan, 0, 1), (np.inf, 0, 0), (1, 0), "up"])
def test_a_normal_without_direction_is_refused(normal):
    with pytest.raises(hc.InputError, match="normal"):
        box((0, 1), (0, 1), (0, 1)).cut(normal, 0.5)


def test_an_offset_that_is_no_number_is_refused():
    with pytest.raises(hc.InputError, match="offset"):
        box((0, 1), (0, 1), (0, 1)).cut((0, 0, 1), np.nan)


def test_the_caller_s_arrays_may_change_afterwards():
    body = box((0, 1), (0, 1), (0, 1))
    vertices = np.array(body.vertices)
    copy = hc.Solid(vertices, body.faces)
    vertices[:] = 0
    assert copy.volume == pytest.approx(1.0)
    with pytest.raises(ValueError, match="read-only"):
        copy.vertices[0, 0] = 5.0


@pytest.mark.parametrize("seed", range(12))
def test_a_turned_face_in_the_plane_counts_from_below_too(seed):
    rng = np.random.default_rng(seed)
    turn, shift = Rotation.random(rng=rng), rng.uniform(-20, 20, 3)
    body = box((-3, 3), (-1, 1), (0, 1.2))
    turned = hc.Solid(turn.apply(np.array(body.vertices)) + shift, body.faces)
    up = turn.apply([0, 0, 1]) * rng.uniform(0.1, 10)
    awash, touching = turned.cut(up, up @ (turn.apply([0, 0, 1.2]) + shift)), turned.cut(up, up @ shift)
    assert_allclose(awash.area, 12, rtol=1e-12)
    assert_allclose(awash.volume, 14.4, rtol=1e-13)
    assert (touching.volume, touching.area) == (0.0, 0.0)


def test_copies_are_shut_and_cut_alike():
    body = lumpy_body(4)
    for copy in (pickle.loads(pickle.dumps(body)), deepcopy(body)):
        assert_allclose(figures(copy.cut((0, 0, 1), 0.5)), figures(body.cut((0, 0, 1), 0.5)), rtol=0, atol=0)
        for array in (copy.vertices, copy.faces, copy.centroid, copy.bounds):
            assert not array.flags.writeable
    assert repr(box((0, 1), (0, 1), (0, 2))) == "Solid(8 vertices, 12 faces, 2 m3)"


@pytest.mark.parametrize("normal", [(1e-200, 0, 0), (0, 1e200, 0), (1e-300, 1e-300, 1e-300)])
def test_a_normal_of_any_length_will_do(normal):
    body = box((-1, 1), (-1, 1), (-1, 1))
    assert_allclose(body.cut(normal, 0.0).volume, 4, rtol=1e-12)


@pytest.mark.parametrize("offset", [None, "deep", [0.1, 0.2], np.nan])
def test_an_offset_is_one_number(offset):
    with pytest.raises(hc.InputError, match="offset"):
        box((0, 1), (0, 1), (0, 1)).cut((0, 0, 1), offset)
