"""Worked examples of Nicholls's Seamanship and Nautical Knowledge, chapter on stability and trim, pp. 497-536.

Read in a scan (edition not shown). Feet, long tons, 35 ft³ of salt water to the ton; the sums hold in any units and
are fed as printed: z is the height above the keel [ft]. "Printed" allows half a unit of its last digit unless a note
says how the book rounds on the way. y is to port in the boat frame.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.floating import small_angle as sa
from hullcalc.geometry.makers import box
from hullcalc.weights.items import combine, item, move, remove


def parcel(name, tons, kg):
    return item(name, tons, (0.0, 0.0, kg), "data sheet")


def laden(*pairs):
    """Parcels given as (tons, height above the keel)."""
    return combine([parcel(f"parcel {k}", tons, kg) for k, (tons, kg) in enumerate(pairs)], "ship")


def kg(total):
    return total.centre[2]


def test_rod_with_three_weights():  # pp. 497-499: rod of 8 ft, its own mass neglected, K at its end, centre at 4 ft
    four, six, ten = (
        parcel("4 lb", 4, 2),
        parcel("6 lb", 6, 5),
        parcel("10 lb", 10, 7),
    )  # the scan shows 6 x 6 for 6 x 5
    rod = combine([four, six, ten])
    assert_allclose(rod.moment[2], 108, rtol=1e-12)
    assert_allclose(kg(rod), 5.4, rtol=1e-12)
    assert_allclose(kg(rod) - 4, 1.4, rtol=1e-12)
    moved = combine([rod, move(ten, (0.0, 0.0, 7 - 3))])
    assert_allclose(moved.moment[2], 78, rtol=1e-12)
    assert_allclose(kg(moved), 3.9, rtol=1e-12)
    assert_allclose(kg(moved) - kg(rod), -1.5, rtol=1e-12)
    lifted = combine([moved, remove(four)])
    assert_allclose(lifted.moment[2], 70, rtol=1e-12)
    assert_allclose(kg(lifted), 4.375, rtol=1e-12)
    assert_allclose(kg(lifted), 4.38, atol=0.0051)
    assert_allclose(kg(lifted) - kg(moved), 0.475, rtol=1e-12)
    assert_allclose(kg(lifted) - kg(moved), 0.48, atol=0.0051)


# fmt: off
LOADED_SHIP = [
    (942, 14), (115, 26), (161, 32), (1397, 14), (80, 25), (210, 31), (804, 14), (197, 25), (6, 31), (750, 16),
    (1178, 14), (60, 25), (260, 31), (933, 16), (110, 26), (660, 16), (103, 2), (27, 12), (4450, 13),
]
# fmt: on


def test_loaded_ship():  # p. 519, 19 rows, KM 18.0: 12,443 tons, 190,545, KG 15.3, GM 2.7
    ship = laden(*LOADED_SHIP)
    assert_allclose(ship.mass, 12443, rtol=1e-12)
    assert_allclose(ship.moment[2], 190545, rtol=1e-12)
    assert_allclose(kg(ship), 15.313429, rtol=1e-7)
    assert_allclose(kg(ship), 15.3, atol=0.05)
    assert_allclose(18.0 - kg(ship), 2.7, atol=0.05)


def test_metacentric_height_from_a_ledger():
    # Exercises 20, 22, 24, p. 532; exercise 27, p. 534. Columns: ledger, KM, exact GM, printed GM, allowed.
    cases = [
        (
            [(1600, 12), (500, 12), (750, 14), (620, 16), (550, 18), (400, 20), (300, 22), (200, 23)],
            17,
            1.8130081,
            1.8,
            0.05,
        ),
        ([(4500, 18), (10000, 20), *[(200, 30)] * 10], 22, 1.3333333, 1.3, 0.05),
        # 24: the book rounds KG to 22.7, so 0.9 ft or 10.8 in; exactly 10.64 in.
        (
            [(4650, 22), (1500, 22), (2500, 24), (1700, 26), (1950, 28), (1700, 18), (1000, 16)],
            *(23.6, 0.88666667, 10.8 / 12, 0.2 / 12),
        ),
        (
            [(3250, 20), (1000, 24), (1500, 22), (1250, 21), (1100, 19), (900, 23), (600, 25), (400, 18)],
            22,
            0.795,
            0.8,
            0.05,
        ),
    ]
    for ledger, km, exact, printed, allowed in cases:
        gm = km - kg(laden(*ledger))
        assert_allclose(gm, exact, rtol=1e-7)
        assert_allclose(gm, printed, atol=allowed)


def test_discharging():  # exercise 28, p. 534: from exercise 27 take 400/20, 300/22, 500/23, 600/24; KM 22, GM 1.1
    ship = laden((3250, 20), (1000, 24), (1500, 22), (1250, 21), (1100, 19), (900, 23), (600, 25), (400, 18))
    off = [parcel(f"off {k}", w, z) for k, (w, z) in enumerate([(400, 20), (300, 22), (500, 23), (600, 24)])]
    after = combine([ship, *map(remove, off)])
    assert_allclose(after.mass, 8200, rtol=1e-12)
    assert_allclose(kg(after), 20.920732, rtol=1e-7)
    assert_allclose(22 - kg(after), 1.1, atol=0.05)


def test_taking_in():  # exercises 31, 33, 41, pp. 535-536
    first = laden((2000, 17), (5000, 16), (300, 10), (100, 20))
    assert_allclose(kg(first), 16.081081, rtol=1e-7)
    assert_allclose(kg(first), 16.1, atol=0.05)
    second = laden((1800, 10), (3400, 9), (400, 16))
    assert_allclose(kg(second), 9.8214286, rtol=1e-7)
    assert_allclose(kg(second), 9.82, atol=0.005)
    gm_in = 12 * (12 - kg(second))
    assert_allclose(gm_in, 26.142857, rtol=1e-7)
    assert_allclose(gm_in, 26.2, atol=0.1)  # printed 2 ft 2.2 in: the book goes on from the rounded 9.82


def test_shifting_down():  # exercises 23, 32, pp. 532, 535
    # 23: 5,000 tons, 200 tons from 10 ft above G to 10 ft below; GM was -3 in, becomes 6.6 in.
    ship = parcel("ship", 5000, 0)
    moved = combine([ship, move(parcel("cargo", 200, 10), (0.0, 0.0, -10.0))])
    assert_allclose(-3 / 12 - (kg(moved) - kg(ship)), 6.6 / 12, rtol=1e-12)
    # 32: 4,000 tons, GM 1.2 ft; 40 tons down 20 ft: GM 1.4 ft.
    ship = parcel("ship", 4000, 0)
    moved = combine([ship, move(parcel("cargo", 40, 20), (0.0, 0.0, 0.0))])
    assert_allclose(1.2 - kg(moved), 1.4, rtol=1e-12)
    # 36: box 180 x 20 ft at 7 ft, 35 ft³ a ton; 40 tons down 10 ft; GM was 0. Printed 0.55, which is 0.5556 cut short.
    box = parcel("box", 180 * 20 * 7 / 35, 0)
    moved = combine([box, move(parcel("cargo", 40, 10), (0.0, 0.0, 0.0))])
    assert_allclose(-kg(moved), 0.55555556, rtol=1e-7)
    assert_allclose(-kg(moved), 0.55, atol=0.01)
    assert_allclose(sa.shift_of_g(40, -10, 720), kg(moved), rtol=1e-12)


def test_inclining():  # exercises 18, 19, 35
    gm = sa.inclining_gm(100, 30, 9000, np.radians(8))
    assert_allclose(gm, 2.3717899, rtol=1e-7)
    assert_allclose(gm, 2.37, atol=0.005)
    # 19: plumb line of 29 ft 6 in, deflection 2 in: deflection over length is the tangent, not the sine.
    gm = sa.inclining_gm(3, 40, 2600, sa.plumb_line_heel(2, 29.5 * 12))
    assert_allclose(gm, 8.1692308, rtol=1e-7)
    assert_allclose(gm, 8.17, atol=0.005)
    assert_allclose(sa.shift_of_g(10, 20, 2000), 0.1, rtol=1e-12)
    gm = sa.inclining_gm(10, 20, 2000, np.radians(8))
    assert_allclose(gm, 0.71153697, rtol=1e-7)
    assert_allclose(gm, 0.7, atol=0.05)


def test_list_of_a_weight_moved_across():  # exercise 42, p. 536: 3 deg 49 min
    ship = parcel("ship", 1600, 10)
    listed = combine([ship, move(item("cargo", 8, (0, 0, 10), "weighed"), (0.0, -20.0, 10.0))])  # 20 ft to starboard
    angle = np.degrees(sa.small_angle_list(11.5 - kg(listed), -listed.centre[1]))
    assert_allclose(angle, 3.8140748, rtol=1e-7)
    assert_allclose(angle * 60, 3 * 60 + 49, atol=0.5)


def test_righting_moments():
    # Exercise 44, p. 536: 5,000 tons, KG 15.8, KM 18, 7 degrees: 1,340 foot-tons.
    moment = 5000 * sa.small_angle_gz(18 - 15.8, np.radians(7))
    assert_allclose(moment, 1340.5628, rtol=1e-7)
    assert_allclose(moment, 1340, atol=1)
    # P. 527: 6,000 tons, KM 16, KG 13.8, 8 degrees: GZ 0.306, 1,836; the book multiplies the rounded GZ.
    gz = sa.small_angle_gz(16 - 13.8, np.radians(8))
    assert_allclose(gz, 0.30618082, rtol=1e-7)
    assert_allclose(gz, 0.306, atol=0.0005)
    assert_allclose(6000 * gz, 1837.0849, rtol=1e-7)
    assert_allclose(6000 * gz, 1836, atol=1.1)


ANY_LENGTH = (
    400.0  # the book gives the inch trim moment and halves the trim: with the LCF amidships no length is needed
)


def new_draughts(forward, aft, masses, places, tpi, itm):
    """Draughts forward and aft [in]; LCF amidships; tpi [tons/in], itm [foot-tons/in]; places [ft] ahead of it."""
    ends = (ANY_LENGTH / 2, -ANY_LENGTH / 2)
    return sa.draughts_after_loading([forward, aft], ends, masses, places, 0.0, tpi, itm, ANY_LENGTH)


def inches(feet, more):
    return 12 * feet + more


def test_discharge_and_even_keel():  # pp. 524-525; rise 22.9 in, moment 23,971, trim 16.8 in
    off, places = [500, 67, 125, 370, 150], [150, 88, 23, -100, -152]
    before = np.array([inches(22, 1), inches(24, 10)])
    after = new_draughts(*before, -np.array(off), places, tpi=53, itm=1423)
    rise, trim = np.mean(before - after), np.diff(after - before)[0]
    assert_allclose(rise, 22.867925, rtol=1e-7)
    assert_allclose(rise, 22.9, atol=0.05)
    assert_allclose(trim * 1423, 23971, rtol=1e-10)
    assert_allclose(trim, 16.845397, rtol=1e-7)
    assert_allclose(trim, 16.8, atol=0.05)
    assert_allclose(after, [233.70938, 283.55477], rtol=1e-7)
    assert_allclose(after, [inches(19, 5.7), inches(23, 7.5)], atol=0.1)
    # Then 400 tons forward through 177 ft bring her to an even keel; the book goes on from the rounded 49.8 in.
    level = new_draughts(*after, [-400, 400], [0.0, 177.325], tpi=53, itm=1423)
    assert_allclose(level[0], level[1], atol=1e-3)
    assert_allclose(177.325, 177, atol=0.5)


@pytest.mark.parametrize(
    ("before", "masses", "places", "tpi", "itm", "exact", "printed"),
    [
        # Exercises 34, 38, 39, 45, pp. 535-536. A weight moved is one out and one in; TPI plays no part there.
        (((10, 0), (10, 0)), [-20, 20], [0, -48], 1, 240, (118, 122), ((9, 10), (10, 2))),
        (((10, 0), (10, 0)), [-25, 25], [0, -30], 1, 250, (118.5, 121.5), ((9, 10.5), (10, 1.5))),
        (((21, 0), (22, 0)), [-40, 40], [0, -50], 1, 480, (249.91667, 266.08333), ((20, 9.9), (22, 2.1))),
        (((17, 0), (16, 6)), [78], [-50], 21, 275, (200.62338, 208.80519), ((16, 8.6), (17, 4.8))),
    ],
)
def test_change_of_trim(before, masses, places, tpi, itm, exact, printed):
    after = new_draughts(*(inches(*b) for b in before), masses, places, tpi, itm)
    assert_allclose(after, exact, rtol=3e-8)
    assert_allclose(after, [inches(*p) for p in printed], atol=0.05)


def test_boxes():
    # P. 527 and exercise 43. A waterplane of 200 x 30 ft takes 14.28 tons an inch (cut, not rounded).
    assert_allclose(sa.tpc(200 * 30, 1 / 35) / 12, 14.285714, rtol=3e-8)
    assert_allclose(sa.tpc(200 * 30, 1 / 35) / 12, 14.28, atol=0.01)
    # KM of boxes of 36 and 40 ft beam at 18 and 10 ft draught: 15 and 18.33 ft.
    for beam, draught, exact, printed in ((36, 18, 15, 15), (40, 10, 55 / 3, 18.33)):
        cut = box((0, 100), (-beam / 2, beam / 2), (0, 30)).cut((0, 0, 1), draught)
        km = cut.centroid[2] + cut.area_inertia[1, 1] / cut.volume
        assert_allclose(km, exact, rtol=1e-12)
        assert_allclose(km, printed, atol=0.005)
