"""Weighing on three scales: FAA, Aviation Maintenance Technician Handbook - General (public domain), ch. 4, fig. 4-20.

Inputs seen on copies, the printed result is cut off there: the results here are recomputed from the inputs. The pattern
is that of a boat on scales: tare off, a full tank taken off, what cannot be used put back. Arms aft are positive in the
book; the boat frame counts x forward, so their sign turns.
"""

from numpy.testing import assert_allclose

from hullcalc.weights.items import combine, item, remove

LB, INCH = 0.45359237, 0.0254  # exact by definition


def load(name, pounds, arm):
    return item(name, pounds * LB, (-arm * INCH, 0.0, 0.0), "weighed")


def cg(total):
    """Centre of gravity [in], aft of the datum."""
    return -total.centre[0] / INCH


def test_three_scales_with_tare_and_fuel():
    net = combine(
        [
            *(load("left main scale", 650, 70), load("right main scale", 640, 70), load("nose scale", 225, -30)),
            *(remove(load("left tare", 5, 70)), remove(load("right tare", 5, 70)), remove(load("nose tare", 2.5, -30))),
        ],
        "as weighed",
    )
    assert_allclose(net.mass / LB, 1502.5, rtol=1e-12)
    assert_allclose(cg(net), 55.191348, rtol=1e-7)
    empty = combine([net, remove(load("fuel, 30 gal at 5.9 lb", 30 * 5.9, 95)), load("unusable fuel", 6, 98)])
    assert_allclose(empty.mass / LB, 1331.5, rtol=1e-12)
    assert_allclose(-empty.moment[0] / (LB * INCH), 66698, rtol=1e-12)
    assert_allclose(cg(empty), 50.092377, rtol=1e-7)
