"""How sure we are, in sections: heights with their doubt, chances, whose doubt, what to measure next, the best plan."""

from __future__ import annotations

import pandas as pd

from analysis.report.parts import Grid, Section, height_cell, height_unit
from analysis.studies.best_plan import BestPlan
from analysis.studies.chances import Chance, say_chance, say_per_cent
from analysis.studies.shares import CREW
from analysis.studies.sure import LOWEST, Sure, what_she_is_now
from analysis.studies.sure_words import (
    lowest_name,
    say_fine,
    say_lowest,
    say_mm,
    say_straight,
    what_first,
    which_best,
)
from analysis.studies.words import bare, capital, the_plan
from hullcalc.units import say_length_mm, say_mass, say_position

SHARES_SHOWN, RANKED_SHOWN = 10, 8


def sure_sections(sure: Sure, best: BestPlan | None = None, system: str = "metric") -> list[Section]:
    """All there is to say of one plan and condition, and of several plans where `best` compares them."""
    told = [heights(sure, system), chances(sure), whose_doubt(sure, system), measure_next(sure, system)]
    if best is not None:
        told.append(best_plan(best, system))
    told.append(now(sure, system))
    return told


def heights(sure: Sure, system: str) -> Section:
    """Height of each watched mark, its standard uncertainty in two parts and together, and where 95 % of draws lie."""
    rows = []
    for _, row in sure.table.iterrows():
        lowest = row["mark"] == LOWEST
        level, both = ("drawn_level_u_mm", "drawn_u_mm") if lowest else ("u_level_mm", "u_mm")
        rows.append(
            (
                lowest_name(sure) if lowest else str(row["mark"]),
                height_cell(row["height_mm"] / 1000, system),
                bare_mm(row[level], system),
                "" if lowest else bare_mm(row["u_lean_mm"], system),
                bare_mm(row[both], system),
                _end(row["low_mm"], system),
                _end(row["high_mm"], system),
            )
        )
    head = ("", "likely", "with her level", "what leans her", "both", "from", "to")
    groups = (("", 1), ("give or take", 3), ("95 of 100 draws", 2))
    done = (f"Taken as done: {'; '.join(sure.measured)}.",) if sure.measured else ()
    after = [
        "With her level: weights, places fore and aft, heights, volumes, the marks and the hull. What leans her: "
        "places across, which lift one side as they sink the other. At one mark the two add in squares.",
        *([lowest] if (lowest := say_lowest(sure, system)) else []),
        *say_straight(sure, system),
        "What counts is what the folder says is uncertain, by the basis of each row where nothing else is said; what "
        "the model leaves out does not count.",
    ]
    about = f"{sure.plan}, {sure.condition}: {height_unit(system)} above or under water, openings shut"
    return Section("How sure", about, done, (), (Grid(head, tuple(rows), groups),), tuple(after))


def chances(sure: Sure) -> Section:
    """The chance of each mark to be under water, in words and per cent, with her level and with all causes."""
    rows = []
    for _, row in sure.table.iterrows():
        name = lowest_name(sure) if row["mark"] == LOWEST else str(row["mark"])
        cells = []
        for column in ("chance_level", "chance"):
            chance = Chance(float(row[column]), sure.n)
            cells += [say_chance(chance), say_per_cent(chance)]
        rows.append((name, *cells))
    told = sure.chance(sure.told)
    grid = Grid(("", "", "", "", ""), tuple(rows), (("", 0), ("with her level", 2), ("with what leans her", 2)))
    said = (
        f"Counted in {sure.n} draws of {len(sure.causes.each)} causes; one standard error of the last count is "
        f'{100 * told.se:.2f} in 100. "Less than" stands where fewer than five draws were counted.'
    )
    return Section("Chance to be under water", "calm water, openings shut", grids=(grid,), after=(said,))


def whose_doubt(sure: Sure, system: str) -> Section:
    """Shares of the variance of the lowest mark's height, most first."""
    shown = sure.shares.head(SHARES_SHOWN)
    rest = sure.shares.iloc[SHARES_SHOWN:]
    level = float(sure.shares.loc[~sure.shares["leans"], "share"].sum())
    rows = [
        _share_row(str(r["group"]), r["mm"], r["share"], bool(r["leans"]), level, system) for _, r in shown.iterrows()
    ]
    for leans in (False, True):
        part = rest[rest["leans"] == leans]
        if len(part):
            mm = float((part["mm"] ** 2).sum() ** 0.5)
            name = "all others that lean her" if leans else "all others"
            rows.append(_share_row(name, mm, float(part["share"].sum()), leans, level, system))
    about = f"{sure.watched}, {small_head(system)} for one standard uncertainty of each"
    grid = Grid(("", "moves it", "of both", "with her level"), tuple(rows), (("", 1), ("share of the variance", 2)))
    return Section("Where the uncertainty comes from", about, grids=(grid,), after=("Left blank: what leans her.",))


def _share_row(name: str, mm: float, share: float, leans: bool, level: float, system: str) -> tuple[str, str, str, str]:
    return name, say_fine(mm, system), f"{100 * share:.0f} %", "" if leans else f"{100 * share / level:.0f} %"


