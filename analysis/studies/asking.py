"""What must a naval architect be asked? The reasons that her figures give, those only people can give, what to send.

The tool decides none of them. A reason names the figure and where it comes from; published figures are yardsticks and
bind no private boat unless local rules say so.

Sources: 33 CFR 183.21 and 183.201 (labels and flotation of boats under 20 ft, read in second hand) and 183.3 (a bracket
is no part of the length); 46 CFR 144.315 (when weights are to be surveyed anew); the UK code for small commercial
vessels, 11.4 (heel with everybody to one side). That a pod, a new tank or less GM is worth asking about is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from analysis.studies.crowding import UK_HEEL, everyone_to_one_side
from analysis.studies.floats import Case, float_case
from analysis.studies.loads import YARDSTICK, changes_in_all
from analysis.studies.plans import AS_FOUND, name_of
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.limits import say_list
from hullcalc.boats.presence import present
from hullcalc.errors import InputError, NoEquilibriumError
from hullcalc.units import factor, say_heel, say_height, say_mass, say_position, say_volume

LABEL_LENGTH = 20 * factor("ft", "length")  # m
LESS_GM = 0.1  # of the GM as found

PEOPLE_SAY = (
    "She will carry people for money, or be hired out.",
    "She has a capacity label or a design category that is to stay true.",
    "The cockpit or the deck is closed or opened, a cabin added, a top closed in with curtains or glass.",
    "The hull is made longer, its bottom changed, a bulkhead or a stringer taken out.",
    "More power than the plate allows.",
    "Foam that was there to float her is taken out, or nobody knows what it was for.",
    "She will tow, dive or rescue, or work in surf, on bars or offshore.",
)
TO_SEND = (
    "The boat's folder with all its tables: hull, ledger, marks, tanks, people, conditions, readings.",
    "The page with everything on it: report FOLDER --out FILE.pdf --with all.",
    "Every height as figures: float FOLDER --json FILE.",
    "How she was weighed and taped, by whom, with the raw readings, and photographs of her afloat as found.",
)


@dataclass(frozen=True)
class Reason:
    """Why to ask: a few words, and the figures behind them."""

    short: str
    figures: str


@dataclass(frozen=True, eq=False)
class Asking:
    """What speaks for asking a naval architect about one plan."""

    boat: Boat
    plan: str
    conditions: tuple[str, ...]  # those she was floated in
    reasons: tuple[Reason, ...]
    not_looked_at: tuple[str, ...]  # what the tables are too thin for


def what_to_ask(boat: Boat, plan: AnyPlan, system: str = "metric") -> Asking:
    """The reasons that the figures of a plan give in the boat's own conditions that hold nothing open.

    Raises
    ------
    InputError
        If the boat has no condition to float in.
    """
    conditions = [name for name, condition in boat.conditions.items() if not condition.open]
    if not conditions:
        raise InputError(
            f"{boat.name}: has no load condition to float in; write a row in conditions.csv, such as light"
        )
    cases: list[Case] = []
    sunk = []
    for condition in conditions:
        try:
            cases.append(float_case(boat, plan, condition))
        except NoEquilibriumError as sinks:
            sunk.append(Reason("she sinks", f"{condition}, short of {say_mass(sinks.short_by_kg, system)} of buoyancy"))
    crowd, missing = _crowd(boat, plan)
    reasons = [
        *sunk, *_wet(cases, system), *_upright(cases), *crowd, *_less_gm(boat, cases, system),
        *_handled(boat, plan, system), *_pods(boat, plan, cases, system), *_fuel(boat, plan, system),
        *_short(boat, system),
    ]  # fmt: skip
    return Asking(boat, name_of(boat, plan), tuple(conditions), tuple(reasons), missing)


def _wet(cases: list[Case], system: str) -> Iterator[Reason]:
    """Openings under water at rest, by condition."""
    wet = [case for case in cases if case.under]
    if wet:
        said = []
        for case in wet:
            deepest = min(case.under, key=lambda name: case.heights_shut[name])
            said.append(f"{case.condition} ({deepest} {say_height(case.heights_shut[deepest], system)})")
        yield Reason("an opening lies under water at rest", say_list(said))


def _upright(cases: list[Case]) -> Iterator[Reason]:
    for case in cases:
        if case.shut.status != "floats":
            rests = say_heel(float(case.shut.heel))
            yield Reason("she does not stay upright", f"{case.condition}, comes to rest at {rests}")


def _crowd(boat: Boat, plan: AnyPlan) -> tuple[list[Reason], tuple[str, ...]]:
    """Everybody to one side against the published heel; what the tables do not say."""
    try:
        table = everyone_to_one_side(boat, {"": plan}).at_side
    except InputError as unknown:
        return [], (f"Everybody to one side: {unknown}",)
    if not len(table) or "heel_deg" not in table or table["heel_deg"].isna().all():
        return [], ("Everybody to one side: she does not float so loaded, or seats.csv has too few places",)
    row = table.loc[table["heel_deg"].idxmax()]
    if row["heel_deg"] <= UK_HEEL:
        return [], ()
    return [
        Reason(
            "she leans far with everybody to one side",
            f"{row['people']} people to {row['side']}: {row['heel_deg']:.1f}° to that side, outside the {UK_HEEL:.0f}° "
            "of the UK code for small commercial vessels, 11.4, which binds no private boat",
        )
    ], ()


def _less_gm(boat: Boat, cases: list[Case], system: str) -> Iterator[Reason]:
    """The condition in which GM has fallen most against the boat as found in the same load."""
    falls = []
    for case in cases:
        try:
            before = float(float_case(boat, AS_FOUND, case.condition).shut.gm_transverse)
        except NoEquilibriumError:
            continue
        now = float(case.shut.gm_transverse)
        if before > 0 and now < (1 - LESS_GM) * before:
            falls.append((now / before, case.condition, before, now))
    if falls:
        _, condition, before, now = min(falls)
        yield Reason(
            "she resists small heels less than as found",
            f"GM {_metres(now, system)} in {condition}, against {_metres(before, system)}, liquids free",
        )


def _metres(length: float, system: str) -> str:
    said = say_position(abs(length), "z", system).removesuffix(" above the keel line")
    return f"minus {said}" if length < 0 else said


def _handled(boat: Boat, plan: AnyPlan, system: str) -> Iterator[Reason]:
    if not boat.packages_on(plan):
        return
    changes = changes_in_all(boat, plan)
    if changes["reweigh"]:
        yield Reason(
            "she is another boat by weight, so weigh her again",
            f"{say_mass(changes['handled_kg'], system)} handled, {100 * changes['handled_share']:.0f} % of the boat as "
            f"found; LCG moved {100 * changes['lcg_shift_share']:.1f} % of her length. {YARDSTICK}",
        )


def _pods(boat: Boat, plan: AnyPlan, cases: list[Case], system: str) -> Iterator[Reason]:
    """Bodies beside the hull that carry her, at their most over the conditions."""
    for name, pod in present(boat.solids, boat.packages_on(plan)).items():
        if pod.inside or not cases:
            continue
        lift = max(float(boat.water_density * pod.solid.cut(*case.shut.plane).volume) for case in cases)
        if lift > 0:
            yield Reason(
                "she leans on a body outside her hull",
                f"{name} carries up to {say_mass(lift, system)}: its strength, its fastening, and what a leak does",
            )


def _fuel(boat: Boat, plan: AnyPlan, system: str) -> Iterator[Reason]:
    """Fuel tanks that the refit brings or moves."""
    tanks = present(boat.tanks, boat.packages_on(plan)).values()
    new = [tank for tank in tanks if tank.use == "fuel" and tank.presence.brought_by]
    if new:
        named = say_list([f"{tank.name}, {say_volume(float(tank.solid.volume), system)}" for tank in new])
        yield Reason(
            "a fuel tank is new or stands elsewhere",
            f"{named}: ventilation, venting, hoses and fastening by local fuel-system rules and a qualified person",
        )


def _short(boat: Boat, system: str) -> Iterator[Reason]:
    length = float(np.ptp(boat.hull.solid.bounds[:, 0]))
    if length < LABEL_LENGTH:
        yield Reason(
            "she is under 20 ft",
            f"{_metres(length, system)} over the deck, brackets not counted (33 CFR 183.3): in the United States label "
            "and foam of boats under 20 ft were worked out for the engine and weights she had",
        )
