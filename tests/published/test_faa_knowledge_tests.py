"""Questions of the FAA mechanic and pilot knowledge tests (public domain), as copied on study pages.

Arms aft of the datum are positive there; the boat frame counts x forward, so their sign turns.
"""

import numpy as np
from numpy.testing import assert_allclose

from hullcalc.weights.items import MassItem, combine, item, remove

LB, INCH = 0.45359237, 0.0254  # exact by definition


def load(name, pounds, arm):
    return item(name, pounds * LB, (-arm * INCH, 0.0, 0.0), "weighed")


def moment(total):
    """Moment [lb in], aft of the datum."""
    return -total.moment[0] / (LB * INCH)


def cg(total):
    """Centre of gravity [in], aft of the datum."""
    return -total.centre[0] / INCH


def test_alterations():
    # 2,886 lb with moment 101,673.78: two seats of 15 lb out at +71; 97 and 20 lb in at +71, 30 lb in at +94.
    # Printed: 3,003 lb, 110,670.78, CG from 35.23 to 36.85, 1.62 in aft.
    before = MassItem("aircraft", 2886 * LB, (-101673.78 * LB * INCH, 0.0, 0.0), "weighed")
    seats = [load("left seat", 15, 71), load("right seat", 15, 71)]
    new = [load("cabinet", 97, 71), load("seat", 20, 71), load("radio", 30, 94)]
    after = combine([before, *map(remove, seats), *new])
    assert_allclose(after.mass / LB, 3003, rtol=1e-12)
    assert_allclose(moment(after), 110670.78, rtol=1e-12)
    assert_allclose(cg(before), 35.23, rtol=1e-9)
    assert_allclose(cg(after), 36.853407, rtol=1e-7)
    assert_allclose(cg(after), 36.85, atol=0.005)
    assert_allclose(cg(after) - cg(before), 1.62, atol=0.005)


def test_three_weights():
    total = combine([load("X", 135, 15), load("Y", 205, 117), load("Z", 85, 195)])
    assert_allclose(total.mass / LB, 425, rtol=1e-12)
    assert_allclose(moment(total), 42585, rtol=1e-12)
    assert_allclose(cg(total), 100.2, rtol=1e-12)


def test_keep_the_cg_where_it_is():
    # 10 lb 4 ft aft and 5 lb 2 ft aft of the CG: 20 lb 2.5 ft forward hold it (printed "25", its decimal point lost).
    boxes = combine([load("box A", 10, 4 * 12), load("box B", 5, 2 * 12), load("box C", 20, -2.5 * 12)])
    assert_allclose(boxes.centre, np.zeros(3), atol=1e-15)
