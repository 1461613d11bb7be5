"""The refit package by package, from a light change to a large one: where the hand parts from the float.

Each stage is compared twice: by hand from the start, with the figures of the boat the refit starts from, and by hand
from the stage before, the figures taken anew. Heights are along the water's normal, all spaces shut.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from analysis.studies.by_hand.change import Afloat, ChangeByHand, afloat, compare, end_points
from analysis.studies.by_hand.weights import require_upright
from analysis.studies.plans import AS_FOUND, name_of, short_package, way_between
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.errors import InputError
from hullcalc.floating.equilibrium import float_at_rest


@dataclass(frozen=True, eq=False)
class Stages:
    """The refit package by package, light change to large: each from the start and from the stage before."""

    changes: Mapping[str, ChangeByHand]  # from the start, by what is on
    steps: Mapping[str, ChangeByHand]  # from the stage before
    without_bodies: ChangeByHand | None  # the whole, the bodies that come with it left out

    @property
    def table(self) -> pd.DataFrame:
        """A row a stage: kg, trim changes in degrees by hand and exactly, errors at the end points [mm]."""
        rows = [_stage_row(name, change) for name, change in self.changes.items()]
        for row, step in zip(rows, self.steps.values(), strict=True):
            row["step_worst_mm"] = step.worst_mm
        if self.without_bodies is not None:
            row = _stage_row(f"{rows[-1]['stage']}, no bodies added", self.without_bodies)
            rows.insert(-1, row | {"step_worst_mm": np.nan})
        return pd.DataFrame(rows)


def _stage_row(name: str, change: ChangeByHand) -> dict[str, object]:
    was = float(change.before.state.trim)
    errors = change.table.set_index("point")["hand_error_mm"]
    aft, forward = end_points(change.after.boat, change.after.loading)
    return {
        "stage": name,
        "mass_kg": change.mass,
        "moment_kgm": float(change.moment[0]),
        "hand_deg": change.from_before.trim - was,
        "table_deg": change.from_table.trim - was,
        "exact_deg": change.exact.trim - was,
        "aft_error_mm": float(errors[aft]),
        "forward_error_mm": float(errors[forward]),
        "worst_mm": change.worst_mm,
    }


def stages(boat: Boat, plan: AnyPlan, condition: AnyCondition, start: AnyPlan = AS_FOUND) -> Stages:
    """Put the packages of a plan on one after the other, in the order of the ledger, each compared by hand.

    Raises InputError where the plan changes nothing.
    """
    way = way_between(boat, start, plan)
    if not way.steps:
        raise InputError(f"{name_of(boat, plan)} changes nothing of {name_of(boat, start)}; choose a plan of a refit")
    floats, names = [afloat(boat, start, condition)], []
    for k, step in enumerate(way.steps):
        floats.append(afloat(boat, way.packages((1 << (k + 1)) - 1), condition))
        names.append(short_package(step.name) if k == 0 else f"to {short_package(step.name)}")
    changes = {name: compare(floats[0], after) for name, after in zip(names, floats[1:], strict=True)}
    steps = {name: compare(a, b) for name, a, b in zip(names, floats[:-1], floats[1:], strict=True)}
    return Stages(changes, steps, _without_bodies(floats[0], floats[-1]))


def _without_bodies(before: Afloat, after: Afloat) -> ChangeByHand | None:
    """The whole change on the bodies of the boat before; None where it brings and takes none."""
    if {n: id(s) for n, s in before.loading.solids.items()} == {n: id(s) for n, s in after.loading.solids.items()}:
        return None
    loading = replace(after.loading, solids=before.loading.solids)
    state = float_at_rest(list(loading.solids.values()), loading.mass, loading.cg, loading.density, loading.tanks)
    require_upright(state, f"{after.plan} without added bodies, {after.condition}")
    return compare(before, replace(after, loading=loading, state=state))
