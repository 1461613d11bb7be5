"""Ledgers with closed answers: a refit on three axes, uncertainty of a centre of gravity, a weighing on two scales.

Propagation to first order, JCGM 100:2008 (GUM) 5.1.2, and 5.2.2 where errors share a cause; the numbers are our own and
worked twice: by the formula typed here and, to eight digits, elsewhere.
"""

import numpy as np
from numpy.testing import assert_allclose

from hullcalc.weights import sources as src
from hullcalc.weights.items import combine, item, remove, replace

DIGITS = {"rtol": 6e-8}


def test_bracket_and_engine_on_three_axes():
    boat = item("boat", 1420, (2.310, 0, 0.640), "weighed")
    engine = item("old engine", 168, (0.150, 0, 0.560), "weighed")
    battery = item("old battery", 22.5, (1.050, 0.28, 0.410), "weighed")
    new_engine = item("new engine", 252, (-0.480, 0, 0.720), "data sheet")  # aft of the transom: x is negative
    bracket = item("bracket", 38, (-0.300, 0, 0.450), "data sheet")
    top = item("T-top", 61, (1.900, 0.05, 1.850), "data sheet")
    after = combine([boat, remove(engine), remove(battery), new_engine, bracket, top])
    assert_allclose(after.mass, 1580.5, rtol=1e-12)
    assert_allclose(after.centre, [2.0341126, -0.0020563113, 0.70666561], **DIGITS)
    exact = (
        np.array(
            [1420 * 2.310 - 168 * 0.150 - 22.5 * 1.050 - 252 * 0.480 - 38 * 0.300 + 61 * 1.900, 61 * 0.05 - 22.5 * 0.28]
        )
        / 1580.5
    )
    assert_allclose(after.centre[:2], exact, rtol=1e-9)
    # The same refit as replacements.
    again = combine([boat, replace(engine, new_engine), replace(battery, bracket), top])
    assert_allclose(again.centre, after.centre, rtol=1e-12)
    assert_allclose(again.covariance, after.covariance, rtol=1e-12, atol=1e-12)


def test_uncertainty_of_a_centre_of_gravity():
    mass, x = np.array([900.0, 250, 120, 80]), np.array([2.10, -0.35, 1.60, 3.20])
    u_mass, u_x = np.array([18.0, 5, 9.6, 12]), np.array([0.040, 0.020, 0.030, 0.050])

    def ledger(shared=()):
        return combine(
            item(
                f"{k}",
                mass[k],
                (x[k], 0, 0),
                "estimated",
                u_mass[k],
                (u_x[k], 0, 0),
                "the scale" if k in shared else None,
            )
            for k in range(4)
        )

    total = ledger()
    xg, m = mass @ x / mass.sum(), mass.sum()
    by_mass, by_place = (x - xg) / m * u_mass, mass / m * u_x
    exact = np.sqrt(np.sum(by_mass**2 + by_place**2))
    assert_allclose([total.mass, total.centre[0], total.u_mass], [1350, 1.667037, 24.190081], rtol=1e-7)
    assert_allclose(total.u_centre[0], exact, rtol=1e-9)
    assert_allclose(exact, 0.031870947, **DIGITS)
    effects = src.effects(total.sources, total.centre_gradient[0])
    share = (effects["0: mass"] ** 2 + effects["0: x"] ** 2) / total.u_centre[0] ** 2
    assert_allclose(share, 0.73288846, **DIGITS)

    # One scale for items 0 and 1: they lie on either side of G, so the shared error moves it less.
    shared = ledger(shared=(0, 1))
    exact = np.sqrt((by_mass[0] + by_mass[1]) ** 2 + np.sum(by_mass[2:] ** 2) + np.sum(by_place**2))
    assert_allclose(shared.u_centre[0], exact, rtol=1e-9)
    assert_allclose(exact, 0.030487788, **DIGITS)


def test_weighing_on_two_scales():
    # 412(2) kg forward and 988(3) kg aft on a base of 4.20(0.005) m: LCG from the aft scale l F / M.
    forward = item("forward scale", 412, (4.20, 0, 0), "weighed", u_mass=2, u_place=(0.005, 0, 0))
    aft = item("aft scale", 988, (0, 0, 0), "weighed", u_mass=3, u_place=0.0)
    boat = combine([forward, aft], "boat as weighed", "weighed")
    assert_allclose(boat.mass, 1400, rtol=1e-12)
    assert_allclose(boat.centre[0], 1.236, rtol=1e-12)
    assert_allclose(boat.u_mass, np.sqrt(13), rtol=1e-12)
    exact = np.sqrt((4.2 * 988 / 1400**2 * 2) ** 2 + (4.2 * 412 / 1400**2 * 3) ** 2 + (412 / 1400 * 0.005) ** 2)
    assert_allclose(boat.u_centre[0], exact, rtol=1e-9)
    assert_allclose(exact, 0.0052066504, **DIGITS)
