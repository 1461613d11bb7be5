"""Plans in load conditions, one condition opened, and everybody to one side: in sections of words and tables."""

from __future__ import annotations

from typing import Any

import pandas as pd

from analysis.report.parts import Grid, Section, height_cell, height_unit, say_metres
from analysis.studies.crowding import GOES_TOO, UK_HEEL, UK_HEEL_WITH_FREEBOARD, US_HEEL, US_PERSON, Crowding
from analysis.studies.floats import SINKS
from analysis.studies.loads import AGGREGATE_LIMIT, SHIFT_LIMIT, YARDSTICK, Loads
from analysis.studies.words import capital, the_plan
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.units import say_heel, say_length_mm, say_mass, say_trim

FLOATS = "floats"


def load_sections(loads: Loads, system: str = "metric") -> list[Section]:
    """The matrix, a table for each plan, what the refit changes in all, and whose conditions these are."""
    told = [overview(loads, system), *(one_plan(loads, plan, system) for plan in loads.plans)]
    if len(loads.changes):
        told.append(in_all(loads, system))
    told.append(whose_lists(loads))
    return told


def overview(loads: Loads, system: str) -> Section:
    """The least mark of each plan in each condition."""
    rows = [
        (condition, *(_least(_row(loads, plan, condition), system, named=True) for plan in loads.plans))
        for condition in loads.conditions
    ]
    about = f"lowest mark, {height_unit(system)} above or under water, openings shut"
    return Section("Every plan in every load", about, grids=(Grid(("", *loads.plans), tuple(rows)),))


def one_plan(loads: Loads, plan: str, system: str) -> Section:
    """Weight, centre, attitude and marks of a plan in each condition; what is under water is said first."""
    rows, wet = [], []
    for condition in loads.conditions:
        row = _row(loads, plan, condition)
        if row["status"] == SINKS:
            rows.append((condition, f"short of {say_mass(row['short_by_kg'], system)}", SINKS, *[""] * 4))
            continue
        if row["under"]:
            wet.append(condition)
        attitude = [say_trim(row["trim_deg"]), say_heel(row["heel_deg"])]
        rows.append((
            condition, say_mass(row["mass_kg"], system), say_metres(row["lcg_m"], system),
            *(attitude if row["status"] == FLOATS else [str(row["status"]), ""]),
            _height(row["sole_mm"], system), _height(row["freeboard_mm"], system), say_metres(row["gm_m"], system),
        ))  # fmt: skip
    head = ("", "weight", "LCG", "keel run", "heel", "sole", "freeboard", "GM")
    before = (f"Water comes in, and the figures hold only while plugged: {'; '.join(wet)}.",) if wet else ()
    about = (
        f"the sole's lowest mark and the least freeboard of the deck edge, {height_unit(system)} above or under water, "
        "openings shut; GM with liquids free"
    )
    return Section(capital(plan), about, before, grids=(Grid(head, tuple(rows)),))


def in_all(loads: Loads, system: str) -> Section:
    """Net change and sum of absolute changes, against the yardstick for weighing again."""
    rows, due = [], []
    for row in loads.changes.to_dict("records"):
        shift = row["lcg_shift_m"]
        way = "forward" if shift > 0 else "aft"
        rows.append((
            row["plan"], say_mass(row["removed_kg"], system), say_mass(row["added_kg"], system),
            _net(row["net_kg"], system), f"{say_mass(row['handled_kg'], system)}, {_percent(row['handled_share'])}",
            f"{say_length_mm(abs(shift), system)} {way}, {_percent(row['lcg_shift_share'], 1)}",
        ))  # fmt: skip
        due += [row["plan"]] if row["reweigh"] else []
    head = ("", "taken out", "put in", "net", "handled in all, of the boat as found", "LCG moves, of the length")
    limits = (
        f"{_percent(AGGREGATE_LIMIT)} of her weight handled, or an LCG moved by {_percent(SHIFT_LIMIT)} of the length"
    )
    said = f"{YARDSTICK} asks for weighing again above {limits}. "
    if due:
        said += f"{capital(say_list([the_plan(plan) for plan in due]))}: weigh her again before she is launched."
    else:
        said += "No plan here is above it."
    return Section("What the refit changes in all", "without people and liquids", grids=(Grid(head, tuple(rows)),),
                   after=(said,))  # fmt: skip


