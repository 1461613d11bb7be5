"""A sweep in sections: what was tried, what a small turn buys, where two plans are equal."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from analysis.report.parts import Grid, Section, height_cell, height_unit
from analysis.studies.sweep_words import (
    FITS,
    fitting,
    knob_name,
    least_name,
    say_set,
    say_state,
    say_turn,
    say_value,
    sweep_finding,
)
from analysis.studies.sweeps import Sweep, where_equal
from analysis.studies.words import capital
from hullcalc.boats.limits import say_list

ROWS, COLUMNS, BEST = 12, 6, 5


def sweep_sections(
    swept: Sweep, now_mm: float, turns: pd.DataFrame, other: Sweep | None = None, system: str = "metric"
) -> list[Section]:
    """All there is to say; `turns` is the table of `from_here`, `now_mm` the figure of `here`."""
    told = [tried(swept, now_mm, system), small_turns(swept, turns, system)]
    if other is not None:
        told.append(crossing(swept, other, system))
    return told


def tried(swept: Sweep, now_mm: float, system: str) -> Section:
    """The least mark over what was tried."""
    about = f"{least_name(swept)}, {height_unit(system)} above or under water, openings shut"
    before = (f"{capital(sweep_finding(swept, now_mm, system))}.", *_left_out(swept))
    return Section("What was tried", about, before, tuple(_moved_along(swept)), (_grid(swept, system),))


def small_turns(swept: Sweep, turns: pd.DataFrame, system: str) -> Section:
    """What a small turn of each knob buys from where she is."""
    rows = zip(swept.knobs, turns["step"], turns["mm"], strict=True)
    said = [f"{say_turn(knob, step, mm, system)}." for knob, step, mm in rows]
    return Section("From where she is", f"{least_name(swept)}", listed=tuple(said))


def crossing(swept: Sweep, other: Sweep, system: str) -> Section:
    """Where two plans keep the least mark equally high, and which is higher elsewhere."""
    better = swept.least_mm - other.least_mm
    both = np.isfinite(better)
    share = 100 * float(np.mean(better[both] > 0)) if both.any() else 0.0
    higher = f"{capital(swept.plan)} keeps the {least_name(swept)} higher in {share:.0f} % of what was tried"
    said = [f"{higher}, {other.plan} elsewhere."]
    for line in where_equal(swept, other):
        points = sorted(tuple(map(float, point)) for point in line[[0, -1]])
        ends = [", ".join(say_set(k, v, system) for k, v in zip(swept.knobs, at, strict=True)) for at in points]
        said.append(f"Equally high on a line from {ends[0]} to {ends[1]}.")
    if len(said) == 1:
        said.append("Nowhere within these limits are the two equally high.")
    return Section("Where the plans cross", before=tuple(said))


def _left_out(swept: Sweep) -> list[str]:
    """What has no figure and why."""
    said = []
    if swept.done < swept.states:
        said.append(f"Stopped: {swept.done} of {swept.states} states are done; the rest is left out.")
    sinks = int(np.isfinite(swept.swept.short_by_kg).sum())
    if sinks:
        said.append(f"She sinks in {sinks} of the {swept.done} states.")
    out = int(np.sum(swept.swept.outside > FITS))
    if out:
        said.append(f"In {out} of the {swept.done} states a tank stands outside the hull: no fit.")
    return said


def _moved_along(swept: Sweep) -> list[str]:
    return [f"With {knob.label} goes {say_list(knob.with_it)}." for knob in swept.knobs if knob.with_it]


def _grid(swept: Sweep, system: str) -> Grid:
    """One knob: a row a value; two: a table; more, or a list of states: the best of them."""
    if len(swept.axes) == 1:
        rows = [
            (say_value(swept.knobs[0], swept.values[i, 0], system), _cell(swept, i, system), str(swept.least_mark[i]))
            for i in _some(len(swept.axes[0]), 2 * ROWS)
        ]
        return Grid((knob_name(swept.knobs[0]), "", "lowest"), tuple(rows))
    if len(swept.axes) == 2:
        first, second = (_some(len(axis), most) for axis, most in zip(swept.axes, (ROWS, COLUMNS), strict=True))
        head = (knob_name(swept.knobs[0]), *(say_value(swept.knobs[1], swept.axes[1][j], system) for j in second))
        across = len(swept.axes[1])
        values = [say_value(swept.knobs[0], swept.axes[0][i], system) for i in first]
        body = [
            (value, *(_cell(swept, i * across + j, system) for j in second))
            for value, i in zip(values, first, strict=True)
        ]
        return Grid(head, tuple(body), ((knob_name(swept.knobs[1]), len(second)),))
    fit = np.flatnonzero(fitting(swept))
    best = fit[np.argsort(-swept.least_mm[fit], kind="stable")][:BEST]
    return Grid(("the best", "", "lowest"), tuple(
        (say_state(swept, int(i), system), _cell(swept, int(i), system), str(swept.least_mark[i])) for i in best
    ))  # fmt: skip


def _cell(swept: Sweep, row: int, system: str) -> str:
    if not swept.swept.done[row]:
        return ""
    if np.isfinite(swept.swept.short_by_kg[row]):
        return "sinks"
    if swept.swept.outside[row] > FITS:
        return "no fit"
    return height_cell(float(swept.least_mm[row]) / 1000, system)


def _some(count: int, most: int) -> Sequence[int]:
    """At most so many of the positions 0..count-1, both ends among them."""
    return [int(i) for i in np.unique(np.round(np.linspace(0, count - 1, min(count, most))))]
