"""JCGM 100:2008, Guide to the expression of uncertainty in measurement (GUM): shared causes and correlations.

Numbers of H.1.7 and 5.2.2 are from memory and self-consistent; of H.2 the means, uncertainties and correlations were
seen in a copy, observations and results are from memory and reproduce them.
"""

import numpy as np
from numpy.testing import assert_allclose

from hullcalc.weights import sources as src
from hullcalc.weights.items import combine, item


def test_end_gauge_root_sum_of_squares():  # H.1.7: 25, 9.7, 2.9 and 16.6 nm give 32 nm; with 11.7 and 1.7 nm, 34 nm
    first_order = {"standard": 25.0, "difference": 9.7, "expansion": 2.9, "temperature": 16.6}
    causes = {name: np.array([u]) for name, u in first_order.items()}
    u = src.standard_uncertainty(causes, [1.0])
    assert_allclose(u, 31.671122, rtol=1e-7)
    assert_allclose(u, 32, atol=0.5)
    with_second_order = causes | {"second order 1": np.array([11.7]), "second order 2": np.array([1.7])}
    u = src.standard_uncertainty(with_second_order, [1.0])
    assert_allclose(u, 33.805917, rtol=1e-7)
    assert_allclose(u, 34, atol=0.5)


def test_ten_resistors_and_one_standard():
    # 5.2.2, example: ten resistors of 1,000 ohm, each compared with the same standard of u = 100 mohm, in series:
    # u = 1 ohm, and not 0.32 ohm. Here ten masses on one scale, kg for ohm.
    def ten(shared):
        return combine(item(f"{k}", 1000.0, (0, 0, 0), "weighed", u_mass=0.1, shared=shared) for k in range(10))

    assert_allclose(ten("the standard").u_mass, 1.0, rtol=1e-12)
    assert_allclose(ten(None).u_mass, 0.1 * np.sqrt(10), rtol=1e-12)
    assert_allclose(ten(None).u_mass, 0.32, atol=0.005)


def test_resistance_and_reactance():  # H.2, tables H.2 to H.4: simultaneous readings of V, I and phase
    readings = np.array(
        [
            [5.007, 4.994, 5.005, 4.990, 4.999],  # V
            [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],  # A
            [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],  # rad
        ]
    )
    mean, n = readings.mean(axis=1), readings.shape[1]
    # One set of simultaneous readings is one cause: what it does to the three means together.
    causes = {f"set {k}": (readings[:, k] - mean) / np.sqrt(n * (n - 1)) for k in range(n)}
    v, i, phi = mean
    assert_allclose(mean, [4.9990, 19.6610e-3, 1.04446], rtol=1e-9)
    cov = src.covariance(causes, (3,))
    u = np.sqrt(np.diag(cov))
    assert_allclose(u, [0.0032093613, 9.4710084e-6, 0.00075206383], rtol=1e-7)
    assert_allclose(u * [1e4, 1e7, 1e5], [32, 95, 75], atol=0.5)
    r = cov / np.outer(u, u)
    assert_allclose([r[0, 1], r[0, 2], r[1, 2]], [-0.35531122, 0.85762421, -0.64511122], rtol=1e-7)
    assert_allclose([r[0, 1], r[0, 2], r[1, 2]], [-0.36, 0.86, -0.65], atol=0.005)

    z = v / i
    resistance, reactance = z * np.cos(phi), z * np.sin(phi)
    gradients = {
        "R": np.array([resistance / v, -resistance / i, -reactance]),
        "X": np.array([reactance / v, -reactance / i, resistance]),
        "Z": np.array([z / v, -z / i, 0.0]),
    }
    assert_allclose([resistance, reactance, z], [127.73217, 219.84651, 254.25970], rtol=1e-7)
    assert_allclose([resistance, reactance, z], [127.732, 219.847, 254.260], atol=0.0005)
    got = {name: float(src.standard_uncertainty(causes, g)) for name, g in gradients.items()}
    assert_allclose(list(got.values()), [0.071071407, 0.29558168, 0.23633613], rtol=1e-7)
    assert_allclose([got["R"], got["Z"]], [0.071, 0.236], atol=0.0005)
    assert_allclose(got["X"], 0.295, atol=0.0006)  # printed 0.295; the readings give 0.2956
    pairs = [("R", "X", -0.588, -0.58842978), ("R", "Z", -0.485, -0.48525922), ("X", "Z", 0.993, 0.99251165)]
    for one, other, printed, exact in pairs:
        both = gradients[one] @ cov @ gradients[other] / (got[one] * got[other])
        assert_allclose(both, exact, rtol=1e-7)
        assert_allclose(both, printed, atol=0.0005)

    # Taken for independent, the same uncertainties would make u(R) 2.7 times too big.
    apart = {name: u[k] * np.eye(3)[k] for k, name in enumerate(["V", "I", "phase"])}
    assert_allclose(src.standard_uncertainty(apart, gradients["R"]), 0.19454445, rtol=1e-7)
    assert_allclose(src.standard_uncertainty(apart, gradients["Z"]), 0.20407643, rtol=1e-7)
