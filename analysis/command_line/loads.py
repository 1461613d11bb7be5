"""`loads`: plans x load conditions; --condition opens some of them; --one-side has everybody at one side."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Any

import pandas as pd

from analysis.command_line import records
from analysis.command_line.choosing import choose_conditions, choose_plans
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import CARE, told
from analysis.report.loads import crowding_sections, load_sections
from analysis.report.one_load import one_load
from analysis.report.parts import Section
from analysis.studies.crowding import UK_HEEL, UK_HEEL_WITH_FREEBOARD, US_HEEL, everyone_to_one_side
from analysis.studies.floats import SINKS, Case, float_case
from analysis.studies.levelling import what_levels
from analysis.studies.loads import Loads, load_matrix, matrix_finding
from analysis.studies.opened import in_other_waters, trims, what_is_aboard
from hullcalc.boats.folder import read_boat
from hullcalc.boats.standard_conditions import StandardConditions, with_standard_conditions
from hullcalc.errors import InputError, NoEquilibriumError


def run(options: Namespace) -> Outcome:
    """The matrix, conditions opened, or everybody to one side."""
    wider = with_standard_conditions(read_boat(options.folder))
    plans = choose_plans(wider.boat, options.plan)
    if options.one_side and options.condition:
        raise InputError("--one-side is fully loaded by its own rule; ask for it without --condition")
    ending = ending_of(options.out)
    if ending and (options.one_side or options.condition):
        raise InputError("--out draws all loads; ask for it without --condition and --one-side")
    files: list[tuple[Path, bytes]] = []
    said: list[str] = []
    if options.one_side:
        parts, figures = _one_side(wider, plans, options.units)
    elif options.condition:
        parts, figures = _opened(wider, plans, options)
    else:
        loads = load_matrix(wider, plans)
        said = [f"{matrix_finding(loads)}."]
        parts, figures = load_sections(loads, options.units), _matrix(loads)
        if ending:
            files = picture_at(options.out, ending, lambda: _drawn(loads, options.units))
    care = "" if any(part.title == "Take care" for part in parts) else CARE
    return told(wider.boat, said, parts, records.of_boat(wider.boat) | figures, files, care)


def _matrix(loads: Loads) -> dict[str, Any]:
    lists = [{"condition": n, "list": s.source, "made_of": s.made_of} for n, s in loads.lists.items()]
    return {"cases": rows(loads.table), "changes": rows(loads.changes), "lists": lists, "missing": [*loads.missing]}


def _drawn(loads: Loads, system: str) -> Any:
    from analysis.figures.matrix import matrix_figure  # here: pictures take a while to import

    return matrix_figure(loads, system=system)


def _one_side(wider: StandardConditions, plans: dict[str, Any], system: str) -> tuple[list[Section], dict[str, Any]]:
    crowd = everyone_to_one_side(wider.boat, plans)
    figures = {
        "people": crowd.number, "side_to_side_m": crowd.side_to_side, "at_side": rows(crowd.at_side),
        "by_moment": rows(crowd.by_moment), "missing": [*crowd.missing],
        "published_deg": {"UK 11.4": [UK_HEEL, UK_HEEL_WITH_FREEBOARD], "46 CFR 178.330, from memory": US_HEEL},
    }  # fmt: skip
    return crowding_sections(crowd, system), figures


def _opened(
    wider: StandardConditions, plans: dict[str, Any], options: Namespace
) -> tuple[list[Section], dict[str, Any]]:
    parts: list[Section] = []
    figures: list[dict[str, Any]] = []
    for condition in choose_conditions(wider.boat, options.condition):
        for name, plan in plans.items():
            head = {"plan": name, "condition": condition}
            try:
                case = float_case(wider.boat, plan, condition)
            except NoEquilibriumError as sinks:
                parts.append(Section(f"{condition}, {name}", "", (f"{sinks}.",)))
                figures.append(head | {"status": SINKS, "short_by_kg": records.number(sinks.short_by_kg)})
                continue
            parts += one_load(case, options.units)
            figures.append(head | _case_figures(case))
    return parts, {"opened": figures}


def _case_figures(case: Case) -> dict[str, Any]:
    trim = trims(case)
    found: dict[str, Any] = {
        "status": case.shut.status,
        "aboard": rows(what_is_aboard(case)),
        "trim_keel_run_deg": records.number(trim.keel_run),
        "trim_between_draught_marks_mm": None if trim.between_marks is None else records.number(trim.between_marks),
        "trim_by_stripe_mm": None if trim.by_stripe is None else records.number(trim.by_stripe),
        "trim_from_looking_level_deg": None if trim.looks is None else records.number(trim.looks),
        "waters": rows(in_other_waters(case)),
    }
    if case.shut.status == "floats":
        try:
            levels = what_levels(case)
        except NoEquilibriumError:
            return found
        found |= {
            "heel_deg": records.number(levels.heel),
            "levelled_by_kg_m_to_port": records.number(levels.moment),
            "one_sided": rows(levels.lists),
            "movers": rows(levels.movers),
        }
    return found


def rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    """A table's rows, None where there is no figure."""
    return [{name: _plain(value) for name, value in row.items()} for row in table.to_dict("records")]


def _plain(value: Any) -> Any:
    if isinstance(value, str | bool):
        return value
    return None if pd.isna(value) else records.number(value)
