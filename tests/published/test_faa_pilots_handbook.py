"""Weight and balance sums: FAA, Pilot's Handbook of Aeronautical Knowledge, FAA-H-8083-25C, ch. 10 (public domain).

Aviation counts arms aft of the datum; this boat frame counts x forward, so the sign of every arm turns, and centres are
turned back before they are held against the print. Pounds and inches become kilograms and metres on the way in.
Figure and section numbers stand beside each case. "Printed" allows half a unit of the last digit.
"""

import numpy as np
from numpy.testing import assert_allclose

from hullcalc.weights.items import MassItem, combine, item, move

LB, INCH = 0.45359237, 0.0254  # exact by definition
EXACT = {"rtol": 1e-12, "atol": 1e-9}


def load(name, pounds, arm):
    """An item at an arm aft of the datum [in]."""
    return item(name, pounds * LB, (-arm * INCH, 0.0, 0.0), "data sheet")


def recorded(name, pounds, moment):
    """An item whose moment [lb in, aft], not its arm, is on record."""
    return MassItem(name, pounds * LB, (-moment * LB * INCH, 0.0, 0.0), "data sheet")


def pounds(total):
    return total.mass / LB


def moment(total):
    """Moment [lb in], aft of the datum."""
    return -total.moment[..., 0] / (LB * INCH)


def cg(total):
    """Centre of gravity [in], aft of the datum."""
    return -total.centre[..., 0] / INCH


def test_lever_in_balance():  # figures 10-3 and 10-4
    one_side = combine([load("A", 100, 25), load("B", 50, 50)])
    assert_allclose(moment(one_side), 5000, **EXACT)
    assert_allclose(moment(load("C", 50, 100)), 5000, **EXACT)
    assert_allclose(combine([one_side, load("C", 50, -100)]).centre, np.zeros(3), atol=1e-15)


def test_loaded_airplane():  # figure 10-5
    total = combine(
        [
            load("empty", 2100, 78.3),
            load("front seats", 340, 85),
            load("rear seats", 350, 121),
            load("fuel, 75 gal at 6 lb", 75 * 6, 75),
            load("baggage", 80, 150),
        ]
    )
    assert_allclose(pounds(total), 3320, **EXACT)
    assert_allclose(moment(total), 281430, **EXACT)
    assert_allclose(cg(total), 84.768072, rtol=1e-8)
    assert_allclose(cg(total), 84.8, atol=0.05)


def test_record_of_a_moment_beats_the_rounded_arm():  # figure 10-10
    # The book keeps the empty moment, 69,393.0, and prints the arm rounded to 68.6; 1,011.9 x 68.6 would be 69,416.3.
    rest = [
        load("oil", 11, -31),
        load("fuel left", 108, 84),
        load("fuel right", 108, 84),
        load("front left", 170, 81),
        load("front right", 170, 81),
        load("baggage", 70, 105),
    ]
    by_record = combine([recorded("empty", 1011.9, 69393.0), *rest])
    by_arm = combine([load("empty", 1011.9, 68.6), *rest])
    assert_allclose(pounds(by_record), 1648.9, **EXACT)
    assert_allclose(moment(by_record), 122086.0, **EXACT)
    assert_allclose(cg(by_record), 74.040876, rtol=1e-7)
    assert_allclose(cg(by_record), 74.0, atol=0.05)
    assert_allclose(cg(recorded("empty", 1011.9, 69393.0)), 68.576934, rtol=1e-7)
    assert_allclose(moment(by_arm), 122109.34, rtol=1e-10)
    assert_allclose(cg(by_arm), 74.055031, rtol=1e-7)


def test_running_totals():  # figure 10-11
    # The single weights are lost in the text layer of the copy read and are taken as moment over arm.
    aboard = combine(
        [
            load("empty", 3230, 90.5),
            load("front seats", 335, 89),
            load("rear seats", 350, 126),
            load("aft seats", 200, 157),
            load("nose baggage", 100, 10),
            load("aft baggage", 25, 183),
        ]
    )
    printed = [(4240, 403205.0, 95.1), (5062, 496091.0, 98.0), (5038, 493379.0, 97.9), (4588, 442529.0, 96.5)]
    recomputed = [95.095519, 98.002963, 97.93152, 96.453575]
    # Fuel goes in and burns off at its arm; what burns was part of the same fuel.
    fuel = [0, 822, 822 - 24, 822 - 24 - 450]
    for used, (weight, total_moment, centre), exact in zip(fuel, printed, recomputed, strict=True):
        total = combine([aboard, load("fuel", used, 113)])
        assert_allclose(pounds(total), weight, **EXACT)
        assert_allclose(moment(total), total_moment, **EXACT)
        assert_allclose(cg(total), exact, rtol=1e-7)
        assert_allclose(cg(total), centre, atol=0.05)
    # The four stages at once are the four stages one by one.
    stages = combine([aboard, load("fuel", np.array(fuel), 113)])
    assert_allclose(cg(stages), recomputed, rtol=1e-7)


def test_weight_shifting():  # section "Weight Shifting": 100 lb from station 30 to station 150
    airplane = recorded("airplane", 8000, 616000)
    shift = move(load("cargo", 100, 30), (-150 * INCH, 0.0, 0.0))
    assert_allclose(moment(shift), 12000, **EXACT)
    assert_allclose(cg(airplane), 77, **EXACT)
    assert_allclose(cg(combine([airplane, shift])), 78.5, **EXACT)


def test_how_much_to_shift():  # same section: 65 lb from station 150 to 30 bring the CG from 81.5 to the limit 80.5
    airplane = load("airplane", 7800, 81.5)
    assert_allclose(cg(combine([airplane, move(load("cargo", 65, 150), (-30 * INCH, 0.0, 0.0))])), 80.5, **EXACT)


def test_weight_added():  # section "Weight Addition or Removal": 140 lb at station 150
    total = combine([load("airplane", 6860, 80.0), load("added", 140, 150)])
    assert_allclose(cg(total), 81.4, **EXACT)
    assert_allclose(cg(total) - 80.0, 1.4, atol=1e-12)
