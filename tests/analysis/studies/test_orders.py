"""Shares are the mean over all orders: against published games, and against walking through every order."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from analysis.studies.orders import MOST_PLAYERS, share_out
from hullcalc import InputError


def outcomes(players, worth):
    """Outcome of each combination, by bit mask, of a game told as a function of the set of players that are on."""
    return [worth({i for i in range(players) if mask >> i & 1}) for mask in range(1 << players)]


def test_airport_game():
    # Source: S. C. Littlechild and G. Owen, "A simple expression for the Shapley value in a special case", Management
    # Science 20 (1973), 370-372 (from memory): those who need a stretch of the runway share its cost equally. Stretches
    # of 6, 6 and 4 for players of size 1, 2, 3: shares 6/3, 6/3 + 6/2, 6/3 + 6/2 + 4.
    cost = {0: 6.0, 1: 12.0, 2: 16.0}
    shares = share_out(outcomes(3, lambda on: max((cost[i] for i in on), default=0.0)))
    assert_allclose(shares.mean, [2.0, 5.0, 9.0], rtol=1e-15)


def test_glove_game():
    # Source: the glove game of textbooks, e.g. G. Owen, Game Theory (from memory; give the page): one left glove, two
    # right ones, a pair is worth 1; the left glove's share is 2/3, each right one's 1/6.
    shares = share_out(outcomes(3, lambda on: float(0 in on and len(on) > 1)))
    assert_allclose(shares.mean, [2 / 3, 1 / 6, 1 / 6], rtol=1e-15)


@pytest.mark.parametrize("players", [1, 2, 3, 5])
def test_every_order_walked_through(players):
    values = np.random.default_rng(players).normal(size=(1 << players, 2))  # two outcomes at once
    steps = []
    for order in permutations(range(players)):
        mask, step = 0, np.empty((players, 2))
        for player in order:
            step[player] = values[mask | 1 << player] - values[mask]
            mask |= 1 << player
        steps.append(step)
    shares = share_out(values)
    assert_allclose(shares.mean, np.mean(steps, axis=0), rtol=0, atol=1e-13)
    assert_allclose(shares.least, np.min(steps, axis=0), rtol=0, atol=1e-13)
    assert_allclose(shares.most, np.max(steps, axis=0), rtol=0, atol=1e-13)
    assert_allclose(shares.mean.sum(axis=0), values[-1] - values[0], rtol=0, atol=1e-13)
    assert_allclose(shares.total, values[-1] - values[0], rtol=0, atol=0)
    in_turn, first = np.array(steps[0]), np.array([values[1 << i] - values[0] for i in range(players)])
    assert_allclose(shares.in_turn, in_turn, rtol=0, atol=1e-13)  # permutations() starts with the order of the players
    assert_allclose(shares.first, first, rtol=0, atol=0)
    assert_allclose(shares.last, [values[-1] - values[-1 - (1 << i)] for i in range(players)], rtol=0, atol=0)


def test_nobody_changes_nothing():
    shares = share_out([7.0])
    assert shares.mean.shape == (0,)
    assert shares.total == 0.0


def test_what_cannot_be_shared_is_refused():
    with pytest.raises(InputError, match=r"3 outcomes .* power of two"):
        share_out([1.0, 2.0, 3.0])
    with pytest.raises(InputError, match="outcome 2 is not finite"):
        share_out([1.0, 2.0, np.nan, 4.0])
    with pytest.raises(InputError, match=rf"15 packages .* at most {MOST_PLAYERS}"):
        share_out(np.zeros(1 << 15))
