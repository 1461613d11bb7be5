"""Full or empty: what the fuel alone does to her from full tanks to a tenth, everything else as it is.

And the old argument where the tank should sit: the same fuel floated with its tanks shifted along the boat until the
full fuel's centre stands over the centre of the waterplane (LCF, at half fuel), or over the LCG of everything but the
fuel. Only the liquid moves; whether a tank fits there is not asked. Heights in mm, spaces shut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from analysis.studies.floats import NOT_WATCHED
from analysis.studies.fuel_range import THIRDS, fuel_range
from hullcalc.boats.along import is_fuel
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.many import float_added
from hullcalc.boats.presence import present
from hullcalc.boats.rounds import Loading
from hullcalc.errors import InputError, require
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.solid import Solid

FULL, LEAST = 0.95, 0.10  # of the gross volume
POINTS = 18
AS_FITTED, OVER_LCF, OVER_LCG = "as fitted", "over the LCF", "over the LCG of the rest"


@dataclass(frozen=True, eq=False)
class FuelAlone:
    """`curve` has a row a place of the tanks and a fill; `summary` a row a place, from full to a tenth."""

    condition: str
    litres: float  # gross, of all fuel tanks
    lcf: float  # m
    lcg_rest: float  # m
    curve: pd.DataFrame
    summary: pd.DataFrame


def fuel_alone(boat: Boat, plan: AnyPlan, condition: AnyCondition) -> FuelAlone:
    """Burn the fuel of a condition from 95 to 10 % with its tanks where they are, over the LCF and over the LCG.

    `summary` columns: place, x_m (of the full fuel's centre), sole_mm and least_mm (change of the lowest sole mark and
    of the lowest mark from full to a tenth, positive up), trim_full_deg, trim_low_deg, trim_deg (the change).

    Raises
    ------
    InputError
        If the plan has no fuel tank, or she does not float.
    """
    base = _full(boat, plan, condition)
    tanks = _fuel_names(boat, plan)
    volumes = {t.name: t.solid.volume for t in base.tanks if t.name in tanks}
    centre = sum(v * _tank(base, n).solid.centroid[0] for n, v in volumes.items()) / sum(volumes.values())
    half = float_added(base, np.zeros((1, 4)), {name: 0.5 for name in tanks}).states
    require(
        half.status == "floats", "state", np.zeros(1), "", "is none: she does not float upright", "look at the load"
    )
    lcf, lcg_rest = float(half.flotation[0, 0]), _lcg_without(half, tanks)
    curves = []
    for place, shift in ((AS_FITTED, 0.0), (OVER_LCF, lcf - centre), (OVER_LCG, lcg_rest - centre)):
        curves.append(_burn(_shifted(base, tanks, shift), tanks).assign(place=place, x_m=centre + shift))
    curve = pd.concat(curves, ignore_index=True)
    rows = []
    for place, part in curve.groupby("place", sort=False):
        full, low = part.iloc[0], part.iloc[-1]
        rows.append(
            {
                "place": place,
                "x_m": full["x_m"],
                "sole_mm": low["sole_mm"] - full["sole_mm"],
                "least_mm": low["least_mm"] - full["least_mm"],
                "trim_full_deg": full["trim_deg"],
                "trim_low_deg": low["trim_deg"],
                "trim_deg": low["trim_deg"] - full["trim_deg"],
            }
        )
    name = boat.condition(condition).name
    return FuelAlone(name, 1000 * sum(volumes.values()), lcf, lcg_rest, curve, pd.DataFrame(rows))


def fuel_compared(boat: Boat, plan: AnyPlan, condition: AnyCondition, litres: Sequence[float]) -> pd.DataFrame:
    """The same load with so much fuel [m³] each: columns fuel_l, fuel_kg, sole_mm, least_mm, trim_deg, nm by thirds.

    The fuel is spread over the tanks in proportion to their size; nm is nan where nobody said what she burns.
    """
    base, tanks = _full(boat, plan, condition), _fuel_names(boat, plan)
    room = sum(_tank(base, name).solid.volume for name in tanks)
    asked = np.atleast_1d(np.asarray(litres, dtype=float))
    fits = (asked >= 0) & (asked <= room)
    require(fits, "fuel", 1000 * asked, "L", f"is not from 0 to the {1000 * room:.0f} L the tanks hold", "ask for less")
    table = _burn(base, tanks, asked / room)
    mass = sum(_tank(base, name).density * _tank(base, name).solid.volume for name in tanks)
    known = boat.burn.per_nm is not None
    nm = [fuel_range(v, boat.burn).of(THIRDS)["nm"] if known and v > 0 else np.nan for v in asked]
    return table.assign(fuel_l=1000 * asked, fuel_kg=asked / room * mass, nm=nm).drop(columns="fill")


def _fuel_names(boat: Boat, plan: AnyPlan) -> list[str]:
    names = [n for n, tank in present(boat.tanks, boat.packages_on(plan)).items() if is_fuel(tank)]
    if not names:
        raise InputError(f"{boat.name}: no tank for fuel is there in this plan; add one with the use fuel to tanks.csv")
    return names


def _full(boat: Boat, plan: AnyPlan, condition: AnyCondition) -> Loading:
    """The condition with full fuel tanks, whatever it says of them."""
    said = boat.condition(condition)
    fills = {**said.fills, **dict.fromkeys(_fuel_names(boat, plan), FULL)}
    return boat.loading(plan, Condition(said.name, fills, said.aboard, said.open, said.at_lip))


def _tank(loading: Loading, name: str) -> Tank:
    return next(tank for tank in loading.tanks if tank.name == name)


def _lcg_without(state, tanks: Sequence[str]) -> float:  # type: ignore[no-untyped-def]
    """LCG of everything but the fuel [m] of a state of one row."""
    fuel = [q for q in state.liquids if q.name in tanks]
    mass = float(state.mass[0]) - sum(float(q.mass[0]) for q in fuel)
    return (float(state.mass[0] * state.cg[0, 0]) - sum(float(q.mass[0] * q.centre[0, 0]) for q in fuel)) / mass


def _shifted(loading: Loading, tanks: Sequence[str], by: float) -> Loading:
    """The same load with its fuel tanks that much farther forward [m]."""
    moved = [
        replace(t, solid=Solid(t.solid.vertices + np.array([by, 0.0, 0.0]), t.solid.faces))
        if t.name in tanks and by
        else t
        for t in loading.tanks
    ]
    return replace(loading, tanks=tuple(moved))


def _burn(loading: Loading, tanks: Sequence[str], fills: np.ndarray | None = None) -> pd.DataFrame:
    """Columns fill, trim_deg, least_mm, sole_mm (nan without sole marks) along fills of all fuel tanks alike."""
    fills = np.linspace(FULL, LEAST, POINTS) if fills is None else fills
    floats = float_added(loading, np.zeros((len(fills), 4)), dict.fromkeys(tanks, fills))
    _floating(floats.states.status)
    watched = [name for name, mark in loading.marks.items() if mark.kind not in NOT_WATCHED]
    sole = [name for name in watched if loading.marks[name].kind == "sole"]
    lowest = {
        "least_mm": 1000 * floats.heights(watched).min(axis=1) if watched else np.nan,
        "sole_mm": 1000 * floats.heights(sole).min(axis=1) if sole else np.nan,
    }
    return pd.DataFrame({"fill": fills, "trim_deg": floats.states.trim} | lowest)


def _floating(status: np.ndarray) -> None:
    if np.any(status != "floats"):
        raise InputError("she does not stay afloat upright with that fuel: look at the load, and ask a naval architect")
