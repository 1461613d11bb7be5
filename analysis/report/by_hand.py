"""By hand and exactly, as sections: one screen with the hand beside the float, and every number opened to its sum.

`TOPICS` names what can be opened; each gives sections from a `ByHand`. What cannot be asked of a boat is said in one
sentence in its place. `system` is "metric" or "us".
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from analysis.report.by_hand_stability import gm_sections, heel_sections, space_sections, surface_sections
from analysis.report.parts import Grid, Section, say_metres
from analysis.report.sums import sum_section
from analysis.studies.by_hand.change import end_points
from analysis.studies.by_hand.parting import Parting, parting_words
from analysis.studies.by_hand.saying import say_error, say_excess, say_figure
from analysis.studies.by_hand.study import ByHand
from analysis.studies.by_hand.sums import Figure
from analysis.studies.by_hand.weights import centre_sum, g_and_b
from analysis.studies.words import capital, the_plan
from hullcalc.errors import HullcalcError
from hullcalc.units import say_height, say_length_mm, say_mass, say_position, say_trim, say_volume

Sections = list[Section]
Rows = list[tuple[str, ...]]


def headline(study: ByHand, system: str = "metric") -> str:
    """The finding, without a full stop: the worst error of the hand at an end, and which way."""
    one = study.after
    if not study.refitted:
        g, b = float(one.state.cg[0]), float(one.state.buoyancy[0])
        apart = say_length_mm(abs(g - b), system)
        said = f"B stands under G square to the water, {apart} from it in x"
        return f"{capital(the_plan(one.plan))}, {one.condition}: {said}"
    table = study.change.table.set_index("point")["hand_error_mm"]
    ends = {name: float(table[name]) / 1000 for name in end_points(one.boat, one.loading)}
    worst = max(ends, key=lambda name: abs(ends[name]))
    trim = study.change
    return (
        f"{capital(the_plan(one.plan))}, {one.condition}: by hand {say_trim(trim.from_before.trim)}, "
        f"exactly {say_trim(trim.exact.trim)}; the hand puts {worst} {say_error(ends[worst], system)}"
    )


def summary(study: ByHand, system: str = "metric") -> Sections:
    """One screen: for each question the hand's figure, the exact one and the error."""
    rows: Rows = []
    left_out = []
    for ask in (_change_rows, _heel_rows, _surface_rows, _water_rows):
        try:
            rows += ask(study, system)
        except HullcalcError as problem:
            left_out.append(f"{capital(str(problem))}.")
    grid = Grid(("", "by hand", "exactly", "error"), tuple(rows))
    after = (*left_out, f"Open a number to its sum with --about: {', '.join(TOPICS)}.")
    return [Section("By hand and exactly", f"{study.after.plan}, {study.after.condition}", grids=(grid,), after=after)]


def _change_rows(study: ByHand, system: str) -> Rows:
    change = study.change
    rows: Rows = []
    table = change.table.set_index("point")
    for name in end_points(study.boat, study.after.loading):
        hand, exact = (float(table.loc[name, key]) / 1000 for key in ("by_hand_mm", "exact_mm"))
        deep = (say_length_mm(-height, system) + " deep" for height in (hand, exact))
        rows.append((f"{name}, after", *deep, say_error(hand - exact, system)))
    way = {"by TPC and MCT of the boat before": change.from_before, "by the table at her new weight": change.from_table}
    for name, reckoned in way.items():
        apart = reckoned.trim - change.exact.trim
        way_off = f"{abs(apart):.2f}° too far {'up' if apart > 0 else 'down'}"
        rows.append((f"trim, {name}", _degrees(reckoned.trim), _degrees(change.exact.trim), way_off))
    return rows


def _heel_rows(study: ByHand, system: str) -> Rows:
    step = study.person
    rows: Rows = [
        (f"{say_mass(step.mass, system)} shifted {say_metres(step.distance, system)} across: heel",
         f"{step.by_hand:.2f}°", f"{step.exact:.2f}°", _apart(step.by_hand - step.exact))
    ]  # fmt: skip
    table = study.heeling.table
    for heel in (5.0, 20.0):
        row = table[table["heel_deg"] == heel].iloc[0]
        arms = (say_figure(Figure(float(row[key]), "small"), system) for key in ("wall_sided_m", "exact_m"))
        apart = say_excess(Figure(float(row["wall_sided_m"] - row["exact_m"]), "small"), system)
        rows.append((f"righting arm at {heel:.0f}°, wall-sided", *arms, apart))
    return rows


