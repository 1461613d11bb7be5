"""Polyhedra whose hydrostatics and equilibria have a closed form: boxes, wedges, V prisms, logs.

The formulas are the standard ones of naval architecture; where a named source gave the case it stands beside it. The
sea is z = z0 + sx x + sy y in boat axes: normal (-sx, -sy, 1) / k, k = sqrt(1 + sx² + sy²); bow-up trim has sx < 0, a
heel to starboard sy < 0. Equilibria are made "plane first": a plane is chosen, the centre of buoyancy follows by hand,
G is put on the normal through it, and the solver must come back with the plane. Eight-digit numbers are a second
working of the same formulas; they guard the formulas typed here.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.floating import small_angle as sa
from hullcalc.geometry.makers import box, prism

SEA = 1025.0
EXACT = 1e-9
DIGITS = {"rtol": 6e-8, "atol": 1e-9}  # eight digits


def assert_plane(state, z0, sx, sy):
    """The sea in boat axes, by its depth over the origin and its slopes."""
    normal, offset = state.plane
    assert_allclose(np.array([offset, -normal[0], -normal[1]]) / normal[2], [z0, sx, sy], rtol=EXACT, atol=EXACT)
    k = np.sqrt(1 + sx**2 + sy**2)
    assert_allclose(-state.height_above_water((0, 0, 0)), z0 / k, rtol=EXACT)
    assert_allclose(state.trim, np.degrees(np.arcsin(-sx / k)), atol=1e-7)
    assert_allclose(state.heel, np.degrees(np.arctan2(-sy, 1)), atol=1e-7)


def on_the_normal(buoyancy, sx, sy, zg):
    """G at height zg on the normal through B."""
    x, y, z = buoyancy
    return np.array([x - sx * (zg - z), y - sy * (zg - z), zg])


def v_section(deadrise, height=1.5):
    """Outline of a V with its keel at the origin, straight sides up to `height`."""
    half = height / np.tan(np.radians(deadrise))
    return [(0, 0), (half, height), (-half, height)]


def test_box_upright():
    length, beam, draught = 6.0, 2.0, 0.35
    cut = box((-3, 3), (-1, 1), (0, 1)).cut((0, 0, 1), draught)
    assert_allclose(cut.volume, 4.2, rtol=1e-12)
    assert_allclose(SEA * cut.volume, 4305, rtol=1e-12)
    assert_allclose(cut.centroid, [0, 0, 0.175], atol=1e-14)
    assert_allclose(cut.area, 12, rtol=1e-12)
    assert_allclose(cut.area_inertia[1, 1] / cut.volume, beam**2 / (12 * draught), rtol=1e-12)
    assert_allclose(cut.area_inertia[0, 0] / cut.volume, length**2 / (12 * draught), rtol=1e-12)


def test_box_with_trim_and_heel():
    length, beam, z0, sx, sy, zg = 6.0, 2.0, 0.35, 0.05, -0.08, 0.55
    b = [
        sx * length**2 / (12 * z0),
        sy * beam**2 / (12 * z0),
        z0 / 2 + (sx**2 * length**2 + sy**2 * beam**2) / (24 * z0),
    ]
    assert_allclose(b, [0.42857143, -0.076190476, 0.1887619], **DIGITS)
    g = on_the_normal(b, sx, sy, zg)
    assert_allclose(g, [0.41050952, -0.047291429, 0.55], **DIGITS)
    state = hc.float_at_rest([box((-3, 3), (-1, 1), (0, 1))], SEA * length * beam * z0, g)
    assert_plane(state, z0, sx, sy)
    assert_allclose(state.buoyancy, b, rtol=EXACT)
    assert_allclose([state.trim, state.heel], [-2.8533044, 4.5739213], **DIGITS)
    assert_allclose(-state.height_above_water((0, 0, 0)), 0.34845282, **DIGITS)


def test_box_loaded_off_its_centre():
    # Forward problem: sx (BM_L + zB - zG) = xG and sy (BM_T + zB - zG) = yG with zB = T/2 + (BM_L sx² + BM_T sy²) / 2.
    mass, (xg, yg, zg), draught = 4305.0, (0.30, 0.05, 0.55), 0.35
    bm_l, bm_t = 36 / (12 * draught), 4 / (12 * draught)
    sx = sy = 0.0
    for _ in range(100):  # a contraction: the squares are small
        zb = draught / 2 + (bm_l * sx**2 + bm_t * sy**2) / 2
        sx, sy = xg / (bm_l + zb - zg), yg / (bm_t + zb - zg)
    assert_allclose([sx, sy], [0.036560321, 0.085241387], **DIGITS)
    state = hc.float_at_rest([box((-3, 3), (-1, 1), (0, 1))], mass, (xg, yg, zg))
    assert_plane(state, draught, sx, sy)
    assert_allclose([state.trim, state.heel], [-2.0862605, -4.8721939], **DIGITS)
    assert_allclose(sa.small_angle_list(bm_t + draught / 2 - zg, -yg), -np.arctan(0.086597938), rtol=1e-7)


def test_box_with_a_dry_bow():
    # Trimmed until the bottom leaves the water: the wet part is a wedge of length a = z0 / |sx|; origin at the transom.
    beam, z0, sx, zg = 2.0, 0.5, -0.125, 0.45
    a = z0 / abs(sx)
    volume, b = beam * a * z0 / 2, [a / 3, 0.0, z0 / 3]
    assert_allclose([a, volume, *b], [4, 2, 1.3333333, 0, 0.16666667], **DIGITS)
    g = on_the_normal(b, sx, 0.0, zg)
    assert_allclose(g[0], 1.36875, rtol=1e-12)
    state = hc.float_at_rest([box((0, 7), (-1, 1), (0, 1.2))], SEA * volume, g)
    assert_plane(state, z0, sx, 0.0)
    assert state.heel == 0
    assert_allclose([state.trim, state.buoyancy[0], state.buoyancy[2]], [7.1250163, 1.3333333, 0.16666667], **DIGITS)
    slant = np.hypot(a, z0)  # length of the waterplane in its own plane
    gm_l = beam * slant**3 / 12 / volume - (zg - b[2]) * np.sqrt(1 + sx**2)
    assert_allclose(state.gm_longitudinal, gm_l, rtol=EXACT)
    assert_allclose(gm_l, 5.1732821, **DIGITS)


def test_v_section_upright():
    length, d, t = 5.0, 0.35, np.tan(np.radians(18))
    cut = prism(v_section(18), "x", 0, length).cut((0, 0, 1), d)
    assert_allclose(cut.volume, length * d**2 / t, rtol=1e-12)
    assert_allclose(cut.centroid, [2.5, 0, 2 * d / 3], atol=1e-13)
    assert_allclose(cut.area, 2 * length * d / t, rtol=1e-12)
    bm_t, bm_l = cut.area_inertia[1, 1] / cut.volume, cut.area_inertia[0, 0] / cut.volume
    assert_allclose([bm_t, bm_l], [2 * d / (3 * t**2), length**2 / (6 * d)], rtol=1e-12)
    assert_allclose(
        [cut.volume, cut.area, bm_t, cut.centroid[2] + bm_t], [1.8850812, 10.771892, 2.2101651, 2.4434984], **DIGITS
    )


def test_v_section_heeled():
    length, d, t, sy, zg = 5.0, 0.35, np.tan(np.radians(18)), np.tan(np.radians(6)), 0.60
    spread = t**2 - sy**2
    volume = length * d**2 * t / spread
    b = [2.5, 2 * sy * d / (3 * spread), 2 * t**2 * d / (3 * spread)]
    assert_allclose([volume, *b[1:]], [2.1053838, 0.2594455, 0.26060215], **DIGITS)
    g = on_the_normal(b, 0.0, sy, zg)
    assert_allclose(g[1], 0.22377335, **DIGITS)
    state = hc.float_at_rest([prism(v_section(18), "x", 0, length)], SEA * volume, g)
    assert_plane(state, d, 0.0, sy)
    assert_allclose(state.heel, -6.0, atol=1e-8)
    assert_allclose(state.buoyancy, b, rtol=EXACT)


def test_v_section_trimmed_and_heeled():
    # The nearest closed form to a planing hull: keel wet all along, chines dry; origin at the transom.
    length, d0, sx, sy, t, zg = 5.5, 0.45, -0.03, 0.02, np.tan(np.radians(15)), 0.62
    x, w = np.polynomial.legendre.leggauss(4)  # exact for the cubics below
    x, w = length / 2 * (x + 1), length / 2 * w
    d = d0 + sx * x
    area, spread = d**2 * t / (t**2 - sy**2), t**2 - sy**2
    volume = w @ area
    b = (
        np.array([w @ (x * area), w @ (2 * sy * d / (3 * spread) * area), w @ (2 * t**2 * d / (3 * spread) * area)])
        / volume
    )
    assert_allclose([volume, *b], [2.8345635, 2.3452348, 0.07089825, 0.25451327], **DIGITS)
    g = on_the_normal(b, sx, sy, zg)
    assert_allclose(g, [2.3561994, 0.063588516, 0.62], **DIGITS)
    state = hc.float_at_rest([prism(v_section(15), "x", 0, length)], SEA * volume, g)
    assert_plane(state, d0, sx, sy)
    assert_allclose([state.trim, state.heel], [1.7180146, -1.1457628], **DIGITS)
    assert_allclose(state.buoyancy, b, rtol=EXACT)


def test_twin_boxes_upright():
    length, b, spacing, draught = 6.0, 0.5, 2.0, 0.3
    hulls = [box((0, length), (y - b / 2, y + b / 2), (0, 1)) for y in (-spacing / 2, spacing / 2)]
    i_t = 2 * (length * b**3 / 12 + length * b * (spacing / 2) ** 2)
    volume = 2 * length * b * draught
    assert_allclose([volume, i_t, i_t / volume], [1.8, 6.125, 3.4027778], **DIGITS)
    state = hc.float_at_rest(hulls, SEA * volume, (3, 0, 0.4))
    assert_plane(state, draught, 0.0, 0.0)
    assert_allclose(state.gm_transverse, draught / 2 + i_t / volume - 0.4, rtol=1e-11)
    assert_allclose(state.gm_longitudinal, draught / 2 + 10 - 0.4, rtol=1e-11)
    # The same as one solid of two shells.
    offsets = np.cumsum([0, len(hulls[0].vertices)])
    joined = hc.Solid(
        np.concatenate([h.vertices for h in hulls]),
        np.concatenate([h.faces + o for h, o in zip(hulls, offsets, strict=True)]),
    )
    cut = joined.cut((0, 0, 1), draught)
    assert_allclose([cut.volume, cut.area_inertia[1, 1]], [volume, i_t], rtol=1e-12)


def test_lolling_box():
    # B 2, D 1.2, T 0.5, G at 0.95: slope of the waterplane s = sqrt(-2 GM / BM); upright she would fall to either side.
    hull = box((-3, 3), (-1, 1), (0, 1.2))
    bm, zg, draught = 4 / (12 * 0.5), 0.95, 0.5
    gm = draught / 2 + bm - zg
    slope = np.sqrt(-2 * gm / bm)
    assert_allclose([bm, gm, slope], [0.66666667, -0.033333333, 0.31622777], **DIGITS)
    state = hc.float_at_rest([hull], SEA * 6, (0, 0, zg))
    assert state.status == "lolls"
    assert_plane(state, draught, 0.0, -slope)
    assert_plane(state.other, draught, 0.0, slope)
    assert_allclose(state.heel, 17.548401, **DIGITS)
    assert_allclose(np.radians(state.heel), sa.wall_sided_loll(gm, bm), rtol=EXACT)
    assert_allclose(state.gm_transverse, sa.wall_sided_gm_at_loll(gm, bm), rtol=1e-8)


def test_wing_compartment_open_to_the_sea():
    # Box 12 x 4 m at 1.0 m, KG 1.2; 3 m of the port side amidships, 1 m wide, open over the full height. Exact: weight,
    # lost buoyancy and moment of the wedge-shaped immersion, solved for depth and slope; small angles beside it.
    hull, wing = box((-6, 6), (-2, 2), (0, 2.5)), box((-1.5, 1.5), (1, 2), (0, 2.5))
    area, i_x = 48 - 3, 12 * 4**3 / 12 - (3 / 12 + 3 * 1.5**2)  # left of the waterplane, about the boat's x axis
    y_f = -3 * 1.5 / area
    sinkage = sa.lost_buoyancy_sinkage(3 * 1 * 1.0, 48, 3)
    i_f = i_x - area * y_f**2
    gm = (1 + sinkage) / 2 + i_f / 48 - 1.2
    hand = np.degrees(np.arctan(-y_f / gm))
    assert_allclose([1 + sinkage, y_f, i_f, gm, hand], [1.0666667, -0.1, 56.55, 0.51145833, 11.062873], **DIGITS)

    z0, s = 1 + sinkage, np.tan(np.radians(hand))
    for _ in range(200):  # volume A (z0 + s yF) = 48; moments of the column of height z0 + s y over what is left
        z0 = 48 / area - s * y_f
        y_b = (area * y_f * z0 + i_x * s) / 48
        z_b = (area * z0**2 + 2 * area * y_f * z0 * s + i_x * s**2) / 2 / 48
        s = s - (s * (z_b - 1.2) + y_b) / (i_f / 48 + z_b - 1.2)
    assert_allclose([z0, s, np.degrees(np.arctan(s))], [1.0854548, 0.187881, 10.640742], **DIGITS)
    state = hc.float_at_rest([hull], SEA * 48, (0, 0, 1.2), flooded=[wing])
    assert_plane(state, z0, 0.0, s)  # port side down


class TestSquareLog:
    """A long square log of relative density s: flat, tilted, or corner up.

    The picture is that of Reid (1963), Gilbert (1991) and Erdos, Schibler and Herndon (1992), the critical densities
    from memory of the latter two; the angles follow from the wall-sided formula and, past the corner, from a + b = 3/2,
    ab = 2s for the sides of the wet triangle.
    """

    log = staticmethod(lambda: box((-6, 6), (-0.5, 0.5), (-0.5, 0.5)))

    def rest(self, s, start=(0, 0, 1)):
        return hc.float_at_rest([self.log()], 1000.0 * s * 12, (0, 0, 0), density=1000.0, start=start)

    @staticmethod
    def tilt(s):
        s = min(s, 1 - s)
        if s <= 0.25:
            return np.degrees(np.arctan(np.sqrt(max(12 * s * (1 - s) - 2, 0.0))))
        root = np.sqrt(1.5**2 - 8 * s)
        return np.degrees(np.arctan((1.5 - root) / (1.5 + root)))

    @pytest.mark.parametrize(
        ("s", "degrees"),
        [(0.22, 13.674945), (0.24, 23.485487), (0.25, 26.565051), (0.26, 29.630476), (0.27, 33.690068)],
    )
    def test_tilted(self, s, degrees):
        assert_allclose(self.tilt(s), degrees, **DIGITS)
        for density in (s, 1 - s):  # a light log and a heavy one behave alike
            state = self.rest(density)
            assert state.status == "lolls"
            assert_allclose(state.heel, degrees, atol=1e-5)
            assert_allclose(state.heel, self.tilt(s), atol=1e-6)
            assert_allclose(state.other.heel, -self.tilt(s), atol=1e-6)
            assert_allclose(state.trim, 0, atol=1e-9)

    @pytest.mark.parametrize("s", [0.1, 0.2, 0.2113, 0.7887, 0.9])
    def test_flat(self, s):
        state = self.rest(s)
        assert state.status == "floats"
        assert state.heel == 0

    @pytest.mark.parametrize("s", [0.282, 0.4, 0.5, 0.68, 0.718])
    def test_corner_up(self, s):
        assert_allclose(abs(self.rest(s).heel), 45, atol=1e-6)

    def test_eight_attitudes_of_rest(self):
        tilt = self.tilt(0.24)
        for quarter in range(4):
            for side in (-1, 1):
                angle = 90 * quarter + side * tilt
                near = np.radians(angle + side * 3)
                state = self.rest(0.24, start=(0, np.sin(near), np.cos(near)))
                assert_allclose((state.heel - angle + 180) % 360 - 180, 0, atol=1e-6)

    def test_critical_densities(self):
        flat = (1 - 1 / np.sqrt(3)) / 2  # 6 s (1 - s) = 1
        assert_allclose([flat, 9 / 32], [0.21132487, 0.28125], **DIGITS)
        for s in (flat, 1 - flat):
            cut = self.log().cut((0, 0, 1), s - 0.5)
            assert_allclose(cut.centroid[2] + cut.area_inertia[1, 1] / cut.volume, 0, atol=1e-12)
        # Up to 9/32 she is tilted, past it corner up (see also the densities above): the angle moves fast just there.
        assert_allclose(self.rest(0.281).heel, self.tilt(0.281), atol=1e-6)
        assert self.tilt(0.281) < 44
        assert_allclose(abs(self.rest(0.2813).heel), 45, atol=1e-6)


@pytest.mark.parametrize(("s", "critical"), [(0.5, 1.2247449), (0.3, 1.1224972)])
def test_rectangular_log_stays_upright_if_wide_enough(s, critical):
    # B / D > sqrt(6 s (1 - s)); also in Gilbert (1991), from memory. Depth 1, homogeneous.
    ratio = np.sqrt(6 * s * (1 - s))
    assert_allclose(ratio, critical, **DIGITS)
    for beam, status in ((1.001 * ratio, "floats"), (0.999 * ratio, "lolls")):
        log = box((-6, 6), (-beam / 2, beam / 2), (0, 1))
        state = hc.float_at_rest([log], 1000 * s * 12 * beam, (0, 0, 0.5), density=1000.0)
        assert state.status == status
        assert (state.heel == 0) == (status == "floats")
