"""How a change made in steps is shared among the steps when no order is better than another.

Each player (a package, an exclusive choice) is on or off. `values` holds the outcome of every combination, indexed by a
bit mask: bit i of the index says whether player i is on. A player's share is the mean of what its switching-on changes,
over all orders in which the players may be switched on. The shares add up to the whole change, whatever interacts.

Source of the rule: L. S. Shapley, "A value for n-person games", Contributions to the Theory of Games II, Annals of
Mathematics Studies 28, 1953, pp. 307-317.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import comb

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError

MOST_PLAYERS = 14  # 2**14 floats; beyond that packages should be joined before anyone can read the picture


@dataclass(frozen=True, eq=False)
class Shares:
    """What each of n players changes, each of shape (n, ...) in the unit of the values."""

    mean: np.ndarray  # over all orders: these add up to `total`
    first: np.ndarray  # switched on before all others
    last: np.ndarray  # switched on after all others
    in_turn: np.ndarray  # switched on in the order of the players
    least: np.ndarray  # over all orders
    most: np.ndarray
    total: np.ndarray  # shape (...): all on less all off


def share_out(values: ArrayLike) -> Shares:
    """Share the change from none on to all on among the players.

    Parameters
    ----------
    values : array_like, shape (2**n, ...)
        The outcome of each combination; entry m has player i on where bit i of m is set.

    Raises
    ------
    InputError
        If the length is no power of two, asks for more than 14 players, or a value is not finite.
    """
    values = np.asarray(values, dtype=float)
    players = len(values).bit_length() - 1
    if len(values) != 1 << players:
        raise InputError(f"{len(values)} outcomes are given where a power of two is expected; give one a combination")
    check_number_of_players(players)
    if not np.all(np.isfinite(values)):
        at = int(np.argwhere(~np.isfinite(values))[0][0])
        raise InputError(f"outcome {at} is not finite; every combination of the packages must float to be compared")

    masks = np.arange(1 << players)
    others_on = sum(((masks >> player) & 1 for player in range(players)), start=np.zeros_like(masks))
    weight = np.array([1.0 / (players * comb(players - 1, k)) for k in range(players)])
    steps = []
    for player in range(players):
        without = masks[(masks >> player) & 1 == 0]
        change = values[without | (1 << player)] - values[without]
        mean = np.tensordot(weight[others_on[without]], change, axes=1)
        before = (1 << player) - 1  # all players that come earlier in the list
        in_turn = values[before | (1 << player)] - values[before]
        steps.append((mean, change[0], change[-1], in_turn, change.min(axis=0), change.max(axis=0)))
    columns = zip(*steps, strict=True) if steps else [()] * 6
    empty = np.empty((0, *values.shape[1:]))
    mean, first, last, in_turn, least, most = (np.stack(column) if column else empty for column in columns)
    return Shares(mean, first, last, in_turn, least, most, total=values[-1] - values[0])


def check_number_of_players(players: int) -> None:
    """Raise an InputError where so many players would need too many floats."""
    if players > MOST_PLAYERS:
        raise InputError(
            f"{players} packages differ between the two plans; all orders of at most {MOST_PLAYERS} are compared. "
            "Join small packages, or start from a plan nearer to the other"
        )
