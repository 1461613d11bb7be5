"""The dock rehearsal as a sheet to print: cans, what to read off, what cannot be seen on the uncut boat."""

from __future__ import annotations

from analysis.report.parts import Grid, Section, height_cell, height_unit
from analysis.studies.mend_words import rehearsal_finding
from analysis.studies.plans import AS_FOUND
from analysis.studies.rehearsal import Rehearsal
from analysis.studies.words import capital, the_plan
from hullcalc.boats.limits import say_list
from hullcalc.units import say_heel, say_length_mm, say_mass, say_position, say_trim

NOTHING = 0.5  # kg: a lift less than this is none


def rehearsal_sections(found: Rehearsal, system: str = "metric") -> list[Section]:
    """What to put where; what to read; why it is not simply the plan's added weight; what is not seen."""
    return [_cans(found, system), _readings(found, system), _why(found, system)]


def _cans(found: Rehearsal, system: str) -> Section:
    rows = []
    for _, row in found.cans.sort_values(["x_m", "y_m"]).iterrows():
        across = say_position(float(row["y_m"]), "y", system)
        rows.append(
            (say_position(float(row["x_m"]), "x", system), across, str(row["cans"]), say_mass(row["kg"], system))
        )
    total = found.count * found.can_kg
    rows.append(("in all", "", str(found.count), say_mass(total, system)))
    exact = (
        f"Exact would be {say_mass(found.load_kg, system)} at {_place(found, system)}. A filled can is taken as "
        f"{say_mass(found.can_kg, system)}: weigh one. Cans stand on the sole."
    )
    return Section(
        "Cans on the uncut boat",
        f"boat as found, {found.uncut.condition}",
        (f"{rehearsal_finding(found, system)}.",),
        grids=(Grid(("where", "across", "cans", "weight"), tuple(rows)),),
        after=(exact,),
    )


def _readings(found: Rehearsal, system: str) -> Section:
    rows: list[tuple[str, ...]] = [
        (
            str(row["mark"]),
            _cell(found, row["mark"], row["uncut_mm"], system),
            _cell(found, row["mark"], row["cans_mm"], system),
            _cell(found, row["mark"], row["plan_mm"], system),
            _off(row["off_mm"], system),
            "______",
        )
        for _, row in found.marks.iterrows()
    ]
    states = (found.uncut.shut, found.loaded.shut, found.target.shut)
    rows.append(("trim of the keel run", *(say_trim(float(s.trim)) for s in states), "", ""))
    rows.append(("heel", *(say_heel(float(s.heel)) for s in states), "", ""))
    head = ("", "nothing added", "with the cans", "the plan", "off", "read")
    after = []
    if found.other_marks:
        after.append(
            f"Not to be seen on the uncut boat, new or elsewhere in the plan: {say_list(list(found.other_marks))}."
        )
    wet = [name for name in found.loaded.under if name in found.loaded.marks]
    if wet:
        after.append(f"Under water with the cans aboard: {say_list(wet)}. Plug them first, and keep a pump at hand.")
    after.append(
        "Calm water, lines slack, nobody aboard but those counted. Read every mark on both sides, chalk the waterline, "
        "take the cans off from the stern first."
    )
    return Section(
        "What to read off", f"{height_unit(system)} above water", grids=(Grid(head, tuple(rows)),), after=tuple(after)
    )


def _why(found: Rehearsal, system: str) -> Section:
    plan = the_plan(found.target.plan)
    said = [
        f"{capital(plan)} in {found.target.condition} is {say_mass(found.plain_kg, system)} heavier than the uncut "
        f"boat with {found.uncut.condition}, centred {say_position(found.plain_x, 'x', system)}."
    ]
    if abs(found.lift_kg) > NOTHING:
        verb, lift = "carry" if found.lift_kg > 0 else "take away", say_mass(abs(found.lift_kg), system)
        said.append(
            f"Bodies that only {plan if found.lift_kg > 0 else AS_FOUND} has {verb} {lift} of it, at "
            f"{say_position(found.lift_x, 'x', system)}: the uncut boat has no such lift, so the cans leave that out."
        )
    said.append(f"What remains is {say_mass(found.load_kg, system)} at {_place(found, system)}.")
    return Section("Why so much, and there", before=tuple(said))


def _place(found: Rehearsal, system: str) -> str:
    along, across = (say_position(float(found.load_place[k]), axis, system) for k, axis in ((0, "x"), (1, "y")))
    return f"{along}, {across}"


def _cell(found: Rehearsal, name: str, mm: float, system: str) -> str:
    said = height_cell(mm / 1000, system)
    return said.replace(" under", " deep") if found.target.marks[name].kind == "draught" else said


def _off(mm: float, system: str) -> str:
    said = say_length_mm(abs(mm) / 1000, system)
    return "none" if said[:2] == "0 " else f"{said} {'high' if mm > 0 else 'low'}"
