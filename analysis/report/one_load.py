"""One plan in one load condition opened: what is aboard, four names of trim, other waters, what levels her, rain."""

from __future__ import annotations

import pandas as pd

from analysis.report.parts import Grid, Section, height_cell, height_unit, say_metres
from analysis.report.story import uncertainty_mm
from analysis.studies.floats import Case, least_mark
from analysis.studies.inputs import which_input
from analysis.studies.levelling import what_levels
from analysis.studies.opened import LIQUID, forward_place, in_other_waters, trims, what_is_aboard
from analysis.studies.rain import rain_in
from analysis.studies.words import attitude, capital, caution, say_change
from hullcalc.errors import InputError, NoEquilibriumError
from hullcalc.units import say_heel, say_height, say_length_mm, say_mass, say_position, say_trim
from hullcalc.units.names import factor

UPRIGHT = 0.05  # deg: what is said as upright
LISTING, MOVERS = 4, 3
BLOCKED = "behind blocked scuppers"


def one_load(case: Case, system: str = "metric") -> list[Section]:
    """All that is told of one plan in one condition."""
    told = [aboard(case, system)]
    if case.shut.status == "floats":
        told += [
            how_it_lies(case, system),
            other_waters(case, system),
            list_and_level(case, system),
            rain(case, system),
        ]
    return [*told, Section("Take care", "", (caution([case], system),))]


def aboard(case: Case, system: str) -> Section:
    """The sum of the weights: who and what, how heavy, where."""
    table = what_is_aboard(case)
    rows = [
        (
            f"{row['what']}, {100 * row['fill']:.0f} % full" if row["kind"] == LIQUID else str(row["what"]),
            say_mass(row["mass_kg"], system), *(say_position(row[f"{a}_m"], a, system) for a in "xy"),
        )
        for row in table.to_dict("records")
    ]  # fmt: skip
    mass = table["mass_kg"].sum()
    centre = [table[f"m{a}_kg_m"].sum() / mass for a in "xy"]
    rows.append(
        ("in all", say_mass(mass, system), *(say_position(c, a, system) for c, a in zip(centre, "xy", strict=True)))
    )
    return Section(
        f"{case.condition}, {case.plan}", "what is aboard and where it balances; liquids where they lie",
        grids=(Grid(("", "weight", "along", "across"), tuple(rows)),),
    )  # fmt: skip


def how_it_lies(case: Case, system: str) -> Section:
    """Attitude, the lowest marks, and trim by its four names."""
    least = least_mark(case)
    said = [f"{capital(attitude(case))}; GM {say_metres(float(case.shut.gm_transverse), system)}, liquids free."]
    for name in dict.fromkeys([least, *case.watched(["sole"])[:1]]):
        if name is not None:
            doubt = uncertainty_mm(which_input(case.boat, case.packages, case.condition, name)) / 1000
            height = say_height(case.heights_shut[name], system)
            said.append(
                f"{capital(name)}: {height}, give or take {say_length_mm(doubt, system)} (one standard uncertainty)."
            )
    return Section("How she lies", "openings shut", (" ".join(said), _four_names(case, system)))


def _four_names(case: Case, system: str) -> str:
    found = trims(case)
    said = [f"the keel run lies {say_trim(found.keel_run)}"]
    if found.between_marks is None:
        said.append("no two draught marks in marks.csv to say it between")
    else:
        by = "by the stern" if found.between_marks > 0 else "by the bow"
        said.append(f"between the draught marks {say_length_mm(abs(found.between_marks) / 1000, system)} {by}")
    if found.by_stripe is None:
        said.append("no boot stripe fore and aft in marks.csv")
    else:
        more = "more" if found.by_stripe > 0 else "less"
        figure = say_length_mm(abs(found.by_stripe) / 1000, system)
        said.append(f"the boot stripe shows {figure} {more} above water forward than aft")
    if found.looks is None:
        said.append("at which trim she looks level is not given (looks_level_deg in [hull] of boat.toml)")
    else:
        said.append(f"to the eye, from where she looks level, {say_trim(found.looks)}")
    return f"Trim by its four names: {'; '.join(said)}."


