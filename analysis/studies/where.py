"""Where can weight still go? Kilograms at each place until the first mark is wet, and what a chosen weight does there.

The greatest weight at a place is closed in upon by floating her again with it, not read off a straight line; the
straight line of the response stands beside it. All spaces are shut (but those the condition holds open) and liquids
free to move. A margin keeps each mark some millimetres above the water, or as many as its own uncertainty asks for a
chance that is named (one-sided, normal, by the inputs of `inputs`, which take causes one at a time).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from scipy.stats import norm

from analysis.studies.floats import Case, float_case
from analysis.studies.inputs import which_input
from analysis.studies.neutral import neutral_points
from analysis.studies.watching import watched_marks
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.many import float_added
from hullcalc.boats.still_add import StillAdd, still_add
from hullcalc.errors import InputError, as_number, require
from hullcalc.units import factor

MOST = 500.0  # kg tried at each place
OVER_SOLE = 0.30  # m: the middle of a box that stands on the sole; common practice, no source
INSET = 0.15  # m from the sheer inboard: nothing is put down on the edge itself
STEP = 0.2  # m between the places of the deck map
ACROSS = 13  # places of the deck map from side to side
COLUMNS = ("place", "x_m", "y_m", "z_m", "may_add_kg", "linear_kg", "first_mark")


@dataclass(frozen=True, eq=False)
class Where:
    """What may be added where, in one plan and condition, until a watched mark is down to its margin.

    `places` and `deck` have a row a place: place, x_m, y_m, z_m, may_add_kg (inf: no limit up to `most_kg`; 0 where a
    mark is short with nothing added), linear_kg, first_mark ("" where none); `places` besides, with `kg` put there:
    lowest_mark, lowest_mm, change_mm of the lowest watched mark (nan and "" where she sinks), and heel_deg, trim_deg.
    """

    case: Case  # with nothing added
    kg: float
    marks: tuple[str, ...]
    margin_mm: Mapping[str, float]  # of each watched mark
    chance: float | None  # with which the margins keep each mark above water; None: they were given in millimetres
    most_kg: float
    places: pd.DataFrame
    deck: pd.DataFrame
    neutral: pd.DataFrame  # of the watched marks, see `neutral_points`

    @property
    def short(self) -> list[str]:
        """Watched marks that do not keep their margin with nothing added, the lowest first."""
        heights = self.case.heights_shut
        names = [name for name in self.marks if 1000 * heights[name] < self.margin_mm[name]]
        return sorted(names, key=lambda name: 1000 * heights[name] - self.margin_mm[name])


def where_to_put(
    boat: Boat,
    plan: AnyPlan,
    condition: AnyCondition,
    at: Mapping[str, Sequence[float | None]] | None = None,
    kg: float = 60.0,
    marks: Sequence[str] | None = None,
    margin_mm: float = 0.0,
    chance: float | None = None,
    most_kg: float = MOST,
    without: Sequence[str] = (),
    deck: bool = True,
    system: str = "metric",
) -> Where:
    """What may be added where, and what `kg` kilograms do at each of the places `at`.

    Parameters
    ----------
    at
        Places by name, (x, y, z) m; an y left out is the centreline, a z left out 0.30 m over the lowest sole mark (or
        the height of the centre of gravity where there is none). Default: places along the centreline, see `places_on`.
    marks
        Names or kinds of the marks watched; default the sole, see `watched_marks`.
    margin_mm
        Height that each watched mark shall keep above water.
    chance
        Instead of `margin_mm`: the chance with which each mark shall stay above water, such as 0.95.
    most_kg
        The greatest weight tried; `kg` where that is more.
    without
        People and stores of the condition that are left ashore.
    deck
        False leaves the deck map out (an empty table).
    system
        "metric" or "us": in whole metres or feet are the places along the centreline where `at` is left out.

    Raises
    ------
    InputError
        For a name that is not known, a figure out of range, or a place far off the boat.
    NoEquilibriumError
        If she sinks with nothing added.
    """
    kg, margin_mm = as_number(kg, "kg", "kg"), as_number(margin_mm, "margin", "mm")
    require(
        margin_mm >= 0, "margin", margin_mm, "mm", "must not be negative", "0 mm keeps a mark at the water or above"
    )
    require(kg > 0, "kg", kg, "kg", "must be positive", "say how much is put there, such as 60")
    most_kg = as_number(most_kg, "most", "kg")
    require(most_kg > 0, "most", most_kg, "kg", "must be positive", "say the greatest weight to try")
    most_kg = max(most_kg, kg)
    said = _ashore(boat, condition, without)
    case = float_case(boat, plan, said)
    names = tuple(watched_marks(case.marks, marks))
    margins = dict.fromkeys(names, margin_mm)
    if chance is not None:
        require(0.5 <= chance < 1, "chance", chance, "", "must be from 0.5 to below 1", "95 % is 0.95")
        margins = {name: _margin_mm(case, said, name, chance) for name in names}
    height = standing_height(case)
    at = places_on(case, system) if at is None else at
    if not at:
        raise InputError("no place is named: give at least one, such as 0.3 (m forward of the transom)")
    spots = {name: _place(case, name, place, height) for name, place in at.items()}
    points = np.array([case.marks[name].point for name in names])
    keep = np.array([margins[name] for name in names]) / 1000

    def table(rows: Mapping[str, np.ndarray]) -> pd.DataFrame:
        places = np.array(list(rows.values())).reshape(-1, 3)
        if not len(places):
            return pd.DataFrame(columns=list(COLUMNS))
        return _table(list(rows), places, names, still_add(case.state.loading, places, points, keep, most_kg))

    named = table(spots).join(_with_weight(case, np.array(list(spots.values())), names, kg))
    grid = {f"deck {i}": place for i, place in enumerate(_deck(case, height))} if deck else {}
    neutral = neutral_points(boat, case.packages, said)
    neutral = neutral[neutral["mark"].isin(names)].reset_index(drop=True)
    return Where(case, kg, names, margins, chance, most_kg, named, table(grid), neutral)


def places_on(case: Case, system: str = "metric") -> dict[str, tuple[float | None, ...]]:
    """Places to ask about where none is named: pods, then along the centreline, aft to forward, in whole m or ft."""
    x = case.boat.hull.solid.vertices[:, 0]
    places: dict[str, tuple[float | None, ...]] = {}
    for name, body in case.boat.solids_in(case.packages).items():
        if body is not case.boat.hull.solid and body.centroid[0] < 0:
            places[name] = (float(body.centroid[0]), float(body.centroid[1]), None)
    reach = 0.9 * float(x.max())
    for figure in (1, 3, *range(6, 120, 3)) if system == "us" else (0.3, *range(1, 40)):
        along = figure * (factor("ft", "length") if system == "us" else 1.0)
        if along < reach:
            places[f"{figure} ft forward" if system == "us" else f"{along:.1f} m forward"] = (along, None, None)
    return places


def standing_height(case: Case, over: float = OVER_SOLE) -> float:
    """Height of the middle of what is put on the sole [m], `over` it; of her centre where no sole is marked."""
    sole = [float(mark.point[2]) for mark in case.marks.values() if mark.kind == "sole"]
    return min(sole) + over if sole else float(case.shut.cg[2])


def half_breadth(case: Case, x: np.ndarray) -> np.ndarray:
    """Half-breadth of the deck at the sheer [m] at each x; nan beyond its ends."""
    sheer = list(case.boat.hull.lines.values())[-1]
    sheer = sheer[np.argsort(sheer[:, 0])]
    return np.interp(x, sheer[:, 0], sheer[:, 1], left=np.nan, right=np.nan)


def _ashore(boat: Boat, condition: AnyCondition, without: Sequence[str]) -> Condition:
    said = boat.condition(condition)
    missing = [name for name in without if name not in said.aboard]
    if missing:
        raise InputError(
            f"{missing[0]!r} is not aboard in {said.name}, so it cannot be left ashore; aboard are: "
            f"{', '.join(said.aboard) or 'nobody'}"
        )
    if not without:
        return said
    aboard = tuple(name for name in said.aboard if name not in without)
    return replace(said, name=f"{said.name} without {' and '.join(without)}", aboard=aboard)


def _margin_mm(case: Case, condition: Condition, mark: str, chance: float) -> float:
    """Millimetres that keep a mark above water with this chance, by its own uncertainty."""
    inputs = which_input(case.boat, case.packages, condition, mark)
    return float(norm.ppf(chance) * np.hypot.reduce(inputs["mm"].to_numpy())) if len(inputs) else 0.0


def _place(case: Case, name: str, place: Sequence[float | None], height: float) -> np.ndarray:
    """A place (3,) m with what was left out filled in; refused far off the boat."""
    x, y, z = (*place, None, None)[:3]
    if x is None:
        raise InputError(f"place {name!r}: say how far forward of the transom it is")
    spot = np.array([x, 0.0 if y is None else y, height if z is None else z], dtype=float)
    bodies = np.vstack([solid.bounds for solid in case.boat.solids_in(case.packages).values()])
    low, high = bodies.min(axis=0) - np.array([1.0, 0.3, 0.5]), bodies.max(axis=0) + np.array([1.0, 0.3, 3.0])
    for axis, value, least, most in zip("xyz", spot, low, high, strict=True):
        require(least <= value <= most, f"{axis} of place {name!r}", value, "m",
                f"is off the boat, which reaches from {least:.2f} to {most:.2f} with some room", "in millimetres, or "
                "measured from another end? x counts forward of the transom's lower end, y to port, z up")  # fmt: skip
    return spot


def _deck(case: Case, height: float) -> np.ndarray:
    """Places of the deck map (k, 3) m, from the transom's top to near the stem, inside the sheer."""
    sheer = list(case.boat.hull.lines.values())[-1]
    low, high = float(sheer[:, 0].min()), float(sheer[:, 0].max())
    x = np.linspace(low + INSET / 2, high - 2 * INSET, max(3, round((high - low) / STEP)))
    half = half_breadth(case, x) - INSET
    share = np.linspace(-1, 1, ACROSS)
    places = [(a, h * s, height) for a, h in zip(x, half, strict=True) if h > 0 for s in share]
    return np.array(places)


