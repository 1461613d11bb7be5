"""Two sums of the FAA, Aircraft Weight and Balance Handbook, FAA-H-8083-1 series (public domain).

Arms aft of the datum are positive there; the boat frame counts x forward, so their sign turns.
"""

from numpy.testing import assert_allclose

from hullcalc.weights.items import combine, item, move

LB, INCH = 0.45359237, 0.0254  # exact by definition


def load(name, pounds, arm):
    return item(name, pounds * LB, (-arm * INCH, 0.0, 0.0), "weighed")


def cg(total):
    """Centre of gravity [in], aft of the datum."""
    return -total.centre[0] / INCH


def test_two_point_weighing():
    # Ch. 10, calculator example, seen on a copy: nose scale 340 lb 78 in ahead of the main wheels, 2,006 lb in all.
    # Printed -13.2 in: ahead of the main wheels.
    total = combine([load("nose scale", 340, -78), load("main scales", 2006 - 340, 0)])
    assert_allclose(total.mass / LB, 2006, rtol=1e-12)
    assert_allclose(cg(total), -13.220339, rtol=1e-7)
    assert_allclose(cg(total), -13.2, atol=0.05)


def test_lever_with_three_weights():
    # Ch. 2, from memory, self-consistent: CG 72 in; to bring it to 50 in move the middle weight 55 in to the datum.
    total = combine([load("A", 100, 0), load("B", 200, 80), load("C", 200, 100)])
    assert_allclose(total.mass / LB, 500, rtol=1e-12)
    assert_allclose(-total.moment[0] / (LB * INCH), 36000, rtol=1e-12)
    assert_allclose(cg(total), 72, rtol=1e-12)
    moved = move(load("B", 200, 80), (-(80 - 55) * INCH, 0.0, 0.0))
    assert_allclose(cg(combine([total, moved])), 50, rtol=1e-12)
