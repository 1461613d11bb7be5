"""What lists her, and what would level her: kilogram-metres to one side, and who would have to move how far.

Every space is shut that the condition does not hold open. A moment is positive to port [kg m]; heel is positive to
starboard [deg].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.floats import Case
from analysis.studies.opened import LIQUID, what_is_aboard
from hullcalc.boats.many import float_added
from hullcalc.boats.rounds import Loading
from hullcalc.errors import NoEquilibriumError
from hullcalc.floating.state import FloatState

LEVEL = 1e-7  # deg
MOST_STEPS = 30
NOTHING = 1e-9  # kg m
LEAST_MASS = 1.0  # kg: what is lighter levels nobody


@dataclass(frozen=True, eq=False)
class Levelling:
    """How she lists in a case and what would level her.

    `moment` is what must be added [kg m, positive to port]. `lists` has a row for each thing off the centreline:
    columns what, mass_kg (negative: taken off; 0: moved), my_kg_m and heel_deg (what it does alone, by the response),
    the greatest first. `movers` has a row for each person, store and battery that could level her by moving across
    inside the boat: columns what, mass_kg, from_y_m, to_y_m, by_m; the shortest way first.
    """

    case: Case
    heel: float
    moment: float
    level: FloatState
    lists: pd.DataFrame
    movers: pd.DataFrame


def what_levels(case: Case) -> Levelling:
    """Find the moment across that brings her upright, exactly, and who or what could make it by moving across.

    Raises NoEquilibriumError where no moment does (she does not float upright at any).
    """
    moment, level = _upright(case.state.loading)
    heel = float(case.shut.heel)
    return Levelling(case, heel, moment, level, _lists(case), _movers(case, moment))


def _upright(loading: Loading) -> tuple[float, FloatState]:
    """The added moment across [kg m, to port] at which she floats without heel, by secants, and how she floats."""

    def heel(moment: float) -> tuple[float, FloatState]:
        many = float_added(loading, [[0.0, 0.0, moment, 0.0]]).states
        return float(many.heel[0]), many

    first, (angle, state) = 0.0, heel(0.0)
    if abs(angle) <= LEVEL:
        return 0.0, state
    second = float(np.radians(angle) * state.mass[0] * max(float(state.gm_transverse[0]), 0.05))
    for _ in range(MOST_STEPS):
        now, state = heel(second)
        if not np.isfinite(now) or now == angle:
            break
        if abs(now) <= LEVEL:
            return second, state
        first, second, angle = second, second - now * (second - first) / (now - angle), now
    raise NoEquilibriumError("no moment across was found that brings her upright", float("nan"))


def _lists(case: Case) -> pd.DataFrame:
    """What lies off the centreline: things aboard, and of the boat herself as found and what the plan changes."""
    rows = [(r["what"], r["mass_kg"], r["my_kg_m"]) for r in what_is_aboard(case).iloc[1:].to_dict("records")]
    hers = [case.boat.as_found, *(change.item for change in case.boat.changes(case.packages))]
    rows += [(item.name, float(item.mass), float(item.moment[1])) for item in hers]
    table = pd.DataFrame(rows, columns=["what", "mass_kg", "my_kg_m"]).groupby("what", sort=False, as_index=False).sum()
    table["heel_deg"] = table["my_kg_m"] * _heel_by_moment(case.shut)
    table = table[abs(table["my_kg_m"]) > NOTHING]
    return table.sort_values("my_kg_m", key=np.abs, ascending=False, kind="stable").reset_index(drop=True)


def _heel_by_moment(state: FloatState) -> float:
    """Change of heel [deg] for a kilogram-metre to port, by the response: two points a metre apart across."""
    points = np.array([[0.0, 0.5, 0.0], [0.0, -0.5, 0.0]])
    port, starboard = state.response(points)[:, 2]
    return float(np.degrees(port - starboard) / np.cos(np.radians(float(state.heel))))


def _movers(case: Case, moment: float) -> pd.DataFrame:
    """Who and what could level her by moving across, and still stand inside her."""
    boat = case.boat
    across = boat.crew.side_to_side
    room = across / 2 if across is not None else float(boat.hull.solid.bounds[1, 1])
    aboard = what_is_aboard(case).iloc[1:]
    things = [(r["what"], r["mass_kg"], r["y_m"]) for r in aboard.to_dict("records") if r["kind"] != LIQUID]
    things += [
        (name, float(thing.item.mass), float(thing.place[1]))
        for name, thing in boat.ledger.apply(case.packages)[1].items()
        if "batter" in name.casefold()
    ]
    rows = []
    for what, mass, y in things:
        if mass >= LEAST_MASS:
            to = y + moment / mass
            if abs(to) <= room:
                rows.append((what, mass, y, to, abs(to - y)))
    table = pd.DataFrame(rows, columns=["what", "mass_kg", "from_y_m", "to_y_m", "by_m"])
    return table.sort_values("by_m", kind="stable").reset_index(drop=True)
