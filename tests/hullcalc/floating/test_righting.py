"""Righting arms against closed forms, a section of one's own, and the boat at rest.

Sources: the wall-sided formula, K. J. Rawson and E. C. Tupper, Basic Ship Theory, 5th ed., 2001, ch. 4 (from memory);
D. R. Derrett, rev. C. B. Barrass, Ship Stability for Masters and Mates, 5th ed., 1999, p. 130 (a box ship); Moseley's
formula, as in every book on ship theory (from memory). Heel to starboard is positive, y to port.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy.integrate import simpson
from scipy.optimize import brentq

import hullcalc as hc
from hullcalc.floating import small_angle as sa
from hullcalc.floating.righting import righting_curve
from hullcalc.geometry.makers import box, convex_hull

SEA = 1025.0
EXACT = 1e-9
HEELS = np.arange(-60, 61, 5.0)


def skiff(mirror=False):
    """A hull with a raked V bow and no symmetry fore and aft, and a tank off the centreline; mirrored on request."""
    side = -1.0 if mirror else 1.0
    hull = convex_hull(
        [
            (0, 0, 0), (4, 0, 0.05), (6, 0, 0.9), (0, 1, 0.35), (0, -1, 0.35), (4, 0.8, 0.5), (4, -0.8, 0.5),
            (0, 1.1, 0.95), (0, -1.1, 0.95), (4, 1.1, 1.05), (4, -1.1, 1.05), (6, 0, 1.2),
        ]
    )  # fmt: skip
    y = sorted((side * 0.1, side * 0.7))
    tank = hc.Tank("fuel", box((1.0, 2.2), y, (0.45, 0.75)), fill=0.4)
    return hull, tank, (1.9, side * 0.03, 0.62)


def clipped(corners, level, heel):
    """Area and centroid (y, z) of a section's part under the water: a polygon clipped by hand, shoelace formula."""
    up = np.array([np.sin(heel), np.cos(heel)])
    kept = []
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        ha, hb = a @ up - level, b @ up - level
        if ha <= 0:
            kept.append(a)
        if ha * hb < 0:
            kept.append(a + ha / (ha - hb) * (b - a))
    p = np.array(kept)
    q = np.roll(p, -1, axis=0)
    cross = p[:, 0] * q[:, 1] - q[:, 0] * p[:, 1]
    return cross.sum() / 2, ((p + q) * cross[:, None]).sum(axis=0) / (3 * cross.sum())


def section_arm(corners, area, kg, heel):
    """GZ of a long body of this section that floats with `area` of it under water, G on the centreline at `kg`."""
    up = np.array([np.sin(heel), np.cos(heel)])
    low, high = min(corners @ up), max(corners @ up)
    slip = 1e-2 * (high - low)  # no sliver has a centroid
    level = brentq(lambda d: clipped(corners, d, heel)[0] - area, low + slip, high - slip, xtol=1e-14)
    _, centre = clipped(corners, level, heel)
    return (np.array([0.0, kg]) - centre) @ [np.cos(heel), -np.sin(heel)]


@pytest.mark.parametrize("draught", [2.5, 4.0, 5.3])
def test_box_ship_at_every_heel(draught):
    # Derrett's box, 65 x 12 x 8 m, KG 4; a corner that meets the water turns the curve. The other road clips a section.
    heels = np.arange(-175, 180, 5.0)
    corners = np.array([(-6.0, 0), (6, 0), (6, 8), (-6, 8)])
    ship = box((0, 65), (-6, 6), (0, 8))
    curve = righting_curve(ship, SEA * 65 * 12 * draught, (32.5, 0, 4), heels)
    expected = [section_arm(corners, 12 * draught, 4.0, np.radians(heel)) for heel in heels]
    assert_allclose(curve.gz, expected, rtol=EXACT, atol=EXACT)
    assert_allclose(curve.trims, 0, atol=1e-9)
    bm, kb = 144 / (12 * draught), draught / 2
    wall_sided = abs(heels) < np.degrees(sa.wall_sided_limit(6.0, 8 - draught, draught))
    arms = sa.wall_sided_gz(kb + bm - 4.0, bm, np.radians(heels[wall_sided]))
    assert_allclose(curve.gz[wall_sided], arms, rtol=EXACT, atol=EXACT)