def _surface_rows(study: ByHand, system: str) -> Rows:
    rows: Rows = []
    for tank in study.surfaces.tanks:
        hand, exact = (say_figure(Figure(v, "small"), system) for v in (tank.by_hand, tank.exact))
        apart = say_excess(Figure(tank.by_hand - tank.exact, "small"), system)
        rows.append((f"GM lost to {tank.tank.name}, l b³ / 12", hand, exact, apart))
    return rows


def _water_rows(study: ByHand, system: str) -> Rows:
    water = study.water
    return [
        (f"{row['point']} in water of {say_figure(Figure(water.density, 'density'), system)}",
         *(_deeper(float(row[key]) / 1000, system) for key in ("by_hand_mm", "exact_mm")),
         say_excess(Figure(float(row["error_mm"]) / 1000, "small"), system))
        for _, row in water.table.iterrows()
    ]  # fmt: skip


def _deeper(metres: float, system: str) -> str:
    words = say_figure(Figure(abs(metres), "small"), system)
    return f"{words} {'deeper' if metres >= 0 else 'up'}"


def _degrees(trim: float) -> str:
    return f"{abs(trim):.2f}° {'bow up' if trim >= 0 else 'bow down'}"


def _apart(degrees: float) -> str:
    return say_excess(Figure(float(np.radians(degrees)), "angle"))


def weight_sections(study: ByHand, system: str = "metric") -> Sections:
    """The moment sum: by package, then every item; G over B."""
    items = study.weights
    groups = list(dict.fromkeys(item.group for item in items.items))
    of = [(group, items.of_group(group)) for group in groups]
    by_group = _moment_grid([(n, g.mass, g.moment) for n, g in of] + [("in all", items.mass, items.moment)], system)
    each = _moment_grid([(i.what, i.mass, i.moment) for i in items.items], system)
    return [
        Section("Weights and moments", "by package, about the lower end of the transom", grids=(by_group,)),
        sum_section(centre_sum(items), system),
        Section("Every item", "taken off is below zero; a move is taken off and put on", grids=(each,)),
        sum_section(g_and_b(study.after.state), system),
    ]


def _moment_grid(rows: list[tuple[str, float, np.ndarray]], system: str) -> Grid:
    """Weight, place along her, and the three moments; a figure below zero is "minus"."""

    def row(what: str, mass: float, moment: np.ndarray) -> tuple[str, ...]:
        place = say_position(float(moment[0] / mass), "x", system) if abs(mass) > 1e-9 else ""
        place = place.replace(" of the transom", "").replace(" the transom", " transom")
        cells = (say_figure(Figure(float(m), "moment"), system).rsplit(" ", 2)[0] for m in moment)
        return (what, say_figure(Figure(mass, "mass"), system), place, *cells)

    unit = "kg m" if system == "metric" else "lb ft"
    return Grid(
        ("", "weight", "place", f"along, {unit}", "to port", "up"), tuple(row(what, m, mom) for what, m, mom in rows)
    )


def change_sections(study: ByHand, system: str = "metric") -> Sections:
    """The change opened both ways, the marks beside the float, and package by package."""
    change = study.change
    rows = []
    for _, row in change.table.iterrows():
        by_hand, by_table, exact = (float(row[k]) / 1000 for k in ("by_hand_mm", "by_table_mm", "exact_mm"))
        rows.append(
            (str(row["point"]), say_height(by_hand, system), say_height(by_table, system), say_height(exact, system),
             say_error(by_hand - exact, system), say_error(by_table - exact, system))
        )  # fmt: skip
    marks = Grid(("", "by TPC, MCT", "by table", "exactly", "error of TPC, MCT", "error of table"), tuple(rows))
    return [
        *(sum_section(one, system) for one in change.sums),
        Section("At the marks", "above or under water, openings shut", grids=(marks,)),
        _stage_section(study, system),
        parting_section(study.parting, system),
    ]


def _stage_section(study: ByHand, system: str) -> Section:
    rows = []
    for _, row in study.stages.table.iterrows():
        step = float(row["step_worst_mm"])
        rows.append(
            (str(row["stage"]), say_mass(float(row["mass_kg"]), system),
             *(_turn(float(row[key])) for key in ("hand_deg", "exact_deg")),
             say_length_mm(float(row["worst_mm"]) / 1000, system),
             say_length_mm(step / 1000, system) if np.isfinite(step) else "")
        )  # fmt: skip
    grid = Grid(("packages on", "added", "trim by hand", "exactly", "worst mark off by", "stage by stage"), tuple(rows))
    said = (
        "Trim is the change from the start. The last column starts the hand again from the stage before, its figures "
        "taken anew: short steps keep it near."
    )
    return Section("From a light change to a large one", "package by package", grids=(grid,), after=(said,))


