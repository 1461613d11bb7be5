"""Liquids in tanks against closed forms: level at the attitude, wet floors, cylinders, dips, a box with a slack tank.

Attitudes are made "plane first": a box boat is given the G that makes her rest at a chosen heel with the liquid where
the closed form says it lies; a liquid anywhere else would rest her at another heel. Heel to starboard is positive, the
low side is y < 0. The formulas are standard integrals over rectangle, triangle and circle.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.floating import small_angle as sa
from hullcalc.geometry.makers import box, prism

SEA, GASOLINE = 1025.0, 740.0
DIGITS = {"rtol": 6e-8, "atol": 1e-10}  # eight digits, a second working of the formulas typed here
LENGTH, BEAM, DRAUGHT = 6.0, 2.4, 0.6  # of the box boat; sides wet and deck dry up to 26 degrees of heel


def at_heel(tank, degrees, liquid, low_side, height):
    """The box boat at rest at a heel; `liquid` kg lie `low_side` off the centreline (positive down), at `height`."""
    s = -np.tan(np.radians(degrees))  # slope of the sea along y
    bm = BEAM**2 / (12 * DRAUGHT)
    mass = SEA * LENGTH * BEAM * DRAUGHT
    buoyancy = np.array([0.0, s * bm, DRAUGHT / 2 + s**2 * bm / 2])
    zg = 0.45
    g = np.array([0.0, buoyancy[1] - s * (zg - buoyancy[2]), zg])
    dry = (mass * g - liquid * np.array([0.0, -low_side, height])) / (mass - liquid)
    state = hc.float_at_rest([box((-3, 3), (-1.2, 1.2), (0, 1.5))], mass - liquid, dry, tanks=[tank])
    assert_allclose(state.mass, mass, rtol=1e-12)
    return state


def assert_lies(state, degrees, low_side, height, atol=1e-9):
    """The boat rests at the heel meant and her liquid lies where meant."""
    (liquid,) = state.liquids
    assert_allclose(state.heel, degrees, atol=1e2 * atol)
    assert_allclose(liquid.centre, [0.0, -low_side, height], atol=atol)


def test_rectangular_tank():
    # 1.2 x 0.6 m, 0.2 m of gasoline, 10 degrees: y = b² tan / (12 h), z = h / 2 + b² tan² / (24 h).
    length, b, h, heel = 1.2, 0.6, 0.2, np.radians(10)
    mass = GASOLINE * length * b * h
    y, z = b**2 * np.tan(heel) / (12 * h), h / 2 + b**2 * np.tan(heel) ** 2 / (24 * h)
    assert_allclose([mass, y, z], [106.56, 0.026449047, 0.10233184], **DIGITS)
    tank = hc.Tank("fuel", box((-0.6, 0.6), (-0.3, 0.3), (0, 0.5)), GASOLINE, fill=0.4)
    state = at_heel(tank, 10, mass, y, z)
    assert_lies(state, 10, y, z)
    # The moment across exceeds that of the free surface times the sine by 1.6 %.
    moment = mass * (y * np.cos(heel) + (z - h / 2) * np.sin(heel))
    by_surface = GASOLINE * sa.rectangle_second_moment(length, b) * np.sin(heel)
    assert_allclose([moment, by_surface], [2.8187407, 2.7755925], **DIGITS)
    assert_allclose(np.cross([0, -y, z - h / 2], state.plane[0])[0] * -mass, moment, rtol=1e-9)
    # Upright the core takes off i rho / W, and in the heeled plane the surface is b / cos wide.
    upright = at_heel(tank, 0, mass, 0.0, h / 2)
    loss = sa.free_surface_correction(0.0216, GASOLINE, upright.mass)
    assert_allclose(upright.free_surface[0], loss, rtol=1e-9)
    assert_allclose(upright.free_surface[0] * upright.mass, 15.984, rtol=1e-9)
    assert_allclose(state.free_surface[0], loss / np.cos(heel) ** 3, rtol=1e-9)


def test_part_of_the_floor_dry():
    # 0.04 m in a tank 0.6 m wide: from tan = 2 h / b on, a triangle with a wet floor of sqrt(2 b h / tan).
    b, h, heel = 0.6, 0.04, np.radians(15)
    wet = np.sqrt(2 * b * h / np.tan(heel))
    y, z = b / 2 - wet / 3, wet * np.tan(heel) / 3
    assert_allclose([wet, y, z], [0.42324749, 0.1589175, 0.037802941], **DIGITS)
    assert_allclose(np.degrees(np.arctan(2 * h / b)), 7.5946434, **DIGITS)
    tank = hc.Tank("fuel", box((-0.6, 0.6), (-0.3, 0.3), (0, 0.5)), GASOLINE, fill=h / 0.5)
    state = at_heel(tank, 15, GASOLINE * 1.2 * b * h, y, z)
    assert_lies(state, 15, y, z)
    assert_allclose(state.free_surface[0] * state.mass, GASOLINE * 1.2 * (wet / np.cos(heel)) ** 3 / 12, rtol=1e-9)
    # Just before, the floor is wet all over and the surface as wide as the tank.
    before = np.radians(7.5)
    y, z = b**2 * np.tan(before) / (12 * h), h / 2 + b**2 * np.tan(before) ** 2 / (24 * h)
    assert_lies(at_heel(tank, 7.5, GASOLINE * 1.2 * b * h, y, z), 7.5, y, z)


def test_v_bottom_tank():
    # Bottom slopes of 20 degrees, filled to 0.15 m, 8 degrees: the triangle between the slopes keeps its area.
    t, s, d0 = np.tan(np.radians(20)), np.tan(np.radians(8)), 0.15
    area = d0**2 / t
    d1 = np.sqrt(area * (t**2 - s**2) / t)
    y, z = 2 * s * d1 / (3 * (t**2 - s**2)), 2 * t**2 * d1 / (3 * (t**2 - s**2))
    assert_allclose([area, d1, y, z, 2 * d0 / 3], [0.061818242, 0.13836648, 0.11500882, 0.10840776, 0.1], **DIGITS)
    height = 0.4
    half = height / t
    tank_solid = prism([(0, 0), (half, height), (-half, height)], "x", -0.5, 0.5)
    tank = hc.Tank("fuel", tank_solid, GASOLINE, fill=area / (half * height))
    state = at_heel(tank, 8, GASOLINE * area, y, z)
    assert_lies(state, 8, y, z)
    upright = at_heel(tank, 0, GASOLINE * area, 0.0, 0.1)
    assert_allclose(upright.free_surface[0] * upright.mass / GASOLINE, 0.046664317, **DIGITS)


def segment_fraction(depth):
    """Part of a circle's area under `depth` (of the diameter)."""
    half = np.arccos(1 - 2 * depth)
    return (half - np.sin(half) * np.cos(half)) / np.pi