def _table(names: Sequence[str], places: np.ndarray, marks: Sequence[str], room: StillAdd) -> pd.DataFrame:
    first = [marks[i] if i >= 0 else "" for i in room.first]
    values = [names, *places.T, room.kg, room.linear, first]
    return pd.DataFrame(dict(zip(COLUMNS, values, strict=True)))


def _with_weight(case: Case, places: np.ndarray, marks: Sequence[str], kg: float) -> pd.DataFrame:
    """What `kg` at each place do: the lowest watched mark then, and how far the lowest height changes."""
    loads = kg * np.column_stack([np.ones(len(places)), places])
    floated = float_added(case.state.loading, loads)
    heights = 1000 * floated.heights(marks)
    before = 1000 * min(case.heights_shut[name] for name in marks)
    sunk = np.isnan(heights[:, 0])
    lowest = np.argmin(np.where(np.isnan(heights), np.inf, heights), axis=1)
    least = heights[np.arange(len(places)), lowest]
    return pd.DataFrame(
        {
            "lowest_mark": ["" if s else marks[i] for i, s in zip(lowest, sunk, strict=True)],
            "lowest_mm": least,
            "change_mm": least - before,
            "trim_deg": floated.states.trim,
            "heel_deg": floated.states.heel,
        }
    )
