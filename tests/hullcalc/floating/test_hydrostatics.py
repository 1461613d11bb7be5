"""The hydrostatic table and the extent of the waterline against closed forms and a general mesh library.

Sources: the standard formulas of naval architecture for boxes and V sections (K. J. Rawson and E. C. Tupper, Basic Ship
Theory, 5th ed., 2001, ch. 3, from memory); the hull that bears Wigley's name, y = B/2 (1 - (2x/L)²)(1 - (z/T)²), whose
integrals are polynomials; trimesh, for outlines of sections.
"""

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.floating.hydrostatics import hydrostatic_table
from hullcalc.floating.waterline import waterline_extent
from hullcalc.geometry.makers import box, convex_hull, loft, prism

SEA = 1025.0
EXACT = {"rtol": 1e-12, "atol": 1e-12}


def plane(trim, heel):
    """Normal of the sea for a trim (bow up) and a heel (starboard down), deg."""
    t, h = np.radians(trim), np.radians(heel)
    return np.array([np.sin(t), np.cos(t) * np.sin(h), np.cos(t) * np.cos(h)])


def v_hull(deadrise, length, height=1.5):
    half = height / np.tan(np.radians(deadrise))
    return prism([(0, 0), (half, height), (-half, height)], "x", 0, length)


def wigley(length, beam, draught, n):
    """Half sections of the hull as a mesh of 2n x n panels, vertical above z = draught, keel at z = 0."""
    x = np.linspace(-length / 2, length / 2, 2 * n + 1)
    z = np.linspace(0, draught, n + 1)
    y = beam / 2 * np.outer(1 - (2 * x / length) ** 2, 1 - (1 - z / draught) ** 2)
    y, z = np.concatenate([y, y[:, -1:]], axis=1), np.append(z, draught + 0.3)
    return loft(np.stack([np.repeat(x[:, None], n + 2, axis=1), y, np.tile(z, (2 * n + 1, 1))], axis=-1))


def test_box_upright():
    length, beam = 6.0, 2.0
    draughts = np.array([0.1, 0.35, 0.9])
    table = hydrostatic_table(box((0, length), (-1, 1), (0, 1)), draughts, vcg=0.55)
    volume = length * beam * draughts
    assert_allclose(table.volume, volume, **EXACT)
    assert_allclose(table.displacement, SEA * volume, **EXACT)
    assert_allclose(table.displacement[1], 4305, **EXACT)
    assert_allclose([table.lcb, table.lcf], 3.0, **EXACT)
    assert_allclose([table.tcb, table.tcf], 0.0, **EXACT)
    assert_allclose(table.kb, draughts / 2, **EXACT)
    bm_t, bm_l = beam**2 / (12 * draughts), length**2 / (12 * draughts)
    assert_allclose(table.bm_transverse, bm_t, **EXACT)
    assert_allclose(table.bm_longitudinal, bm_l, **EXACT)
    assert_allclose(table.km_transverse, draughts / 2 + bm_t, **EXACT)
    assert_allclose(table.km_longitudinal, draughts / 2 + bm_l, **EXACT)
    assert_allclose(table.waterplane_area, 12.0, **EXACT)
    assert_allclose([table.lwl, table.mct_length], length, **EXACT)
    assert_allclose(table.bwl, beam, **EXACT)
    assert_allclose(table.kg_per_mm, 12.3, **EXACT)
    assert_allclose(table.tpc, 0.123, **EXACT)
    gm_l = draughts / 2 + bm_l - 0.55
    assert table.mct_by == "GM_L"
    assert_allclose(table.mct, SEA * volume * gm_l / (100 * length), **EXACT)


def test_mct_by_bm_and_over_a_stated_length():
    hull = box((0, 6), (-1, 1), (0, 1))
    by_bm = hydrostatic_table(hull, [0.35])
    assert by_bm.mct_by == "BM_L"
    assert_allclose(by_bm.mct, 4305 * 36 / (12 * 0.35) / 600, **EXACT)
    over_marks = hydrostatic_table(hull, [0.35], length=5.0)
    assert_allclose(over_marks.mct, by_bm.mct * 6 / 5, **EXACT)
    assert_allclose(over_marks.mct_length, 5.0)


