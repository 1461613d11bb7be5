"""Where weight can still go, in sections: kilograms at each place, what a chosen weight does there, neutral points."""

from __future__ import annotations

import math

import pandas as pd

from analysis.report.parts import Grid, Section, say_metres
from analysis.studies.floats import Case
from analysis.studies.watching import say_watched
from analysis.studies.where import Where
from analysis.studies.words import capital, say_change, the_plan
from hullcalc.boats.limits import say_list
from hullcalc.units import say_height, say_length_mm, say_mass

OTHERS_NAMED = 3
ON_THE_CENTRELINE = 0.005  # m


def where_sections(found: Where, loads: pd.DataFrame | None = None, system: str = "metric") -> list[Section]:
    """All there is to say; `loads` is the table of `neutral_over_loads`, if it was asked for."""
    told = [room(found, system), weight_there(found, system)]
    if loads is not None and len(loads):
        told.append(neutral_loads(loads, found.case.plan, system))
    return told


def room(found: Where, system: str) -> Section:
    """Kilograms until the first mark is down to its margin, place by place."""
    rows = [
        (
            str(row["place"]),
            _room_cell(row["may_add_kg"], found, system),
            _room_cell(row["linear_kg"], found, system),
            str(row["first_mark"]),
        )
        for _, row in found.places.iterrows()
    ]
    head = (
        "",
        "may still be added",
        "by the straight line",
        "down to its margin first" if _keeps(found) else "wet first",
    )
    most = say_mass(found.most_kg, system)
    after = [f"Floated again at each place; spaces shut, liquids free to move. No limit: none found up to {most}."]
    if found.places["y_m"].abs().max() < ON_THE_CENTRELINE:
        after.append("On the centreline; to one side it is less: see the deck map (--out).")
    grid = Grid(head, tuple(rows))
    return Section("Where weight can still go", _about(found), _margins(found, system), (), (grid,), tuple(after))


def weight_there(found: Where, system: str) -> Section:
    """What the chosen weight does at each place to the lowest of the marks watched."""
    rows = [
        (
            str(row["place"]),
            "sinks" if math.isnan(row["change_mm"]) else say_change(-row["change_mm"], system),
            "" if math.isnan(row["lowest_mm"]) else _lowest(row["lowest_mark"], row["lowest_mm"], system),
        )
        for _, row in found.places.iterrows()
    ]
    watched = say_watched(found.marks, found.case.marks)
    grid = Grid(("", f"the lowest of {watched}", "lowest then"), tuple(rows))
    title = f"What {say_mass(found.kg, system)} do there"
    return Section(title, _about(found), _best(found, system), grids=(grid,))


def neutral_loads(loads: pd.DataFrame, plan: str, system: str) -> Section:
    """Where added weight leaves the trim, and each mark, as they are; from light to loaded."""
    marks = [column for column in loads.columns if column not in ("condition", "mass_kg", "lcf_m", "trim_m")]
    head = ("", "weight", "waterplane's centre (LCF)", "leaves the trim", *(f"leaves {mark}" for mark in marks))
    rows = []
    for _, row in loads.iterrows():
        places = [row["lcf_m"], row["trim_m"], *(row[mark] for mark in marks)]
        said = ("" if math.isnan(x) else say_metres(x, system) for x in places)
        rows.append((str(row["condition"]), say_mass(row["mass_kg"], system), *said))
    return Section(
        "Where added weight does no harm, light to loaded",
        f"{the_plan(plan)}, forward of the transom, on the centreline",
        grids=(Grid(head, tuple(rows)),),
        after=(
            "Weight over the waterplane's centre sinks her parallel; each mark has a neutral point of its own, farther "
            "from it than the mark. Small weights only: a heavy one moves the points.",
        ),
    )


def _about(found: Where) -> str:
    return f"{the_plan(found.case.plan)}, {found.case.condition}; watched: {say_watched(found.marks, found.case.marks)}"


def _keeps(found: Where) -> bool:
    return any(margin > 0 for margin in found.margin_mm.values())


def _margins(found: Where, system: str) -> tuple[str, ...]:
    """What is kept above the water, and which marks are short of it already."""
    said = []
    if found.chance is not None:
        each = [f"{name} {say_length_mm(mm / 1000, system)}" for name, mm in found.margin_mm.items()]
        said.append(
            f"Margins that keep each mark above water with a chance of {100 * found.chance:g} %: {say_list(each)}."
        )
    elif _keeps(found):
        said.append(f"Each mark is to keep {say_length_mm(next(iter(found.margin_mm.values())) / 1000, system)}.")
    if found.short:
        heights = found.case.heights_shut
        each = [f"{name} is {say_height(heights[name], system)}" for name in found.short]
        said.append(f"With nothing added {say_list(each)}: nothing may be added.")
    wet = [name for name in found.case.under if name not in found.marks]
    if wet:
        said.append(f"Not watched here, and under water with nothing added: {say_list(wet)}. {_plugged(found.case)}")
    return tuple(said)


def _plugged(case: Case) -> str:
    return f"All this holds only while {'it is' if len(case.under) == 1 else 'they are'} plugged."


def _room_cell(kg: float, found: Where, system: str) -> str:
    if kg > found.most_kg:
        return "no limit"
    return "nothing" if kg < 0.5 else say_mass(kg, system)


def _lowest(mark: str, mm: float, system: str) -> str:
    return f"{mark} {say_height(mm / 1000, system)}"


def _best(found: Where, system: str) -> tuple[str, ...]:
    """The best of the places for the weight, against the others."""
    places = found.places.dropna(subset=["change_mm"]).sort_values("change_mm", ascending=False)
    if len(places) < 2:
        return ()
    best, others = places.iloc[0], places.iloc[1:]
    if len(others) > OTHERS_NAMED:
        others = others.iloc[-1:]
    better = [
        f"{say_length_mm((best['change_mm'] - row['change_mm']) / 1000, system)} higher than at {row['place']}"
        for _, row in others.iterrows()
    ]
    return (f"{capital(str(best['place']))} is the best of these: the lowest mark is {say_list(better)}.",)