def _turn(degrees: float) -> str:
    return f"{abs(degrees):.2f}° {'up' if degrees >= 0 else 'down'}"


def parting_section(one: Parting, system: str = "metric") -> Section:
    """How far the hand may be trusted on the way to the change."""
    return Section("Where the two lines part", after=tuple(parting_words(one, system)))


def centre_sections(study: ByHand, system: str = "metric") -> Sections:
    """LCG, LCB, LCF and the neutral point of trim in each condition."""
    keys = ("lcg_m", "lcb_m", "lcf_m", "neutral_x_m")
    rows = tuple(
        (str(row["condition"]), say_mass(float(row["mass_kg"]), system),
         *(say_figure(Figure(float(row[key]), "length"), system) for key in keys), _degrees(float(row["trim_deg"])))
        for _, row in study.centres.iterrows()
    )  # fmt: skip
    grid = Grid(("", "weight", "LCG", "LCB", "LCF", "neutral point of trim", "trim"), rows)
    said = (
        "B stands under G, near the same x; F is the middle of the waterplane, about which she trims. A small weight "
        "at the neutral point, near LCF, sinks her and trims her not at all; each mark has a neutral point of its own."
    )
    return [
        Section(
            "LCG, LCB and LCF", "forward of the transom's lower end, on the centreline", grids=(grid,), after=(said,)
        )
    ]


def pod_sections(study: ByHand, system: str = "metric") -> Sections:
    """What each body beside the hull lifts as she floats."""
    parts = []
    for one in study.lifts:
        under, gross = say_volume(one.immersed, system), say_volume(one.gross, system)
        lift = say_mass(one.lift, system)
        parts.append(sum_section(one.sum, system, (f"{under} of {gross} are under and lift {lift}.",)))
    return parts


def water_sections(study: ByHand, system: str = "metric") -> Sections:
    grid = Grid(("", "by hand", "exactly", "error"), tuple(_water_rows(study, system)))
    return [sum_section(study.water.sum, system), Section("In the other water", grids=(grid,))]


def tape_sections(study: ByHand, system: str = "metric") -> Sections:
    """What a slip of the tape does, and how an anchor hides it."""
    slips = study.tape
    rows = tuple(
        (str(row["slip"]), *(_deeper(float(row[key]) / 1000, system) for key in ("aft_mm", "forward_mm")))
        for _, row in slips.table.iterrows()
    )
    said = ("The same slip all along the boat; single slips mostly cancel. Heights matter, breadths hardly.",)
    parts = [
        Section(
            "What a slip of the tape does", "said to lie, against the stations as taped",
            grids=(Grid(("", *slips.ends), rows),), after=(*said, *slips.left_out),
        )
    ]  # fmt: skip
    try:
        one = study.anchor
    except HullcalcError as problem:
        return [*parts, Section("Why anchor", after=(f"{capital(str(problem))}.",))]
    grid = Grid(
        (one.slip, *slips.ends),
        (
            ("plain", *(say_error(-mm / 1000, system) for mm in (one.aft_plain_mm, one.forward_plain_mm))),
            ("anchored", *(say_error(-mm / 1000, system) for mm in (one.aft_anchored_mm, one.forward_anchored_mm))),
        ),
    )
    said = (
        f"The anchor is {say_figure(Figure(one.weight, 'mass'), system)} at "
        f"{say_position(one.weight_x, 'x', system)}: the weight with which the wrong hull floats at the plane of "
        f"{study.before.plan}. It has taken the slip of the hull into itself, so it is no weight of hers.",
    )
    return [*parts, Section("Why anchor", f"error of {study.after.plan} as predicted", grids=(grid,), after=said)]


TOPICS: dict[str, Callable[[ByHand, str], Sections]] = {
    "weights": weight_sections,
    "change": change_sections,
    "heel": heel_sections,
    "surface": surface_sections,
    "space": space_sections,
    "gm": gm_sections,
    "centres": centre_sections,
    "pod": pod_sections,
    "water": water_sections,
    "tape": tape_sections,
}


def opened(study: ByHand, topic: str, system: str = "metric") -> Sections:
    """The sections of a topic; where it cannot be asked of this boat, one that says so and how to mend it."""
    try:
        return TOPICS[topic](study, system)
    except HullcalcError as problem:
        return [Section(topic, after=(f"{capital(str(problem))}.",))]