def test_mct_trims_the_floated_box():
    # Exact trim of a box: tan(trim) (GM_L + BM_L tan²(trim)/2) = moment / mass. Half a centimetre of trim over 6 m.
    table = hydrostatic_table(box((-3, 3), (-1, 1), (0, 1)), [0.35], vcg=0.55)
    moved = float(table.mct[0]) / 2
    level = hc.float_at_rest(box((-3, 3), (-1, 1), (0, 1)), 4305, (0, 0, 0.55))
    bow_up = hc.float_at_rest(box((-3, 3), (-1, 1), (0, 1)), 4305, (-moved / 4305, 0, 0.55))
    assert_allclose(level.gm_longitudinal, table.km_longitudinal[0] - 0.55, rtol=1e-12)
    change = np.diff([[s.height_above_water((x, 0, 0)) for x in (-3, 3)] for s in (level, bow_up)], axis=0)[0]
    assert_allclose(change[1] - change[0], 0.005, rtol=1e-5)


def test_v_section_upright():
    length, t = 5.0, np.tan(np.radians(18))
    d = np.array([0.2, 0.35, 1.2])
    table = hydrostatic_table(v_hull(18, length), d)
    assert_allclose(table.volume, length * d**2 / t, rtol=1e-12)
    assert_allclose(table.kb, 2 * d / 3, rtol=1e-12)
    assert_allclose(table.bm_transverse, 2 * d / (3 * t**2), rtol=1e-12)
    assert_allclose(table.km_transverse, 2 * d / 3 * (1 + 1 / t**2), rtol=1e-12)
    assert_allclose(table.bm_longitudinal, length**2 / (6 * d), rtol=1e-12)
    assert_allclose(table.bwl, 2 * d / t, rtol=1e-12)
    assert_allclose(table.lwl, length, rtol=1e-12)


def test_twin_boxes():
    # Two hulls 6 x 0.5 m, 2 m apart: I_T = 2 (L b³/12 + L b (s/2)²). The waterline's beam takes in the water between.
    twins = [box((0, 6), (-1.25, -0.75), (0, 1)), box((0, 6), (0.75, 1.25), (0, 1))]
    table = hydrostatic_table(twins, [0.3])
    assert_allclose(table.bm_transverse, 6.125 / 1.8, rtol=1e-12)
    assert_allclose(table.bm_longitudinal, 10.0, rtol=1e-12)
    assert_allclose([table.bwl[0], table.lwl[0]], [2.5, 6.0], rtol=1e-12)


def test_box_with_trim_and_heel():
    # The sea z = z0 + sx x + sy y over a box about its middle: V = L B z0, x_B = sx L²/(12 z0), z_B = z0/2 +
    # (sx² L² + sy² B²)/(24 z0). In its own plane the waterplane is the parallelogram over the box's rectangle: area
    # L B k, k = sqrt(1 + sx² + sy²). Its draught is that of a stated point, square to the water.
    length, beam, z0, sx, sy = 6.0, 2.0, 0.35, 0.05, -0.08
    k = np.sqrt(1 + sx**2 + sy**2)
    trim, heel = np.degrees(np.arcsin(-sx / k)), np.degrees(np.arctan2(-sy, 1))
    mark = (2.5, 0.4, -0.1)
    draught = (z0 + sx * mark[0] + sy * mark[1] - mark[2]) / k
    table = hydrostatic_table(box((-3, 3), (-1, 1), (0, 1)), draught, trim, heel, at=mark)
    volume = length * beam * z0
    centre = [
        sx * length**2 / (12 * z0),
        sy * beam**2 / (12 * z0),
        z0 / 2 + (sx**2 * length**2 + sy**2 * beam**2) / (24 * z0),
    ]
    assert_allclose(table.volume, volume, rtol=1e-12)
    assert_allclose([table.lcb[0], table.tcb[0], table.kb[0]], centre, rtol=1e-11)
    assert_allclose(table.waterplane_area, length * beam * k, rtol=1e-12)
    assert_allclose([table.lcf, table.tcf], 0, atol=1e-12)
    # r = x (1, 0, sx) + y (0, 1, sy) in the plane; int x² = L³B/12 k, int y² = L B³/12 k; u = x levelled, v = n x u.
    n = np.array([-sx, -sy, 1]) / k
    u = np.array([1, 0, 0]) - n * n[0]
    u /= np.linalg.norm(u)
    v = np.cross(n, u)
    a, b = np.array([1, 0, sx]), np.array([0, 1, sy])
    ixx, iyy = length**3 * beam / 12 * k, length * beam**3 / 12 * k
    bm_t = (ixx * (a @ v) ** 2 + iyy * (b @ v) ** 2) / volume
    bm_l = (ixx * (a @ u) ** 2 + iyy * (b @ u) ** 2) / volume
    assert_allclose([table.bm_transverse[0], table.bm_longitudinal[0]], [bm_t, bm_l], rtol=1e-11)
    assert_allclose(table.km_transverse, centre[2] + bm_t / k, rtol=1e-11)
    corners = np.array([x * a + y * b for x in (-3, 3) for y in (-1, 1)])
    assert_allclose([table.lwl[0], table.bwl[0]], [np.ptp(corners @ u), np.ptp(corners @ v)], rtol=1e-12)


