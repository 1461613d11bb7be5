"""What if knobs are turned? The least mark, chosen marks, trim, heel and weight over a grid or a list of states.

All spaces are shut (but those the condition holds open). A sweep that is stopped keeps what is done; the rest is
absent from its table and can be gone on with. See `hullcalc.boats.knobs` for what may be turned.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from analysis.studies.isolines import lines_at
from analysis.studies.plans import name_of
from analysis.studies.watching import watched_marks
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.knobs import Knob
from hullcalc.boats.rounds import Loading
from hullcalc.boats.sweeping import Progress, Swept, sweep_states
from hullcalc.errors import InputError, as_array

UNITS = {"length": "m", "volume": "m3", "fraction": "fraction", "mass": "kg"}
STEPS = {"length": 0.1, "volume": 0.1, "fraction": 0.1, "mass": 10.0}  # what is tried from where she is


@dataclass(frozen=True, eq=False)
class Sweep:
    """States of one plan in one condition; `values` (n, knobs) in SI, row by row as in the columns of `swept`.

    `axes` holds each knob's values where the states are a grid, the last knob running fastest; else it is empty.
    """

    boat: Boat
    plan: str
    packages: frozenset[str]
    condition: str
    loading: Loading
    knobs: tuple[Knob, ...]
    axes: tuple[np.ndarray, ...]
    values: np.ndarray
    marks: tuple[str, ...]  # whose heights are kept, those of the least first
    watched: tuple[str, ...]  # of which the least is told
    swept: Swept

    @property
    def states(self) -> int:
        """All that were asked for."""
        return len(self.values)

    @property
    def done(self) -> int:
        """States floated so far."""
        return int(self.swept.done.sum())

    @property
    def least_mm(self) -> np.ndarray:
        """Height of the least watched mark [mm], (n,); nan where not done or where she sinks."""
        least: np.ndarray = 1000 * self.swept.heights[:, : len(self.watched)].min(axis=1)
        return least

    @property
    def least_mark(self) -> np.ndarray:
        """Name of the least watched mark (n,); "" where there is no height."""
        heights = self.swept.heights[:, : len(self.watched)]
        known = np.isfinite(heights).all(axis=1)
        names = np.array([*self.watched, ""])
        return names[np.where(known, np.where(known[:, None], heights, 0.0).argmin(axis=1), -1)]

    def table(self) -> pd.DataFrame:
        """A row a state that is done: knobs (SI, unit in the head), least mark, marks, attitude, weight."""
        swept, done = self.swept, self.swept.done
        columns: dict[str, np.ndarray] = {
            f"{knob.label} ({UNITS[knob.quantity]})": self.values[:, j] for j, knob in enumerate(self.knobs)
        }
        columns |= {"least_mark": self.least_mark, "least_mm": self.least_mm}
        columns |= {f"{name} (mm)": 1000 * swept.heights[:, j] for j, name in enumerate(self.marks)}
        columns |= {
            "trim_deg": swept.trim,
            "heel_deg": swept.heel,
            "mass_kg": swept.mass,
            "sinks_short_by_kg": swept.short_by_kg,
            "tank_outside_hull_mm": 1000 * swept.outside,
        }
        return pd.DataFrame({name: column[done] for name, column in columns.items()})

    def on_grid(self, column: np.ndarray) -> np.ndarray:
        """A column (n,) as an array with an axis a knob; raises InputError where the states are no grid."""
        if not self.axes:
            raise InputError("these states are a list, no grid; give each knob its own values for a grid")
        return np.reshape(column, tuple(map(len, self.axes)))


def sweep(
    boat: Boat,
    plan: AnyPlan,
    condition: AnyCondition,
    knobs: Sequence[Knob],
    axes: Sequence[ArrayLike] | None = None,
    states: ArrayLike | None = None,
    watch: Sequence[str] | None = None,
    keep: Sequence[str] = (),
    progress: Progress | None = None,
    threads: int | None = None,
) -> Sweep:
    """Float a grid or a list of states.

    Parameters
    ----------
    knobs
        Made by `setback`, `place_of`, `litres_of`, `fill_of`, `added_at` of `hullcalc.boats.knobs` for this plan.
    axes
        Each knob's values, SI: all their combinations are floated.
    states
        Instead of `axes`: a row a state, (n, knobs), SI. States of the same bodies are floated together, so a list in
        which every state has bodies of its own takes some ten times as long as a grid.
    watch
        Names or kinds of the marks whose least is told; default the sole, see `watched_marks`.
    keep
        Names or kinds of further marks whose heights are kept.
    progress
        Called with (states done, states in all) between chunks; a KeyboardInterrupt in it, or by the keyboard, stops
        the sweep, which then returns with what is done.

    Raises
    ------
    InputError
        For an empty knob, a value that cannot be, or a mark that is not there.
    """
    return go_on(blank(boat, plan, condition, knobs, axes, states, watch, keep), progress, threads)


def blank(
    boat: Boat,
    plan: AnyPlan,
    condition: AnyCondition,
    knobs: Sequence[Knob],
    axes: Sequence[ArrayLike] | None = None,
    states: ArrayLike | None = None,
    watch: Sequence[str] | None = None,
    keep: Sequence[str] = (),
) -> Sweep:
    """A sweep with nothing floated yet; arguments as in `sweep`."""
    if not knobs:
        raise InputError("nothing is swept: name at least one knob, such as the place of a tank")
    if (axes is None) == (states is None):
        raise InputError("give either axes (each knob's values) or states (a row a state)")
    own: tuple[np.ndarray, ...] = ()
    if axes is not None:
        if len(axes) != len(knobs):
            raise InputError(f"{len(axes)} axes are given for {len(knobs)} knobs; give each knob its own values")
        own = tuple(np.atleast_1d(as_array(axis, "values of a knob", "")) for axis in axes)
        for knob, axis in zip(knobs, own, strict=True):
            if not len(axis) or axis.ndim != 1:
                raise InputError(f"{knob.label}: no value lies within its limits; widen them or make the step smaller")
        values = np.stack(np.meshgrid(*own, indexing="ij"), axis=-1).reshape(-1, len(knobs))
    else:
        values = np.atleast_2d(as_array(states, "states", ""))
    labels = [knob.label for knob in knobs]
    twice = next((label for label in labels if labels.count(label) > 1), None)
    if twice is not None:
        raise InputError(f"{twice} is swept twice; name each knob once")
    loading = boat.loading(plan, condition)
    watched = watched_marks(loading.marks, watch)
    kept = watched_marks(loading.marks, keep) if keep else []
    marks = tuple(dict.fromkeys([*watched, *kept]))
    return Sweep(
        boat, name_of(boat, plan), boat.packages_on(plan), boat.condition(condition).name, loading, tuple(knobs), own,
        values, marks, tuple(watched), Swept.blank(len(values), len(marks)),
    )  # fmt: skip


def go_on(before: Sweep, progress: Progress | None = None, threads: int | None = None) -> Sweep:
    """Float what is not done yet of a sweep that was stopped; what is done stays as it is, to the bit."""
    swept = before.swept.copy()
    swept = sweep_states(
        before.boat.hull, before.loading, before.knobs, before.values, before.marks, swept, progress, threads
    )
    return replace(before, swept=swept)


def from_here(swept: Sweep) -> pd.DataFrame:
    """A small turn of each knob from where she is now: columns knob, step (SI), mm (up) of the least watched mark.

    Each is half the difference between a step more and a step less; nan where such a step cannot be.
    """
    now = np.array([knob.now for knob in swept.knobs])
    rows = []
    for j, knob in enumerate(swept.knobs):
        step = STEPS[knob.quantity]
        tries = np.tile(now, (2, 1))
        tries[:, j] += step, -step
        try:
            ends = sweep_states(swept.boat.hull, swept.loading, swept.knobs, tries, swept.watched).heights.min(axis=1)
        except InputError:
            ends = np.full(2, np.nan)
        rows.append({"knob": knob.label, "step": step, "mm": 1000 * float(ends[0] - ends[1]) / 2})
    return pd.DataFrame(rows)


def here(swept: Sweep) -> float:
    """Height of the least watched mark [mm] with every knob where it is now."""
    now = [[knob.now for knob in swept.knobs]]
    heights = sweep_states(swept.boat.hull, swept.loading, swept.knobs, now, swept.watched).heights
    return 1000 * float(heights.min())


def where_equal(one: Sweep, other: Sweep) -> list[np.ndarray]:
    """Lines (k, 2) over two knobs, SI, on which two plans' least marks are as high as each other's.

    Straight between grid points: where another mark becomes the lowest between two of them, take a finer grid.

    Raises InputError unless both are grids of the same two knobs and values.
    """
    alike = len(one.axes) == len(other.axes) == 2 and all(
        np.array_equal(a, b) for a, b in zip(one.axes, other.axes, strict=True)
    )
    if not alike or [k.label for k in one.knobs] != [k.label for k in other.knobs]:
        raise InputError("two sweeps cross only where both are grids of the same two knobs over the same values")
    difference = one.on_grid(one.least_mm) - other.on_grid(other.least_mm)
    return lines_at(one.axes[0], one.axes[1], difference.T, 0.0)
