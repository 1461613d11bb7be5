"""`float`: each plan in each condition; one line a case, or every mark of the one case asked for."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from analysis.command_line import records
from analysis.command_line.answer import title
from analysis.command_line.choosing import choose_conditions, choose_marks, choose_plans
from analysis.command_line.layout import paragraph, table
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.report.parts import Grid, height_cell, height_unit, mark_cell, say_metres
from analysis.studies.floats import Case, float_case
from analysis.studies.plans import name_of
from analysis.studies.words import attitude, capital
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.errors import NoEquilibriumError
from hullcalc.units import say_heel, say_height, say_mass, say_trim


@dataclass(frozen=True, eq=False)
class Floated:
    """The cases asked for, by (plan as typed, condition), and for those that sink the error that says so."""

    boat: Boat
    plans: Sequence[str]
    conditions: Sequence[str]
    marks: Sequence[str] | None
    cases: dict[tuple[str, str], Case] = field(default_factory=dict)
    sunk: dict[tuple[str, str], NoEquilibriumError] = field(default_factory=dict)


def run(options: Namespace) -> Outcome:
    """Every case asked for."""
    found = float_all(options)
    columns = width()
    lines = [*title(found.boat, columns), "", *paragraph(finding(found, options.units), columns)]
    if found.marks is not None:
        lines += _marks_asked_for(found, columns, options.units)
    elif len(found.plans) * len(found.conditions) == 1:
        lines += _one_case(found, columns, options.units)
    else:
        lines += _one_line_each(found, columns, options.units)
    return Outcome(lines, floated_figures(found))


def float_all(options: Namespace) -> Floated:
    """Read the boat and float every plan in every condition that was asked for."""
    boat = read_boat(options.folder)
    plans = choose_plans(boat, options.plan)
    conditions = choose_conditions(boat, options.condition)
    found = Floated(boat, list(plans), conditions, choose_marks(boat, options.mark))
    for name, plan in plans.items():
        for condition in conditions:
            try:
                found.cases[name, condition] = _floated(boat, plan, condition, options.shut)
            except NoEquilibriumError as sinks:
                found.sunk[name, condition] = sinks
    return found


def _floated(boat: Boat, plan: AnyPlan, condition: str, shut: bool) -> Case:
    if not shut:
        return float_case(boat, plan, condition)
    state = boat.float(plan, condition, shut=True)
    return Case(boat, name_of(boat, plan), boat.packages_on(plan), condition, state)


def floated_figures(found: Floated) -> dict[str, Any]:
    """Each case and, in `marks`, each plan x condition x mark."""
    cases = [records.of_case(plan, case) for (plan, _), case in found.cases.items()]
    sunk = [records.of_sunk(plan, condition, sinks) for (plan, condition), sinks in found.sunk.items()]
    marks = [row for (plan, _), case in found.cases.items() for row in records.of_marks(plan, case, found.marks)]
    return records.of_boat(found.boat) | {"cases": [*cases, *sunk], "marks": marks}


def finding(found: Floated, system: str) -> str:
    """Where each plan's lowest mark stands at its worst in the cases asked for, in one sentence."""
    parts = []
    for plan in found.plans:
        here = {condition: case for (name, condition), case in found.cases.items() if name == plan}
        lost = [f"{c} (sinks)" for name, c in found.sunk if name == plan]
        lost += [f"{c} ({case.shut.status})" for c, case in here.items() if case.shut.status != "floats"]
        if lost:
            parts.append(f"{plan}, does not float in {' and '.join(lost)}")
            continue
        heights = {
            (condition, mark): case.heights_shut[mark]
            for condition, case in here.items()
            for mark in (case.watched() if found.marks is None else found.marks)
            if mark in case.marks and case.marks[mark].kind != "draught"
        }
        if heights:
            condition, mark = min(heights, key=lambda key: heights[key])
            where = f" ({condition})" if len(found.conditions) > 1 else ""
            parts.append(f"{plan}, {mark} {say_height(heights[condition, mark], system)}{where}")
    least = "Lowest mark" if found.marks is None else "Lowest of the marks asked for"
    worst = "at the worst of these loads" if len(found.conditions) > 1 else f"in {found.conditions[0]}"
    return f"{least} {worst}: {'; '.join(parts)}." if parts else ""