def test_metacentre_of_a_floated_boat():
    # At rest GM = (KM - VCG) / cos(tilt): the table at the plane she floats at must say what the state says.
    hull = convex_hull(
        [(0, 0, 0), (5, 0, 0.1), (6, 0, 1), (0, 1, 0.4), (0, -1, 0.4), (4, 1, 0.5), (4, -1, 0.5), (0, 1, 1), (0, -1, 1),
         (4, 1, 1.1), (4, -1, 1.1)]
    )  # fmt: skip
    state = hc.float_at_rest(hull, 1500, (1.8, 0.05, 0.7))
    draught = -state.height_above_water((0, 0, 0))
    table = hydrostatic_table(hull, draught, state.trim, state.heel, vcg=0.7, length=6.0)
    assert min(abs(state.trim), abs(state.heel)) > 0.5
    assert_allclose(table.displacement, 1500, rtol=1e-11)
    assert_allclose([table.lcb[0], table.tcb[0], table.kb[0]], state.buoyancy, rtol=1e-10)
    assert_allclose((table.km_transverse - 0.7) / state.normal[2], state.gm_transverse, rtol=1e-9)
    assert_allclose(table.mct, 1500 * state.gm_longitudinal / 600, rtol=1e-9)


def test_wigley_hull_of_second_order():
    # L 10, B 1, T 0.625: V = 4/9 LBT, A = 2/3 LB, KB = 5/8 T, BM_T = 3B²/(35T), BM_L = 3L²/(40T). A mesh of n panels
    # errs as 1/n²: halving the panels divides the error by four, and extrapolation leaves the fourth power.
    length, beam, draught = 10.0, 1.0, 0.625
    exact = np.array(
        [
            4 / 9 * length * beam * draught, 2 / 3 * length * beam, 5 / 8 * draught,
            3 * beam**2 / (35 * draught), 3 * length**2 / (40 * draught),
        ]
    )  # fmt: skip

    def measured(n):
        table = hydrostatic_table(wigley(length, beam, draught, n), [draught])
        assert_allclose([table.lwl[0], table.bwl[0]], [length, beam], rtol=1e-12)
        names = ("volume", "waterplane_area", "kb", "bm_transverse", "bm_longitudinal")
        return np.array([getattr(table, name)[0] for name in names])

    coarse, fine = measured(16), measured(32)
    errors = abs(coarse - exact) / abs(fine - exact)
    assert np.all((errors > 3.9) & (errors < 4.1))
    assert_allclose((4 * fine - coarse) / 3, exact, rtol=2e-6)


