"""Draws of causes, and the shape that a one-sided figure keeps through sums, moves and removals."""

import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from scipy import stats

from hullcalc.errors import InputError
from hullcalc.weights import sources as src
from hullcalc.weights.draws import standard_draws, uniform_draws
from hullcalc.weights.items import combine, item, move, remove

N = 20_000
SHARES = (np.arange(N) + 0.5) / N  # evenly spread: their draws are quantiles, without chance


def test_normal_draws_are_the_quantiles_of_scipy():
    assert_allclose(standard_draws(SHARES), stats.norm.ppf(SHARES), rtol=1e-12)


@given(st.floats(0, 50), st.floats(0, 50))
def test_one_sided_draws_are_the_quantiles_of_scipys_triangle(under, over):
    if under + over < 1e-3:
        return
    figure = src.triangular(100 - under, 100, 100 + over)
    other = stats.triang(under / (under + over), loc=100 - under, scale=under + over)
    ours = 100 + figure.shift + figure.u * standard_draws(SHARES, figure.bounds)
    assert_allclose(ours, other.ppf(SHARES), rtol=1e-9)


def test_triangular_moments():
    # Closed form: the skewness of a triangle with its peak at one end is 2 sqrt(2) / 5, of a symmetric one 0.
    for low, likely, high, skew in ((0.0, 0.0, 3.0, 1), (-3.0, 0.0, 0.0, -1), (-1.0, 0.0, 1.0, 0)):
        figure = src.triangular(low, likely, high)
        drawn = standard_draws(SHARES, figure.bounds)
        assert_allclose(drawn.mean(), 0, atol=1e-4)
        assert_allclose(drawn.std(), 1, rtol=1e-3)
        assert_allclose(stats.skew(drawn), skew * 2 * np.sqrt(2) / 5, atol=2e-3)


def test_draws_of_a_cause_hang_on_its_name_alone():
    first = uniform_draws("soaked foam: mass", 100)
    assert_array_equal(first, uniform_draws("soaked foam: mass", 100))
    assert_array_equal(first, uniform_draws("soaked foam: mass", 200)[:100])
    assert abs(np.corrcoef(uniform_draws("a", N), uniform_draws("b", N))[0, 1]) < 4 / np.sqrt(N)
    assert not np.array_equal(first, uniform_draws("soaked foam: mass", 100, seed=1))


@pytest.mark.parametrize(
    ("what", "words"),
    [
        (lambda: uniform_draws("a", 0), "0 draws with seed 0: expected at least one"),
        (lambda: uniform_draws("a", 10, -1), "seed -1"),
        (lambda: standard_draws([0.5, 1.0]), r"uniform\[1\] = 1 must lie between"),
        (lambda: standard_draws([0.5], [0.0, 0.0]), "bounds 0 and 0: expected one"),
        (lambda: standard_draws([0.5], [1.0, 2.0]), "bounds 1 and 2: expected one at or below zero"),
    ],
)
def test_what_cannot_be_drawn(what, words):
    with pytest.raises(InputError, match=words):
        what()


def wet(name="foam", low=60.0, high=150.0, **more):
    return item(name, 80.0, (1.75, 0.1, 0.2), "estimated", low=low, high=high, **more)


def test_the_shape_goes_with_the_thing():
    foam, dry = wet(), item("dry", 50.0, (1, 0, 0), "weighed")
    ends = src.triangular(60, 80, 150).bounds
    assert_allclose(foam.bounds["foam: mass"], ends)
    for total in (combine([dry, foam]), remove(foam), move(foam, (3, 0, 0)), pickle.loads(pickle.dumps(foam))):
        assert list(total.bounds) == ["foam: mass"]
        assert_allclose(total.bounds["foam: mass"], ends)
    assert not combine([foam, remove(foam)]).bounds  # taken off again it leaves nothing
    assert not dry.bounds


def test_the_shift_of_the_mean_is_that_of_the_shape():
    foam = wet()
    for change in (foam, remove(foam), move(foam, (3, 0, 0))):
        mean = sum(change.bounds["foam: mass"]) / 3
        assert_allclose(change.shift, mean * change.sources["foam: mass"], atol=1e-12)


def test_a_shared_cause_keeps_a_shape_that_all_agree_on():
    one, like = wet("one", shared="soaked"), item("two", 40, (0, 0, 0), "guess", low=30, high=75, shared="soaked")
    other, normal = wet("three", high=90, shared="soaked"), item("four", 9, (0, 0, 0), "guess", shared="soaked")
    assert list(combine([one, like]).bounds) == ["soaked"]
    for pair in ([one, other], [other, one], [one, normal], [normal, one], [one, normal, like]):
        together = combine(pair)
        assert not together.bounds  # taken as normal; mean and standard uncertainty stay
        assert_allclose(together.shift, sum(i.shift for i in pair))
        assert_allclose(together.sources["soaked"], sum(i.sources["soaked"] for i in pair))