def whose_lists(loads: Loads) -> Section:
    """Whose list each condition follows and what it was made of, and what could not be made."""
    own = [name for name in loads.conditions if name not in loads.lists]
    listed = [f"{capital(name)}: {s.made_of}. {capital(s.source)}." for name, s in loads.lists.items()]
    before = (f"The yard's own, from conditions.csv: {'; '.join(own)}.",) if own else ()
    after = (f"Not made: {'. '.join(capital(words) for words in loads.missing)}.",) if loads.missing else ()
    return Section("Whose conditions these are", "", before, tuple(listed), after=after)


def crowding_sections(crowd: Crowding, system: str = "metric") -> list[Section]:
    """Everybody to one side, by places and by the moment rule, beside the published figures."""
    told = []
    if len(crowd.at_side):
        rows = [_side_row(row, UK_HEEL, system) for row in crowd.at_side.to_dict("records")]
        head = ("", "heel to that side", f"beside {UK_HEEL:g}°", "lowest mark", "least freeboard")
        about = f"{crowd.number} people at 75 kg, all tanks 95 %, stores; {height_unit(system)} above or under water"
        note = (
            f"UK code for small commercial vessels, 11.4: at most {UK_HEEL:g}°, or {UK_HEEL_WITH_FREEBOARD:g}° where "
            "the heeled freeboard is still what is asked upright; the edition was not shown where it was read. A "
            "figure to hold hers against: it does not bind a private boat.",
        )
        told.append(Section("Everybody to one side", about, grids=(Grid(head, tuple(rows)),), after=note))
    if len(crowd.by_moment) and crowd.side_to_side is not None:
        first = crowd.by_moment.iloc[0]
        rows = [_side_row(row, US_HEEL, system) for row in crowd.by_moment.to_dict("records")]
        head = ("", "heel to that side", f"beside {US_HEEL:g}°", "lowest mark", "least freeboard")
        about = (
            f"the moment of {first['people']} people at {say_mass(US_PERSON, system)}, {first['moment_kg_m']:.0f} kg m"
        )
        across = say_metres(crowd.side_to_side, system)
        note = (
            f"46 CFR 178.330: weight of the people but the helmsman, times the {across} open to them across, by six. "
            f"Of flush-decked vessels it asks for at most {US_HEEL:g}° and half the freeboard (both from memory): "
            "figures only, they do not bind her.",
        )
        told.append(Section("By the passenger moment", about, grids=(Grid(head, tuple(rows)),), after=note))
    care = [f"Not told: {'. '.join(crowd.missing)}."] if crowd.missing else []
    care.append("Openings kept shut: under water they let the sea in and she heels further. Ask a naval architect.")
    told.append(Section("Take care", "", (" ".join([*care, *STANDING_CARE]),)))
    return told


def _side_row(row: dict[str, Any], limit: float, system: str) -> tuple[str, ...]:
    helm = "" if "helmsman" not in row or row["helmsman"] == GOES_TOO else ", helmsman stays"
    name = f"{row['plan']}, to {row['side']}{helm}"
    if row["status"] != FLOATS:
        return (name, str(row["status"]), "", "", "")
    heel = row["heel_deg"]
    return (
        name, f"{heel:.1f}°".replace("-", "minus "), "inside" if heel <= limit else "outside",
        _least(row, system, named=True), _height(row["freeboard_mm"], system),
    )  # fmt: skip


def _row(loads: Loads, plan: str, condition: str) -> dict[str, Any]:
    table = loads.table
    found: dict[str, Any] = table[(table["plan"] == plan) & (table["condition"] == condition)].iloc[0].to_dict()
    return found


def _least(row: dict[str, Any], system: str, named: bool = False) -> str:
    if row["status"] != FLOATS:
        return str(row["status"])
    said = _height(row["least_mm"], system)
    return f"{row['least_mark']} {said}" if named and row["least_mark"] else said


def _height(mm: float, system: str) -> str:
    return "" if pd.isna(mm) else height_cell(mm / 1000, system)


def _net(mass: float, system: str) -> str:
    said = say_mass(abs(mass), system)
    return f"{said} {'heavier' if mass > 0 else 'lighter'}" if round(mass) else "as heavy"


def _percent(share: float, digits: int = 0) -> str:
    return f"{100 * share:.{digits}f} %"