def test_volume_grows_by_the_waterplane_about_lcf():
    # dV/dT = A, and a small trim about the centre of flotation changes no volume; differences extrapolated.
    hull, trim, draught = wigley(10, 1, 0.625, 12), 1.2, 0.5
    step = np.array([-2e-3, -1e-3, 0, 1e-3, 2e-3])
    volume = hydrostatic_table(hull, draught + step, trim).volume
    slope = (8 * (volume[3] - volume[1]) - (volume[4] - volume[0])) / 12e-3
    table = hydrostatic_table(hull, [draught], trim)
    assert_allclose(slope, table.waterplane_area, rtol=1e-6)
    n = plane(trim, 0)
    height = (n @ [0, 0, 0] + draught - n[0] * table.lcf[0]) / n[2]
    pivot = (float(table.lcf[0]), 0.0, float(height))
    turned = [hydrostatic_table(hull, [0.0], trim + angle, at=pivot).volume[0] for angle in (-0.05, 0.05)]
    assert abs(turned[1] - turned[0]) / table.volume[0] < 1e-8


def test_draught_belongs_to_a_point():
    hull = box((0, 6), (-1, 1), (0, 1))
    aft = hydrostatic_table(hull, [0.5], trim=2.0)
    t = np.radians(2.0)
    forward = hydrostatic_table(hull, [0.5 - 6 * np.sin(t)], trim=2.0, at=(6, 0, 0))
    assert_allclose(forward.volume, aft.volume, rtol=1e-12)
    assert_allclose(aft.volume, 12 * (0.5 / np.cos(t) - 3 * np.tan(t)), rtol=1e-12)


def test_flooded_end_compartment():
    # Lost buoyancy: the last metre of the box floats nothing, so what is left is a box of 5 m.
    flooded = [box((0, 1), (-1, 1), (0, 1))]
    table = hydrostatic_table(box((0, 6), (-1, 1), (0, 1)), [0.4], flooded=flooded)
    alone = hydrostatic_table(box((1, 6), (-1, 1), (0, 1)), [0.4])
    for name in (
        "volume",
        "lcb",
        "kb",
        "bm_transverse",
        "bm_longitudinal",
        "waterplane_area",
        "lcf",
        "lwl",
        "bwl",
        "mct",
    ):
        assert_allclose(getattr(table, name), getattr(alone, name), rtol=1e-11, err_msg=name)


def test_far_from_the_origin():
    # The same box 1 km away: second moments lose nothing to the distance but the rounding of the vertices themselves.
    near = hydrostatic_table(box((0, 6), (-1, 1), (0, 1)), [0.4])
    far = hydrostatic_table(box((1000, 1006), (999, 1001), (0, 1)), [0.4])
    assert_allclose(far.bm_transverse, near.bm_transverse, rtol=1e-10)
    assert_allclose([far.lcf, far.tcf], [[1003.0], [1000.0]], rtol=1e-14)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"draughts": [0.3, -0.1]}, r"draughts\[1\] = -0.1 m gives her no waterplane; .* 0.000 to 1.000 m"),
        ({"draughts": [1.1]}, r"draughts\[0\] = 1.1 m gives her no waterplane"),
        ({"draughts": [np.nan]}, r"draughts\[0\] = nan m"),
        ({"draughts": [[0.1]]}, r"draughts of shape \(1, 1\): give a list"),
        ({"draughts": ["deep"]}, "draughts = .* must be numbers in m"),
        ({"trim": 95}, "trim = 95 deg"),
        ({"heel": np.nan}, "heel = nan must be one finite number in deg"),
        ({"heel": -90}, "heel = -90 deg"),
        ({"density": 0}, "density = 0 kg/m3"),
        ({"at": (0, 0)}, r"at = \(0, 0\) must be three finite numbers"),
        ({"at": (0, 0, np.inf)}, r"at = .* must be three finite numbers"),
        ({"vcg": np.nan}, "vcg = nan must be one finite number in m"),
        ({"length": 0}, "length = 0 m"),
        ({"solids": []}, "solids is empty"),
    ],
)
def test_bad_input(change, words):
    with pytest.raises(hc.InputError, match=words):
        hydrostatic_table(**({"solids": box((0, 6), (-1, 1), (0, 1)), "draughts": [0.3]} | change))


