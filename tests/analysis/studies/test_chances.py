"""Chances counted in draws: their words, their own error, and whether straight lines tell the same."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from analysis.studies.chances import Chance, agreement, chance_below, say_chance, say_per_cent

QUANTILES = stats.norm.ppf((np.arange(20_000) + 0.5) / 20_000)  # a normal sample without chance in it


@pytest.mark.parametrize(
    ("share", "words", "per_cent"),
    [
        (0.0, "less than 1 in 6000", "under 0.02 %"),
        (0.0001, "less than 1 in 3000", "under 0.04 %"),  # two draws: anything up to 6.3 / 20000 (Poisson tables)
        (0.0010, "about 1 in 1000", "0.10 %"),
        (0.0006, "about 1 in 2000", "0.06 %"),
        (0.0012, "about 1 in 800", "0.12 %"),
        (0.0216, "2 in 100", "2.2 %"),
        (0.25, "25 in 100", "25.0 %"),
        (0.52, "a coin toss (52 in 100)", "52.0 %"),
        (0.94, "94 in 100", "94.0 %"),
        (0.99, "all but about 1 in 100", "99.00 %"),
        (1.0, "all but fewer than 1 in 6000", "over 99.98 %"),
    ],
)
def test_words_and_per_cent(share, words, per_cent):
    assert say_chance(Chance(share, 20_000)) == words
    assert say_per_cent(Chance(share, 20_000)) == per_cent


def test_few_draws_say_less():
    assert say_chance(Chance(0.0, 600)) == "less than 1 in 200"
    assert say_per_cent(Chance(0.25, 600)) == "25 %"
    assert say_chance(Chance(1 / 2000, 2000)) == "less than 1 in 400"  # one draw alone: up to 4.74 / 2000
    assert say_chance(Chance(1 - 1 / 2000, 2000)) == "all but fewer than 1 in 400"


@pytest.mark.parametrize(("counted", "n"), [(0, 500), (1, 2000), (4, 20_000)])
def test_the_bound_of_a_rare_chance_against_scipys_exact_test(counted, n):
    # Clopper and Pearson's limit: at it so few or fewer are seen in 5 of 100 series of draws.
    limit = stats.binomtest(counted, n, alternative="less").proportion_ci(0.95, "exact").high
    assert stats.binom(n, limit).cdf(counted) == pytest.approx(0.05, rel=1e-6)
    said = int(say_chance(Chance(counted / n, n)).split()[-1])
    assert 0.5 / said < limit <= 1 / said  # rounded down to one figure


def test_the_error_of_a_count_against_scipys_binomial():
    assert Chance(0.02, 20_000).se == pytest.approx(stats.binom(20_000, 0.02).std() / 20_000, rel=1e-12)


def test_a_count_below_a_level_and_draws_that_sink():
    heights = np.array([-2.0, -0.5, 0.0, 1.0, np.nan])
    assert chance_below(heights) == Chance(0.6, 5)  # she that sinks is under water, she at the water is not
    assert chance_below(heights, 0.5).share == 0.8
    assert chance_below(QUANTILES, -1.0).share == pytest.approx(stats.norm.cdf(-1.0), abs=5e-5)


def test_straight_lines_that_hold():
    told = agreement(3.0 * QUANTILES + 20.0, 3.0, 20.0)
    assert told.straight and told.same_u and told.same_mean
    assert told.u_error == pytest.approx(3.0 / math.sqrt(2 * 20_000), rel=0.01)  # normal: sd / sqrt(2 n)
    assert told.mean_error == pytest.approx(3.0 / math.sqrt(20_000), rel=0.01)


@pytest.mark.parametrize(("u", "mean", "same_u", "same_mean"), [(3.1, 20, 0, 1), (3.0, 20.5, 1, 0), (3.05, 20.2, 1, 1)])
def test_straight_lines_that_do_not(u, mean, same_u, same_mean):
    told = agreement(3.0 * QUANTILES + 20.0, u, mean)
    assert (told.same_u, told.same_mean) == (same_u, same_mean)
    assert told.straight == (same_u and same_mean)


def test_few_draws_cannot_tell_two_per_cent():
    few = np.random.default_rng(1).normal(size=500)  # known to 3 % of a standard deviation
    assert agreement(few, 1.05 * few.std(), few.mean()).same_u
    assert not agreement(few, 1.15 * few.std(), few.mean()).same_u


def test_draws_that_all_sink_agree_with_nothing():
    told = agreement(np.full(10, np.nan), 3.0, 20.0)
    assert not told.straight
    assert math.isnan(told.u_drawn)
