"""`stripe`: where the water meets the boot stripe, where to paint it, how high scuppers must stand."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from analysis.command_line import records
from analysis.command_line.answer import title
from analysis.command_line.choosing import choose_conditions
from analysis.command_line.drawn import as_bytes, ending_of
from analysis.command_line.layout import paragraph, section
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.command_line.where import chosen_plan
from analysis.report.stripe import against_section, drill_section, stripe_section
from analysis.studies.floats import float_case
from analysis.studies.stripe import Stripe, dry_scuppers, over_stripe, stripe_of
from analysis.studies.stripe_words import stripe_finding
from hullcalc.boats.boat import Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.errors import InputError, NoEquilibriumError
from hullcalc.units import NotUnderstood, parse_quantity


def run(options: Namespace) -> Outcome:
    """The stripe of one plan, against the old one in all of them."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    _, plan = chosen_plan(boat, options.plan)
    departure = choose_conditions(boat, [options.condition])[0] if options.condition else None
    try:
        margin = parse_quantity(options.margin, "length", "mm" if options.units == "metric" else "in")
    except NotUnderstood as problem:
        raise InputError(f"--margin {options.margin!r}: {problem}") from None
    found = stripe_of(boat, plan, departure, margin)
    over = _over_in_each_plan(boat, found)
    scuppers = dry_scuppers(list(found.cases.values()), margin)
    columns = width()
    lines = [*title(boat, columns), "", *paragraph(f"{stripe_finding(found, options.units)}.", columns)]
    parts = [stripe_section(found, options.units), against_section(over, found, options.units)]
    for part in (*parts, drill_section(found, scuppers, options.units)):
        lines += section(part, columns) if part is not None else []
    lines += ["", *paragraph(" ".join(STANDING_CARE), columns)]
    files = []
    if ending:
        from analysis.figures.stripe import stripe_figure  # here: pictures take a while to import

        files.append((options.out, as_bytes(lambda: stripe_figure(found, system=options.units), ending)))
        lines.append(f"Written: {options.out}")
    return Outcome(lines, _figures(found, over, scuppers), files)


def _over_in_each_plan(boat: Boat, found: Stripe) -> dict[str, list[float]]:
    """The water over the old stripe in the condition she departs in, plan by plan; those that sink are left out."""
    over = {}
    for plan in boat.plans:
        try:
            over[plan] = over_stripe(float_case(boat, plan, found.departure), found.places)
        except NoEquilibriumError:
            continue
    return over


def _figures(found: Stripe, over: dict[str, list[float]], scuppers) -> dict[str, Any]:  # type: ignore[no-untyped-def]
    """The same for programs: heights above the keel line, SI."""
    return records.of_boat(found.boat) | {
        "finding": stripe_finding(found),
        "plan": found.plan,
        "departure": found.departure,
        "margin_m": records.number(found.margin),
        "places": [
            {"place": row["place"], "x_m": records.number(row["x_m"])}
            | {f"{key}_m": records.number(row[f"{key}_mm"] / 1000)
               for key in ("old", "water", "over_old", "paint", "above_old", "u", "port", "starboard")}
            for _, row in found.table.iterrows()
        ],
        "water_over_old_m": {
            plan: [records.number(mm / 1000) for mm in figures] for plan, figures in over.items()
        },
        "mark_off": [
            {"place": row["place"], "x_m": records.number(row["x_m"])}
            | {f"{key}_m": records.number(row[f"{key}_mm"] / 1000) for key in ("paint", "skin", "plumb")}
            for _, row in found.drill.iterrows()
        ],
        "scuppers": [
            {"mark": row["mark"], "for": row["worst"]}
            | {f"{key}_m": records.number(row[f"{key}_mm"] / 1000) for key in ("now", "needs", "raise_by")}
            for _, row in scuppers.iterrows()
        ],
    }  # fmt: skip
