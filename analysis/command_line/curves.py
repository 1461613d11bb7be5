"""`curves`: hydrostatic table over draughts, and righting arms up to the first opening under water."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

import pandas as pd

from analysis.command_line import records
from analysis.command_line.choosing import condition_or_first, first_refit, known
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.report.curves import curve_sections
from analysis.studies.curves import Curves, curves, curves_finding
from hullcalc.boats.folder import read_boat


def run(options: Namespace) -> Outcome:
    """Table and arms; the picture at --out."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    mark = options.mark and known(options.mark, boat.marks, "mark")
    found = curves(boat, first_refit(boat, options.plan), condition_or_first(boat, options.condition), mark)

    def draw() -> Any:
        from analysis.figures.curves import curves_figure  # here: pictures take a while to import

        return curves_figure(found, system=options.units)

    files = picture_at(options.out, ending, draw)
    said = [f"{curves_finding(found)}."]
    return told(boat, said, curve_sections(found, options.units), figures(found), files)


def figures(found: Curves) -> dict[str, Any]:
    """The same figures for programs; arms past the first opening under water carry `valid` false."""
    righting = found.righting
    sides = {"starboard": righting.starboard, "port": righting.port}
    return records.of_boat(found.boat) | {
        "plan": found.plan,
        "condition": found.condition,
        "draught_mark": found.mark,
        "draught_m": records.number(found.draught),
        "trim_deg": records.number(found.state.trim),
        "hydrostatics": _rows(found.table),
        "righting_arms": _rows(found.arms),
        "sides": {
            name: None if side is None else {
                key: value if value is None or isinstance(value, str) else records.number(value)
                for key, value in vars(side).items()
            }
            for name, side in sides.items()
        },
        "limits": list(righting.limits),
    }  # fmt: skip


def _rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    return [
        {key: value if isinstance(value, str | bool) else records.number(value) for key, value in row.items()}
        for row in table.to_dict("records")
    ]
