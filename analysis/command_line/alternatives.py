"""`alternatives`: two to six plans side by side in the load conditions, with weight, trailer, hours and cost."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from analysis.command_line import records
from analysis.command_line.choosing import choose_conditions, mark_or_kind
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.freedom_words import choose_alternatives
from analysis.command_line.mend import settings_record
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.report.alternatives import alternatives_sections
from analysis.studies.alternatives import Alternatives, side_by_side
from analysis.studies.mend_words import alternatives_finding
from hullcalc.boats.folder import read_boat
from hullcalc.errors import InputError


def run(options: Namespace) -> Outcome:
    """The tables, the sheet to sign, and at --out the picture."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    chosen = choose_alternatives(boat, options.plan, options.units)
    conditions = choose_conditions(boat, options.condition) if options.condition else None
    at = mark_or_kind(boat, chosen[0].packages, options.mark)
    if at is None:
        raise InputError(f"{boat.name}: no sole is marked; say with --mark which mark or kind of mark to compare")
    found = side_by_side(boat, chosen, conditions, at)
    system = options.units

    def draw() -> Any:
        from analysis.figures.alternatives import alternatives_figure  # here: pictures take a while to import

        return alternatives_figure(found, system=system)

    return told(
        boat,
        [f"{alternatives_finding(found, system)}."],
        alternatives_sections(found, system),
        _figures(found),
        picture_at(options.out, ending, draw),
    )


def _figures(found: Alternatives) -> dict[str, Any]:
    """The same for programs: SI, hours in h, money in the currency of the boat."""
    return records.of_boat(found.boat) | {
        "finding": alternatives_finding(found),
        "watched": found.at,
        "currency": found.boat.currency,
        "alternatives": [
            {"packages": sorted(one.packages), "settings": settings_record(one.settings)}
            | {key: row[key] if key == "alternative" else records.number(row[key]) for key in row.index}
            for one, (_, row) in zip(found.alternatives, found.summary.iterrows(), strict=True)
        ],
        "cases": [
            {"alternative": row["alternative"], "condition": row["condition"], "status": row["status"]}
            | ({} if row["status"] == "sinks" else {
                "lowest_mark": row["at_mark"],
                "lowest_m": records.number(row["at_mm"] / 1000),
                "trim_deg": records.number(row["trim_deg"]),
                "heel_deg": records.number(row["heel_deg"]),
                "mass_kg": records.number(row["mass_kg"]),
                "openings_under": list(found.cases[row["alternative"], row["condition"]].under),
            })
            for _, row in found.table.iterrows()
        ],
        "highest": {condition: list(found.best(condition)) for condition in found.conditions},
    }  # fmt: skip
