"""Solids from dimensions, against closed forms and against general reference libraries (scipy, trimesh)."""

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from scipy.spatial import ConvexHull

from hullcalc import GeometryError, InputError
from hullcalc.geometry.makers import box, convex_hull, loft, prism
from hullcalc.geometry.polygon import triangulate

quick = settings(derandomize=True, deadline=None, database=None, max_examples=50)
seeds = st.integers(0, 2**32 - 1)
ELL = [[0, 0], [3, 0], [3, 1], [1, 1], [1, 2], [0, 2]]  # area 4


def shoelace(outline):
    (x, y), (x1, y1) = np.transpose(outline), np.transpose(np.roll(outline, -1, axis=0))
    return float((x * y1 - x1 * y).sum() / 2)


def star(rng, n):
    """A random outline without crossings: corners at rising angles round the origin, concave at many."""
    angle = 2 * np.pi * (np.arange(n) + rng.uniform(0.1, 0.9, n)) / n
    return rng.uniform(0.2, 1.0, n)[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)


def reference(solid):
    """Volume and centroid by trimesh, which sums over faces in its own way."""
    mesh = trimesh.Trimesh(solid.vertices, solid.faces, process=False)
    return mesh.volume, mesh.center_mass


# --- box and prism


@quick
@given(seeds)
def test_a_box(seed):
    rng = np.random.default_rng(seed)
    low, size = rng.uniform(-5, 5, 3), rng.uniform(0.01, 3, 3)
    high = low + size
    body = box(*zip(low, high, strict=True))
    assert body.volume == pytest.approx(np.prod(high - low), rel=1e-12)
    assert_allclose(body.centroid, (low + high) / 2, rtol=0, atol=1e-12)
    assert_array_equal(body.vertices.min(axis=0), low)
    assert_array_equal(body.vertices.max(axis=0), high)
    assert body.faces.shape == (12, 3)


@pytest.mark.parametrize("axis", ["x", "y", "z"])
@pytest.mark.parametrize("step", [1, -1])
def test_a_prism_along_each_axis_in_either_direction(axis, step):
    body = prism(ELL[::step], axis, -0.5, 1.5)
    # An L of two rectangles, 3 x 1 and 1 x 1: area 4, centroid by hand ((3 x 1.5 + 1 x 0.5)/4, (3 x 0.5 + 1 x 1.5)/4).
    assert body.volume == pytest.approx(8.0, rel=1e-14)
    expected = np.insert([1.25, 0.75], "xyz".index(axis), 0.5)
    assert_allclose(body.centroid, expected, rtol=0, atol=1e-14)


@quick
@given(seeds, st.integers(3, 40), st.sampled_from("xyz"))
def test_any_outline_keeps_its_area(seed, n, axis):
    outline = star(np.random.default_rng(seed), n)
    body = prism(outline, axis, 0.0, 2.0)
    assert body.volume == pytest.approx(2 * shoelace(outline), rel=1e-11)
    volume, centre = reference(body)
    assert body.volume == pytest.approx(volume, rel=1e-11)
    assert_allclose(body.centroid, centre, rtol=0, atol=1e-10)


@quick
@given(seeds, st.integers(3, 40))
def test_ears_cover_the_outline_once(seed, n):
    outline = star(np.random.default_rng(seed), n)
    ears = triangulate(outline)
    assert ears.shape == (n - 2, 3)
    areas = [shoelace(outline[ear]) for ear in ears]
    assert min(areas) > 0  # none is turned over: together they cover the outline once, if the areas add up
    assert sum(areas) == pytest.approx(shoelace(outline), rel=1e-11)


def test_straight_corners_and_repeated_points_are_legal():
    outline = [[0, 0], [1, 0], [2, 0], [2, 1], [2, 1], [2, 2], [1, 2], [0, 2], [0, 1]]
    assert prism(outline, "z", 0, 1).volume == pytest.approx(4.0, rel=1e-14)


