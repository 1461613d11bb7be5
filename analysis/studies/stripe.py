"""The boot stripe: where the water meets it, and where to paint it.

A stripe is painted alike on both sides, so it goes by the water with the heel taken out; what the heel does to each
side stands beside it. Heights above the keel line in mm (along the boat's z), water over a mark positive. Spaces shut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.floats import Case, end_marks, float_case
from analysis.studies.inputs import which_input
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.skin import (
    PORT,
    STARBOARD,
    Plane,
    below_sheer,
    ends,
    height_at,
    level_across,
    on_transom,
    water_on_side,
)
from hullcalc.errors import InputError, NoEquilibriumError, require

MARGIN = 0.020  # m over the water she departs with; common practice, no source
BOW_AT = 0.78  # of the hull's length: where the forward height is given on a boat without a stripe
ON_TRANSOM = 0.02  # m
DEPARTURES = ("depart", "family")  # words of a condition that is the usual one to leave in
NO_STRIPE = (
    "No old stripe to compare with: write its lower edge in marks.csv, one mark aft and one forward, kind boot stripe."
)


@dataclass(frozen=True, eq=False)
class Place:
    """Where the stripe's height is given: on the transom's edge, or at an x; `old` is its height now, or None [m]."""

    name: str
    x: float
    transom: bool
    old: float | None


@dataclass(frozen=True, eq=False)
class Stripe:
    """The stripe of one plan: `places` aft and forward, `table` a row a place, `drill` a row a station."""

    boat: Boat
    plan: str
    cases: Mapping[str, Case]  # by condition: those of the band, the one she departs in among them
    departure: str
    margin: float  # m
    places: tuple[Place, ...]
    table: pd.DataFrame
    drill: pd.DataFrame

    @property
    def lower_edge(self) -> Plane:
        """The plane of the new lower edge."""
        normal, offset = level_across(self.cases[self.departure].shut.plane)
        return normal, offset + self.margin


def stripe_of(
    boat: Boat,
    plan: AnyPlan,
    departure: str | None = None,
    margin: float = MARGIN,
    conditions: Sequence[str] | None = None,
) -> Stripe:
    """Where water meets the stripe of a plan in each condition, and where to paint it for the one she departs in.

    Parameters
    ----------
    departure : str, optional
        The condition she usually leaves in; else the first that says so in its name or note ("family", "departing"),
        else the heaviest.
    margin : float
        Height of the lower edge over the water then [m].
    conditions : sequence of str, optional
        Those of the band from light to full; all unless given. What sinks or holds a space open is left out.

    Returns
    -------
    Stripe
        `table` columns: place, x_m, old_mm, water_mm, over_old_mm (water over the old lower edge), paint_mm (the new
        lower edge), above_old_mm, u_mm (standard uncertainty of the water there), port_mm and starboard_mm (water each
        side with the heel in it). `drill` columns:
        place, x_m, paint_mm, skin_mm and plumb_mm (down from the sheer along the skin and plumb).

    Raises
    ------
    InputError
        For a condition that is not known or a margin that is no length of a few centimetres.
    """
    require(0 <= margin <= 0.3, "margin", 1000 * np.asarray(margin), "mm", "is not from 0 to 300", "20 is common")
    names = list(boat.conditions if conditions is None else conditions)
    if not names:
        raise InputError(f"{boat.name}: has no load condition; write one in conditions.csv, such as light")
    cases: dict[str, Case] = {}
    for name in dict.fromkeys([*names, *([departure] if departure else [])]):
        if boat.condition(name).open and name != departure:
            continue
        try:
            cases[name] = float_case(boat, plan, name)
        except NoEquilibriumError:
            if name == departure:
                raise
    if not cases:
        raise InputError(f"{boat.name}: floats in none of these conditions: {', '.join(names)}")
    leaving = departure or _departure(boat, cases)
    case = cases[leaving]
    places = _places(boat, case)
    stripe = Stripe(boat, case.plan, cases, leaving, margin, places, _table(boat, case, places, margin), pd.DataFrame())
    return Stripe(boat, case.plan, cases, leaving, margin, places, stripe.table, _drill(boat, stripe.lower_edge))


def over_stripe(case: Case, places: Sequence[Place]) -> list[float]:
    """How far the water stands over the old lower edge at each place that has one [mm], heel taken out."""
    plane = level_across(case.shut.plane)
    return [
        1000 * (_water(case.boat, plane, place) - place.old) if place.old is not None else np.nan for place in places
    ]


def dry_scuppers(cases: Sequence[Case], margin: float = MARGIN) -> pd.DataFrame:
    """How high each scupper and drain must stand to be `margin` [m] over the water in every one of the cases.

    Columns mark, x_m, y_m, now_mm, needs_mm (heights above the keel line), raise_by_mm (0 where it is high enough),
    sole_mm (the lowest sole mark, nan where there is none), and worst, the condition that asks for it.
    """
    rows = []
    sole = min((float(m.point[2]) for m in cases[0].marks.values() if m.kind == "sole"), default=np.nan)
    for name, mark in cases[0].marks.items():
        if mark.kind not in ("scupper", "drain"):
            continue
        needs = []
        for case in cases:
            normal, offset = case.shut.plane
            needs.append(height_at((normal, offset + margin), *mark.point[:2]))
        k = int(np.argmax(needs))
        rows.append(
            {
                "mark": name,
                "x_m": float(mark.point[0]),
                "y_m": float(mark.point[1]),
                "now_mm": 1000 * float(mark.point[2]),
                "needs_mm": 1000 * needs[k],
                "raise_by_mm": 1000 * max(0.0, needs[k] - float(mark.point[2])),
                "sole_mm": 1000 * sole,
                "worst": cases[k].condition,
            }
        )
    return pd.DataFrame(rows)


def _departure(boat: Boat, cases: Mapping[str, Case]) -> str:
    for word in DEPARTURES:
        for name in cases:
            if word in f"{name} {boat.conditions[name].note}".casefold():
                return name
    return max(cases, key=lambda name: float(cases[name].shut.mass))


def _places(boat: Boat, case: Case) -> tuple[Place, ...]:
    """The stripe's own marks; the transom's edge and a place well forward where it lacks them."""
    rake = float(np.tan(boat.hull.transom_rake))
    low, high = ends(boat.hull)
    found: list[Place] = []
    for name in end_marks(case.marks, "boot stripe"):
        if name is not None:
            x, _, z = (float(v) for v in case.marks[name].point)
            found.append(Place(name, x, abs(x + z * rake) < ON_TRANSOM, z))
    middle = (low + high) / 2
    if not any(place.x < middle for place in found):
        found.insert(0, Place("at the transom", 0.0, True, None))
    if not any(place.x >= middle for place in found):
        found.append(Place("forward", round(BOW_AT * high, 1), False, None))
    return tuple(found)


def _water(boat: Boat, plane: Plane, place: Place) -> float:
    """Height of the water at a place [m]: on the transom its edge goes aft as it goes up."""
    if not place.transom:
        return height_at(plane, place.x)
    point = on_transom(boat.hull, plane)
    return height_at(plane, place.x) if point is None else float(point[2])


def _table(boat: Boat, case: Case, places: Sequence[Place], margin: float) -> pd.DataFrame:
    plane = case.shut.plane
    level = level_across(plane)
    paint = (level[0], level[1] + margin)
    rows = []
    for place in places:
        water, new = _water(boat, level, place), _water(boat, paint, place)
        sides = [
            point if (point := (on_transom(boat.hull, plane, s) if place.transom
                                else water_on_side(boat.hull, plane, place.x, s))) is not None else None
            for s in (PORT, STARBOARD)
        ]  # fmt: skip
        old = np.nan if place.old is None else place.old
        rows.append(
            {
                "place": place.name,
                "x_m": place.x,
                "old_mm": 1000 * old,
                "water_mm": 1000 * water,
                "over_old_mm": 1000 * (water - old),
                "paint_mm": 1000 * new,
                "above_old_mm": 1000 * (new - old),
                "port_mm": np.nan if sides[0] is None else 1000 * float(sides[0][2]),
                "u_mm": _u(case, place),
                "starboard_mm": np.nan if sides[1] is None else 1000 * float(sides[1][2]),
            }
        )
    return pd.DataFrame(rows)


def _u(case: Case, place: Place) -> float:
    """Standard uncertainty of the water's height at a mark of the stripe [mm]; nan where there is no mark."""
    if place.name not in case.marks or case.shut.status != "floats":
        return float("nan")
    return float(np.hypot.reduce(which_input(case.boat, case.packages, case.condition, place.name)["mm"]))


def _drill(boat: Boat, edge: Plane) -> pd.DataFrame:
    """The new lower edge at the transom and at each station, down from the sheer."""
    hull = boat.hull
    points = [("transom", on_transom(hull, edge))]
    points += [(f"station {x:g}", water_on_side(hull, edge, float(x))) for x in hull.table.x if x > 0]
    rows = []
    for name, point in points:
        if point is None:
            continue
        skin, plumb = below_sheer(hull, point)
        rows.append(
            {
                "place": name,
                "x_m": float(point[0]),
                "paint_mm": 1000 * float(point[2]),
                "skin_mm": 1000 * skin,
                "plumb_mm": 1000 * plumb,
            }
        )
    return pd.DataFrame(rows)
