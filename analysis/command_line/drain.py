"""`drain`: which way rain runs on the sole at rest, where it stands, and what it does if it stays."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from analysis.command_line import records
from analysis.command_line.choosing import condition_or_heaviest, last_plan
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.command_line.typed import typed_figure
from analysis.report.drain import drain_section, on_sole_section
from analysis.studies.drain import STEPS, Drainage, OnTheSole, sole_drainage, water_on_sole
from analysis.studies.drain_words import drain_finding
from hullcalc.boats.folder import read_boat


def run(options: Namespace) -> Outcome:
    """Which way water runs, and where a cockpit is drawn what it does when it stays."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    _, plan = last_plan(boat, options.plan)
    condition = condition_or_heaviest(boat, plan, options.condition)
    asked = [typed_figure("--litres", text, "volume", options.units) for text in options.litres or ()]
    found = sole_drainage(boat, plan, condition)
    stays = water_on_sole(boat, plan, condition, asked or STEPS) if found.sole.space is not None or asked else None
    parts = [drain_section(found, options.units)]
    parts += [on_sole_section(stays, options.units)] if stays is not None else []
    undrawn = "Draw the cockpit in spaces.csv to see what water does that stays on her sole."

    def draw() -> Any:
        from analysis.figures.puddle import puddle_figure  # here: pictures take a while to import

        return puddle_figure(found, system=options.units)

    return told(
        boat,
        [f"{drain_finding(found, options.units)}."],
        parts,
        _figures(found, stays),
        picture_at(options.out, ending, draw),
        notes=[undrawn] if stays is None else (),
    )


def _figures(found: Drainage, stays: OnTheSole | None) -> dict[str, Any]:
    """The same for programs, SI."""
    case = found.case
    said = records.of_boat(case.boat) | {
        "finding": drain_finding(found),
        "plan": case.plan,
        "condition": case.condition,
        "sole_rises_forward_m_per_m": records.number(found.rise_forward),
        "sole_rises_to_port_m_per_m": records.number(found.rise_port),
        "drains_forward": found.forward,
        "lowest_corner": found.lowest,
        "drain": found.drain,
        "level_it_drains_to_m": None if found.level is None else records.number(found.level),
        "standing_m3": None if found.standing is None else records.number(found.standing),
        "corners": [
            {"corner": row["corner"], "x_m": records.number(row["x_m"]), "y_m": records.number(row["y_m"]),
             "height_above_water_m": records.number(row["height_mm"] / 1000),
             "water_depth_m": records.number(row["depth_mm"] / 1000)}
            for _, row in found.table.iterrows()
        ],
    }  # fmt: skip
    if stays is not None:
        said["water_on_the_sole"] = [
            {"volume_m3": records.number(row["litres"] / 1000), "mass_kg": records.number(row["kg"]),
             "lowest_mark_lower_m": records.number(row["lower_mm"] / 1000), "heel_deg": records.number(row["heel_deg"]),
             "trim_deg": records.number(row["trim_deg"]), "gm_m": records.number(row["gm_m"]),
             "gm_lost_to_its_free_surface_m": records.number(row["gm_lost_mm"] / 1000),
             "height_above_water_m": {name: records.number(row[name] / 1000) for name in stays.marks}}
            for _, row in stays.table.iterrows()
        ]  # fmt: skip
        said["brings_to_the_sea_m3"] = {name: records.number(volume) for name, volume in stays.under_at.items()}
    return said
