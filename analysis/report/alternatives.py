"""Alternatives side by side, and the sheet to sign, in sections."""

from __future__ import annotations

import math
from collections.abc import Sequence

from analysis.report.parts import Grid, Section, height_cell, height_unit, say_metres
from analysis.studies.alternatives import Alternatives
from analysis.studies.mend_words import alternatives_finding, say_hours, say_money, say_plans
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import capital, stem, the_plan
from hullcalc.boats.limits import say_list
from hullcalc.units import say_heel, say_mass, say_trim


def alternatives_sections(found: Alternatives, system: str = "metric") -> list[Section]:
    """Heights by condition, what each weighs and takes, where water comes in, and the lines to sign."""
    parts = [_heights(found, system), _takes(found, system), _water(found), _sign(found, system)]
    return parts


def _heights(found: Alternatives, system: str) -> Section:
    names = [one.name for one in found.alternatives]
    rows, attitude = [], []
    for condition in found.conditions:
        cells = []
        for name in names:
            case = found.cases.get((name, condition))
            row = found.table[(found.table["alternative"] == name) & (found.table["condition"] == condition)].iloc[0]
            cells.append(height_cell(row["at_mm"] / 1000, system) if case is not None else "sinks")
        best = found.best(condition)
        rows.append((condition, *cells, "all alike" if len(best) == len(names) else say_plans(best)))
        cases = [found.cases.get((name, condition)) for name in names]
        attitude.append((f"{condition}", *("" if c is None else say_trim(float(c.shut.trim)) for c in cases), ""))
        attitude.append(("", *("" if c is None else say_heel(float(c.shut.heel)) for c in cases), ""))
    head = ("", *names, "highest")
    return Section(
        "Side by side",
        f"lowest {found.at}, {height_unit(system)} above or under water, spaces shut",
        grids=(Grid(head, tuple(rows)), Grid(("trim and heel", *names, ""), tuple(attitude))),
    )


def _takes(found: Alternatives, system: str) -> Section:
    table = found.summary.set_index("alternative")
    names = list(table.index)
    currency = found.boat.currency
    rows = [
        ("weight, tanks empty", *(say_mass(table.loc[n, "mass_kg"], system) for n in names)),
        ("give or take", *(say_mass(table.loc[n, "u_mass_kg"], system) for n in names)),
        ("LCG forward of transom", *(say_metres(float(table.loc[n, "lcg_m"]), system) for n in names)),
    ]
    if not table["ball_kg"].isna().all():
        rows.append(("on the trailer's ball", *(say_mass(table.loc[n, "ball_kg"], system) for n in names)))
        rows.append(("of boat and trailer", *(f"{100 * table.loc[n, 'ball_share']:.1f} %" for n in names)))
        rows.append(("fuel full: on the ball", *(say_mass(table.loc[n, "full_ball_kg"], system) for n in names)))
        rows.append(("of boat and trailer", *(f"{100 * table.loc[n, 'full_ball_share']:.1f} %" for n in names)))
        rows.append(("boat and trailer", *(say_mass(table.loc[n, "full_gross_kg"], system) for n in names)))
    after = []
    known = found.boat.works or any(one.settings for one in found.alternatives)
    if known:
        rows.append(("hours", *(_sum(n, say_hours(table.loc[n, "hours"])) for n in names)))
        rows.append(("cost", *(_sum(n, say_money(table.loc[n, "cost"], currency)) for n in names)))
        for n in names:
            lacking = max(int(table.loc[n, "hours_unknown"]), int(table.loc[n, "cost_unknown"]))
            if lacking:
                after.append(f"{capital(the_plan(n))}: of {lacking} changes nobody said hours or cost; not counted.")
    else:
        after.append("Hours and cost are not known: packages.csv (package, hours, hours_later, cost) says them.")
    return Section("What each weighs and takes", grids=(Grid(("", *names), tuple(rows)),), after=tuple(after))


def _sum(name: str, said: str) -> str:
    return "" if name == AS_FOUND else said


def _water(found: Alternatives) -> Section:
    said = []
    for one in found.alternatives:
        wet = [
            f"{condition} ({_together(case.under)})"
            for condition in found.conditions
            if (case := found.cases.get((one.name, condition))) is not None and case.under
        ]
        sunk = [c for c in found.conditions if (one.name, c) not in found.cases]
        words = [f"under water: {'; '.join(wet)}" if wet else "no opening is under water"]
        words += [f"she sinks in {say_list(sunk)}"] if sunk else []
        said.append(f"{one.name}: {'; '.join(words)}")
    return Section("What is under water", "figures there hold only while it is plugged", listed=tuple(said))


def _together(names: Sequence[str]) -> str:
    """Names in a list, a pair of both sides as one: "both scuppers and bracket hatch"."""
    stems = [stem(name) for name in names]
    said = [f"both {s}s" if stems.count(s) == 2 else n for n, s in zip(names, stems, strict=True)]
    return say_list(list(dict.fromkeys(said)))


def _sign(found: Alternatives, system: str) -> Section:
    """The sheet for the owner: one sentence, one line each, and room to sign."""
    table, worst = found.summary.set_index("alternative"), found.worst
    lines = []
    for one in found.alternatives:
        if one.name == AS_FOUND or one.name not in worst.index:
            continue
        low = worst.loc[one.name]
        takes = "nobody said what it takes"
        if found.takes(one.name):
            hours, cost = (table.loc[one.name, column] for column in ("hours", "cost"))
            takes = f"{say_hours(hours)}, {say_money(cost, found.boat.currency)}"
        ball = table.loc[one.name, "ball_share"]
        tongue = "" if math.isnan(ball) else f", {100 * ball:.1f} % on the ball"
        lines.append(
            f"[  ] {one.name}: lowest {found.at} {height_cell(low['at_mm'] / 1000, system)} in {low['condition']}; "
            f"{takes}{tongue}"
        )
    return Section(
        "To sign",
        "planning figures; the finished boat is floated and checked before use",
        (f"{alternatives_finding(found, system)}.",),
        tuple(lines),
        after=("Chosen: __________________   Date: ____________   Signed: __________________",),
    )