def measure_next(sure: Sure, system: str) -> Section:
    """Measurements ranked by what they take off in ten minutes, and one after the other."""
    found = sure.next
    ranked = found.ranked.head(RANKED_SHOWN)
    rows = [
        (
            str(r["measure"]),
            f"{r['minutes']:.0f}",
            say_fine(r["per_ten_minutes_mm"], system),
            say_fine(r["u_mm"], system),
            say_fine(r["u_level_mm"], system),
        )
        for _, r in ranked.iterrows()
    ]
    head = ("", "minutes", "off in ten minutes", "both", "with her level")
    alone = Grid(head, tuple(rows), (("each alone", 2), ("leaves", 2)))
    steps = [
        (
            f"{i}. {r['measure']}",
            f"{r['minutes_so_far']:.0f}",
            say_fine(r["u_mm"], system),
            say_fine(r["u_level_mm"], system),
        )
        for i, (_, r) in enumerate(found.steps.iterrows(), start=1)
    ]
    start = ("now", "", say_fine(found.u_mm, system), say_fine(found.u_level_mm, system))
    order = Grid(("", "minutes in all", "both", "with her level"), (start, *steps), (("", 1), ("leaves", 2)))
    after = ["Minutes and figures of the protocols are common practice; those for a whole boat were reckoned."]
    if any(one.protocol.startswith("hang her") or one.protocol.startswith("weigh her") for one in found.offered):
        after.append("What is for the boat as found comes before she is stripped.")
    if any(str(name).startswith(f"{CREW}: place") for name in sure.shares["group"]):
        after.append("Where people stand is no measurement but a choice on the day.")
    about = f"{small_head(system)} of uncertainty at {sure.watched}"
    return Section(
        "What to measure next",
        about,
        (f"{what_first(sure, system)}.",),
        (),
        (alone, order) if rows else (),
        tuple(after),
    )


def best_plan(best: BestPlan, system: str) -> Section:
    """How plans rank in the same draws."""
    pairs = best.pairs.set_index("plan")
    rows = []
    for _, row in best.table.iterrows():
        plan = str(row["plan"])
        share = Chance(float(row["best_share"]), best.n)
        cells = ["", "", ""]
        if plan in pairs.index:
            pair: pd.Series = pairs.loc[plan]
            cells = [
                bare_mm(pair["lower_mm"], system),
                bare_mm(pair["u_mm"], system),
                bare_mm(pair["u_apart_mm"], system),
            ]
        rows.append(
            (plan, f"{row['mark']} {height_cell(row['height_mm'] / 1000, system)}", say_per_cent(share), *cells)
        )
    head = ("", "lowest mark", "highest in", "lower by", "give or take", "if nothing were shared")
    grid = Grid(head, tuple(rows), (("", 1), ("draws", 1), (f"than {the_plan(best.best)}", 3)))
    about = f"{best.condition}, {height_unit(system)}, the same draws for all"
    after = ("What two plans share (the boat as found, the people, the hull) cancels in their difference.",)
    return Section("Which plan stays best", about, (f"{which_best(best)}.",), (), (grid,), after)


def now(sure: Sure, system: str) -> Section:
    """What she weighs and where her centre is, as found and in the plan, each with its standard uncertainty."""
    plans = list(dict.fromkeys([next(iter(sure.boat.plans)), sure.plan]))
    rows = []
    for _, r in what_she_is_now(sure.boat, [plan for plan in plans if plan in sure.boat.plans]).iterrows():
        rows.append(
            (
                str(r["plan"]),
                say_mass(r["mass_kg"], system),
                say_mass(r["u_mass_kg"], system),
                _place(r["lcg_m"], "x", system),
                say_length_mm(r["u_lcg_m"], system),
                _place(r["vcg_m"], "z", system),
                say_length_mm(r["u_vcg_m"], system),
                say_length_mm(r["u_tcg_m"], system),
            )
        )
    head = ("", "weight", "give or take", "forward", "give or take", "up", "give or take", "across, give or take")
    groups = (("without liquids in tanks", 2), ("centre of gravity", 5))
    basis = f"The boat as found is {sure.boat.as_found.basis}."
    return Section("What she is", grids=(Grid(head, tuple(rows), groups),), after=(basis,))


def _place(coordinate: float, axis: str, system: str) -> str:
    said = say_position(coordinate, axis, system)
    return said.removesuffix(" forward of the transom").removesuffix(" above the keel line")


def _end(mm: float, system: str) -> str:
    """An end of the interval; a draw in which she sinks has none."""
    return "sinks" if mm == -float("inf") else height_cell(mm / 1000, system)


def bare_mm(mm: float, system: str) -> str:
    """Millimetres or inches and eighths for a table that says the unit."""
    return bare(f"{say_mm(mm, system)} ").strip()


def small_head(system: str) -> str:
    """The unit of the fine figures in a table."""
    return capital("inches" if system == "us" else "millimetres").lower()
