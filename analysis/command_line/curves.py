"""`curves`: hydrostatic table over draughts, and righting arms up to the first opening under water."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

import pandas as pd

from analysis.command_line import records
from analysis.command_line.answer import title
from analysis.command_line.byhand import chosen_condition, chosen_plan
from analysis.command_line.choosing import known
from analysis.command_line.drawn import as_bytes, ending_of
from analysis.command_line.layout import paragraph, section
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.report.curves import curve_sections
from analysis.studies.curves import Curves, curves
from hullcalc.boats.folder import read_boat
from hullcalc.boats.limits import STANDING_CARE


def run(options: Namespace) -> Outcome:
    """Table and arms; the picture at --out."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    mark = options.mark and known(options.mark, boat.marks, "mark")
    found = curves(boat, chosen_plan(boat, options.plan), chosen_condition(boat, options.condition), mark)
    columns = width()
    lines = [*title(boat, columns), "", f"{found.plan}, {found.condition}"]
    for part in curve_sections(found, options.units):
        lines += section(part, columns)
    files = []
    if ending:
        from analysis.figures.curves import curves_figure  # here: pictures take a while to import

        files.append((options.out, as_bytes(lambda: curves_figure(found, system=options.units), ending)))
        lines.append(f"Written: {options.out}")
    return Outcome([*lines, "", *paragraph(" ".join(STANDING_CARE), columns)], figures(found), files)


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