# --- extent of the waterline ---------------------------------------------------------------------------------------


def test_extent_takes_in_the_pod():
    hull, pod = box((0, 6), (-1, 1), (0, 1)), box((-0.8, -0.1), (-0.3, 0.3), (0.3, 0.6))
    assert_allclose(waterline_extent([hull, pod], (0, 0, 1), 0.4), (6.8, 2.0), rtol=1e-12)
    assert_allclose(waterline_extent([hull, pod], (0, 0, 1), 0.2), (6.0, 2.0), rtol=1e-12)
    assert_allclose(waterline_extent([hull, pod], (0, 0, 2), 0.8), (6.8, 2.0), rtol=1e-12)  # any length of normal
    assert waterline_extent([hull, pod], (0, 0, 1), -0.1) == (0.0, 0.0)


def test_extent_of_a_dry_bow():
    # A box trimmed until its bottom leaves the water: the slant waterplane is sqrt(4² + 0.5²) long.
    normal = np.array([0.125, 0, 1])
    assert_allclose(waterline_extent(box((0, 7), (-1, 1), (0, 1.2)), normal, 0.5), (np.hypot(4, 0.5), 2.0), rtol=1e-12)


def test_extent_with_flooded_spaces():
    hull, pod = box((0, 6), (-1, 1), (0, 1)), box((-0.8, -0.1), (-0.3, 0.3), (0.3, 0.6))
    level = ((0, 0, 1), 0.4)
    assert_allclose(waterline_extent([hull, pod], *level, flooded=[pod]), (6.0, 2.0), rtol=1e-9)
    inside = box((1, 2), (-0.5, 0.5), (0.1, 0.9))  # a hole in the waterplane changes no extent
    assert_allclose(waterline_extent([hull], *level, flooded=[inside]), (6.0, 2.0), rtol=1e-9)
    side = box((0, 6), (0.2, 1), (0.1, 1))
    assert_allclose(waterline_extent([hull], *level, flooded=[side]), (6.0, 1.2), rtol=1e-9)
    corner = box((0, 6), (0.2, 1), (0.5, 1))  # dry: above the water
    assert_allclose(waterline_extent([hull], *level, flooded=[corner]), (6.0, 2.0), rtol=1e-9)
    assert waterline_extent([hull], *level, flooded=[hull]) == (0.0, 0.0)


@given(trim=st.floats(-30, 30), heel=st.floats(-80, 80), share=st.floats(0.05, 0.95))
def test_extent_against_a_mesh_library(trim, heel, share):
    hull = wigley(10, 1, 0.625, 5)
    normal = plane(trim, heel)
    heights = hull.vertices @ normal
    offset = heights.min() + share * np.ptp(heights)
    lines = trimesh.intersections.mesh_plane(
        trimesh.Trimesh(hull.vertices, hull.faces, process=False), normal, offset * normal
    )
    points = lines.reshape(-1, 3)
    u = np.array([1.0, 0, 0]) - normal * normal[0]
    u /= np.linalg.norm(u)
    expected = np.ptp(points @ u), np.ptp(points @ np.cross(normal, u))
    assert_allclose(waterline_extent(hull, normal, offset), expected, rtol=1e-7, atol=1e-7)  # it merges within 1e-8 m


def test_extent_through_vertices_and_faces():
    # The sea through the sheer of a box: the deck lies in the plane and counts from below.
    hull = box((0, 6), (-1, 1), (0, 1))
    assert_allclose(waterline_extent(hull, (0, 0, 1), 1.0), (6.0, 2.0), rtol=1e-12)
    assert waterline_extent(hull, (0, 0, 1), 0.0) == (0.0, 0.0)  # the bottom just touches
    wedge = prism([(0, 0), (2, 1), (-2, 1)], "x", 0, 5)
    assert_allclose(waterline_extent(wedge, (0, 0.5, 1), 1e-3)[0], 5.0, rtol=1e-12)


def test_extent_of_no_plane():
    with pytest.raises(hc.InputError, match="gives no direction"):
        waterline_extent(box((0, 6), (-1, 1), (0, 1)), (0, 0, 0), 0.4)
