"""`stripe`: where the water meets the boot stripe, where to paint it, how high scuppers must stand."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from analysis.command_line import records
from analysis.command_line.choosing import choose_conditions, last_plan
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.command_line.typed import typed_figure
from analysis.report.stripe import against_section, drill_section, stripe_section
from analysis.studies.floats import float_case
from analysis.studies.stripe import Stripe, dry_scuppers, over_stripe, stripe_of
from analysis.studies.stripe_words import stripe_finding
from hullcalc.boats.boat import Boat
from hullcalc.boats.folder import read_boat
from hullcalc.errors import NoEquilibriumError


def run(options: Namespace) -> Outcome:
    """The stripe of one plan, against the old one in all of them."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    _, plan = last_plan(boat, options.plan)
    departure = choose_conditions(boat, [options.condition])[0] if options.condition else None
    margin = typed_figure("--margin", options.margin, "length", options.units)
    found = stripe_of(boat, plan, departure, margin)
    over = _over_in_each_plan(boat, found)
    scuppers = dry_scuppers(list(found.cases.values()), margin)
    parts = [
        stripe_section(found, options.units),
        against_section(over, found, options.units),
        drill_section(found, scuppers, options.units),
    ]

    def draw() -> Any:
        from analysis.figures.stripe import stripe_figure  # here: pictures take a while to import

        return stripe_figure(found, system=options.units)

    return told(
        boat,
        [f"{stripe_finding(found, options.units)}."],
        [part for part in parts if part is not None],
        _figures(found, over, scuppers),
        picture_at(options.out, ending, draw),
    )


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
