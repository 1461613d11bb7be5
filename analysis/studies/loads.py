"""Every plan in every load condition: the yard's own conditions and those made by published lists, in one table.

Figures are with every space shut that a condition does not hold open; what is under water is named. Beside it, what a
refit changes in all, as a figure against a published yardstick for weighing again. Heights in mm along the water's
normal, negative under water.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from analysis.studies.deck_edge import least_freeboard
from analysis.studies.floats import SINKS, Case, attitude_figures, float_case
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.limits import say_list
from hullcalc.boats.standard_conditions import Standard, StandardConditions, with_standard_conditions
from hullcalc.errors import InputError, NoEquilibriumError

# 46 CFR 144.315 (b), towing vessels, here only a yardstick: a deadweight survey is due when the sum of the absolute
# changes is above 2 % of the light displacement or the LCG has moved by more than 1 % of the length
AGGREGATE_LIMIT, SHIFT_LIMIT = 0.02, 0.01
YARDSTICK = "46 CFR 144.315 (towing vessels; a yardstick here, it does not bind her)"
OF_THE_YARD = "the yard's own"


@dataclass(frozen=True, eq=False)
class Loads:
    """Plans x conditions: `table` has a row a case, `changes` a row a plan but the one without packages.

    `boat` is the boat with the standard conditions beside her own; `cases` leaves out those that sink.
    """

    boat: Boat
    plans: Mapping[str, AnyPlan]
    conditions: tuple[str, ...]
    lists: Mapping[str, Standard]
    missing: tuple[str, ...]
    cases: Mapping[tuple[str, str], Case]
    table: pd.DataFrame
    changes: pd.DataFrame


def load_matrix(
    boat: Boat | StandardConditions,
    plans: Mapping[str, AnyPlan] | Iterable[str] | None = None,
    conditions: Iterable[str] | None = None,
) -> Loads:
    """Float each plan in each condition and tabulate.

    Parameters
    ----------
    boat : Boat or StandardConditions
        A boat gets the standard conditions beside her own first.
    plans : mapping of name to plan, or names, optional
        All of the boat's unless given.
    conditions : iterable of str, optional
        Her own and the standard ones, all of them unless given.

    Raises
    ------
    InputError
        If there is no plan or no condition to float, or one is not known.
    """
    wider = with_standard_conditions(boat) if isinstance(boat, Boat) else boat
    her = wider.boat
    named = plans if isinstance(plans, Mapping) else {name: name for name in (her.plans if plans is None else plans)}
    chosen = tuple(her.conditions if conditions is None else conditions)
    for what, there in (("plan", named), ("load condition", chosen)):
        if not there:
            raise InputError(f"{her.name}: no {what} was chosen; name at least one")
    cases: dict[tuple[str, str], Case] = {}
    rows = []
    for name, plan in named.items():
        for condition in chosen:
            listed = wider.lists.get(condition)
            head = {"plan": name, "condition": condition, "list": listed.source if listed else OF_THE_YARD}
            try:
                case = float_case(her, plan, condition)
            except NoEquilibriumError as sunk:
                rows.append(head | {"status": SINKS, "short_by_kg": sunk.short_by_kg})
                continue
            cases[name, condition] = case
            rows.append(head | _row(case))
    changes = pd.DataFrame([{"plan": n} | changes_in_all(her, p) for n, p in named.items() if her.packages_on(p)])
    lists = {name: wider.lists[name] for name in chosen if name in wider.lists}
    return Loads(her, named, chosen, lists, wider.missing, cases, pd.DataFrame(rows), changes)


def _row(case: Case) -> dict[str, Any]:
    state = case.shut
    row = attitude_figures(state) | {
        "gm_m": float(state.gm_transverse),
        "under": " + ".join(case.under),
    }
    for name, kinds in (("least", None), ("sole", ["sole"])):
        mark = next(iter(case.watched(kinds)), None)
        row |= {f"{name}_mark": mark or "", f"{name}_mm": 1000 * case.heights_shut[mark] if mark else np.nan}
    edge = least_freeboard(case.boat, *state.plane)
    return row | {"freeboard_mm": 1000 * edge.height, "freeboard_x_m": edge.x, "freeboard_side": edge.side}


def changes_in_all(boat: Boat, plan: AnyPlan) -> dict[str, Any]:
    """What a plan changes in all, without people and liquids, against the yardstick."""
    tally, found = boat.tally(plan), float(boat.as_found.mass)
    shift = float(boat.weight(plan).centre[0] - boat.as_found.centre[0])
    length = float(np.ptp(boat.hull.solid.bounds[:, 0]))
    return {
        "removed_kg": float(tally.removed),
        "added_kg": float(tally.added),
        "net_kg": float(tally.net),
        "handled_kg": float(tally.absolute),
        "handled_share": float(tally.absolute) / found,
        "lcg_shift_m": shift,
        "lcg_shift_share": abs(shift) / length,
        "reweigh": bool(tally.absolute > AGGREGATE_LIMIT * found or abs(shift) > SHIFT_LIMIT * length),
    }


def matrix_finding(loads: Loads) -> str:
    """In how many of the loads each plan has an opening or another mark under water."""
    many = len(loads.conditions)
    said = []
    for plan in loads.plans:
        rows = loads.table[loads.table["plan"] == plan]
        wet = int(((rows["least_mm"] < 0) | (rows["status"] == SINKS)).sum())
        said.append(f"{plan} in {wet or 'none'}")
    loads_said = "the one load" if many == 1 else f"the {many} loads"
    return f"A mark lies under water in this many of {loads_said}: {say_list(said)}"