def test_box_ship_as_printed():  # p. 130, example 2: 3,198 t; 278.9 t m at 5 degrees by GM sin(heel)
    curve = righting_curve(box((0, 65), (-6, 6), (0, 8)), 3198e3, (32.5, 0, 4), [0, 5, 25, 40])
    assert_allclose(3198 * curve.gz, [0, 281.92421, 1792.355, 3198 * 1.1336516], rtol=1e-7)
    assert_allclose(3198 * curve.gz[1], 278.9, atol=3.1)  # the printed one leaves out the tangent: 1.1 % low


def test_figures_of_the_box_ship():
    # Half under water, so that every plane through its middle keeps the volume. Beyond 33.69 degrees it is a box on its
    # side, 8 m broad, G 3 m over B: with t = 90 degrees - heel, GZ = -sin(t) (GM + BM tan²(t)/2), GM = BM - 3.
    curve = righting_curve(box((0, 65), (-6, 6), (0, 8)), 3198e3, (32.5, 0, 4), np.arange(-90, 91, 5.0))
    bm = 8**2 / (12 * 6.0)

    def arm(t):
        return -np.sin(t) * (bm - 3 + bm / 2 * np.tan(t) ** 2)

    def slope(t):
        return -np.cos(t) * (bm - 3 + bm / 2 * np.tan(t) ** 2) - bm * np.tan(t) ** 2 / np.cos(t)

    t = brentq(slope, np.radians(40), np.radians(50), xtol=1e-14)
    for side, sign in ((curve.starboard, 1), (curve.port, -1)):
        assert_allclose([sign * side.vanishing, side.positive_range], 90, atol=1e-8)
        assert_allclose(side.largest_arm, arm(t), rtol=EXACT)
        assert_allclose(sign * side.largest_at, 90 - np.degrees(t), atol=1e-3)  # flat on top
        assert_allclose(side.area, 1.0, rtol=EXACT)  # G 2 m over B upright, 3 m on its side


def test_area_of_wall_sides():
    # int sin(h) (GM + BM tan²(h)/2) dh = GM (1 - cos h) + BM/2 (1/cos h + cos h - 2)
    curve = righting_curve(box((0, 65), (-6, 6), (0, 8)), 3198e3, (32.5, 0, 4), np.arange(0, 31, 10.0))
    h = np.radians(30)
    expected = 1.0 * (1 - np.cos(h)) + 3.0 / 2 * (1 / np.cos(h) + np.cos(h) - 2)
    assert_allclose(curve.starboard.area, expected, rtol=EXACT)
    assert curve.starboard.vanishing is None
    assert curve.starboard.positive_range == curve.starboard.valid_to == curve.starboard.largest_at == 30
    assert curve.port is None  # no heel to port was asked for


def test_slack_tank_in_a_box():
    # Box and tank wall-sided: GZ = sin(h) (GM_fluid + (BM - FS) tan²(h)/2) + yG cos(h); the liquid moves as the hull
    # with the sign turned. The rest of the mass lies 40 mm to port, so she rests heeled to port.
    mass, rho, fuel = 4305.0, 1025.0, 740.0
    liquid = fuel * 1.2 * 0.9 * 0.25
    tank = hc.Tank("tank", box((-0.6, 0.6), (-0.45, 0.45), (0.10, 0.6)), fuel, fill=0.5)
    curve = righting_curve(
        box((-3, 3), (-1, 1), (0, 1)), mass - liquid, (0, 0.04, 0.60), [-19, -10, 0, 10, 15], tanks=[tank]
    )
    yg = (mass - liquid) * 0.04 / mass
    zg = ((mass - liquid) * 0.60 + liquid * 0.225) / mass
    bm = 6 * 2**3 / 12 / (mass / rho)
    fs = fuel * 1.2 * 0.9**3 / 12 / mass
    gm, h = 0.175 + bm - zg - fs, np.radians(curve.heels)
    assert_allclose(curve.gz, np.sin(h) * (gm + (bm - fs) * np.tan(h) ** 2 / 2) + yg * np.cos(h), rtol=1e-9, atol=1e-12)
    slope = brentq(lambda s: s * gm + s**3 * (bm - fs) / 2 - yg, 0, 1, xtol=1e-15)
    assert_allclose(curve.port.rest, -np.degrees(np.arctan(slope)), atol=1e-7)
    assert curve.port.rest == curve.starboard.rest == curve.state.heel