def other_waters(case: Case, system: str) -> Section:
    """Fresh, brackish and sea water, in millimetres."""
    table = in_other_waters(case)
    rows = [
        (
            f"{row['water']}, {row['density_kg_m3']:.0f} kg/m3", say_change(row["stern_mm"], system),
            say_change(row["forward_mm"], system),
            "" if pd.isna(row["least_mm"]) else height_cell(row["least_mm"] / 1000, system),
        )
        for row in table.to_dict("records")
    ]  # fmt: skip
    forward = say_position(forward_place(case.boat), "x", system)
    head = ("", "at the stern", f"at {forward}", f"{least_mark(case) or 'lowest mark'}, {height_unit(system)}")
    about = f"against water of {case.boat.water_density:.0f} kg/m3; livewells keep what they were filled with"
    return Section("Fresh or salt", about, grids=(Grid(head, tuple(rows)),))


def list_and_level(case: Case, system: str) -> Section:
    """What lists her and who would have to move how far to level her."""
    heel = float(case.shut.heel)
    if abs(heel) < UPRIGHT:
        return Section("Heel", "", ("She floats upright.",))
    try:
        found = what_levels(case)
    except NoEquilibriumError as problem:
        return Section("Heel", "", (f"{say_heel(heel)}; {problem}.",))
    side = "port" if found.moment > 0 else "starboard"
    said = [f"{say_heel(heel)}. {moment_words(found.moment, system)} to {side} level her."]
    movers = found.movers.head(MOVERS).to_dict("records")
    if movers:
        moves = (f"{m['what']} {say_metres(m['by_m'], system)} to {side}" for m in movers)
        said.append(f"Any one of these makes it: {'; '.join(moves)}.")
    else:
        said.append("Nobody and nothing aboard can make it alone by moving across.")
    rows = [
        (row["what"], _weight(row["mass_kg"], system), _moment_to(row["my_kg_m"], system), say_heel(row["heel_deg"]))
        for row in found.lists.head(LISTING).to_dict("records")
    ]
    grids = (Grid(("most one-sided", "weight", "moment", "does alone"), tuple(rows)),) if rows else ()
    return Section("Heel", "", (" ".join(said),), grids=grids)


def moment_words(moment: float, system: str) -> str:
    """A moment without its side: "21 kg m", "153 lb ft"."""
    if system == "us":
        return f"{abs(moment) / (factor('lb', 'mass') * factor('ft', 'length')):.0f} lb ft"
    return f"{abs(moment):.0f} kg m"


def _moment_to(moment: float, system: str) -> str:
    return f"{moment_words(moment, system)} to {'port' if moment > 0 else 'starboard'}"


def _weight(mass: float, system: str) -> str:
    if round(mass) == 0:
        return "moved"
    return f"{say_mass(abs(mass), system)}{' off' if mass < 0 else ''}"


def rain(case: Case, system: str) -> Section:
    """Rain standing on the sole, where the folder says which space holds it."""
    hers = {space.name for space in case.boat.spaces}
    spaces = [name for name in case.state.loading.spaces if name in hers and name not in case.held_open]
    if not spaces:
        return Section("Rain that stays aboard", "", ("No cockpit is given: write its corners in spaces.csv.",))
    said, grids = [], []
    for space in spaces:
        try:
            table = rain_in(case, space)
        except InputError as problem:
            said.append(f"{problem}.")
            continue
        marks = case.watched(["sole"]) or case.watched()[:2]
        rows = []
        for row in table.to_dict("records"):
            litres = f"{row['litres']:.0f} L of rain" if row["litres"] else "none"
            if row["status"] != "floats":
                rows.append((litres, str(row["status"]), *[""] * (len(marks) + 1)))
                continue
            heights = (height_cell(row[name] / 1000, system) for name in marks)
            rows.append((litres, say_heel(row["heel_deg"]), say_metres(row["gm_m"], system), *heights))
        grids.append(Grid((space, "heel", "GM, liquids free", *marks), tuple(rows)))
    about = f"{BLOCKED}; {height_unit(system)} above or under water"
    after = ("Rain drains away through open scuppers. What stands on the sole runs to the low side and takes GM.",)
    return Section("Rain that stays aboard", about, tuple(said), grids=tuple(grids), after=after if grids else ())
