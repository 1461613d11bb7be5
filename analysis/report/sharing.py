"""Which package did it, and does the order of the packages matter? Shares of a change, in sections."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from analysis.report.parts import Grid, Section
from analysis.studies.attribution import RULE, STERN, Attribution
from analysis.studies.words import capital, say_change, what_did_it
from hullcalc.units import say_length_mm

SPREAD = 0.0005  # m: below it an order cannot be told from another
COLUMNS = {RULE: "mean_mm", "first of all": "first_mm", "in yard order": "in_turn_mm", "last of all": "last_mm"}


def share_sections(found: Sequence[Attribution], system: str = "metric") -> list[Section]:
    """A section for each condition and place, and one on what the order does."""
    return [_shares(one, system) for one in found] + [order_matters(found[0], system)]


def _shares(one: Attribution, system: str) -> Section:
    table = one.table.sort_values("mean_mm", ascending=False, kind="stable")
    rows = [
        (str(row["package"]), *(say_change(row[c], system) for c in COLUMNS.values())) for _, row in table.iterrows()
    ]
    rows.append(("in all", say_change(one.total_mm, system), "", "", ""))
    return Section(
        "Which change did it",
        f"from {one.start} to {one.plan}, {one.condition}: {_place(one)}",
        (f"{capital(what_did_it(one, system))}.",),
        grids=(Grid(("", *COLUMNS), tuple(rows)),),
    )


def order_matters(one: Attribution, system: str) -> Section:
    """What each package does by the order: the widest spread first; those that no order changes are left out."""
    table = one.table.assign(spread=one.table["most_mm"] - one.table["least_mm"])
    table = table[table["spread"] > 1000 * SPREAD].sort_values("spread", ascending=False, kind="stable")
    said = [say_orders(row, system) for _, row in table.iterrows()]
    before = (
        ("Packages work on each other: what one does depends on which are there already.",)
        if said
        else ("No package works on another: the order does not matter.",)
    )
    about = f"from {one.start} to {one.plan}, {one.condition}: {_place(one)}"
    return Section("Does the order matter", about, before, tuple(said))


def say_orders(row: pd.Series, system: str) -> str:
    """One package: "3 bracket: 31 mm deeper in yard order, 10 mm up if last, 5 mm up on average (spread 41 mm)."."""
    spread = say_length_mm((row["most_mm"] - row["least_mm"]) / 1000, system)
    parts = [
        f"{say_change(row['in_turn_mm'], system)} in yard order",
        f"{say_change(row['first_mm'], system)} if first",
        f"{say_change(row['last_mm'], system)} if last",
        f"{say_change(row['mean_mm'], system)} on average",
    ]
    return f"{row['package']}: {', '.join(parts)} (spread {spread})."


def _place(one: Attribution) -> str:
    return "water at the stern" if one.at == STERN else one.at
