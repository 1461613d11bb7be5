"""Everybody to one side: how far she heels, what stays above water, and the published limits beside it as figures.

Two published ways of asking. The UK code for small commercial vessels, 11.4: fully loaded, all people at the side,
75 kg each, the helmsman at the helm if he stays there; heel at most 7 degrees, or 10 where the heeled freeboard is
still what is asked upright (edition not shown where it was read). 46 CFR 178.330: the people but the required crew,
185 lb each (46 CFR 170.090), make the moment W B / 6 about the centreline, B the largest distance across that is open
to them; of a flush-decked vessel the heel is at most 14 degrees and half the freeboard (from memory). Neither binds a
private boat, and neither is a statement about her: they are figures to hold hers against.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from analysis.studies.deck_edge import least_freeboard
from analysis.studies.floats import NOT_WATCHED, SINKS
from hullcalc.boats.afloat import BoatState
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.crew import Place
from hullcalc.boats.many import float_added
from hullcalc.boats.standard_conditions import (
    FULL,
    NEEDS_SEATS,
    PERSON,
    SIDES,
    kind_of_use,
    people_at,
    places_at_side,
)
from hullcalc.errors import InputError, NoEquilibriumError
from hullcalc.units.names import factor

UK_HEEL, UK_HEEL_WITH_FREEBOARD = 7.0, 10.0  # deg
US_PERSON = 185 * factor("lb", "mass")  # kg
US_HEEL = 14.0  # deg, from memory
REQUIRED_CREW = 1  # the helmsman
AT_THE_HELM, GOES_TOO = "stays at the helm", "goes to the side too"


@dataclass(frozen=True, eq=False)
class Crowding:
    """`at_side` has a row a plan, side and helmsman; `by_moment` a row a plan and side (none without a width)."""

    boat: Boat
    number: int
    side_to_side: float | None
    at_side: pd.DataFrame
    by_moment: pd.DataFrame
    missing: tuple[str, ...]


def everyone_to_one_side(boat: Boat, plans: Mapping[str, AnyPlan] | Iterable[str] | None = None) -> Crowding:
    """Float each plan fully loaded with the crew at each side, and with the moment of 46 CFR 178.330.

    Columns of both: plan, side, people, moment_kg_m, heel_deg (positive to the side they stand at), upright_deg (with
    everybody in their places, the same sense), freeboard_mm (least of the deck edge), upright_freeboard_mm, least_mark,
    least_mm, status; `at_side` has helmsman too.

    Raises
    ------
    InputError
        If the folder does not say who sails and where they sit and stand.
    """
    named = plans if isinstance(plans, Mapping) else {name: name for name in (boat.plans if plans is None else plans)}
    crew = boat.crew
    places = crew.places_for("helm", "crew", "child")
    if crew.number is None or len(places) < crew.number:
        raise InputError(f"{boat.name}: who sails in her and where is not known. {NEEDS_SEATS}")
    places = places[: crew.number]
    at_side: list[dict[str, object]] = []
    by_moment: list[dict[str, object]] = []
    missing: list[str] = []
    for side in SIDES:
        rail, helm = places_at_side(boat.crew.places, side), crew.places_for("helm")[:1]
        ways = [(GOES_TOO, rail[: crew.number], crew.number)]
        if helm and crew.number > 1:
            others = [place for place in rail if place.name != helm[0].name]
            ways.append((AT_THE_HELM, [*helm, *others[: crew.number - 1]], crew.number))
        for helmsman, crowd, wanted in ways:
            if len(crowd) < wanted:
                missing.append(f"seats.csv has too few places to {side} for a crew of {crew.number}; add rows")
                continue
            for name, plan in named.items():
                upright = _float(boat, plan, places)
                head = {"plan": name, "side": side, "helmsman": helmsman, "people": wanted}
                at_side.append(
                    head | _row(boat, upright, _float(boat, plan, crowd), SIDES[side], _moment(crowd, places))
                )
    if crew.side_to_side is None:
        missing.append("The moment of 46 CFR 178.330 needs the width open to people: side_to_side_m in [crew]")
    elif crew.number > REQUIRED_CREW:
        weight = (crew.number - REQUIRED_CREW) * US_PERSON
        moment = weight * crew.side_to_side / 6
        for name, plan in named.items():
            upright = _float(boat, plan, places, US_PERSON)
            for side, sign in SIDES.items():
                head = {"plan": name, "side": side, "people": crew.number - REQUIRED_CREW}
                by_moment.append(head | _pushed(boat, upright, sign, moment))
    return Crowding(
        boat, crew.number, crew.side_to_side, pd.DataFrame(at_side), pd.DataFrame(by_moment),
        tuple(dict.fromkeys(missing)),
    )  # fmt: skip


def _float(boat: Boat, plan: AnyPlan, places: Sequence[Place], mass: float = PERSON) -> BoatState | None:
    """Fully loaded, one person at each place, spaces shut; None where she sinks."""
    people = people_at(places, mass)
    fills = {tank.use: 1.0 if kind_of_use(tank.use) == "ballast" else FULL for tank in boat.tanks}
    condition = Condition("fully loaded", fills, (*people, *boat.crew.departing))
    try:
        return replace(boat, people=dict(boat.people) | people).float(plan, condition, shut=True)
    except NoEquilibriumError:
        return None


def _moment(crowd: Sequence[Place], upright: Sequence[Place]) -> float:
    """How far the crowd's moment across is from the one in their places [kg m, positive to port]."""
    return PERSON * float(sum(p.centre[1] for p in crowd) - sum(p.centre[1] for p in upright))


def _row(
    boat: Boat, upright: BoatState | None, heeled: BoatState | None, sign: float, moment: float
) -> dict[str, object]:
    """`sign` is +1 to port: heel is counted toward the side."""
    if upright is None or heeled is None:
        return {"status": SINKS, "moment_kg_m": abs(moment)}
    return _figures(boat, upright, heeled.status, heeled.plane, heeled.marks, sign, abs(moment))


def _pushed(boat: Boat, upright: BoatState | None, sign: float, moment: float) -> dict[str, object]:
    """As `_row`, with a moment added instead of people moved."""
    if upright is None:
        return {"status": SINKS, "moment_kg_m": moment}
    many = float_added(upright.loading, [[0.0, 0.0, sign * moment, 0.0]])
    names = list(upright.loading.marks)
    heights = dict(zip(names, (float(h) for h in many.heights(names)[0]), strict=True))
    normals, offsets = many.states.plane
    return _figures(boat, upright, str(many.states.status[0]), (normals[0], offsets[0]), heights, sign, moment)


def _figures(
    boat: Boat,
    upright: BoatState,
    status: str,
    plane: tuple[np.ndarray, float],
    heights: Mapping[str, float],
    sign: float,
    moment: float,
) -> dict[str, object]:
    boat_marks = upright.loading.marks
    watched = [name for name in boat_marks if boat_marks[name].kind not in NOT_WATCHED]
    least = min(watched, key=lambda n: heights[n], default=None)
    return {
        "status": status,
        "moment_kg_m": moment,
        "heel_deg": -sign * float(np.degrees(np.arctan2(plane[0][1], plane[0][2]))),
        "upright_deg": -sign * float(upright.heel),
        "freeboard_mm": 1000 * least_freeboard(boat, *plane).height,
        "upright_freeboard_mm": 1000 * least_freeboard(boat, *upright.plane).height,
        "least_mark": least or "",
        "least_mm": 1000 * heights[least] if least else np.nan,
    }
