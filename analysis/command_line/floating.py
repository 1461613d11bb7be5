"""`float`: each plan in each condition; one line a case, or every mark of the one case asked for."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from analysis.command_line import figures
from analysis.command_line.answer import title
from analysis.command_line.choosing import choose_conditions, choose_marks, choose_plans
from analysis.command_line.layout import paragraph, table
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.report.sections import Grid, height_cell, height_unit
from analysis.studies.floats import Case, float_case
from analysis.studies.plans import name_of
from analysis.studies.words import attitude, capital
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.limits import STANDING_CARE, say_list
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
    lines = title(found.boat, columns)
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
    cases = [figures.of_case(plan, case) for (plan, _), case in found.cases.items()]
    sunk = [figures.of_sunk(plan, condition, sinks) for (plan, condition), sinks in found.sunk.items()]
    marks = [row for (plan, _), case in found.cases.items() for row in figures.of_marks(plan, case, found.marks)]
    return figures.of_boat(found.boat) | {"cases": [*cases, *sunk], "marks": marks}


def _one_line_each(found: Floated, columns: int, system: str) -> list[str]:
    lines: list[str] = []
    for plan in found.plans:
        rows, wet = [], []
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
            if case.under:
                wet.append(f"{condition} ({_where(case)})")
        lines += ["", *paragraph(plan.upper(), columns)]
        if wet:
            said = "Water comes in; the figures hold only while the openings are plugged"
            lines += paragraph(f"{said}: {'; '.join(wet)}.", columns)
        lines += table(Grid(("", "weight", "trim", "heel", f"lowest mark, {height_unit(system)}"), tuple(rows)), columns)
    return [*lines, "", *_care(columns, "All marks of one case: name one plan and one condition.")]


def _where(case: Case) -> str:
    return f"{say_list(case.under)} under" + (f": into the {say_list(case.entered)}" if case.entered else "")


def _one_case(found: Floated, columns: int, system: str) -> list[str]:
    (plan,), (condition,) = found.plans, found.conditions
    lines = ["", f"{plan}, {condition}"]
    case = found.cases.get((plan, condition))
    if case is None:
        return [*lines, *paragraph(f"{capital(str(found.sunk[plan, condition]))}.", columns), *_care(columns)]
    for text in case.state.limits_in(system):
        lines += paragraph(text, columns)
    lines += ["", *paragraph(f"{say_mass(float(case.shut.mass), system)} in all, {attitude(case)}.", columns)]
    rest = len(case.state.rounds) > 1
    lowest_first = sorted(case.marks, key=lambda name: case.heights_shut[name])
    head = ("", "openings shut", "open to the sea") if rest else ("", "openings shut")
    rows = []
    for name in lowest_first:
        cells = [height_cell(case.heights_shut[name], system)]
        cells += [height_cell(case.heights[name], system)] if rest else []
        rows.append((name, *cells))
    lines += ["", f"{capital(height_unit(system))} above or under water, the lowest first"]
    return [*lines, *table(Grid(head, tuple(rows)), columns)]


def _marks_asked_for(found: Floated, columns: int, system: str) -> list[str]:
    assert found.marks is not None
    lines: list[str] = []
    for plan in found.plans:
        lines += ["", *paragraph(plan.upper(), columns)]
        for condition in found.conditions:
            case = found.cases.get((plan, condition))
            lines += paragraph(f"{condition}: {_said(case, found.marks, system)}", columns, hang="    ")
    return [*lines, "", *_care(columns)]


def _said(case: Case | None, marks: Sequence[str], system: str) -> str:
    """The marks asked for in one case; what lets water in comes before any figure."""
    if case is None:
        return "she sinks."
    if case.shut.status != "floats":
        return f"she {case.shut.status}."
    there = [name for name in marks if name in case.marks]
    missing = [name for name in marks if name not in case.marks]
    said = [f"{name} {say_height(case.heights_shut[name], system)}" for name in there]
    if case.entered:
        opened = [f"{name} {say_height(case.heights[name], system)}" for name in there]
        said = [f"{_where(case)}; shut: {', '.join(said)}", f"open to the sea: {', '.join(opened)}"] if there else said
    elif case.under:
        said = [f"{_where(case)}, not valid beyond that", *said]
    if missing:
        said.append(f"{say_list(missing)} not there in this plan")
    return f"{'; '.join(said)}."


def _care(columns: int, *first: str) -> list[str]:
    return paragraph(" ".join([*first, *STANDING_CARE]), columns)
