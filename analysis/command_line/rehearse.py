"""`rehearse`: which cans, where, make the uncut boat float as a plan will; a sheet to print, and the deck."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from typing import Any

from analysis.command_line import records
from analysis.command_line.choosing import choose_conditions, condition_or_first, first_refit
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.command_line.typed import typed_figure, typed_place
from analysis.report.rehearsal import rehearsal_sections
from analysis.studies.mend_words import rehearsal_finding
from analysis.studies.rehearsal import CAN_OVER_SOLE, Rehearsal, rehearse
from analysis.studies.where_words import say_place
from hullcalc.boats.boat import Boat
from hullcalc.boats.folder import read_boat
from hullcalc.errors import InputError


def run(options: Namespace) -> Outcome:
    """The sheet, and at --out the deck with its cans."""
    ending = ending_of(options.out)
    boat, system = read_boat(options.folder), options.units
    plan = first_refit(boat, options.plan)
    condition = condition_or_first(boat, options.condition)
    aboard = choose_conditions(boat, [options.aboard])[0] if options.aboard else None
    can = typed_figure("--can", options.can, "mass", system)
    each = typed_figure("--each", options.each, "number")
    if each != int(each) or each < 1:
        raise InputError(f"--each {options.each!r}: expected a whole number of cans, 1 or more")
    places = _places(boat, options.at, system) if options.at else None
    found = rehearse(boat, plan, condition, aboard, places, can, int(each))

    def draw() -> Any:
        from analysis.figures.rehearsal import rehearsal_figure  # here: pictures take a while to import

        return rehearsal_figure(found, system=system)

    return told(boat, (), rehearsal_sections(found, system), _figures(found), picture_at(options.out, ending, draw))


def _places(boat: Boat, typed: Sequence[str], system: str) -> dict[str, tuple[float, float, float]]:
    """Places for cans as typed, x and if need be y and z; else on the centreline, standing on the sole."""
    sole = [float(mark.point[2]) for mark in boat.marks_in(()).values() if mark.kind == "sole"]
    usual = min(sole) + CAN_OVER_SOLE if sole else float(boat.as_found.centre[2])
    low, high = boat.hull.solid.bounds
    found = {}
    for text in typed:
        given = typed_place("--at", text, system)
        x, y, z = (*given, *(0.0, usual)[len(given) - 1 :])
        if not (low[0] <= x <= high[0] and low[1] <= y <= high[1]):
            raise InputError(f"--at {text!r}: that is off the boat; x counts forward of the transom, y to port")
        found[say_place((x, y), system)] = (x, y, z)
    return found


def _figures(found: Rehearsal) -> dict[str, Any]:
    """The same for programs: SI."""
    return records.of_boat(found.boat) | {
        "finding": rehearsal_finding(found),
        "plan": found.target.plan,
        "condition": found.target.condition,
        "uncut_boat": found.uncut.condition,
        "exact_kg": records.number(found.load_kg),
        "exact_place_m": [records.number(v) for v in found.load_place],
        "plan_is_heavier_by_kg": records.number(found.plain_kg),
        "centred_x_m": records.number(found.plain_x),
        "carried_by_bodies_the_uncut_boat_has_not_kg": records.number(found.lift_kg),
        "can_kg": records.number(found.can_kg),
        "cans": [
            {"x_m": records.number(row["x_m"]), "y_m": records.number(row["y_m"]), "z_m": records.number(row["z_m"]),
             "cans": int(row["cans"])}
            for _, row in found.cans.iterrows()
        ],
        "marks": [
            {"mark": row["mark"]}
            | {f"{key}_m": records.number(row[f"{key}_mm"] / 1000) for key in ("plan", "uncut", "exact", "cans", "off")}
            for _, row in found.marks.iterrows()
        ],
        "not_on_the_uncut_boat": list(found.other_marks),
    }  # fmt: skip