def cylinder(radius, length, depth, n, turn=0.0):
    """On its side along x, bottom at z = 0: n facets under the surface at `depth`, heeled by `turn`, and n over it."""
    half, down = np.arccos(1 - depth / radius), -np.pi / 2 - turn
    wet, dry = np.linspace(down - half, down + half, n + 1), np.linspace(down + half, down + 2 * np.pi - half, n + 1)
    angle = np.concatenate([wet[:-1], dry[:-1]])
    outline = np.column_stack([radius * np.cos(angle), radius + radius * np.sin(angle)])
    return prism(outline, "x", -length / 2, length / 2)


def assert_second_order(measure, n, exact):
    """Facets of half the size leave a quarter of the error; extrapolated, 1e-6."""
    exact = np.asarray(exact, dtype=float)
    coarse, fine = np.asarray(measure(n)), np.asarray(measure(2 * n))
    assert_allclose((fine - exact) / (coarse - exact), 0.25, atol=0.02)
    assert_allclose((4 * fine - coarse) / 3, exact, rtol=1e-6)


def test_cylindrical_tank():
    # R 0.3, L 1, depth 0.2, 20 degrees: the liquid turns about the axis, y = zc sin, and i / V = zc.
    radius, depth, heel = 0.3, 0.2, np.radians(20)
    area = np.pi * radius**2 * segment_fraction(depth / (2 * radius))
    below_axis = (2 * np.sqrt(2 * radius * depth - depth**2)) ** 3 / 12 / area
    y, z = below_axis * np.sin(heel), radius - below_axis * np.cos(heel)
    assert_allclose(
        [area, below_axis, y, area * below_axis], [0.082502076, 0.18284321, 0.062536062, 0.015084945], **DIGITS
    )

    def measure(n):
        fill = segment_fraction(depth / (2 * radius))
        tank = hc.Tank("fuel", cylinder(radius, 1.0, depth, n, turn=heel), GASOLINE, fill=fill)
        volume = fill * tank.solid.volume
        state = at_heel(tank, 20, GASOLINE * volume, y, z)
        (liquid,) = state.liquids
        return [-liquid.centre[1], liquid.centre[2]]

    # The boat's heel moves with the liquid, both in second order.
    assert_second_order(measure, 32, [y, z])


