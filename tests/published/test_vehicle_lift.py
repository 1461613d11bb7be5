"""Balance on a vehicle lift: a published worked example of two axle loads, in lb and in.

3,500 lb at 40 in and 5,500 lb at 195 in from the front: printed 1,212,500 lb in and 134.72 in. Distances there grow
aft; the boat frame counts x forward, so their sign turns.
"""

from numpy.testing import assert_allclose

from hullcalc.weights.items import combine, item

LB, INCH = 0.45359237, 0.0254  # exact by definition


def test_two_axles():
    axles = [
        item(f"axle {k}", w * LB, (-x * INCH, 0.0, 0.0), "weighed")
        for k, (w, x) in enumerate([(3500, 40), (5500, 195)])
    ]
    vehicle = combine(axles)
    assert_allclose(-vehicle.moment[0] / (LB * INCH), 1212500, rtol=1e-12)
    assert_allclose(-vehicle.centre[0] / INCH, 134.72222, rtol=1e-7)
    assert_allclose(-vehicle.centre[0] / INCH, 134.72, atol=0.005)
