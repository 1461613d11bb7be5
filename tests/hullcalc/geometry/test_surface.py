"""Which surfaces bound a body. The other road to a winding number is the solid angle, summed over all faces."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.spatial import ConvexHull

from hullcalc import GeometryError, InputError
from hullcalc.geometry.surface import check_closed, merge_vertices, signed_volume
from hullcalc.geometry.winding import find_fault

CUBE = np.array([[x, y, z] for x in (0.0, 1.0) for y in (0.0, 1.0) for z in (0.0, 1.0)])  # corner 4x + 2y + z
CUBE_FACES = np.array(
    [
        [0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1],
        [2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3],
    ]
)  # fmt: skip
quick = settings(derandomize=True, deadline=None, database=None, max_examples=60)
seeds = st.integers(0, 2**32 - 1)


def together(*bodies):
    """One mesh of several."""
    start = np.cumsum([0, *(len(v) for v, _ in bodies)])
    return np.concatenate([v for v, _ in bodies]), np.concatenate(
        [f + s for (_, f), s in zip(bodies, start, strict=False)]
    )


def cube(low=(0, 0, 0), size=(1, 1, 1), inward=False):
    return CUBE * size + low, CUBE_FACES[:, ::-1] if inward else CUBE_FACES


def rotation(rng):
    q, r = np.linalg.qr(rng.normal(size=(3, 3)))
    q = q * np.sign(np.diag(r))
    return q if np.linalg.det(q) > 0 else -q


def hull(rng, n):
    """Random points on a ball: all triangles of their convex hull, outward."""
    points = rng.normal(size=(n, 3))
    points /= np.linalg.norm(points, axis=1)[:, None]
    faces = ConvexHull(points).simplices.copy()
    a, b, c = (points[faces[:, k]] for k in range(3))
    inward = np.einsum("ij,ij->i", np.cross(b - a, c - a), a - points.mean(axis=0)) < 0  # the mean lies within
    faces[inward] = faces[inward][:, ::-1]
    return points, faces


def torus(n=24, m=10):
    i, j = (a.ravel() for a in np.meshgrid(np.arange(n), np.arange(m), indexing="ij"))
    u, v = 2 * np.pi * i / n, 2 * np.pi * j / m
    points = np.stack([(3 + np.cos(v)) * np.cos(u), (3 + np.cos(v)) * np.sin(u), np.sin(v)], axis=1)
    a, b, c, d = i * m + j, (i + 1) % n * m + j, (i + 1) % n * m + (j + 1) % m, i * m + (j + 1) % m
    return points, np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])


def winding_by_solid_angle(point, vertices, faces):
    # A. van Oosterom and J. Strackee, The solid angle of a plane triangle, IEEE Trans. Biomed. Eng. 30 (1983) 125-126.
    a, b, c = (vertices[faces[:, k]] - point for k in range(3))
    la, lb, lc = (np.linalg.norm(r, axis=1) for r in (a, b, c))
    triple = np.einsum("ij,ij->i", a, np.cross(b, c))
    dot = la * lb * lc + (a * b).sum(1) * lc + (b * c).sum(1) * la + (c * a).sum(1) * lb
    return np.arctan2(triple, dot).sum() / (2 * np.pi)


def refused(vertices, faces, match):
    with pytest.raises(GeometryError, match=match) as caught:
        check_closed(vertices, faces)
    return caught.value


def test_a_cube_and_its_volume():
    check_closed(CUBE, CUBE_FACES)
    assert signed_volume(CUBE, CUBE_FACES) == pytest.approx(1.0, rel=1e-15)
    assert signed_volume(CUBE, CUBE_FACES[:, ::-1]) == pytest.approx(-1.0, rel=1e-15)
    check_closed(CUBE.tolist(), CUBE_FACES.tolist())


def test_a_soup_of_triangles_is_welcome_and_merges():
    vertices, faces = CUBE[CUBE_FACES].reshape(-1, 3), np.arange(36).reshape(-1, 3)
    vertices = np.where(vertices == 0, -0.0, vertices)  # minus nought is nought
    vertices[::5] += 0.0
    check_closed(vertices, faces)
    merged, triangles = merge_vertices(vertices, faces)
    assert merged.shape == (8, 3) and triangles.shape == (12, 3)
    assert not np.signbit(merged).any()
    assert_allclose(merged[triangles], vertices[faces], rtol=0, atol=0)


def test_faces_naming_one_vertex_twice_contribute_nothing():
    faces = np.concatenate([CUBE_FACES, [[0, 0, 5], [3, 7, 3], [2, 2, 2]]])
    check_closed(CUBE, faces)
    assert len(merge_vertices(CUBE, faces)[1]) == 12


def test_unused_vertices_do_not_matter():
    vertices = np.concatenate([[[1e9, 0, 0]], CUBE, [[0, -1e9, 5]]])
    check_closed(vertices, CUBE_FACES + 1)
    assert len(merge_vertices(vertices, CUBE_FACES + 1)[0]) == 8
    refused(*together((np.full((3, 3), 1e9), np.zeros((0, 3), int)), cube(), cube((0.5, 0.5, 0.5))), "overlap")


def test_a_body_of_needles_alone_is_taken_on_its_edges_and_volume():
    # No face is broad enough for a line to be shot through it: nothing is known of crossings, so nothing is said.
    ring = [[0.5, 4e-7 * np.cos(a), 4e-7 * np.sin(a)] for a in 2 * np.pi * np.arange(3) / 3]
    faces = [[0, 3, 2], [0, 4, 3], [0, 2, 4], [1, 2, 3], [1, 3, 4], [1, 4, 2]]
    check_closed([[0, 0, 0], [1, 0, 0], *ring], faces)


def test_a_face_without_area_is_legal_while_edges_balance():
    # The edge from corner 0 to corner 4 is split on one side only; a triangle without area joins both halves to it.
    middle = len(CUBE)
    vertices = np.concatenate([CUBE, [[0.5, 0, 0]]])
    faces = [f for f in CUBE_FACES.tolist() if f != [0, 4, 5]] + [[0, middle, 5], [middle, 4, 5]]
    refused(vertices, faces, "the surface is open")
    check_closed(vertices, [*faces, [0, 4, middle]])


@quick
@given(seeds, st.integers(4, 60), st.floats(-3, 3), st.sampled_from([0.0, 1.0, 1e3, 1e7]))
def test_no_false_alarm_on_turned_scaled_and_distant_hulls(seed, n, power, offset):
    rng = np.random.default_rng(seed)
    vertices, faces = hull(rng, n)
    size = 10.0**power
    check_closed(vertices @ rotation(rng).T * size + min(offset, 1e4 * size), faces)


@quick
@given(seeds, st.floats(-3, 3))
def test_no_false_alarm_on_slender_and_flat_boxes(seed, power):
    rng = np.random.default_rng(seed)
    size = 10.0 ** rng.uniform(-4, 0, 3)
    check_closed(CUBE * size @ rotation(rng).T * 10.0**power, CUBE_FACES)


@quick
@given(seeds)
def test_no_false_alarm_on_single_precision_files(seed):
    rng = np.random.default_rng(seed)
    vertices, faces = together(hull(rng, 40), cube((2, 0, 0)), cube((3, 0, 0)))  # the cubes touch
    check_closed((vertices @ rotation(rng).T).astype(np.float32), faces)


@pytest.mark.parametrize(
    "bodies",
    [
        pytest.param([cube(), cube((0, 3, 0))], id="twin hulls"),
        pytest.param([cube(), cube((1, 0, 0))], id="touching by a whole face"),
        pytest.param([cube(), cube((1, 0.3, 0.2), (1, 0.5, 2))], id="touching by part of a face"),
        pytest.param([cube(), cube((1, 1, 0))], id="touching by an edge"),
        pytest.param([cube(), cube((1, 1, 1))], id="touching by a corner"),
        pytest.param([cube(), cube((0.2, 0.2, 0.2), (0.5, 0.5, 0.5), inward=True)], id="cavity"),
        pytest.param([cube(), cube((0, 0.2, 0.2), (0.5, 0.5, 0.5), inward=True)], id="cavity touching the outer face"),
        pytest.param(
            [cube((0, 0, 0), (4, 4, 4)), cube((1, 1, 1), (2, 2, 2), inward=True), cube((1.5, 1.5, 1.5))],
            id="body within a cavity",
        ),
        pytest.param([cube((0, 0, 0), (1, 1, 1e-9))], id="thin plate"),
        pytest.param([cube((0, 0, 0), (1, 1, 1e-3)), cube((0, 0, 1e-3), (1, 1, 1e-3))], id="two plates on each other"),
        pytest.param([torus()], id="ring"),
    ],
)
@pytest.mark.parametrize(("scale", "offset"), [(1.0, 0.0), (7000.0, 1e7)])
def test_legal_bodies(bodies, scale, offset):
    vertices, faces = together(*bodies)
    check_closed(vertices * scale + offset, faces)
    check_closed(vertices @ rotation(np.random.default_rng(5)).T * scale + offset, faces)


@pytest.mark.parametrize("missing", range(12))
def test_a_missing_face_leaves_its_edges_open(missing):
    error = refused(CUBE, np.delete(CUBE_FACES, missing, axis=0), r"open: 3 edges, \(.*one face only; close the hole")
    expected = CUBE[CUBE_FACES[missing][[[0, 1], [1, 2], [2, 0]]]]
    assert {frozenset(map(tuple, edge)) for edge in error.edges} == {frozenset(map(tuple, edge)) for edge in expected}


def test_one_open_edge_pair_is_named_by_coordinates():
    error = refused(CUBE, np.delete(CUBE_FACES, [4, 5, 10], axis=0), r"\(0, 0, 0\) to \(0, 0, 1\)")
    assert error.edges.shape == (5, 2, 3)


@pytest.mark.parametrize("turned", range(12))
def test_one_turned_face_is_named_in_the_callers_count(turned):
    faces = CUBE_FACES.copy()
    faces[turned] = faces[turned][::-1]
    faces = np.concatenate([[[1, 1, 2], [3, 3, 3]], faces])  # two faces of nothing before it
    error = refused(CUBE, faces, rf"disagree about the inside: 3 edges.*look at face {turned + 2} first")
    assert error.edges.shape == (3, 2, 3)


@quick
@given(seeds, st.integers(8, 40))
def test_any_missing_or_turned_face_of_any_hull_is_refused(seed, n):
    rng = np.random.default_rng(seed)
    vertices, faces = hull(rng, n)
    k = rng.integers(len(faces))
    refused(vertices, np.delete(faces, k, axis=0), "open")
    refused(vertices, np.concatenate([np.delete(faces, k, axis=0), faces[k : k + 1, ::-1]]), "disagree")
    refused(vertices, faces[:, ::-1], "inside out")


def test_a_doubled_face_is_refused():
    error = refused(
        CUBE, np.concatenate([CUBE_FACES, CUBE_FACES[:1]]), "do not balance: 3 edges.*take out double faces"
    )
    assert error.edges.shape == (3, 2, 3)


def test_one_edge_run_twice_is_named_beside_the_open_ones():
    vertices = [[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]]
    error = refused(
        vertices, [[0, 1, 2], [0, 1, 3]], r"open: 4 edges.*Also, faces disagree .*: 1 edge, .*\), is run twice"
    )
    assert error.edges.shape == (5, 2, 3)


@pytest.mark.parametrize("size", [1e-120, 1e-9, 1e11])
def test_any_unit_of_length(size):
    check_closed(CUBE * size, CUBE_FACES)
    refused(CUBE * size, CUBE_FACES[:, ::-1], "inside out")


def test_nearly_equal_corners_ask_for_welding():
    vertices = CUBE[CUBE_FACES].reshape(-1, 3)
    vertices[:3] += 1e-9
    refused(vertices, np.arange(36).reshape(-1, 3), r"open: .*3 pairs of corners .*nearly but not exactly equal.*weld")


def test_all_faces_inward():
    refused(*cube(inward=True), "inside out: its faces look inward; swap two corners of every face")


def test_a_small_inward_body_beside_a_great_one():
    bodies = [torus(40, 40), cube((9, 9, 9), (0.01, 0.01, 0.01), inward=True)]
    assert signed_volume(*together(*bodies)) > 0
    error = refused(*together(*bodies), r"a part of the surface is inside out or crosses itself: at about \(9.0")
    assert error.edges.shape == (6, 2, 3)


@pytest.mark.parametrize(
    ("bodies", "count"),
    [
        pytest.param([cube(), cube((0.5, 0.5, 0.5))], 2, id="overlap"),
        pytest.param([cube(), cube()], 2, id="twice the same"),
        pytest.param([cube(), cube((0.25, 0.25, 0.25), (0.5, 0.5, 0.5))], 2, id="body within a body"),
        pytest.param([cube(), cube(), cube()], 3, id="three times the same"),
    ],
)
def test_overlapping_bodies_count_more_than_once(bodies, count):
    vertices, faces = together(*bodies)
    refused(vertices, faces, f"crosses itself or two of its bodies overlap: at about .* it counts {count} times")
    fault = find_fault(*merge_vertices(vertices, faces))
    assert fault.winding == count
    assert winding_by_solid_angle(fault.place, vertices, faces) == pytest.approx(count, abs=1e-9)


@quick
@given(seeds)
def test_any_fair_overlap_of_two_boxes_is_found(seed):
    rng = np.random.default_rng(seed)
    size = rng.uniform(0.5, 2, 3)
    vertices, faces = together(cube(), cube(rng.uniform(-0.7 * size, 0.7), size))
    overlap = np.minimum(1, vertices[8:].max(0)) - np.maximum(0, vertices[8:].min(0))
    assume((overlap > 0.2).all())
    turned = vertices @ rotation(rng).T
    fault = find_fault(turned, faces)
    assert fault.winding == 2
    assert winding_by_solid_angle(fault.place, turned, faces) == pytest.approx(2, abs=1e-9)
    refused(turned, faces, "overlap")


def test_a_bow_tie_crosses_itself():
    # An outline whose sides cross: one wing is run round the wrong way. The wings differ, so that the sum is positive.
    outline = np.array([[0, 0], [2, 2], [2, 0], [0, 1.0]])
    vertices = np.concatenate([np.insert(outline, 2, z, axis=1) for z in (0.0, 1.0)])
    sides = [[i, j, j + 4] for i, j in ((0, 1), (1, 2), (2, 3), (3, 0))] + [
        [i, j + 4, i + 4] for i, j in ((0, 1), (1, 2), (2, 3), (3, 0))
    ]
    faces = np.array([*sides, [0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]])
    if signed_volume(vertices, faces) < 0:
        faces = faces[:, ::-1]
    error = refused(vertices, faces, "inside out or crosses itself: at about .* winds -1 times")
    assert len(error.edges)


def test_nothing_enclosed():
    refused(CUBE * [1, 1, 0], CUBE_FACES, "encloses no volume")
    refused([[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2], [0, 2, 1]], "encloses no volume")
    refused(np.ones((4, 3)), [[0, 1, 2]], "no face with three different corners")


@pytest.mark.parametrize(
    ("vertices", "faces", "error", "match"),
    [
        (CUBE[:, :2], CUBE_FACES, InputError, r"vertices have shape \(8, 2\), expected \(n, 3\)"),
        (CUBE, np.zeros((6, 4), int), InputError, r"faces have shape \(6, 4\).*split faces of four corners"),
        (CUBE, CUBE_FACES + 0.5, InputError, "whole ones"),
        (np.where(CUBE == 1, np.nan, CUBE), CUBE_FACES, InputError, r"vertices\[1, 2\] = nan is not a coordinate"),
        (CUBE * 1e308, CUBE_FACES, InputError, r"vertices\[1, 2\] = 1e\+308 is not a coordinate"),
        (CUBE, CUBE_FACES + 1, InputError, r"faces\[.*\] = 8 names no vertex: they are 0 to 7; count vertices from 0"),
        (CUBE, CUBE_FACES - 1, InputError, r"faces\[0, 0\] = -1 names no vertex"),
        (CUBE, [], GeometryError, "no faces"),
        ([], CUBE_FACES, InputError, r"vertices have shape \(0,\)"),
        ([["a", 0, 0]], CUBE_FACES, InputError, "no table of numbers"),
        (CUBE, [[0, 1], [2, 3, 4]], InputError, "no table of numbers"),
    ],
)
def test_what_is_no_mesh_at_all(vertices, faces, error, match):
    with pytest.raises(error, match=match):
        check_closed(vertices, faces)
