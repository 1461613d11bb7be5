"""Round bodies against their closed forms: cylinder, sphere, cone, paraboloid hull, half ellipsoid, rounded pontoon.

A facetted body differs from the round one by its facets, in second order of their size: each figure is taken at a
facet size and at half of it, the error must fall to a quarter, and the two, extrapolated, must give the closed form to
1e-6. Facets are laid so that a ring of vertices lies at the round body's waterline: the error is smooth in their size.
The formulas are standard; sources stand beside the cases that have one.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.floating import small_angle as sa
from hullcalc.geometry.makers import loft, prism

SEA = 1025.0
DIGITS = {"rtol": 6e-8}  # eight digits, a second working of the formulas typed here


def assert_second_order(measure, n, exact):
    """measure(n) -> figures, with n facets: second order, and extrapolated from n and 2 n right to 1e-6."""
    exact = np.asarray(exact, dtype=float)
    coarse, fine = np.asarray(measure(n)), np.asarray(measure(2 * n))
    assert_allclose((fine - exact) / (coarse - exact), 0.25, atol=0.02)
    assert_allclose((4 * fine - coarse) / 3, exact, rtol=1e-6)


def arc(centre, radius, start, end, n):
    """n + 1 points along an arc, (n + 1, 2), angles [rad]."""
    angle = np.linspace(start, end, n + 1)
    return centre + radius * np.column_stack([np.cos(angle), np.sin(angle)])


def lying_cylinder(radius, length, depth, n):
    """On its side, keel at z = 0, n facets below the waterline at `depth` and n above."""
    half = np.arccos(1 - depth / radius)  # of the wet arc
    down = -np.pi / 2
    wet = arc((0, radius), radius, down - half, down + half, n)
    dry = arc((0, radius), radius, down + half, down + 2 * np.pi - half, n)
    return prism(np.concatenate([wet[:-1], dry[:-1]]), "x", 0, length)


def revolve(profile, sides):
    """A body of revolution about z from (k, 2) radii and heights, from the bottom up; ends at radius 0."""
    (r, z), angle = profile[1:-1].T, 2 * np.pi * np.arange(sides) / sides
    rings = np.stack(
        [r[:, None] * np.cos(angle), r[:, None] * np.sin(angle), np.repeat(z[:, None], sides, axis=1)], axis=-1
    )
    number = np.arange(rings.shape[0] * sides).reshape(-1, sides)
    ahead = np.roll(number, -1, axis=1)
    bottom, top = number.size, number.size + 1
    low, low_ahead, high, high_ahead = (a.ravel() for a in (number[:-1], ahead[:-1], number[1:], ahead[1:]))
    faces = [
        np.column_stack([low, low_ahead, high_ahead]),
        np.column_stack([low, high_ahead, high]),
        np.column_stack([np.full(sides, bottom), ahead[0], number[0]]),
        np.column_stack([np.full(sides, top), number[-1], ahead[-1]]),
    ]
    ends = [[0, 0, profile[0, 1]], [0, 0, profile[-1, 1]]]
    return hc.Solid(np.concatenate([rings.reshape(-1, 3), ends]), np.concatenate(faces))


def sphere(radius, depth, n):
    """Bottom at z = 0; n rings below the waterline at `depth`, n above."""
    half = np.arccos(1 - depth / radius)
    wet = arc((0, radius), radius, -np.pi / 2, -np.pi / 2 + half, n)
    dry = arc((0, radius), radius, -np.pi / 2 + half, np.pi / 2, n)
    profile = np.concatenate([wet, dry[1:]])
    profile[[0, -1], 0] = 0.0
    return revolve(profile, 4 * n)


def test_cylinder_on_its_side():
    # R 0.5, L 3, depth 0.35: KM = R at every depth.
    radius, length, depth = 0.5, 3.0, 0.35
    half = np.arccos(1 - depth / radius)
    area = radius**2 * (half - np.sin(half) * np.cos(half))
    chord = 2 * radius * np.sin(half)
    below_axis = chord**3 / 12 / area
    assert_allclose([area, chord, below_axis], [0.24498048, 0.9539392, 0.29529042], **DIGITS)

    def measure(n):
        cut = lying_cylinder(radius, length, depth, n).cut((0, 0, 1), depth)
        bm = cut.area_inertia[1, 1] / cut.volume
        assert_allclose(cut.area, length * chord, rtol=1e-12)  # the ring lies in the plane: exact
        return cut.volume, radius - cut.centroid[2], bm, cut.centroid[2] + bm

    # KM of the polygon is not R; it tends to it.
    assert_second_order(measure, 32, [length * area, below_axis, below_axis, radius])


def test_sphere():
    # R 0.4, depth 0.3: V = pi h² (3 R - h) / 3; KM = R.
    radius, depth = 0.4, 0.3
    volume = np.pi * depth**2 * (3 * radius - depth) / 3
    bm = np.pi * (2 * radius * depth - depth**2) ** 2 / 4 / volume
    assert_allclose([volume, bm, radius - bm], [0.084823002, 0.20833333, 0.19166667], **DIGITS)

    def measure(n):
        cut = sphere(radius, depth, n).cut((0, 0, 1), depth)
        return cut.volume, cut.centroid[2], cut.area_inertia[1, 1] / cut.volume, cut.area_inertia[0, 0] / cut.volume

    assert_second_order(measure, 24, [volume, radius - bm, bm, bm])


def test_sphere_of_relative_density_a_quarter():
    # 3 h² - h³ = 1 in radii; KM = R, so GM is the height of the centre over G.
    roots = np.roots([-1, 3, 0, -1])
    (depth,) = roots[(roots > 0) & (roots < 1)]
    assert_allclose(depth, 0.65270364, **DIGITS)

    def draught(n):
        state = hc.float_at_rest([sphere(1.0, depth, n)], SEA * np.pi / 3, (0, 0, 0.8))
        return [-state.height_above_water((0, 0, 0))]

    def gm_on_the_ring(n):  # between rings GM has a term of third order too: there the facets' slope jumps
        body = sphere(1.0, depth, n)
        state = hc.float_at_rest([body], SEA * body.cut((0, 0, 1), depth).volume, (0, 0, 0.8))
        assert_allclose(-state.height_above_water((0, 0, 0)), depth, rtol=1e-10)
        return [state.gm_transverse]

    assert_second_order(draught, 24, [depth])
    assert_second_order(gm_on_the_ring, 24, [0.2])


def test_cone_apex_down():
    # R 0.6, H 1.2, relative density 0.8: depth h = H s^(1/3); GM = 3/4 (h (1 + R²/H²) - H), G at 3 H / 4.
    radius, height, s = 0.6, 1.2, 0.8
    mass = SEA * s * np.pi * radius**2 * height / 3
    depth = height * s ** (1 / 3)
    gm = 0.75 * (depth * (1 + radius**2 / height**2) - height)
    kb = 0.75 * depth
    assert_allclose([depth, kb, gm], [1.1139813, 0.83548599, 0.14435749], **DIGITS)

    def cone(n):
        return revolve(np.array([[0, 0], [radius, height], [0, height]]), n)

    def measure(n):
        state = hc.float_at_rest([cone(n)], mass, (0, 0, 0.75 * height))
        return -state.height_above_water((0, 0, 0)), state.buoyancy[2], state.gm_transverse

    assert_second_order(measure, 64, [depth, kb, gm])

    # Upright if s > (H² / (H² + R²))³ = 0.512.
    critical = (height**2 / (height**2 + radius**2)) ** 3
    assert_allclose(critical, 0.512, rtol=1e-12)
    for s, upright in ((critical + 0.01, True), (critical - 0.01, False)):
        body = cone(64)
        state = hc.float_at_rest([body], SEA * s * body.volume, (0, 0, 0.75 * height))
        assert (state.normal[2] > 1 - 1e-9) == upright


def paraboloid_hull(length, beam, draught, freeboard, n):
    """Half sections of y = B/2 (1 - (2x/L)²) (1 - (z/T)²), vertical above the waterline z = 0."""
    x = np.linspace(-length / 2, length / 2, 2 * n + 1)
    z = np.linspace(-draught, 0, n + 1)
    y = beam / 2 * np.outer(1 - (2 * x / length) ** 2, 1 - (z / draught) ** 2)
    y = np.concatenate([y, y[:, -1:]], axis=1)
    z = np.append(z, freeboard)
    return loft(np.stack([np.repeat(x[:, None], n + 2, axis=1), y, np.tile(z, (2 * n + 1, 1))], axis=-1))


def test_wigley_hull():
    # The usual Wigley definition, L 10, B 1, T 0.625: V = 4/9 LBT, A = 2/3 LB, KB = 5/8 T, I_T = 4/105 B³ L, I_L = B
    # L³/30.
    length, beam, draught = 10.0, 1.0, 0.625
    volume, area = 4 / 9 * length * beam * draught, 2 / 3 * length * beam
    i_t, i_l = 4 / 105 * beam**3 * length, beam * length**3 / 30
    assert_allclose([volume, area, i_t, i_l], [2.7777778, 6.6666667, 0.38095238, 33.333333], **DIGITS)
    assert_allclose([i_t / volume, i_l / volume], [0.13714286, 12], **DIGITS)

    def measure(n):
        cut = paraboloid_hull(length, beam, draught, 0.3, n).cut((0, 0, 1), 0.0)
        inertia = cut.area_inertia / cut.volume
        return cut.volume, cut.area, draught + cut.centroid[2], inertia[1, 1], inertia[0, 0]

    assert_second_order(measure, 24, [volume, area, 5 / 8 * draught, i_t / volume, i_l / volume])


def test_half_ellipsoid_awash():
    # a 3, b 1, c 0.5: V = 2/3 pi abc, KB = 5c/8, BM = 3b²/(8c), 3a²/(8c). The deck lies in the plane of the cut: the
    # limit from below, so the waterplane is the deck.
    a, b, c = 3.0, 1.0, 0.5
    exact = [2 / 3 * np.pi * a * b * c, np.pi * a * b, 5 * c / 8, 3 * b**2 / (8 * c), 3 * a**2 / (8 * c)]
    assert_allclose(exact, [3.1415927, 9.424778, 0.3125, 0.75, 6.75], **DIGITS)

    def measure(n):
        bowl = np.concatenate([arc((0, 1.0), 1.0, -np.pi / 2, 0, n), [[0.0, 1.0]]])
        bowl[0, 0] = 0.0
        unit = revolve(bowl, 4 * n)
        hull = hc.Solid(unit.vertices * [a, b, c], unit.faces)
        cut = hull.cut((0, 0, 1), c)
        inertia = cut.area_inertia / cut.volume
        return cut.volume, cut.area, cut.centroid[2], inertia[1, 1], inertia[0, 0]

    assert_second_order(measure, 24, exact)


def test_pontoon_with_round_ends():
    # A student's question (data seen, answer not): 12 m over all, 2 m wide, 28 t, salt, G 0.4 m above base; 1.2 t moved
    # 0.5 m across.
    area = 10 * 2 + np.pi
    draught = 28000 / SEA / area
    i_t = 10 * 2**3 / 12 + np.pi / 4
    bm = i_t * SEA / 28000
    gm = draught / 2 + bm - 0.4
    list_deg = np.degrees(sa.small_angle_list(gm, sa.shift_of_g(1.2, 0.5, 28.0)))
    assert_allclose([area, draught, i_t, bm, gm], [23.141593, 1.1804319, 7.4520648, 0.2727988, 0.46301473], **DIGITS)
    assert_allclose(list_deg, 2.6497888, **DIGITS)

    def measure(n):
        bow, stern = arc((5, 0), 1.0, -np.pi / 2, np.pi / 2, n), arc((-5, 0), 1.0, np.pi / 2, 3 * np.pi / 2, n)
        hull = prism(np.concatenate([bow, stern]), "z", 0, 2.0)
        state = hc.float_at_rest([hull], 28000, (0, 0, 0.4))
        hand = sa.small_angle_list(state.gm_transverse, sa.shift_of_g(1.2, 0.5, 28.0))
        return -state.height_above_water((0, 0, 0)), state.gm_transverse, np.degrees(hand)

    assert_second_order(measure, 24, [draught, gm, list_deg])


@pytest.mark.parametrize(("s", "critical"), [(0.5, 0.70710678), (0.9, 0.42426407)])
def test_upright_cylinder_stays_upright_if_wide_enough(s, critical):
    # R / H > sqrt(2 s (1 - s)); also in Gilbert (1991), from memory. An ice cylinder (0.9) of diameter under 0.85 of
    # its height rolls over.
    ratio = np.sqrt(2 * s * (1 - s))
    assert_allclose(ratio, critical, **DIGITS)

    def upright(radius, n):
        return prism(arc((0, 0), radius, 0, 2 * np.pi, n)[:-1], "z", 0, 1.0)

    def measure(n):  # of the critical cylinder KM is the height of its G
        cut = upright(ratio, n).cut((0, 0, 1), s)
        return cut.volume, cut.centroid[2] + cut.area_inertia[1, 1] / cut.volume

    assert_second_order(measure, 48, [np.pi * ratio**2 * s, 0.5])
    for factor, stays in ((1.01, True), (0.99, False)):
        body = upright(factor * ratio, 96)
        state = hc.float_at_rest([body], SEA * s * body.volume, (0, 0, 0.5))
        assert (state.normal[2] > 1 - 1e-9) == stays