def _one_line_each(found: Floated, columns: int, system: str) -> list[str]:
    lines: list[str] = []
    for plan in found.plans:
        rows = []
        for condition in found.conditions:
            case = found.cases.get((plan, condition))
            if case is None:
                short = say_mass(found.sunk[plan, condition].short_by_kg, system)
                rows.append((condition, "", "sinks", f"short of {short}", ""))
                continue
            least = next(iter(case.watched()), None)
            lowest = f"{least} {height_cell(case.heights_shut[least], system)}" if least else ""
            state = case.shut
            if state.status != "floats":
                rows.append((condition, say_mass(float(state.mass), system), str(state.status), "", ""))
                continue
            trim, heel = say_trim(float(state.trim)), say_heel(float(state.heel))
            rows.append((condition, say_mass(float(state.mass), system), trim, heel, lowest))
        lines += ["", *paragraph(plan.upper(), columns), *_wet(found, plan, columns)]
        lines += table(
            Grid(("", "weight", "trim", "heel", f"lowest mark, {height_unit(system)}"), tuple(rows)), columns
        )
    return [*lines, "", *_care(columns, "All marks of one case: name one plan and one condition.")]


def _one_case(found: Floated, columns: int, system: str) -> list[str]:
    (plan,), (condition,) = found.plans, found.conditions
    lines: list[str] = []
    case = found.cases.get((plan, condition))
    if case is None:
        return ["", *paragraph(f"{capital(str(found.sunk[plan, condition]))}.", columns), *_care(columns)]
    for text in case.state.limits_in(system):
        lines += paragraph(text, columns)
    lines = ["", *lines] if lines else []
    gm = say_metres(float(case.shut.gm_transverse), system)
    said = f"{say_mass(float(case.shut.mass), system)} in all; {attitude(case)}; GM {gm}, liquids free."
    lines += ["", *paragraph(said, columns)]
    rest = len(case.state.rounds) > 1
    lowest_first = sorted(case.marks, key=lambda name: case.heights_shut[name])
    head = ("", "openings shut", "open to the sea") if rest else ("", "openings shut")
    rows = []
    for name in lowest_first:
        cells = [mark_cell(case, name, system)]
        cells += [mark_cell(case, name, system, case.heights)] if rest else []
        rows.append((name, *cells))
    lines += ["", f"{capital(height_unit(system))} above or under water, the lowest first"]
    return [*lines, *table(Grid(head, tuple(rows)), columns)]


def _marks_asked_for(found: Floated, columns: int, system: str) -> list[str]:
    assert found.marks is not None
    lines: list[str] = []
    for plan in found.plans:
        rows, blank = [], False
        for condition in found.conditions:
            case = found.cases.get((plan, condition))
            if case is None or case.shut.status != "floats":
                status = "sinks" if case is None else str(case.shut.status)
                rows.append((condition, status, *[""] * (len(found.marks) - 1)))
                continue
            rows.append((condition, *(mark_cell(case, name, system) for name in found.marks)))
            blank |= any(name not in case.marks for name in found.marks)
            if case.entered:
                let_in = (mark_cell(case, name, system, case.heights) for name in found.marks)
                rows.append(("  with the sea let in", *let_in))
        lines += ["", *paragraph(plan.upper(), columns), *_wet(found, plan, columns)]
        lines += table(Grid(("", *found.marks), tuple(rows)), columns)
        lines += ["Left blank: no such mark in this plan."] if blank else []
    said = f"{capital(height_unit(system))} above or under water, openings shut unless said."
    return ["", said, *lines, "", *_care(columns)]


def _wet(found: Floated, plan: str, columns: int) -> list[str]:
    """Where an opening of a plan is under water: said before any figure."""
    wet = [c for c in found.conditions if (case := found.cases.get((plan, c))) is not None and case.under]
    if not wet:
        return []
    return paragraph(f"Water comes in, and the figures hold only while plugged: {'; '.join(wet)}.", columns)


def _care(columns: int, *first: str) -> list[str]:
    return paragraph(" ".join([*first, *STANDING_CARE]), columns)