@pytest.mark.parametrize("heel", [-50.0, -3.0, 0.0, 2.0, 35.0, 80.0, 120.0])
def test_each_heel_is_in_balance(heel):
    # Cut the hull once at the plane found, and each tank at its liquid's surface: weight, trim and arm by hand.
    hull, tank, cg = skiff()
    mass = 900.0
    curve = righting_curve(hull, mass, cg, [heel, heel + 5], tanks=[tank])
    trim, side = np.radians(curve.trims[0]), np.radians(heel)
    n = np.array([np.sin(trim), np.cos(trim) * np.sin(side), np.cos(trim) * np.cos(side)])
    liquid = 740 * 0.4 * tank.solid.volume
    low, high = sorted((tank.solid.vertices @ n).tolist())[:: len(tank.solid.vertices) - 1]
    surface = brentq(lambda d: tank.solid.cut(n, d).volume - 0.4 * tank.solid.volume, low, high, xtol=1e-14)
    g = (mass * np.array(cg) + liquid * tank.solid.cut(n, surface).centroid) / (mass + liquid)
    low, high = sorted((hull.vertices @ n).tolist())[:: len(hull.vertices) - 1]
    sea = brentq(lambda d: SEA * hull.cut(n, d).volume - mass - liquid, low, high, xtol=1e-14)
    apart = g - hull.cut(n, sea).centroid
    u = np.array([1.0, 0, 0]) - n * n[0]
    u /= np.linalg.norm(u)
    assert abs(apart @ u) < 1e-9  # weight and buoyancy over one another along the boat
    assert_allclose(curve.gz[0], apart @ np.cross(n, u), atol=1e-10)


def test_slope_at_rest_is_the_metacentric_height():
    # Upright and symmetric, trim and heel do not mix: dGZ/dh = GM cos(trim), since heel is counted about the x axis and
    # GM belongs to the axis levelled. Differences of 1 and 2 hundredths of a degree, extrapolated.
    hull, _, cg = skiff()
    step = 0.01
    curve = righting_curve(hull, 1000.0, (1.6, 0, cg[2]), step * np.arange(-2, 3))
    small, large = (curve.gz[3] - curve.gz[1]) / 2, (curve.gz[4] - curve.gz[0]) / 4
    slope = (4 * small - large) / 3 / np.radians(step)
    assert abs(curve.state.trim) > 1
    assert_allclose(slope, curve.state.gm_transverse * np.cos(np.radians(curve.state.trim)), rtol=1e-8)
    assert curve.gz[2] == 0 and curve.state.heel == 0


def test_she_rests_where_the_arm_is_nought():
    hull, tank, cg = skiff()
    curve = righting_curve(hull, 1000.0, cg, [-30, 30], tanks=[tank])
    assert abs(curve.state.heel) > 0.5
    near = curve.state.heel + np.array([-1e-3, 0, 1e-3])
    around = righting_curve(hull, 1000.0, cg, near, tanks=[tank])
    assert_allclose(around.gz[1], 0, atol=1e-12)
    assert around.gz[0] < 0 < around.gz[2]


def test_mirrored_boats_have_mirrored_arms():
    openings = {"hatch": (1.0, 0.95, 0.6), "vent": (0.1, -1.0, 0.9)}
    curves = []
    for mirror in (False, True):
        hull, tank, cg = skiff(mirror)
        points = {name: np.array(p) * ([1, -1, 1] if mirror else 1) for name, p in openings.items()}
        curves.append(righting_curve(hull, 1000.0, cg, HEELS, tanks=[tank], openings=points))
    one, other = curves
    assert_allclose(one.gz, -other.gz[::-1], atol=1e-12)
    assert_allclose(one.trims, other.trims[::-1], atol=1e-10)
    for side, mirrored in ((one.starboard, other.port), (one.port, other.starboard)):
        assert side.first_under == mirrored.first_under
        here = [side.rest, side.downflooding, side.vanishing or 0, side.valid_to, side.largest_at]
        there = [mirrored.rest, mirrored.downflooding, mirrored.vanishing or 0, mirrored.valid_to, mirrored.largest_at]
        assert_allclose(here, -np.array(there), atol=1e-5)  # the heel of the largest arm is flat on top
        assert_allclose([side.largest_arm, side.area], [mirrored.largest_arm, mirrored.area], rtol=1e-10)
    assert one.starboard.largest_arm != pytest.approx(one.port.largest_arm, rel=1e-3)