def test_a_spike_encloses_nothing():
    # A bow section whose chine has run into the stem: keel, chine on the centreline, sheer, back along the centreline.
    outline = np.array([[0, 0.3], [0, 0.6], [0.3, 1.0], [0, 1.0]])
    assert sum(shoelace(outline[ear]) for ear in triangulate(outline)) == pytest.approx(0.3 * 0.4 / 2, rel=1e-14)


@pytest.mark.parametrize(
    ("make", "error", "match"),
    [
        (lambda: box((1, 1), (0, 1), (0, 1)), InputError, r"high end of x = 1 m is not above the low end 1 m"),
        (lambda: box((0, 1), (1, -1), (0, 1)), InputError, r"high end of y = -1 m is not above the low end 1 m; swap"),
        (lambda: box((0, 1), (0, 1), (0, np.nan)), InputError, r"z\[1\] = nan m is no number"),
        (lambda: box((0, 1), (0, 1), (0, np.inf)), InputError, r"z\[1\] = inf m is no number"),
        (lambda: box(1, (0, 1), (0, 1)), InputError, "give two values, the low and the high end"),
        (
            lambda: prism([[0, 0], [1, 0]], "x", 0, 1),
            InputError,
            r"outline of shape \(2, 2\): give 3 or more rows of 2",
        ),
        (lambda: prism([[0, 0, 0]] * 4, "x", 0, 1), InputError, r"outline of shape \(4, 3\)"),
        (lambda: prism([[0, 0], [1, 0], [0, np.nan]], "x", 0, 1), InputError, r"outline\[2, 1\] = nan m"),
        (lambda: prism(ELL, "w", 0, 1), InputError, 'axis = \'w\' is none of "x", "y", "z"'),
        (lambda: prism(ELL, "x", 1, 0), InputError, "high end of x = 0 m is not above the low end 1 m"),
        (lambda: prism([[0, 0], [1, 1], [2, 2]], "x", 0, 1), GeometryError, "encloses no volume"),
        (lambda: prism([[0, 0], [2, 2], [2, 0], [0, 1]], "x", 0, 1), GeometryError, "crosses itself"),
        (
            lambda: prism([[5, 0], [3, 4], [5, 3], [2, 1], [2, 2]], "z", 0, 1),
            GeometryError,
            "the outline crosses itself",
        ),
        (lambda: prism([[0, 0], [4, 0], [4, 4], [1, -1], [0, 3]], "z", 0, 1), GeometryError, "crosses itself"),
    ],
)
def test_boxes_and_prisms_that_cannot_be(make, error, match):
    with pytest.raises(error, match=match):
        make()


# --- convex hull


@quick
@given(seeds, st.integers(4, 80), st.sampled_from([0.0, 10.0, 1e4]))
def test_convex_hull_of_random_corners(seed, n, offset):
    corners = np.random.default_rng(seed).normal(size=(n, 3)) + offset
    body = convex_hull(corners)
    assert body.volume == pytest.approx(ConvexHull(corners - offset).volume, rel=1e-8 if offset else 1e-12)
    assert set(map(tuple, body.vertices)) <= set(map(tuple, corners))


@quick
@given(seeds)
def test_corners_on_faces_and_edges_change_nothing(seed):
    rng = np.random.default_rng(seed)
    size = rng.uniform(0.1, 3, 3)
    grid = np.stack(np.meshgrid(*[np.linspace(0, 1, rng.integers(2, 5)) for _ in range(3)]), axis=-1).reshape(-1, 3)
    turn = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    body = convex_hull(np.concatenate([grid, grid[:3]]) * size @ turn)
    assert body.volume == pytest.approx(np.prod(size), rel=1e-12)
    assert_allclose(body.centroid, size / 2 @ turn, rtol=0, atol=1e-12)


def test_a_round_of_coplanar_corners():
    n = 48
    angle = 2 * np.pi * np.arange(n) / n
    ring = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    body = convex_hull(np.concatenate([np.insert(ring, 2, z, axis=1) for z in (0.0, 0.7)]))
    assert body.volume == pytest.approx(0.7 * n / 2 * np.sin(2 * np.pi / n), rel=1e-12)  # regular polygon, closed form


