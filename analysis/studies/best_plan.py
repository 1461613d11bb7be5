"""Which plan stays best under the doubts: every plan floated with the same draws of what they share.

Best is the plan whose lowest watched mark stands highest. A cause that two plans share acts on both in each draw, so
the order of plans is far surer than the height of any of them. A plan without a watched mark takes no part.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from hullcalc.boats.causes import Causes
from hullcalc.errors import InputError

EVEN = 0.5  # mm: plans nearer to one another than half a millimetre are not told apart


@dataclass(frozen=True, eq=False)
class BestPlan:
    """How plans rank in n shared draws.

    `table` has a row a plan, the one that stands highest with likely figures first: plan, mark (its lowest watched),
    height_mm, best_share (of draws in which no other stands higher; plans within half a millimetre share a draw).
    `pairs` has a row for each plan under the first: plan, than (the first), lower_mm (likely), u_mm (of the difference
    by draws), u_apart_mm (what it would be if they shared nothing), higher_share (of draws in which it stands higher).
    `order_kept` is the share of draws in which all stand in the order of `table`.
    """

    condition: str
    n: int
    table: pd.DataFrame
    pairs: pd.DataFrame
    order_kept: float

    @property
    def best(self) -> str:
        return str(self.table["plan"].iloc[0])


def which_stays_best(
    cases: Mapping[str, Causes], watched: Mapping[str, Sequence[str]], condition: str, n: int, seed: int = 0
) -> BestPlan:
    """Rank plans in n shared draws.

    Parameters
    ----------
    cases
        Causes of each plan in one condition, by its name.
    watched
        The marks watched in each plan.

    Raises
    ------
    InputError
        If fewer than two plans have a mark to watch.
    """
    named = [plan for plan in cases if watched.get(plan)]
    if len(named) < 2:
        raise InputError("to say which plan stays best takes two plans at least that have a mark to watch")
    likely = {plan: 1000 * cases[plan].heights(watched[plan]) for plan in named}
    order = sorted(named, key=lambda plan: -likely[plan].min())
    drawn = np.column_stack([1000 * cases[plan].sample(watched[plan], n, seed).min(axis=1) for plan in order])
    drawn = np.where(np.isnan(drawn), -np.inf, drawn)  # she sinks: no plan stands lower
    shares = _best_shares(drawn)
    lowest = [watched[plan][int(np.argmin(likely[plan]))] for plan in order]
    rows = zip(order, lowest, (likely[plan].min() for plan in order), shares, strict=True)
    table = pd.DataFrame(list(rows), columns=["plan", "mark", "height_mm", "best_share"])
    kept = np.all(np.diff(drawn, axis=1) <= 0, axis=1) if len(order) > 1 else np.ones(n, dtype=bool)
    return BestPlan(condition, n, table, _pairs(drawn, table), float(np.mean(kept)))


def _best_shares(drawn: np.ndarray) -> np.ndarray:
    """The share of draws that each plan is best in, (plans,): equals share a draw."""
    top = drawn.max(axis=1, keepdims=True)
    with np.errstate(invalid="ignore"):  # all sink: inf less inf
        best = ~(top - drawn > EVEN)
    shares: np.ndarray = np.mean(best / best.sum(axis=1, keepdims=True), axis=0)
    return shares


def _pairs(drawn: np.ndarray, table: pd.DataFrame) -> pd.DataFrame:
    rows = []
    first = table["plan"].iloc[0]
    for column in range(1, len(table)):
        both = np.isfinite(drawn[:, 0]) & np.isfinite(drawn[:, column])
        apart = drawn[both, 0] - drawn[both, column]
        alone = [drawn[both, c].std() for c in (0, column)]
        plan = table["plan"].iloc[column]
        lower = table["height_mm"].iloc[0] - table["height_mm"].iloc[column]
        higher = float(np.mean(drawn[:, column] > drawn[:, 0]))
        rows.append((plan, first, lower, float(apart.std()), float(np.hypot(*alone)), higher))
    return pd.DataFrame(rows, columns=["plan", "than", "lower_mm", "u_mm", "u_apart_mm", "higher_share"])