def test_circle_segments():
    # Common tables of horizontal cylinders, from memory: 0.0187, 0.0520, 0.0941, 0.1424, 0.1955, 0.2523, 0.3119,
    # 0.3735, 0.4364 at 5 to 45 % of the diameter. (A page that gives 21 % at a quarter of the depth is wrong.)
    depths = np.arange(0.05, 0.5, 0.05)
    printed = [0.0187, 0.0520, 0.0941, 0.1424, 0.1955, 0.2523, 0.3119, 0.3735, 0.4364]
    for depth, table in zip(depths, printed, strict=True):

        def measure(n, depth=depth):
            solid = cylinder(0.5, 1.0, depth, n)
            return [solid.cut((0, 0, 1), depth).volume, solid.volume]

        assert_second_order(measure, 48, [segment_fraction(depth) * np.pi / 4, np.pi / 4])
        fine, coarse = measure(96), measure(48)
        extrapolated = (4 * fine[0] - coarse[0]) / (4 * fine[1] - coarse[1])
        assert_allclose(extrapolated, table, atol=0.00005)


@pytest.mark.parametrize(
    ("diameter", "length", "dip", "printed", "exact", "allowed"),
    # Tank-dip pages: 24 x 48 in at 6 in, 18.4 US gal; 48 x 120 in at 12 in, printed 237 of 940 US gal, which must be
    # 183.8 (19.55 % of 940.0).
    [(24, 48, 6, 18.4, 18.377687, 0.05), (48, 120, 12, 183.8, 183.77687, 0.05)],
)
def test_dip_in_gallons(diameter, length, dip, printed, exact, allowed):
    def gallons(n):
        return [cylinder(diameter / 2, length, dip, n).cut((0, 0, 1), dip).volume / 231]  # 1 US gal = 231 in³

    assert_second_order(gallons, 48, [exact])
    assert_allclose(gallons(400)[0], printed, atol=allowed)


def test_whole_tank_in_gallons_and_a_half_full_one():
    assert_second_order(lambda n: [cylinder(24, 120, 12, n).volume / 231], 48, [940.0298])
    # 2 m x 5 m at 1 m: 7.854 m³.
    assert_second_order(lambda n: [cylinder(1, 5, 1, n).cut((0, 0, 1), 1.0).volume], 48, [7.8539816])


def test_box_hull_with_a_slack_tank():
    # L 6, B 2, T 0.35; tank 1.2 x 0.9 m, 0.25 m of gasoline, its floor at 0.10; the rest at y 0.04, z 0.60. Liquid
    # and hull obey the same formula with signs turned: s GM_f + (BM - FS) s³ / 2 = yG, s the slope.
    mass, draught = 4305.0, 0.35
    liquid = GASOLINE * 1.2 * 0.9 * 0.25
    rest = mass - liquid
    y_g, z_g = rest * 0.04 / mass, (rest * 0.60 + liquid * (0.10 + 0.125)) / mass
    bm = 2**2 / (12 * draught)
    fs = sa.free_surface_correction(sa.rectangle_second_moment(1.2, 0.9), GASOLINE, mass)
    gm = draught / 2 + bm - z_g - fs
    assert_allclose([y_g, z_g, fs, gm], [0.038143554, 0.58259582, 0.01253101, 0.53225412], **DIGITS)
    roots = np.roots([(bm - fs) / 2, 0, gm, -y_g])
    slope = float(roots[np.isreal(roots)].real[0])
    assert_allclose([slope, np.degrees(np.arctan(slope))], [0.07134357, 4.0807712], **DIGITS)

    hull = box((-3, 3), (-1, 1), (0, 1))
    tank = hc.Tank("fuel", box((-0.6, 0.6), (-0.45, 0.45), (0.10, 0.60)), GASOLINE, fill=0.5)
    state = hc.float_at_rest([hull], rest, (0, 0.04, 0.60), tanks=[tank])
    assert_allclose(-state.plane[0][1] / state.plane[0][2], slope, rtol=1e-9)
    assert_allclose(state.heel, -np.degrees(np.arctan(slope)), rtol=1e-9)  # the weight is to port
    # Frozen liquid and small angles give other heels: 3.988 and 4.099 degrees.
    frozen = hc.float_at_rest([hull], mass, (0, y_g, z_g))
    assert_allclose(frozen.heel, -3.9881825, **DIGITS)
    assert_allclose(np.degrees(sa.small_angle_list(gm, y_g)), 4.0990473, **DIGITS)