def test_a_raked_pod():
    # Corners of an invented bracket pod: a frustum-like body between two rectangles across the boat, each side plane
    # in y. Cut along the boat at fixed y fraction its outline is the quadrilateral of the four (x, z) corners, and the
    # half-breadth runs linearly with the share s from the front to the after edge: V = int 2 b(s) dA over it.
    front, after = np.array([[-0.035, 0.14], [-0.145, 0.58]]), np.array([[-0.80, 0.31], [-0.86, 0.58]])
    corners = [(x, side * b, z) for pair, b in ((front, 0.30), (after, 0.26)) for x, z in pair for side in (1, -1)]
    points, weights = np.polynomial.legendre.leggauss(4)
    points, weights = (points + 1) / 2, weights / 2
    s, t = np.meshgrid(points, points, indexing="ij")
    ds = (after[0] - front[0])[:, None, None] * (1 - t) + (after[1] - front[1])[:, None, None] * t
    dt = (front[1] - front[0])[:, None, None] * (1 - s) + (after[1] - after[0])[:, None, None] * s
    area = np.abs(ds[0] * dt[1] - ds[1] * dt[0])
    ruled = float(np.einsum("i,j,ij->", weights, weights, 2 * (0.30 + s * (0.26 - 0.30)) * area))
    body = convex_hull(corners)
    assert 0 < body.volume / ruled - 1 < 2e-3  # its sides are a little twisted and the hull lies outside them
    assert round(body.volume, 3) == 0.144  # as the plan of the bracket says


@pytest.mark.parametrize(
    ("corners", "error", "match"),
    [
        (np.eye(3), InputError, r"corners of shape \(3, 3\): give 4 or more rows of 3 coordinates"),
        (np.zeros((5, 2)), InputError, r"corners of shape \(5, 2\)"),
        ([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, np.nan]], InputError, r"corners\[3, 2\] = nan m"),
        ([[0, 0, 1], [1, 0, 1], [0, 1, 1], [1, 1, 1]], GeometryError, "lie in one plane or on one line"),
        ([[0, 0, 0], [1, 1, 1], [2, 2, 2], [3, 3, 3]], GeometryError, "lie in one plane or on one line"),
        (np.ones((6, 3)), GeometryError, "lie in one plane or on one line"),
    ],
)
def test_hulls_that_cannot_be(corners, error, match):
    with pytest.raises(error, match=match):
        convex_hull(corners)


# --- loft


def sections(xs, halves):
    return np.array([[(x, *point) for point in half] for x, half in zip(xs, halves, strict=True)])


def faces_of(solid, mirrored=False):
    """Each face as the set of its turns: three corners by coordinates, in a direction that counts."""
    corners = solid.vertices[solid.faces]
    if mirrored:
        corners = (corners * [1, -1, 1] + 0.0)[:, ::-1]
    found = set()
    for face in corners:
        a, b, c = (tuple(p) for p in face)
        found.add(min((a, b, c), (b, c, a), (c, a, b)))
    return found


@quick
@given(seeds, st.integers(2, 6), st.integers(2, 5))
def test_both_sides_are_mirrored_to_the_bit(seed, slices, points):
    rng = np.random.default_rng(seed)
    x = np.sort(rng.uniform(0, 5, slices))
    y = np.cumsum(rng.uniform(0.05, 0.5, (slices, points)), axis=1) - 0.05
    y[:, 0] = 0
    z = np.cumsum(rng.uniform(0.05, 0.5, (slices, points)), axis=1)
    body = loft(np.stack([np.broadcast_to(x[:, None], y.shape), y, z], axis=2))
    assert faces_of(body) == faces_of(body, mirrored=True)
    assert_allclose(body.volume, reference(body)[0], rtol=1e-12)


