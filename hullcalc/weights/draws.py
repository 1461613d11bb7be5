"""Draws of named causes of uncertainty: each normal, or triangular where its figure is one-sided [1]_.

A cause's draws depend on its name, the seed and the number of draws alone: not on which other causes there are, nor on
their order. So two plans that share a cause share its draws, whatever shape it has in each.

References
----------
.. [1] JCGM 101:2008, Propagation of distributions using a Monte Carlo method, 6.4.7 (normal) and 6.4.5 (triangular;
   section numbers from memory).
"""

from __future__ import annotations

import hashlib

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_array, require

EDGE = 2.0**-54  # a uniform draw keeps off 0 and 1 by this, so that no normal one is infinite


def uniform_draws(name: str, n: int, seed: int = 0) -> np.ndarray:
    """Draws between 0 and 1, both left out, shape (n,), of the cause of this name."""
    if n < 1 or seed < 0:
        raise InputError(f"{n} draws with seed {seed}: expected at least one, and a seed of zero or more")
    digest = np.frombuffer(hashlib.sha256(name.encode("utf-8")).digest(), dtype="<u4")
    return np.clip(np.random.default_rng([seed, *digest.tolist()]).random(n), EDGE, 1 - EDGE)


def standard_draws(uniform: ArrayLike, bounds: ArrayLike | None = None) -> np.ndarray:
    """Draws of mean 0 and standard deviation 1, rising with `uniform`, shape (n,).

    Parameters
    ----------
    uniform : array_like, shape (n,)
        Between 0 and 1, both left out.
    bounds : array_like, shape (2,), optional
        Ends of a triangle counted from its peak in standard deviations (see `sources.OneSided`); None: normal.
    """
    from scipy.special import ndtri  # here: importing scipy takes a while

    uniform = as_array(uniform, "uniform", "")
    require((uniform > 0) & (uniform < 1), "uniform", uniform, "", "must lie between 0 and 1", "draw it anew")
    if bounds is None:
        drawn: np.ndarray = ndtri(uniform)
        return drawn
    low, high = as_array(bounds, "bounds", "")
    if not low <= 0 <= high or not low < high:
        raise InputError(f"bounds {low:g} and {high:g}: expected one at or below zero and one at or above, apart")
    width = high - low
    falling = high - np.sqrt((1 - uniform) * width * high)
    rising = low + np.sqrt(uniform * width * -low)
    return np.where(uniform < -low / width, rising, falling) - (low + high) / 3
