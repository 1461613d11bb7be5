"""What may still be added at a place until the first mark is down to its margin: exact, and by the straight line.

Weights are added with every space shut and the liquids free to move. Boat frame, SI.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.boats.many import float_added
from hullcalc.boats.rounds import Loading
from hullcalc.errors import InputError, as_array, as_number, require

SCAN = 16  # weights tried at each place before the first that is too much is closed in on
CLOSE = 1e-6  # kg: near enough
MOST_STEPS = 100
NO_MARK = -1


@dataclass(frozen=True, eq=False)
class StillAdd:
    """For each of n places: the greatest weight that keeps all marks at their margins or above."""

    kg: np.ndarray  # (n,); 0 where a mark is short with nothing added, inf where no limit was found
    first: np.ndarray  # (n,) position of the mark that comes down to its margin first, -1 where none does
    linear: np.ndarray  # (n,) kg by the response with nothing added: a straight line, exact for small weights only
    most: float  # kg tried


def still_add(
    loading: Loading, places: ArrayLike, points: ArrayLike, keep: ArrayLike, most: float, threads: int | None = None
) -> StillAdd:
    """Find the weight at each place that brings the first mark down to its margin.

    All places are closed in upon together. Weights are tried in steps of a sixteenth of `most` first: a mark that goes
    under and comes out again within one step is not seen.

    Parameters
    ----------
    places : array_like, shape (n, 3)
        Where weight is added [m].
    points : array_like, shape (m, 3)
        The marks watched [m].
    keep : array_like, shape (m,)
        Height above water that each mark shall keep [m].
    most : float
        The greatest weight tried [kg], positive.

    Raises
    ------
    InputError
        If there is no place or no mark, a figure is not finite, or `most` is not positive.
    NoEquilibriumError is not raised: where she sinks the weight was too much.
    """
    places, points = _points(places, "places"), _points(points, "marks")
    keep = np.broadcast_to(as_array(keep, "keep", "m"), len(points))
    require(np.isfinite(keep), "keep", keep, "m", "must be a finite number", "0 keeps the mark at the water or above")
    most = as_number(most, "most", "kg")
    require(most > 0, "most", most, "kg", "must be positive", "say the greatest weight to try")

    def spare(mass: np.ndarray, at: np.ndarray) -> np.ndarray:
        """Height over the margin of each mark (k, m) with the mass (k,) at the places `at`; sunk is below all."""
        loads = np.column_stack([mass, mass[:, None] * places[at]])
        heights = float_added(loading, loads, threads=threads).states.height_above_water(points)
        return np.where(np.isnan(heights), -np.inf, heights - keep)

    n, everywhere = len(places), np.arange(len(places))
    now = float_added(loading, np.zeros((1, 4))).states
    start = np.where(np.isnan(now.height_above_water(points)), -np.inf, now.height_above_water(points) - keep)[0]
    linear = _straight(start, now.response(points)[0], places)
    if start.min() < 0:
        return StillAdd(np.zeros(n), np.full(n, int(start.argmin())), np.zeros(n), most)
    tried = most * np.arange(1, SCAN + 1) / SCAN
    scan = spare(np.repeat(tried, n), np.tile(everywhere, SCAN)).reshape(SCAN, n, -1).min(axis=-1)
    short = scan < 0
    reached = short.any(axis=0)
    above = np.argmax(short, axis=0)
    high = tried[above]
    low = high - most / SCAN
    spare_high = scan[above, everywhere]
    spare_low = np.where(above > 0, scan[above - 1, everywhere], start.min())
    kg, first = np.full(n, np.inf), np.full(n, NO_MARK)
    at = np.flatnonzero(reached)
    if len(at):
        kg[at] = _close_in(lambda m, k: spare(m, at[k]).min(axis=-1), low[at], high[at], spare_low[at], spare_high[at])
        first[at] = spare(kg[at], at).argmin(axis=-1)
    return StillAdd(kg, first, linear, most)


def _close_in(spare, low, high, spare_low, spare_high) -> np.ndarray:
    """The greatest mass known to leave nothing short, within CLOSE of one that does, for all places together.

    False position with the stale end's figure halved (the Illinois rule), and bisection where that closes in slowly.
    """
    weigh_low, weigh_high = spare_low.copy(), spare_high.copy()
    side = np.zeros(len(low))
    for step in range(MOST_STEPS):
        open_ = np.flatnonzero(high - low > CLOSE)
        if not len(open_):
            break
        a, b, fa, fb = low[open_], high[open_], weigh_low[open_], weigh_high[open_]
        with np.errstate(invalid="ignore"):
            share = np.where(np.isfinite(fb), fa / np.where(fa - fb > 0, fa - fb, 1.0), 0.5)
        share = np.full_like(share, 0.5) if step % 4 == 3 else share
        edge = 0.25 * CLOSE / (b - a)  # just past either end, so that the bracket closes from both sides
        trial = a + np.clip(share, edge, 1 - edge) * (b - a)
        found = spare(trial, open_)
        good = found >= 0
        up, down = open_[good], open_[~good]
        low[up], weigh_low[up] = trial[good], found[good]
        high[down], weigh_high[down] = trial[~good], found[~good]
        weigh_high[up[side[up] > 0]] /= 2
        weigh_low[down[side[down] < 0]] /= 2
        side[up], side[down] = 1, -1
    return low


def _straight(spare: np.ndarray, response: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Kilograms at each place (n,) by the response (m, 4): the spare height over what a kilogram takes of it."""
    per_kg = response[:, 0] + places @ response[:, 1:].T  # (n, m)
    with np.errstate(divide="ignore", invalid="ignore"):
        kg = np.where(per_kg < 0, spare / -per_kg, np.inf)
    return kg.min(axis=1)


def _points(value: ArrayLike, name: str) -> np.ndarray:
    points = as_array(value, name, "m")
    if points.ndim != 2 or points.shape[1] != 3 or not len(points):
        raise InputError(f"{name} must be one or more rows of (x, y, z) in metres, not shape {points.shape}")
    require(np.isfinite(points), name, points, "m", "must be a finite number", "look for an empty cell")
    return points