def test_a_prismatic_hull():
    # Half section keel (0, 0), chine (1, 0.3), sheer (1.2, 1), deck: area by the shoelace 0.92.
    half = [(0, 0), (1, 0.3), (1.2, 1)]
    body = loft(sections([0, 1, 2.5, 4], [half] * 4))
    area = shoelace([*half, (0, 1)])
    assert area == pytest.approx(0.92)
    assert body.volume == pytest.approx(2 * 4 * area, rel=1e-14)
    assert_allclose(body.centroid[:2], [2, 0], rtol=0, atol=1e-14)


def test_patches_split_from_the_lower_after_to_the_upper_forward_point():
    # After slice: keel (0, 0, 0), sheer (0, 1, 1). Forward slice: a plumb stem (1, 0, 0) to (1, 0, 1). Split that way
    # the half boat is the tetrahedron of keel, sheer, deck centreline and stem head, 1/6, and a fin without thickness;
    # split the other way it would be two of them.
    body = loft(sections([0, 1], [[(0, 0), (1, 1)], [(0, 0), (0, 1)]]))
    assert body.volume == pytest.approx(2 / 6, rel=1e-14)
    assert ((0, 0, 0), (0, 1, 1), (1, 0, 1)) in faces_of(body)
    assert ((0, -1, 1), (0, 0, 0), (1, 0, 1)) in faces_of(body)


def test_a_pyramid_needs_no_end_cap():
    # All lines run to one point: volume = base x length / 3 however it is split.
    half = np.array([(0, 0), (1, 0.3), (1.2, 1)])
    body = loft(sections([0, 2, 4], [half * [1 - s, 1 - s] + [0, s] for s in (0, 0.5, 1)]))
    assert body.volume == pytest.approx(2 * 0.92 * 4 / 3, rel=1e-14)


def test_a_chine_that_runs_into_the_stem():
    after, forward = [(0, 0), (0.8, 0.4), (1, 1)], [(0, 0.3), (0, 0.6), (0.3, 1)]
    body = loft(sections([0, 1], [after, forward]))
    assert faces_of(body) == faces_of(body, mirrored=True)
    assert_allclose(body.volume, reference(body)[0], rtol=1e-13)


def test_a_flat_bottom_off_the_centreline_is_closed():
    half = [(0.5, 0), (0.5, 1)]
    assert loft(sections([0, 2], [half, half])).volume == pytest.approx(2.0, rel=1e-14)


def test_a_raked_first_slice():
    # A box hull 1 wide, 1 high, 3 long at the keel; its transom leans aft by 0.5 a unit of height: V = 3 + 0.25.
    half = [(0, 0), (0.5, 0), (0.5, 1)]
    slices = sections([0, 0, 3], [half] * 3)
    slices[0, :, 0] = -0.5 * slices[0, :, 2]
    assert loft(slices).volume == pytest.approx(3.25, rel=1e-14)


def test_the_callers_array_is_left_alone():
    slices = sections([0, 1], [[(0, 0), (1, 1)]] * 2)
    body = loft(slices)
    slices[:] = 9
    assert body.vertices.max() == 1


@pytest.mark.parametrize(
    ("change", "error", "match"),
    [
        (lambda s: s[0], InputError, r"sections have shape \(2, 3\), expected \(slices, points, 3\)"),
        (lambda s: s[:1], InputError, "two or more of each"),
        (lambda s: s * [1, -1, 1], InputError, r"y of sections\[0, 1\] = -1 m lies to starboard; give the port half"),
        (lambda s: s[::-1], InputError, r"step in x of sections\[0, 0\] = -1 m goes aft; order the slices"),
        (lambda s: np.where(s == 1, np.nan, s), InputError, r"sections\[0, 1, 1\] = nan m is no number"),
        (lambda s: s * [0, 1, 1], GeometryError, "encloses no volume"),
        (lambda s: s * [1, 0, 1], GeometryError, "encloses no volume"),
        (lambda s: s[:, ::-1], GeometryError, "inside out"),
    ],
)
def test_lofts_that_cannot_be(change, error, match):
    slices = sections([0, 1], [[(0, 0), (1, 1)]] * 2)
    with pytest.raises(error, match=match):
        loft(change(slices))
