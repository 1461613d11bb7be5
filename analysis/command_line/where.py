"""`where`: what may still be added at each place, and what a chosen weight does there; the deck map as a picture."""

from __future__ import annotations

import io
import re
from argparse import Namespace
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from analysis.command_line import records
from analysis.command_line.answer import title
from analysis.command_line.choosing import choose_conditions, choose_plans, known
from analysis.command_line.layout import paragraph, section
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.report.where import where_sections
from analysis.studies.neutral import neutral_over_loads
from analysis.studies.plans import heaviest_condition
from analysis.studies.where import Where, where_to_put
from analysis.studies.where_words import room_finding, say_place
from analysis.studies.words import capital
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.errors import InputError
from hullcalc.units import NotUnderstood, parse_position, parse_quantity

PICTURES = ("svg", "png")
MARKS_IN_TABLE = 2
PER_CENT = re.compile(r"\s*([0-9.,]+)\s*%\s*")


def run(options: Namespace) -> Outcome:
    """The tables, and at --out the deck map."""
    ending = _ending(options.out)
    boat = read_boat(options.folder)
    _, packages = chosen_plan(boat, options.plan)
    condition = chosen_condition(boat, packages, options.condition)
    chance, margin_mm = _margin(options.margin, options.units)
    at = {label: place for text in options.at for label, place in [_place(boat, packages, text, options.units)]} \
        if options.at else None  # fmt: skip
    found = where_to_put(
        boat,
        packages,
        condition,
        at,
        kg=_quantity(options.kg, "mass", "--kg", options.units),
        marks=options.mark,
        margin_mm=margin_mm,
        chance=chance,
        most_kg=_quantity(options.most, "mass", "--most", options.units),
        without=[known(name, boat.people, "person or store") for name in options.without or ()],
        deck=options.out is not None or options.json is not None,
    )
    loads = neutral_over_loads(boat, packages, boat.conditions, _in_table(found))
    columns = width()
    lines = [*title(boat, columns), "", *paragraph(f"{capital(room_finding(found, options.units))}.", columns)]
    for part in where_sections(found, loads, options.units):
        lines += section(part, columns)
    lines += ["", *paragraph(" ".join(STANDING_CARE), columns)]
    files = []
    if ending:
        files.append((options.out, _picture(found, ending, options.units)))
        lines.append(f"Written: {options.out}")
    return Outcome(lines, _figures(found, loads), files)


def chosen_plan(boat: Boat, typed: str | None) -> tuple[str, AnyPlan]:
    """The plan typed, or the last of the folder."""
    if typed is None:
        name = list(boat.plans)[-1]
        return name, name
    return next(iter(choose_plans(boat, [typed]).items()))


def chosen_condition(boat: Boat, plan: AnyPlan, typed: str | None) -> str:
    """The condition typed, or the one in which she is heaviest."""
    return heaviest_condition(boat, plan) if typed is None else choose_conditions(boat, [typed])[0]


def _ending(out: Path | None) -> str:
    ending = "" if out is None else out.suffix.lower().removeprefix(".")
    if out is not None and ending not in PICTURES:
        raise InputError(f"--out {out}: a picture is written as .svg or .png; end the name in one of them")
    return ending


def _margin(text: str, system: str) -> tuple[float | None, float]:
    """A chance, or none and millimetres."""
    share = PER_CENT.fullmatch(text)
    if share:
        return _quantity(text, "fraction", "--margin", system), 0.0
    return None, 1000 * _quantity(text, "length", "--margin", system, {"metric": "mm", "us": "in"})


def _quantity(text: str, kind: str, option: str, system: str, units: Mapping[str, str] | None = None) -> float:
    """What was typed behind an option in SI; a bare number is in the unit shown."""
    default = {"mass": {"metric": "kg", "us": "lb"}, "fraction": {"metric": "", "us": ""}}
    try:
        return parse_quantity(text, kind, (units or default[kind])[system] or None)
    except NotUnderstood as problem:
        raise InputError(f"{option} {text!r}: {problem}") from None


def _place(boat: Boat, plan: AnyPlan, text: str, system: str) -> tuple[str, tuple[float | None, ...]]:
    """A place typed as x, y, z or by the name of who or what stands there: what to call it, and where it is."""
    named: dict[str, tuple[float, ...]] = {}
    for name, thing in boat.ledger.apply(boat.packages_on(plan))[1].items():
        named[name] = tuple(map(float, thing.place))
    named |= {name: tuple(map(float, person.centre)) for name, person in boat.people.items() if person.mass > 0}
    parts = [part.strip() for part in text.replace(";", ",").split(",")]
    if re.match(r"[\d.,½¼¾+−-]", text.strip()) and len(parts) <= 3:
        try:
            unit = "m" if system == "metric" else "ft"
            place = tuple(parse_position(part, axis, unit) for axis, part in zip("xyz", parts, strict=False))
        except NotUnderstood as problem:
            raise InputError(f"--at {text!r}: {problem}") from None
        return say_place(place, system), place
    name = known(text, named, "place (x, y, z), person, store or thing aboard")
    return name, named[name]


def _in_table(found: Where) -> list[str]:
    """The watched marks whose neutral points are shown, the lowest first."""
    return sorted(found.marks, key=lambda name: found.case.heights_shut[name])[:MARKS_IN_TABLE]


def _picture(found: Where, ending: str, system: str) -> bytes:
    from analysis.figures.deck_view import deck_figure  # here: pictures take a while to import
    from analysis.figures.style import style

    buffer = io.BytesIO()
    with style():
        figure = deck_figure(found, system=system)
        figure.savefig(buffer, format=ending, metadata={"Date": None} if ending == "svg" else None)
    return buffer.getvalue()


def _figures(found: Where, loads) -> dict[str, Any]:
    """The same for programs: SI, null where no limit was found."""

    def place(row) -> dict[str, Any]:
        return {axis: records.number(row[axis]) for axis in ("x_m", "y_m", "z_m")} | {
            "may_add_kg": records.number(row["may_add_kg"]),
            "may_add_by_straight_line_kg": records.number(row["linear_kg"]),
            "first_mark": row["first_mark"],
        }

    case = found.case
    return records.of_boat(case.boat) | {
        "finding": room_finding(found),
        "plan": case.plan,
        "packages": sorted(case.packages),
        "condition": case.condition,
        "watched": [
            {"mark": name, "margin_m": records.number(found.margin_mm[name] / 1000),
             "height_above_water_openings_shut_m": records.number(case.heights_shut[name])}
            for name in found.marks
        ],
        "chance": found.chance,
        "limit_tried_kg": records.number(found.most_kg),
        "added_kg": records.number(found.kg),
        "places": [
            {"place": row["place"]} | place(row)
            | {"lowest_mark": row["lowest_mark"], "lowest_m": records.number(row["lowest_mm"] / 1000),
               "change_m": records.number(row["change_mm"] / 1000), "trim_deg": records.number(row["trim_deg"]),
               "heel_deg": records.number(row["heel_deg"])}
            for _, row in found.places.iterrows()
        ],
        "deck": [place(row) for _, row in found.deck.iterrows()],
        "neutral_points": [
            {"condition": row["condition"], "mass_kg": records.number(row["mass_kg"]),
             "waterplane_centre_x_m": records.number(row["lcf_m"]), "leaves_trim_x_m": records.number(row["trim_m"]),
             "leaves_mark_x_m": {name: records.number(row[name]) for name in loads.columns[4:]}}
            for _, row in loads.iterrows()
        ],
    }  # fmt: skip
