"""Named causes of uncertainty: defaults by basis, one-sided figures, sums of causes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from scipy import stats

from hullcalc.errors import InputError
from hullcalc.weights import sources as src


@pytest.mark.parametrize(
    ("basis", "percent", "place_mm"),
    # Common practice, no source: 1 % and 10 mm on a scale, and so on; z always 10 mm more.
    [
        ("weighed", 1, 10),
        ("data sheet", 3, 20),
        ("calculated", 8, 30),
        ("table", 15, 50),
        ("estimated", 15, 50),
        ("guess", 30, 100),
    ],
)
def test_default_uncertainties(basis, percent, place_mm):
    u_mass, u_place = src.standard_uncertainties(basis, [200.0, -200.0])
    assert_allclose(u_mass, [2.0 * percent] * 2, rtol=1e-12)
    assert_allclose(u_place * 1000, [place_mm, place_mm, place_mm + 10], rtol=1e-12)


def test_a_float_has_no_default_and_an_unknown_basis_lists_the_known():
    assert src.standard_uncertainties("measured afloat", 100.0) == (None, None)
    with pytest.raises(
        InputError, match="basis 'measured' is not known; write one of: weighed, measured afloat, data sheet"
    ):
        src.find_basis("measured")


@given(st.floats(-1e3, 1e3), st.floats(1e-3, 1e3), st.floats(1e-3, 1e3))
def test_triangular_against_scipy(likely, under, over):
    low, high = likely - under, likely + over
    ours = src.triangular(low, likely, high)
    other = stats.triang((likely - low) / (high - low), loc=low, scale=high - low)
    assert_allclose(ours.u, other.std(), rtol=1e-8)  # scipy squares and subtracts
    assert_allclose(ours.likely + ours.shift, other.mean(), rtol=1e-12, atol=1e-12)


def test_triangular_of_symmetric_bounds_is_half_width_over_root_six():
    # JCGM 100:2008 (GUM), 4.3.9: a symmetric triangle of half-width a has variance a²/6.
    figure = src.triangular([90.0, -1.0], [100.0, 0.0], [110.0, 1.0])
    assert_allclose(figure.u, np.array([10.0, 1.0]) / np.sqrt(6), rtol=1e-12)
    assert_array_equal(figure.shift, 0.0)


def test_triangular_of_one_value_is_certain():
    figure = src.triangular(5.0, 5.0, 5.0)
    assert (figure.u, figure.shift) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("bounds", "words"),
    [
        ((2.0, 1.0, 3.0), "low value = 2 must not exceed"),
        ((0.0, 4.0, 3.0), "high value = 3 must not be under"),
        ((0.0, np.nan, 3.0), "likely value = nan"),
        ((np.nan, 1.0, 3.0), "low value = nan"),
        ((0.0, 1.0, np.inf), "high value = inf"),
    ],
)
def test_triangular_refuses_bounds_out_of_order(bounds, words):
    with pytest.raises(InputError, match=words):
        src.triangular(*bounds)


def test_causes_of_one_name_add_and_those_that_cancel_go():
    one, other = np.array([1.0, 2.0]), np.array([3.0, -2.0])
    total = src.add_sources([{"a": one, "b": other}, {"a": other}, {"b": -other}])
    assert list(total) == ["a"]
    assert_array_equal(total["a"], [4.0, 0.0])


def test_effects_add_in_squares_over_causes():
    sources = {"a": np.array([3.0, 0.0]), "b": np.array([0.0, 2.0])}
    assert src.effects(sources, [1.0, -2.0]) == {"a": 3.0, "b": -4.0}
    assert_allclose(src.standard_uncertainty(sources, [1.0, -2.0]), 5.0, rtol=1e-15)
    assert_array_equal(src.standard_uncertainty({}, np.ones((7, 4))), np.zeros(7))


@given(st.lists(st.tuples(*(st.floats(-5, 5),) * 3), min_size=1, max_size=5), st.tuples(*(st.floats(-5, 5),) * 3))
def test_the_uncertainty_of_any_quantity_is_its_gradient_through_the_covariance(vectors, gradient):
    sources = {f"cause {k}": np.array(v) for k, v in enumerate(vectors)}
    g = np.array(gradient)
    cov = src.covariance(sources, (3,))
    assert_allclose(src.standard_uncertainty(sources, g) ** 2, g @ cov @ g, rtol=1e-10, atol=1e-10)
