"""`where`: what may still be added at each place, and what a chosen weight does there; the deck map as a picture."""

from __future__ import annotations

import re
from argparse import Namespace
from typing import Any

from analysis.command_line import records
from analysis.command_line.choosing import condition_or_heaviest, known, last_plan
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.command_line.typed import typed_figure, typed_place
from analysis.report.where import where_sections
from analysis.studies.neutral import neutral_over_loads
from analysis.studies.where import Where, where_to_put
from analysis.studies.where_words import room_finding, say_place
from analysis.studies.words import capital
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.folder import read_boat

MARKS_IN_TABLE = 2
USUAL, MOST = {"metric": "60 kg", "us": "130 lb"}, {"metric": "500 kg", "us": "1000 lb"}  # round where they are said
PER_CENT = re.compile(r"\s*([0-9.,]+)\s*%\s*")


def run(options: Namespace) -> Outcome:
    """The tables, and at --out the deck map."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    _, packages = last_plan(boat, options.plan)
    condition = condition_or_heaviest(boat, packages, options.condition)
    chance, margin_mm = _margin(options.margin, options.units)
    at = {label: place for text in options.at for label, place in [_place(boat, packages, text, options.units)]} \
        if options.at else None  # fmt: skip
    found = where_to_put(
        boat,
        packages,
        condition,
        at,
        kg=typed_figure("--kg", options.kg or USUAL[options.units], "mass", options.units),
        marks=options.mark,
        margin_mm=margin_mm,
        chance=chance,
        most_kg=typed_figure("--most", options.most or MOST[options.units], "mass", options.units),
        without=[known(name, boat.people, "person or store") for name in options.without or ()],
        deck=options.out is not None or options.json is not None,
        system=options.units,
    )
    loads = neutral_over_loads(boat, packages, boat.conditions, _in_table(found))

    def draw() -> Any:
        from analysis.figures.deck_view import deck_figure  # here: pictures take a while to import

        return deck_figure(found, system=options.units)

    return told(
        boat,
        [f"{capital(room_finding(found, options.units))}."],
        where_sections(found, loads, options.units),
        _figures(found, loads),
        picture_at(options.out, ending, draw),
    )


def _margin(text: str, system: str) -> tuple[float | None, float]:
    """A chance, or none and millimetres."""
    share = PER_CENT.fullmatch(text)
    if share:
        return typed_figure("--margin", text, "fraction"), 0.0
    return None, 1000 * typed_figure("--margin", text, "length", system)


def _place(boat: Boat, plan: AnyPlan, text: str, system: str) -> tuple[str, tuple[float | None, ...]]:
    """A place typed as x, y, z or by the name of who or what stands there: what to call it, and where it is."""
    named: dict[str, tuple[float, ...]] = {}
    for name, thing in boat.ledger.apply(boat.packages_on(plan))[1].items():
        named[name] = tuple(map(float, thing.place))
    named |= {name: tuple(map(float, person.centre)) for name, person in boat.people.items() if person.mass > 0}
    parts = [part.strip() for part in text.replace(";", ",").split(",")]
    if re.match(r"[\d.,½¼¾+−-]", text.strip()) and len(parts) <= 3:
        place = typed_place("--at", text, system)
        return say_place(place, system), place
    name = known(text, named, "place (x, y, z), person, store or thing aboard")
    return name, named[name]


def _in_table(found: Where) -> list[str]:
    """The watched marks whose neutral points are shown, the lowest first."""
    return sorted(found.marks, key=lambda name: found.case.heights_shut[name])[:MARKS_IN_TABLE]


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
