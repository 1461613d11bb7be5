"""Chances counted in draws, said in words and per cent; and whether straight lines tell the same as the draws.

A count has a sampling error of its own: that of a binomial share [1]_. Where fewer than five of n draws were counted,
only a bound is said: the exact one-sided 95 % bound of a binomial share [2]_. The standard deviation of n draws is
itself uncertain by about sd sqrt((kurtosis - 1) / (4 n)), for a normal one sd / sqrt(2 n).

References
----------
.. [1] JCGM 101:2008, Propagation of distributions using a Monte Carlo method, 7.2 and 7.9 (from memory).
.. [2] C. J. Clopper and E. S. Pearson, The use of confidence or fiducial limits illustrated in the case of the
   binomial, Biometrika 26 (1934), 404-413 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

TOSS = (0.45, 0.55)
FEW, BOUND = 5, 0.95  # counted draws below which only a bound is said, and how sure it is
SAME_U = 0.02  # standard uncertainties by draws and by straight lines that differ by less tell the same
SAME_MEAN = 0.1  # means that differ by less than this part of the standard uncertainty tell the same
SURELY = 3.0  # sampling errors that a difference must exceed before it is called one


@dataclass(frozen=True)
class Chance:
    """A share of n draws; `se` is its standard error."""

    share: float
    n: int

    @property
    def se(self) -> float:
        return math.sqrt(self.share * (1 - self.share) / self.n)


def chance_below(heights: np.ndarray, level: float = 0.0) -> Chance:
    """The share of draws (n,) below a level; a draw in which she sinks (nan) is below."""
    return Chance(float(np.mean(~(heights >= level))), len(heights))


def say_chance(chance: Chance) -> str:
    """In words: "a coin toss (52 in 100)", "94 in 100", "about 1 in 1000", "less than 1 in 6000"."""
    share = chance.share
    if share > 0.5 and (bound := _rare(Chance(1 - share, chance.n))):
        return f"all but fewer than 1 in {_round_down(1 / bound)}"
    if bound := _rare(chance):
        return f"less than 1 in {_round_down(1 / bound)}"
    if TOSS[0] <= share <= TOSS[1]:
        return f"a coin toss ({round(100 * share)} in 100)"
    if share < 0.015:
        return f"about 1 in {_round_to_one(1 / share)}"
    if share > 0.985:
        return f"all but about 1 in {_round_to_one(1 / (1 - share))}"
    return f"{round(100 * share)} in 100"


def say_per_cent(chance: Chance) -> str:
    """In per cent with as many digits as its sampling error leaves: "2.1 %", "94.0 %", "under 0.02 %"."""
    share = chance.share
    if share > 0.5 and (bound := _rare(Chance(1 - share, chance.n))):
        return f"over {100 - _round_up(100 * bound):.{_decimals(100 * bound)}f} %"
    if bound := _rare(chance):
        return f"under {_round_up(100 * bound):.{_decimals(100 * bound)}f} %"
    return f"{100 * share:.{_decimals(100 * chance.se)}f} %"


def _rare(chance: Chance) -> float:
    """The bound that a share is under with 95 %, where too few draws were counted to say more; else 0."""
    from scipy.special import betaincinv  # here: importing scipy takes a while

    counted = round(chance.share * chance.n)
    if counted >= FEW:
        return 0.0
    return float(betaincinv(counted + 1, chance.n - counted, BOUND))


def _decimals(error: float) -> int:
    """Decimals of a figure whose last digit is of the size of its error."""
    return max(0, -math.floor(math.log10(error)))


def _round_to_one(value: float) -> int:
    """To one significant figure, to a multiple of ten at least above ten."""
    size = 10 ** max(0, math.floor(math.log10(value)))
    return round(value / size) * size


def _round_up(value: float) -> float:
    """Up to one significant figure."""
    size = 10.0 ** math.floor(math.log10(value))
    return math.ceil(value / size) * size


def _round_down(value: float) -> int:
    size = 10 ** max(0, math.floor(math.log10(value)))
    return max(1, math.floor(value / size) * size)


@dataclass(frozen=True)
class Agreement:
    """Standard uncertainty and mean of a height by straight lines and by draws; all in one unit."""

    u_straight: float
    u_drawn: float
    mean_straight: float
    mean_drawn: float
    u_error: float  # sampling error of `u_drawn`
    mean_error: float  # and of `mean_drawn`

    @property
    def same_u(self) -> bool:
        """Within 2 %, or within what so few draws can tell."""
        off = abs(self.u_drawn - self.u_straight)
        return off <= max(SAME_U * self.u_straight, SURELY * self.u_error)

    @property
    def same_mean(self) -> bool:
        off = abs(self.mean_drawn - self.mean_straight)
        return off <= max(SAME_MEAN * self.u_straight, SURELY * self.mean_error)

    @property
    def straight(self) -> bool:
        """Do straight lines tell the same as the draws?"""
        return bool(self.same_u and self.same_mean)


def agreement(drawn: np.ndarray, u_straight: float, mean_straight: float) -> Agreement:
    """Compare draws (n,) with straight lines; draws in which she sinks (nan) have no height and are left out."""
    drawn = drawn[np.isfinite(drawn)]
    if len(drawn) < 2:
        return Agreement(u_straight, math.nan, mean_straight, math.nan, math.nan, math.nan)
    mean, sd, n = float(drawn.mean()), float(drawn.std(ddof=1)), len(drawn)
    kurtosis = float(np.mean((drawn - mean) ** 4)) / sd**4 if sd > 0 else 3.0
    u_error = sd * math.sqrt(max(kurtosis - 1, 0.0) / (4 * n))
    return Agreement(u_straight, sd, mean_straight, mean, u_error, sd / math.sqrt(n))
