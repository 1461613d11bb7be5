"""Figures for programs: plain dictionaries, SI, the unit in each key; None where there is no figure.

Heights are along the water's normal, positive above water. `height_above_water_m` is at rest, with the spaces open
whose openings went under; `height_above_water_openings_shut_m` is with every space shut that is not held open.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

import pandas as pd

import hullcalc
from analysis.report.story import uncertainty_mm
from analysis.studies.attribution import ORDERS, RULE, Attribution
from analysis.studies.floats import Case, stern_height
from analysis.studies.mends import Mends
from hullcalc.boats.boat import Boat
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.boats.rounds import Round
from hullcalc.errors import NoEquilibriumError


def number(value: Any) -> float | None:
    """A float, or None where it is not finite; never minus zero."""
    value = float(value) + 0.0
    return value if math.isfinite(value) else None


def of_boat(boat: Boat) -> dict[str, Any]:
    """What every file says of the boat it is about."""
    return {
        "program": f"hullcalc {hullcalc.__version__}",
        "boat": boat.name,
        "title": boat.title,
        "invented": boat.invented,
        "water_density_kg_per_m3": number(boat.water_density),
        "axes": "x forward of the transom's lower end, y to port, z up",
        "signs": "trim positive bow up, heel positive to starboard down, heights positive above water",
        "care": list(STANDING_CARE),
    }


def of_weights(boat: Boat, plans: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Mass and centre of each plan without liquids in tanks, with standard uncertainties."""
    rows = []
    for name, plan in plans.items():
        weight, tally = boat.weight(plan), boat.tally(plan)
        rows.append(
            {"plan": name, "mass_kg": number(weight.mass), "u_mass_kg": number(weight.u_mass)}
            | _axes("{}cg_m", weight.centre)
            | _axes("u_{}cg_m", weight.u_centre)
            | {
                "removed_kg": number(tally.removed),
                "added_kg": number(tally.added),
                "handled_kg": number(tally.absolute),
            }
        )
    return rows


def _axes(key: str, values: Any) -> dict[str, float | None]:
    return {key.format(letter): number(value) for letter, value in zip("ltv", values, strict=True)}


def of_case(plan: str, case: Case) -> dict[str, Any]:
    """One plan in one condition: at rest, and round by round."""
    state = case.state
    return {
        "plan": plan,
        "packages": sorted(case.packages),
        "condition": case.condition,
        "status": str(state.status),
        "mass_kg": number(state.mass),
        **_axes("{}cg_m", state.cg),
        "trim_deg": number(state.trim),
        "heel_deg": number(state.heel),
        "water_above_keel_at_transom_m": number(stern_height(state)),
        "displaced_volume_m3": number(state.volume),
        "gm_transverse_m": number(state.gm_transverse),
        "gm_longitudinal_m": number(state.gm_longitudinal),
        "gm_transverse_liquids_frozen_m": number(state.gm_transverse + state.free_surface[0]),
        "openings_under": list(state.openings_under),
        "rests_between": list(state.rests_between),
        "rounds": [_of_round(one) for one in state.rounds],
        "liquids": [
            {"tank": liquid.name, "mass_kg": number(liquid.mass), "fill": number(liquid.fill)}
            for liquid in case.shut.liquids
        ],
        "limits": list(state.limits),
    }


def _of_round(one: Round) -> dict[str, Any]:
    normal, offset = one.state.plane
    return {
        "open_to_the_sea": list(one.opened),
        "openings_under": list(one.under),
        "trim_deg": number(one.state.trim),
        "heel_deg": number(one.state.heel),
        "gm_transverse_m": number(one.state.gm_transverse),
        "sea_normal": [number(component) for component in normal],
        "sea_offset_m": number(offset),
    }


def of_sunk(plan: str, condition: str, sinks: NoEquilibriumError) -> dict[str, Any]:
    """A plan and condition in which she sinks."""
    return {
        "plan": plan,
        "condition": condition,
        "status": "sinks",
        "short_by_kg": number(sinks.short_by_kg),
        "limits": [str(sinks)],
    }


def of_marks(plan: str, case: Case, names: Iterable[str] | None = None) -> list[dict[str, Any]]:
    """One row a mark of a case, in the order of the file."""
    wanted = set(case.marks if names is None else names)
    return [
        {
            "plan": plan,
            "condition": case.condition,
            "mark": name,
            "kind": mark.kind,
            "x_m": number(mark.point[0]),
            "y_m": number(mark.point[1]),
            "z_m": number(mark.point[2]),
            "height_above_water_m": number(case.heights[name]),
            "height_above_water_openings_shut_m": number(case.heights_shut[name]),
        }
        for name, mark in case.marks.items()
        if name in wanted
    ]


def of_change(change: Attribution) -> dict[str, Any]:
    """The change between two plans, by package and by item; metres, positive deeper."""
    shares = {name: f"{name}_mm" for name in ORDERS}
    return {
        "from_plan": change.start,
        "to_plan": change.plan,
        "condition": change.condition,
        "at": change.at,
        "rule": RULE,
        "deeper_m": number(change.total_mm / 1000),
        "packages": [
            {"package": row["package"]}
            | {f"deeper_{name}_m": number(row[column] / 1000) for name, column in shares.items()}
            for _, row in change.table.iterrows()
        ],
        "items": [
            {key: row[key] for key in ("package", "item", "kind")}
            | {"mass_kg": number(row["mass_kg"]), "deeper_m": number(row["mm"] / 1000)}
            for _, row in change.items.iterrows()
        ],
        "remainder_m": number(change.remainder_mm / 1000),
    }


def of_inputs(plan: str, mark: str, inputs: pd.DataFrame) -> dict[str, Any]:
    """How far the height of a mark may be off, and by which inputs; metres, one standard uncertainty of each."""
    return {
        "plan": plan,
        "mark": mark,
        "u_height_m": number(uncertainty_mm(inputs) / 1000),
        "inputs": [{"input": row["input"], "height_m": number(row["mm"] / 1000)} for _, row in inputs.iterrows()],
    }


def of_mends(mends: Mends) -> dict[str, Any]:
    """What each mend buys; metres, positive up."""
    return {
        "plan": mends.plan,
        "condition": mends.condition,
        "at": mends.at,
        "mends": [
            {
                "mend": row["mend"],
                "up_alone_m": number(row["alone_mm"] / 1000),
                "lost_if_left_out_m": number(row["left_out_mm"] / 1000),
                "height_above_water_m": number(row["at_mm"] / 1000),
                "lowest_mark": row["least_mark"],
                "lowest_mark_height_above_water_m": number(row["least_mm"] / 1000),
                "lowest_forward_mark": row["forward_mark"],
                "lowest_forward_mark_height_above_water_m": number(row["forward_mm"] / 1000),
                "sole_falls_aft_m": number(row["sole_fall_mm"] / 1000),
            }
            for _, row in mends.table.iterrows()
        ],
    }
