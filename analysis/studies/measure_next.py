"""What to measure next: millimetres of doubt that each measurement takes off one mark, for ten minutes of work.

By straight lines: what a measurement leaves of its causes goes into the sum of squares in place of what was there. The
list ranks measurements each taken alone; the sequence takes one after the other, always the one that then takes most
off in ten minutes. That is greedy: it need not be the best set for a given time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.protocols import Measurement, measurements
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.causes import Causes
from hullcalc.errors import InputError

WORTH = 0.05  # mm: what takes less off is no step of the sequence
STEPS = 8
COLUMNS = ("measure", "protocol", "what", "minutes", "u_mm", "removed_mm", "per_ten_minutes_mm", "u_level_mm")


@dataclass(frozen=True, eq=False)
class MeasureNext:
    """What each measurement would leave of the doubt at a mark.

    `ranked` has a row a measurement, taken alone, most removed in ten minutes first: measure (its name), protocol, what
    (thing), minutes, u_mm (standard uncertainty then), removed_mm, per_ten_minutes_mm, u_level_mm (then, of what does
    not lean her). `steps` has the same of the greedy sequence, with minutes_so_far, each row after those above it.
    """

    mark: str
    u_mm: float  # now
    u_level_mm: float
    offered: tuple[Measurement, ...]
    ranked: pd.DataFrame
    steps: pd.DataFrame


def measure_next(boat: Boat, plan: AnyPlan, condition: AnyCondition, causes: Causes, mark: str) -> MeasureNext:
    """Rank what could be measured on this boat by what it takes off the doubt at a mark."""
    return rank(measurements(boat, plan, condition, causes), causes, mark)


def rank(offered: Sequence[Measurement], causes: Causes, mark: str, steps: int = STEPS) -> MeasureNext:
    """The same for measurements already found."""
    doubt = _Doubt(causes, mark)
    now, level = doubt.left([])
    rows = [_row(one, now, doubt.left([one]), _minutes(one, [], offered)) for one in offered]
    ranked = pd.DataFrame(rows, columns=list(COLUMNS))
    ranked = ranked.sort_values(["per_ten_minutes_mm", "measure"], ascending=[False, True]).reset_index(drop=True)
    return MeasureNext(mark, now, level, tuple(offered), ranked, _sequence(offered, doubt, steps))


def left_after(done: Iterable[str], offered: Sequence[Measurement]) -> dict[str, float]:
    """What is left of each cause after the measurements of these names; the best of several of one cause counts.

    Raises InputError for a name that is not offered.
    """
    by_name = {one.name: one for one in offered}
    left: dict[str, float] = {}
    for name in done:
        if name not in by_name:
            raise InputError(f"no measurement {name!r} is offered here; there are: {'; '.join(by_name) or 'none'}")
        for cause, part in by_name[name].left.items():
            left[cause] = min(part, left.get(cause, 1.0))
    return left


class _Doubt:
    """Standard uncertainty at a mark [mm], all of it and what does not lean her, after measurements."""

    def __init__(self, causes: Causes, mark: str) -> None:
        self.at = {name: i for i, name in enumerate(causes.names)}
        self.squares = (1000 * causes.effects([mark])[:, 0]) ** 2
        self.level = ~np.array([cause.leans for cause in causes.each], dtype=bool)

    def left(self, done: Sequence[Measurement]) -> tuple[float, float]:
        parts = np.ones(len(self.squares))
        for one in done:
            for name, part in one.left.items():
                parts[self.at[name]] = min(part, parts[self.at[name]])
        squares = self.squares * parts**2
        return float(np.sqrt(squares.sum())), float(np.sqrt(squares[self.level].sum()))


def _minutes(one: Measurement, done: Sequence[Measurement], offered: Sequence[Measurement]) -> float:
    """Minutes it takes, with those of what comes before it where that is not done."""
    if not one.after or one.after in {other.protocol for other in done}:
        return one.minutes
    first = next((other for other in offered if other.protocol == one.after), None)
    return one.minutes + (0.0 if first is None else first.minutes)


def _row(one: Measurement, before: float, then: tuple[float, float], minutes: float) -> tuple:
    removed = before - then[0]
    return one.name, one.protocol, one.what, minutes, then[0], removed, 10 * removed / minutes, then[1]


def _sequence(offered: Sequence[Measurement], doubt: _Doubt, steps: int) -> pd.DataFrame:
    done: list[Measurement] = []
    rows: list[tuple] = []
    so_far, left = 0.0, list(offered)
    while left and len(rows) < steps:
        now = doubt.left(done)[0]
        tried = [_row(one, now, doubt.left([*done, one]), _minutes(one, done, offered)) for one in left]
        worth = [i for i, row in enumerate(tried) if row[5] >= WORTH]
        if not worth:
            break
        best = min(worth, key=lambda i: (-tried[i][6], left[i].name))
        so_far += tried[best][3]
        rows.append((*tried[best], so_far))
        done.append(left.pop(best))
    return pd.DataFrame(rows, columns=[*COLUMNS, "minutes_so_far"])
