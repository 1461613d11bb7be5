"""The boot stripe in sections: where the water meets it, where to paint it, and how far that is below the sheer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from analysis.report.parts import Grid, Section
from analysis.studies.stripe import NO_STRIPE, Stripe
from analysis.studies.stripe_words import say_over, say_place, stripe_finding
from analysis.studies.words import capital
from hullcalc.boats.limits import say_list
from hullcalc.units import say_heel, say_length_mm


def stripe_section(found: Stripe, system: str = "metric") -> Section:
    """Where to paint, over the water she departs with."""
    margin = say_length_mm(found.margin, system)
    before = [f"{stripe_finding(found, system)}: {margin} over the water of {found.departure}."]
    old = found.table[found.table["old_mm"].notna()]
    if len(old):
        before.append(
            f"{capital(found.departure)}: "
            + "; ".join(
                f"water {say_over(row['over_old_mm'], system)} the old lower edge {say_place(row, system)}"
                for _, row in old.iterrows()
            )
            + "."
        )
        before.append(_raise(old, system))
    else:
        before.append(NO_STRIPE)
    rows = [
        (
            say_place(row, system),
            _mm(row["old_mm"], system),
            _mm(row["water_mm"], system),
            _mm(row["paint_mm"], system),
            "" if np.isnan(row["u_mm"]) else say_length_mm(row["u_mm"] / 1000, system),
            _mm(row["port_mm"], system),
            _mm(row["starboard_mm"], system),
        )
        for _, row in found.table.iterrows()
    ]
    head = (
        "above the keel line",
        "old lower edge",
        "water",
        "new lower edge",
        "give or take",
        "water, port",
        "water, starboard",
    )
    heel = float(found.cases[found.departure].shut.heel)
    after = [
        f"Painted alike on both sides, by the water with the heel taken out ({say_heel(heel)} then). Give or take: "
        "one standard uncertainty. Check afloat before you paint."
    ]
    return Section(
        "The boot stripe", found.departure, tuple(before), grids=(Grid(head, tuple(rows)),), after=tuple(after)
    )


def _raise(old: pd.DataFrame, system: str) -> str:
    """ "Raise it aft, not forward.", by what the new edge asks at either end."""
    aft, forward = float(old["above_old_mm"].iloc[0]), float(old["above_old_mm"].iloc[-1])
    said = "; ".join(
        f"{say_length_mm(abs(mm) / 1000, system)} {'up' if mm >= 0 else 'down'} {end}"
        for end, mm in (("aft", aft), ("forward", forward))
    )
    if len(old) < 2:
        return f"The new edge is {said.split(';')[0]}. A second mark of the old stripe, forward, would tell the rest."
    more = "aft" if aft > forward else "forward"
    return f"Against the old stripe: {said}. Raise it most {more}."


def _mm(mm: float, system: str) -> str:
    return "" if np.isnan(mm) else say_length_mm(mm / 1000, system)


def against_section(over: Mapping[str, Sequence[float]], found: Stripe, system: str = "metric") -> Section | None:
    """The water over the old stripe in each plan, same condition; None without an old stripe."""
    places = [p for p in found.places if p.old is not None]
    if not places:
        return None
    head = ("water against the old lower edge", *over)
    rows = []
    for i, spot in enumerate(found.places):
        if spot.old is not None:
            rows.append((spot.name, *(say_over(figures[i], system) for figures in over.values())))
    return Section("Against the old stripe", found.departure, grids=(Grid(head, tuple(rows)),))


def drill_section(found: Stripe, scuppers: pd.DataFrame, system: str = "metric") -> Section:
    """Down from the sheer at each station, and how high scuppers must stand."""
    rows = [
        (
            str(row["place"]),
            say_length_mm(row["paint_mm"] / 1000, system),
            say_length_mm(row["plumb_mm"] / 1000, system),
            say_length_mm(row["skin_mm"] / 1000, system),
        )
        for _, row in found.drill.iterrows()
    ]
    grids = [
        Grid(
            ("new lower edge", "above the keel line", "plumb below the sheer", "along the skin from the sheer"),
            tuple(rows),
        )
    ]
    if len(scuppers):
        drilled = [
            (
                str(row["mark"]),
                say_length_mm(row["now_mm"] / 1000, system),
                say_length_mm(row["needs_mm"] / 1000, system),
                "high enough" if row["raise_by_mm"] < 0.5 else f"{say_length_mm(row['raise_by_mm'] / 1000, system)} up",
                str(row["worst"]),
            )
            for _, row in scuppers.iterrows()
        ]
        head = ("inverts above the keel line", "now", "needed", "", "for")
        grids.append(Grid(head, tuple(drilled)))
    after = [
        f"Needed: {say_length_mm(found.margin, system)} over the water in every condition, at the mark's own place."
    ]
    low = scuppers[scuppers["needs_mm"] > scuppers["sole_mm"]] if len(scuppers) else scuppers
    if len(low):
        sole = say_length_mm(low["sole_mm"].iloc[0] / 1000, system)
        after.append(
            f"{capital(say_list(list(low['mark'])))} would have to stand above the lowest corner of the sole ({sole}), "
            "and then drain nothing: for that load the sole itself is too low."
        )
    if not len(found.drill):
        after.append("No station crosses that water: there is no line to mark off.")
    return Section("To mark off and to drill", "", grids=tuple(grids), after=tuple(after))