def test_two_positions_of_loll():
    # Box, B 2, T 0.5, G 0.95 over the bottom: BM 2/3, GM -1/30; tan(loll) = sqrt(-2 GM/BM) = sqrt(0.1).
    curve = righting_curve(box((-3, 3), (-1, 1), (0, 1.2)), SEA * 6, (0, 0, 0.95), np.arange(-25, 26, 2.5))
    loll = np.degrees(np.arctan(np.sqrt(0.1)))
    assert curve.state.status == "lolls"
    assert_allclose([curve.port.rest, curve.starboard.rest], [-loll, loll], atol=1e-7)
    assert_allclose(curve.gz, sa.wall_sided_gz(-1 / 30, 2 / 3, np.radians(curve.heels)), atol=1e-11)
    within = (curve.heels > 0) & (curve.heels < loll)
    assert np.all(curve.gz[within] < 0)
    assert_allclose(curve.starboard.largest_arm, curve.gz[-1], rtol=1e-12)
    assert any("does not stay upright" in words for words in curve.limits)


def test_openings_end_the_curve():
    # Half under water the box turns about its middle line, 4 m up: a point y to starboard and z up goes under where
    # tan(heel) = (z - 4) / y, before the deck edge does.
    openings = {"soon after": (9, -5, 7.1), "high": (10, -2, 6.0), "low": (30, -5, 7.0), "to port": (10, 3, 5.5)}
    ship = box((0, 65), (-6, 6), (0, 8))
    curve = righting_curve(ship, 3198e3, (32.5, 0, 4), np.arange(-90, 91, 10.0), openings=openings)
    side, angle = curve.starboard, np.degrees(np.arctan(3 / 5))
    assert side.first_under == "low"
    assert_allclose([side.downflooding, side.valid_to, side.largest_at], angle, atol=1e-7)
    h = np.arctan(3 / 5)
    assert_allclose(side.largest_arm, sa.wall_sided_gz(1.0, 3.0, h), rtol=EXACT)
    assert_allclose(side.area, 1 - np.cos(h) + 1.5 * (1 / np.cos(h) + np.cos(h) - 2), rtol=EXACT)
    assert curve.port.first_under == "to port"
    assert_allclose(curve.port.downflooding, -np.degrees(np.arctan(1.5 / 3)), atol=1e-7)
    sines, cosines = np.sin(np.radians(curve.heels)), np.cos(np.radians(curve.heels))
    assert_allclose(curve.heights["low"], -5 * sines + 3 * cosines, atol=1e-9)
    assert "Not valid beyond 31.0° to starboard: low is under water from there on." in curve.limits
    assert "Not valid beyond 26.6° to port: to port is under water from there on." in curve.limits


def test_an_opening_under_water_at_rest_leaves_no_curve():
    openings = {"drain": (10, 0, 3.9), "low drain": (10, 0, 3.8), "hatch": (10, 0, 8.0)}
    curve = righting_curve(box((0, 65), (-6, 6), (0, 8)), 3198e3, (32.5, 0, 4), HEELS, openings=openings)
    for side in (curve.starboard, curve.port):
        assert side.first_under == "low drain"
        assert side.downflooding == side.valid_to == side.rest == side.largest_at == 0
        assert side.largest_arm == side.area == 0
    assert curve.limits.count("Not valid from the start: low drain is under water where she rests.") == 1


def test_openings_that_stay_dry_and_none_known():
    ship = box((0, 65), (-6, 6), (0, 8))
    dry = righting_curve(ship, 3198e3, (32.5, 0, 4), [-10, 0, 10], openings={"mast": (30, 0, 12.0)})
    assert dry.starboard.downflooding is None and dry.starboard.valid_to == 10
    assert any("No opening goes under as far as 10.0° to port" in words for words in dry.limits)
    unknown = righting_curve(ship, 3198e3, (32.5, 0, 4), [-10, 0, 10])
    assert any("No opening is known" in words for words in unknown.limits)
    assert "naval architect" in unknown.limits[-1]


