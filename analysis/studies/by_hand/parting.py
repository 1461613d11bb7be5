"""Where the hand parts from the exact answer: a growing share of one change, by hand and exactly, at both ends.

The hand's line is straight: each kilogram does what the first did. The exact one bends as the waterplane changes. Only
weights are shared out; bodies that come with the change are left out, and liquids lie where they lie upright. Heights
are along the water's normal, spaces shut.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from analysis.studies.by_hand.change import ChangeByHand, end_points
from hullcalc.boats.many import float_added
from hullcalc.errors import InputError
from hullcalc.floating.by_hand import hand_figures
from hullcalc.units import say_length_mm, say_mass

SHARES = np.linspace(0.0, 1.5, 31)
TOLERANCES = (0.001, 0.005, 0.010)  # m


@dataclass(frozen=True, eq=False)
class Parting:
    """Two lines at each end: how much deeper she lies [m] by hand and exactly, for each share of the change."""

    change: ChangeByHand
    shares: np.ndarray  # (n,)
    by_hand: Mapping[str, np.ndarray]  # end -> (n,) m deeper
    exact: Mapping[str, np.ndarray]
    hand_trim: np.ndarray  # (n,) deg
    exact_trim: np.ndarray

    @property
    def error(self) -> np.ndarray:
        """The greater error of the two ends at each share [m], without sign."""
        worst: np.ndarray = np.max([abs(self.by_hand[n] - self.exact[n]) for n in self.exact], axis=0)
        return worst

    def share_within(self, tolerance: float) -> float | None:
        """The share up to which the hand stays within a tolerance [m] at both ends; None: in all that was looked at."""
        beyond = np.flatnonzero(self.error > tolerance)
        if not len(beyond):
            return None
        k = int(beyond[0])
        a, b = self.error[k - 1], self.error[k]
        return float(self.shares[k - 1] + (self.shares[k] - self.shares[k - 1]) * (tolerance - a) / (b - a))


def parting(change: ChangeByHand, shares: np.ndarray = SHARES) -> Parting:
    """Share out the weights of a change, from none to half as much again.

    Raises InputError where shares are not rising from 0, or where she sinks before the last of them.
    """
    shares = np.asarray(shares, dtype=float)
    if shares.ndim != 1 or len(shares) < 2 or shares[0] != 0 or not np.all(np.diff(shares) > 0):
        raise InputError("shares must rise from 0, two or more: 0, 0.1, 0.2 and so on")
    before = change.before
    load = np.append(change.mass, change.moment)
    states = float_added(before.loading, shares[:, None] * load).states
    if np.any(states.status != "floats"):
        k = int(np.argmax(states.status != "floats"))
        raise InputError(
            f"at {100 * shares[k]:.0f} % of the change she {states.status[k]}; look at smaller shares, or another plan"
        )
    figures = hand_figures(before.state)
    hands = [figures.change(float(s * change.mass), s * change.moment) for s in shares]
    points = end_points(before.boat, before.loading)
    slope = float(before.state.normal[0] / before.state.normal[2])
    return Parting(
        change,
        shares,
        {n: np.array([-float(h.rise(p)) for h in hands]) for n, p in points.items()},
        {n: before.state.height_above_water(p) - states.height_above_water(p) for n, p in points.items()},
        np.degrees(np.arctan([slope + h.bow_up for h in hands])),
        np.asarray(states.trim),
    )


def tolerances_told(system: str = "metric") -> list[tuple[float, str]]:
    """The tolerances [m] with how each is said; what is less than the least eighth of an inch is not told."""
    said = [(tolerance, say_length_mm(tolerance, system)) for tolerance in TOLERANCES]
    return [(tolerance, words) for tolerance, words in said if not words.startswith("0 ")]


def parting_words(one: Parting, system: str = "metric") -> list[str]:
    """One sentence a tolerance: up to what share of the change both ends stay within it."""
    said = []
    for tolerance, within in tolerances_told(system):
        share = one.share_within(tolerance)
        if share is None:
            said.append(f"Within {within} at both ends as far as {100 * one.shares[-1]:.0f} % of the change.")
        else:
            kg = say_mass(abs(share * one.change.mass), system)
            said.append(f"Within {within} at both ends up to {100 * share:.0f} % of the change, {kg} of its weight.")
    return said
