"""Floats a boat with her knobs turned, state after state: many thousands, in chunks that can be stopped between.

States of the same bodies are floated together; chunks are shared among threads. Which states make a chunk is settled by
the values alone and a chunk is done wholly or not at all, so neither threads nor an interruption change a bit of the
answer. Memory grows by inputs and outputs only.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.boats.afloat import bodies_open
from hullcalc.boats.fit import outside
from hullcalc.boats.knobs import Bodies, Knob
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import in_step
from hullcalc.errors import InputError, as_array, require
from hullcalc.floating.equilibrium import float_many
from hullcalc.measuring.stations import Hull

CHUNK = 1024  # states: what is lost at most for each thread when she is stopped
Progress = Callable[[int, int], None]  # states done, states in all


@dataclass(eq=False)
class Swept:
    """What came of the states so far; rows not `done` are nan. Grown in place while she is swept."""

    heights: np.ndarray  # (n, marks) m above water
    trim: np.ndarray  # (n,) deg
    heel: np.ndarray  # (n,) deg
    mass: np.ndarray  # (n,) kg with liquids
    short_by_kg: np.ndarray  # (n,) where she sinks, else nan
    outside: np.ndarray  # (n,) m that a tank stands outside the hull, 0 where all fit
    done: np.ndarray  # (n,) bool

    @classmethod
    def blank(cls, states: int, marks: int) -> Swept:
        """Nothing done yet."""
        trim, heel, mass, short, out = (np.full(states, np.nan) for _ in range(5))
        heights, done = np.full((states, marks), np.nan), np.zeros(states, dtype=bool)
        return cls(heights, trim, heel, mass, short, out, done)

    def copy(self) -> Swept:
        """The same with arrays of its own."""
        return Swept(*(np.array(array) for array in vars(self).values()))


def sweep_states(
    hull: Hull,
    loading: Loading,
    knobs: Sequence[Knob],
    values: ArrayLike,
    marks: Sequence[str],
    swept: Swept | None = None,
    progress: Progress | None = None,
    threads: int | None = None,
) -> Swept:
    """Float every state that is not done yet; all spaces shut but those held open.

    Stopped by KeyboardInterrupt (of the keyboard, or raised by `progress`) it keeps what is done and returns.

    Parameters
    ----------
    values : array_like, shape (n, knobs)
        Each knob's value in each state, SI.
    marks : sequence of str
        Names of the marks whose heights are kept.
    swept : Swept, optional
        What was done before; it is gone on with, in place.

    Raises
    ------
    InputError
        For no knob or no state, a value that cannot be, or removals that outweigh the boat.
    """
    values = as_array(values, "values", "")
    if not knobs:
        raise InputError("nothing is swept: name at least one knob, such as the place of a tank")
    if values.ndim != 2 or values.shape[1] != len(knobs) or not len(values):
        raise InputError(f"values must have a row a state and {len(knobs)} column(s), not shape {values.shape}")
    for knob, column in zip(knobs, values.T, strict=True):
        knob.check(column)
    n = len(values)
    swept = Swept.blank(n, len(marks)) if swept is None else swept
    loads = sum((k.loads(c) for k, c in zip(knobs, values.T, strict=True)), start=np.zeros((n, 4)))
    mass = loading.mass + loads[:, 0]
    require(mass > 0, "mass of the boat", mass, "kg", "must be positive", "do the removals outweigh the boat?")
    cg = (loading.mass * loading.cg + loads[:, 1:]) / mass[:, None]
    fills = _fills(loading, knobs, values)
    base = Bodies(loading.solids, loading.tanks, {name: mark.point for name, mark in loading.marks.items()})
    shaping = [(k, j) for j, k in enumerate(knobs) if k.shapes]

    def run(rows: np.ndarray) -> tuple[np.ndarray, tuple[np.ndarray, ...]]:
        bodies = base
        for knob, j in shaping:
            bodies = knob.shape(bodies, float(values[rows[0], j]))
        shaped = _reshaped(loading, bodies)
        solids, flooded = bodies_open(shaped, shaped.held_open)
        chosen = None if fills is None else fills[rows]
        state = float_many(solids, mass[rows], cg[rows], loading.density, bodies.tanks, chosen, flooded, threads=1)
        heights = state.height_above_water(np.array([bodies.marks[name] for name in marks]).reshape(-1, 3))
        out = _outside(hull, base, bodies)
        return rows, (heights, state.trim, state.heel, state.mass, state.short_by_kg, np.full(len(rows), out))

    jobs = (rows for rows in _jobs(values[:, [j for _, j in shaping]]) if not swept.done[rows].all())
    _share(jobs, run, swept, progress, threads or os.cpu_count() or 1)
    return swept


def _share(jobs: Iterator[np.ndarray], run, swept: Swept, progress: Progress | None, threads: int) -> None:
    """Run the jobs on so many threads, a few ahead of what is collected; stop between them when interrupted."""
    columns = (swept.heights, swept.trim, swept.heel, swept.mass, swept.short_by_kg, swept.outside)
    pool = ThreadPoolExecutor(threads)
    waiting: set[Future] = set()
    try:
        if progress is not None:
            progress(int(swept.done.sum()), len(swept.done))
        while True:
            for rows in jobs:
                waiting.add(pool.submit(run, rows))
                if len(waiting) > threads:
                    break
            if not waiting:
                break
            finished, waiting = wait(waiting, return_when=FIRST_COMPLETED)
            for future in finished:
                rows, found = future.result()
                for column, figures in zip(columns, found, strict=True):
                    column[rows] = figures
                swept.done[rows] = True
            if progress is not None:
                progress(int(swept.done.sum()), len(swept.done))
    except KeyboardInterrupt:
        pass
    finally:
        pool.shutdown(cancel_futures=True)


def _jobs(shapes: np.ndarray) -> Iterator[np.ndarray]:
    """Rows (of `shapes`, the values of the knobs that shape), those of the same bodies together, CHUNK at most."""
    n = len(shapes)
    order = np.lexsort(shapes.T[::-1]) if shapes.shape[1] else np.arange(n)
    new = np.any(np.diff(shapes[order], axis=0) != 0, axis=1)
    for first, last in pairwise([0, *(np.flatnonzero(new) + 1), n]):
        for begin in range(first, last, CHUNK):
            yield order[begin : min(begin + CHUNK, last)]


def _reshaped(loading: Loading, bodies: Bodies) -> Loading:
    """The loading with these bodies; a pod that is open to the sea, and what stays tight in spaces, go with them."""
    was = {id(before.solid): after.solid for before, after in zip(loading.tanks, bodies.tanks, strict=True)}
    was |= {id(before): bodies.solids[name] for name, before in loading.solids.items()}
    tight = tuple(was.get(id(solid), solid) for solid in loading.tight_tanks)
    spaces = {name: in_step(space, was) for name, space in loading.spaces.items()}
    return replace(loading, solids=bodies.solids, tanks=bodies.tanks, tight_tanks=tight, spaces=spaces)


def _fills(loading: Loading, knobs: Sequence[Knob], values: np.ndarray) -> np.ndarray | None:
    """Fractions by tank (n, tanks), nan where a tank keeps its own; None where no knob fills."""
    said = {name: column for k, c in zip(knobs, values.T, strict=True) for name, column in k.fills(c).items()}
    if not said:
        return None
    names = [tank.name for tank in loading.tanks]
    fills = np.full((len(values), len(names)), np.nan)
    for name, column in said.items():
        if name not in names:
            raise InputError(f"{name} is open to the sea in this condition, so it has no fill to sweep")
        fills[:, names.index(name)] = column
    return fills


def _outside(hull: Hull, base: Bodies, bodies: Bodies) -> float:
    """How far the reshaped tanks stand outside the hull [m]; 0 where they fit."""
    changed = [t.solid for t, was in zip(bodies.tanks, base.tanks, strict=True) if t.solid is not was.solid]
    found = [out.distance for solid in changed for v in solid.vertices if (out := outside(hull, v)) is not None]
    return max(found, default=0.0)