def test_area_with_a_standpipe():
    # Its water comes and goes, so the work is no longer the rise of G over B: sum the arms themselves, trim and all.
    hull, _, cg = skiff()
    well = hc.Tank("livewell", box((0.1, 0.8), (-0.9, -0.4), (0.45, 0.9)), SEA, level_at=(0.4, -0.6, 0.7))
    fine = np.linspace(0, 30, 301)
    curve = righting_curve(hull, 900.0, cg, np.append(fine, 40.0), tanks=[well], openings={"limit": (1, -0.95, 0.6)})
    side = curve.starboard
    assert side.rest > 0.5 and side.valid_to == side.downflooding
    inside = np.linspace(side.rest, side.valid_to, 401)
    arms = righting_curve(hull, 900.0, cg, inside, tanks=[well])
    area = simpson(arms.gz * np.cos(np.radians(arms.trims)), x=np.radians(inside))
    assert_allclose(side.area, area, rtol=1e-7)


def test_a_boat_that_capsizes_has_no_side():
    # A homogeneous plank on edge falls on its side: over 60 degrees from level.
    plank = box((0, 5), (-0.1, 0.1), (0, 2))
    curve = righting_curve(plank, 0.5 * SEA * plank.volume, (2.5, 0.001, 1.0), HEELS)
    assert curve.state.status == "capsizes"
    assert curve.starboard is curve.port is None
    assert any("no righting arm here is of use" in words for words in curve.limits)


def test_flooded_space_takes_its_arm_away():
    # Lost buoyancy amidships, full height: the box 6 m long less 1 m is a box of 5 m as far as heel goes.
    length, mass = 5.0, 4305.0
    draught = mass / SEA / (length * 2)
    space = box((-0.5, 0.5), (-1, 1), (0, 1))
    curve = righting_curve(box((-3, 3), (-1, 1), (0, 1)), mass, (0, 0, 0.55), [-20, 0, 10, 20], flooded=[space])
    bm = 4 / (12 * draught)
    assert_allclose(
        curve.gz, sa.wall_sided_gz(draught / 2 + bm - 0.55, bm, np.radians(curve.heels)), rtol=EXACT, atol=EXACT
    )


def test_many_heels_and_few_agree():
    hull, tank, cg = skiff()
    many = righting_curve(hull, 1000.0, cg, np.linspace(-60, 60, 241), tanks=[tank])
    few = righting_curve(hull, 1000.0, cg, np.linspace(-60, 60, 13), tanks=[tank])
    assert_array_equal(many.gz[::20], few.gz)
    for one, other in ((many.starboard, few.starboard), (many.port, few.port)):
        assert_allclose([one.largest_arm, one.area], [other.largest_arm, other.area], rtol=1e-8)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"heels": [0, np.nan]}, r"heels\[1\] = nan deg"),
        ({"heels": [0, 190]}, r"heels\[1\] = 190 deg is not within"),
        ({"heels": [0, 10, 10]}, r"heels\[2\] = 10 deg is not above the one before"),
        ({"heels": [5]}, "two or more"),
        ({"heels": ["upright", 10]}, "heels = .* must be numbers in deg"),
        ({"openings": {"hatch": (1, 2)}}, "opening hatch = .* must be three finite numbers"),
        ({"openings": {"hatch": (1, 2, np.inf)}}, "opening hatch = .* must be three finite numbers"),
        ({"mass": np.nan}, "mass"),
    ],
)
def test_bad_input(change, words):
    given = {"mass": 3198e3, "cg": (32.5, 0, 4), "heels": [0, 10]} | change
    with pytest.raises(hc.InputError, match=words):
        righting_curve(box((0, 65), (-6, 6), (0, 8)), **given)


def test_too_heavy():
    with pytest.raises(hc.NoEquilibriumError, match="short of"):
        righting_curve(box((0, 65), (-6, 6), (0, 8)), 8e6, (32.5, 0, 4), [0, 10])


def test_sinking_through_a_standpipe():
    # 1,300 kg to spare; the starboard tank can take 1,640, its lip stands to port: it fills as she heels to starboard.
    tank = hc.Tank("well", box((1, 5), (-0.95, -0.45), (0.1, 0.9)), SEA, level_at=(3, 0.9, 0.12))
    with pytest.raises(hc.NoEquilibriumError, match=r"held at 30.0° to starboard she sinks, short of \d+ kg"):
        righting_curve(box((0, 6), (-1, 1), (0, 1)), 11000.0, (3, 0, 0.3), [0, 10, 30], tanks=[tank])
