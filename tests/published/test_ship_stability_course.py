"""Exercises of Subramaniam, ship stability course books I and II, as worked on solution sheets (books not seen).

Tonnes and metres as printed. List to starboard is positive, as there; y is to port in the boat frame.
"""

import numpy as np
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.floating import small_angle as sa
from hullcalc.geometry.makers import box, prism
from hullcalc.weights.items import combine, item, move


def parcel(name, tonnes, kg, starboard=0.0):
    return item(name, tonnes, (0.0, -starboard, kg), "data sheet")


def test_loading_low():  # book I, ch. 6: 8,800 t KG 6.2 and 200 t at 1.7: 54,900 t m, 6.1 m
    ship = combine([parcel("ship", 8800, 6.2), parcel("cargo", 200, 1.7)])
    assert_allclose(ship.moment[2], 54900, rtol=1e-12)
    assert_allclose(ship.centre[2], 6.1, rtol=1e-12)


def listed(tonnes, gm, *shifts, kg=0.0):
    """List [deg] of a ship after moves (tonnes, to starboard, down); GM changes with KG."""
    moves = [move(parcel(f"cargo {k}", w, kg), (0.0, -across, kg - down)) for k, (w, across, down) in enumerate(shifts)]
    ship = combine([parcel("ship", tonnes, kg), *moves])
    return np.degrees(sa.small_angle_list(gm + kg - ship.centre[2], -ship.centre[1]))


def test_list():  # book I, ch. 11, questions 1 to 3, two sheets agree: 3.8, 4.29 to starboard, 9.46 degrees
    first = listed(5000, 0.3, (20, 5, 0))
    assert_allclose(first, 3.8140748, rtol=1e-7)
    assert_allclose(first, 3.8, atol=0.05)
    second = listed(8000, 2.0, (200, 4, 0), (100, -2, 0), (100, -4, 0), (50, 20, 0))
    assert_allclose(second, 4.2891533, rtol=1e-7)
    assert_allclose(second, 4.29, atol=0.005)
    third = listed(10000, 7.4 - 7.0, (200, 5, 10), kg=7.0)  # GM rises to 0.6 first
    assert_allclose(third, 9.4623222, rtol=1e-7)
    assert_allclose(third, 9.46, atol=0.005)


def test_righting_moment():  # book I, ch. 9, question 1: 10,000 t, GM 0.4, 5 degrees: 348.62 t m
    moment = 10000 * sa.small_angle_gz(0.4, np.radians(5))
    assert_allclose(moment, 348.62297, rtol=1e-7)
    assert_allclose(moment, 348.62, atol=0.005)


def test_triangular_section():  # book I, ch. 8: waterplane 40 x 12 m, KB 3.6, salt: draught 5.4, 1,328.4 t
    # Apex down: KB is two thirds of the draught.
    draught = 5.4
    slope = 6.0 / draught
    hull = prism([(0, 0), (10 * slope, 10), (-10 * slope, 10)], "x", 0, 40)
    state = hc.float_at_rest([hull], 1328.4e3, (20, 0, 5))
    assert_allclose(-state.height_above_water((0, 0, 0)), draught, rtol=1e-10)
    assert_allclose(state.buoyancy[2], 3.6, rtol=1e-10)
    cut = hull.cut(*state.plane)
    assert_allclose(1.025 * cut.volume, 1328.4, rtol=1e-12)
    assert_allclose(cut.area_inertia[1, 1] / cut.volume, 4.4444444, rtol=1e-8)
    assert_allclose(5 + state.gm_transverse, 8.0444444, rtol=1e-8)


def test_angle_of_loll():  # book II, ch. 21, exercise 19, answers 1 to 3, two sheets agree
    loll = np.degrees(sa.wall_sided_loll(-0.300, 5.0))
    assert_allclose(loll, 19.106605, rtol=1e-7)
    assert_allclose(loll, 19.107, atol=0.0005)
    gm = sa.wall_sided_gm_from_loll(np.radians(16), 8.180 - 3.309)
    assert_allclose(gm, -0.20025391, rtol=1e-7)
    assert_allclose(gm, -0.200, atol=0.0005)
    gm = sa.wall_sided_gm_from_loll(np.radians(12), 4.456)
    assert_allclose(gm, -0.10066169, rtol=1e-7)
    assert_allclose(gm, -0.101, atol=0.0005)
    # Lowered 10 m, how many of her 13,943 t bring GM to zero? Exactly 140.35; 140.8 printed, from the rounded 0.101.
    ship = parcel("ship", 13943, 8.0)
    for tonnes, allowed in ((140.35259, 1e-8), (140.8, 0.5 * 10 / 13943)):
        lowered = combine([ship, move(parcel("cargo", tonnes, 12.0), (0.0, 0.0, 2.0))])
        assert_allclose(gm + 8.0 - lowered.centre[2], 0.0, atol=allowed)


def test_loll_of_a_box():  # same exercise, answer 4: box 100 x 12 x 8, draught 4, 18 degrees: GM -0.158, KG 5.158
    hull = box((-50, 50), (-6, 6), (0, 8))
    cut = hull.cut((0, 0, 1), 4.0)
    bm = cut.area_inertia[1, 1] / cut.volume
    gm = sa.wall_sided_gm_from_loll(np.radians(18), bm)
    assert_allclose(gm, -0.15835921, rtol=1e-7)
    assert_allclose(gm, -0.158, atol=0.0005)
    kg = cut.centroid[2] + bm - gm
    assert_allclose(kg, 5.1583592, rtol=1e-8)
    assert_allclose(kg, 5.158, atol=0.0005)
    # Floated, she lolls to 18 degrees on either side: the deck edge is at 33.7 and the formula exact.
    state = hc.float_at_rest([hull], 1025.0 * cut.volume, (0, 0, kg))
    assert state.status == "lolls"
    assert_allclose(state.heel, 18.0, atol=1e-7)
    assert_allclose(state.other.heel, -18.0, atol=1e-7)
    assert_allclose(state.gm_transverse, sa.wall_sided_gm_at_loll(gm, bm), rtol=1e-7)


def test_square_log():
    # Book II, ch. 21, answer 5: square log of relative density 0.68: KB 0.34, BM 0.123, GM -0.037 of its side. The
    # wall-sided angle of loll, 38.0 degrees, lies beyond the corner at 32.6: out of range. It floats corner up at 45.
    hull = box((-5, 5), (-0.5, 0.5), (0, 1))
    cut = hull.cut((0, 0, 1), 0.68)
    bm = cut.area_inertia[1, 1] / cut.volume
    gm = cut.centroid[2] + bm - 0.5
    assert_allclose([cut.centroid[2], bm, gm], [0.34, 0.123, -0.037], atol=0.0006)
    assert_allclose([bm, gm], [0.12254902, -0.03745098], rtol=1e-7)
    loll, limit = sa.wall_sided_loll(gm, bm), sa.wall_sided_limit(0.5, 1 - 0.68, 0.68)
    assert_allclose(np.degrees([loll, limit]), [38.01804, 32.619243], rtol=1e-7)
    assert loll > limit
    state = hc.float_at_rest([hull], 0.68e3 * 10, (0, 0, 0.5), density=1000.0)
    assert_allclose(abs(state.heel), 45.0, atol=1e-6)
