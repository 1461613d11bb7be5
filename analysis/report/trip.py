"""The day out in sections: the worst moment, step by step, fuel and range, full or empty."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from analysis.report.parts import Grid, Section, height_cell, height_unit, say_metres
from analysis.studies.floats import least_forward_mark
from analysis.studies.fuel_alone import AS_FITTED, FuelAlone
from analysis.studies.fuel_range import PLANNING, TENTH, FuelRange
from analysis.studies.trip import DayOut
from analysis.studies.trip_words import (
    say_ends,
    say_fuel_left,
    say_hours,
    say_moment,
    say_nm,
    say_range,
    say_water_in,
    say_when,
)
from analysis.studies.words import capital, say_change, the_plan
from hullcalc.boats.sole import Sole, sole_of
from hullcalc.errors import InputError
from hullcalc.units import say_height, say_length_mm, say_mass, say_trim, say_volume


def trip_sections(days: Sequence[DayOut], system: str = "metric") -> list[Section]:
    """A section for each plan along one trip."""
    return [day_section(day, system) for day in days]


def day_section(day: DayOut, system: str) -> Section:
    """One trip in one plan."""
    worst = day.worst
    before = [f"Worst at {say_when(day, worst.k)}: {say_moment(worst, system)}. {say_water_in(day)}"]
    low, names = day.lowest(["sole"])
    if names:
        k = int(np.argmin(low))
        before.append(f"The sole is lowest at {say_when(day, k)}: {names[k]} {say_height(low[k], system)}.")
    before.append(say_ends(day, system))
    before.append(_bow(day, system))
    rows = []
    for first, last in day.step_ends():
        part = day.table.iloc[first : last + 1]
        row = part.loc[part["least_mm"].idxmin()]
        rows.append(
            (
                day.trip.steps[int(row["step"])].name,
                f"{part['nm'].iloc[-1]:.0f}",
                say_hours(part["hours"].iloc[-1]).replace("the start", "") if day.along.timed else "",
                say_volume(part["fuel_l"].iloc[-1] / 1000, system),
                say_mass(part["mass_kg"].iloc[-1], system),
                say_trim(part["trim_deg"].iloc[-1]),
                f"{row['least_mark']} {height_cell(row['least_mm'] / 1000, system)}",
            )
        )
    head = (
        "",
        "nm by then",
        "hours by then",
        "fuel left",
        "weight",
        "trim",
        f"lowest on the way, {height_unit(system)}",
    )
    after = (
        say_fuel_left(day, system),
        "Spaces shut; give or take: one standard uncertainty, from the causes named in the tables.",
    )
    about = f"{day.trip.name}, {the_plan(day.plan)}"
    return Section("The day out", about, tuple(before), grids=(Grid(head, tuple(rows)),), after=after)


def _bow(day: DayOut, system: str) -> str:
    """The other end of her: trim along the day, the lowest forward mark, and whether the sole ever drains forward."""
    trim = day.table["trim_deg"]
    said = f"Trim from {say_trim(trim.min())} to {say_trim(trim.max())}"
    name = least_forward_mark(day.case(int(trim.idxmin())))
    if name in day.marks:
        heights = day.heights[:, day.marks.index(name)]
        said += f"; forward {name} is never less than {say_height(float(heights.min()), system)}"
    sole = _sole(day)
    if sole is not None:
        normals = day.along.float().states.normal
        falls = np.array([sole.slopes(n)[0] for n in normals])
        k = int(np.argmin(falls))
        if falls[k] < 0:
            said += f". The sole drains forward at {say_when(day, k)}: drains at the stern take no water then"
        else:
            said += f"; the sole drains aft all day, {1000 * falls[k]:.0f} mm in a metre at the least"
    return f"{said}."


def _sole(day: DayOut) -> Sole | None:
    try:
        return sole_of(day.boat, day.along.plan)
    except InputError:
        return None


def range_section(found: FuelRange, wished: Sequence[tuple[float, pd.Series]] = (), system: str = "metric") -> Section:
    """How far the fuel goes; `wished` are (nm, litres by rule) of ranges asked for."""
    rows = [
        (
            str(row["rule"]),
            say_volume(row["kept_l"] / 1000, system),
            say_volume(row["to_burn_l"] / 1000, system),
            say_nm(row["nm"]),
            f"{say_nm(row['nm_low']).removesuffix(' nm')} to {say_nm(row['nm_high'])}",
            say_nm(row["nm_head_sea"]),
        )
        for _, row in found.table.iterrows()
    ]
    head = ("rule", "kept", "to burn", "there and back", "burn 20 % up or down", "against the sea")
    before = (say_range(found, system),)
    after = []
    for nm, litres in wished:
        needs = "; ".join(f"{rule} {say_volume(v, system)}" for rule, v in litres.items())
        after.append(f"For {nm:.0f} nm she must leave with: {needs}.")
    if found.table.set_index("rule").loc[TENTH, "kept_l"] < 0.11 * 1000 * found.usable:
        after.append("No reserve beside the tenth is given: write reserve_l under [burn] in boat.toml.")
    if found.aboard == found.usable:
        after.append("All of it counts as usable: what the pick-ups leave is not given (unusable_l).")
    return Section("How far", PLANNING, before, grids=(Grid(head, tuple(rows)),), after=tuple(after))


def fuel_section(found: FuelAlone, system: str) -> Section:
    """Full or empty, and where the tank would have to be for her trim to stay."""
    fitted = found.summary.set_index("place").loc[AS_FITTED]
    rows = [
        (
            str(row["place"]),
            say_metres(row["x_m"], system),
            _trim2(row["trim_full_deg"]),
            _trim2(row["trim_low_deg"]),
            say_change(-row["sole_mm"] if np.isfinite(row["sole_mm"]) else -row["least_mm"], system),
        )
        for _, row in found.summary.iterrows()
    ]
    what = "sole" if np.isfinite(fitted["sole_mm"]) else "least"
    name = "the lowest sole mark" if what == "sole" else "the lowest mark"
    worse = "Full is the worse" if fitted[f"{what}_mm"] > 0 else "Empty is the worse"
    full, low = say_trim(fitted["trim_full_deg"]), say_trim(fitted["trim_low_deg"])
    trim = f"the trim stays at {full}" if full == low else f"the trim goes from {full} to {low}"
    moves = _moves(fitted[f"{what}_mm"], system)
    before = (f"From full (95 %) to a tenth {name} {moves}, {trim}. {worse} for it.",)
    head = ("fuel tanks", "forward of the transom", "trim full", "trim at a tenth", f"{name} by then")
    after = (
        f"LCF, the centre of the waterplane, at {say_metres(found.lcf, system)}; LCG of everything but the fuel at "
        f"{say_metres(found.lcg_rest, system)}. Fuel over the LCF leaves her trim as it is. Only the liquid was moved; "
        "whether a tank fits there was not asked.",
    )
    return Section("Full or empty", found.condition, before, grids=(Grid(head, tuple(rows)),), after=after)


def _moves(mm: float, system: str) -> str:
    return f"{'rises' if mm >= 0 else 'sinks'} {say_length_mm(abs(mm) / 1000, system)}"


def _trim2(deg: float) -> str:
    """Trim to two decimals, as tables have it."""
    if round(abs(deg), 2) == 0:
        return "level"
    return f"{abs(deg):.2f}° bow {'up' if deg > 0 else 'down'}"


def compared_section(table: pd.DataFrame, condition: str, system: str) -> Section:
    """So much fuel against so much."""
    head = ("", *(say_volume(row["fuel_l"] / 1000, system) for _, row in table.iterrows()))
    rows = [
        ("weight of it", *(say_mass(kg, system) for kg in table["fuel_kg"])),
        ("lowest mark", *(say_height(mm / 1000, system) for mm in table["least_mm"])),
    ]
    if table["sole_mm"].notna().all():
        rows.append(("lowest sole mark", *(say_height(mm / 1000, system) for mm in table["sole_mm"])))
    rows.append(("trim", *(_trim2(deg) for deg in table["trim_deg"])))
    if table["nm"].notna().any():
        rows.append(("there and back, thirds", *("" if np.isnan(nm) else say_nm(nm) for nm in table["nm"])))
    first, last = table.iloc[0], table.iloc[-1]
    before: tuple[str, ...] = ()
    if len(table) > 1:
        more, less = (first, last) if first["fuel_l"] > last["fuel_l"] else (last, first)
        mark = "sole" if np.isfinite(first["sole_mm"]) else "least"
        lower = less[f"{mark}_mm"] - more[f"{mark}_mm"]
        name = "the lowest sole mark" if mark == "sole" else "the lowest mark"
        said = (
            f"{say_volume((more['fuel_l'] - less['fuel_l']) / 1000, system)} more: "
            f"{say_mass(more['fuel_kg'] - less['fuel_kg'], system)}, {name} "
            f"{say_length_mm(abs(lower) / 1000, system)} {'lower' if lower >= 0 else 'higher'}"
        )
        gain = more["nm"] - less["nm"]
        before = (f"{said}{'' if np.isnan(gain) else f', {gain:.0f} nm farther by the rule of thirds'}.",)
    return Section("More fuel or less", condition, before, grids=(Grid(head, tuple(rows)),), after=(capital(PLANNING),))
