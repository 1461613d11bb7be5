"""`trip`: a day on the water in one or more plans, how far the fuel goes, full or empty; the day as a picture."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

import pandas as pd

from analysis.command_line import records
from analysis.command_line.choosing import choose_plans, condition_or_heaviest, known
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.command_line.typed import typed_figure
from analysis.report.trip import compared_section, fuel_section, range_section, trip_sections
from analysis.studies.fuel_alone import FuelAlone, fuel_alone, fuel_compared
from analysis.studies.fuel_range import FuelRange, fuel_for, fuel_range, rules
from analysis.studies.trip import DayOut, day_out, find_trip
from analysis.studies.trip_words import day_finding, days_finding
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.folder import read_boat


def run(options: Namespace) -> Outcome:
    """The day in each plan asked for; range and full or empty in the last of them."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    plans = choose_plans(boat, options.plan or [list(boat.plans)[-1]])
    trip = find_trip(boat, options.trip and known(options.trip, boat.trips, "trip") if boat.trips else options.trip)
    fuel = None if options.fuel is None else typed_figure("--fuel", options.fuel, "volume", options.units)
    days = [day_out(boat, plan, trip, fuel) for plan in plans.values()]
    plan = list(plans.values())[-1]
    condition = condition_or_heaviest(boat, plan, options.condition)
    alone = fuel_alone(boat, plan, condition)
    far, wished = _range(options, days[-1])
    parts = [*trip_sections(days, options.units)]
    parts += [range_section(far, wished, options.units)] if far is not None else []
    parts.append(fuel_section(alone, options.units))
    compared = _compared(boat, plan, condition, options)
    if compared is not None:
        parts.append(compared_section(compared, condition, options.units))

    def draw() -> Any:
        from analysis.figures.day_out import day_figure  # here: pictures take a while to import

        return day_figure(days, system=options.units)

    files = picture_at(options.out, ending, draw)
    finding = f"{days_finding(days, options.units)}."
    return told(boat, [finding], parts, _figures(boat, days, far, alone, compared), files)


def _range(options: Namespace, day: DayOut) -> tuple[FuelRange | None, list[tuple[float, pd.Series]]]:
    """How far the fuel of the day goes, and what the ranges wished need; None where nobody said what she burns."""
    boat, aboard = day.boat, day.table["fuel_l"].iloc[0] / 1000
    if boat.burn.per_nm is None or aboard <= 0:
        return None, []
    kept = None if options.kept is None else typed_figure("--kept", options.kept, "fraction")
    shown = rules(boat.burn, kept)
    wished = [(nm, pd.Series({rule.name: fuel_for(nm, boat.burn, rule) for rule in shown})) for nm in options.nm or ()]
    return fuel_range(aboard, boat.burn, kept), wished


def _compared(boat: Boat, plan: AnyPlan, condition: str, options: Namespace) -> pd.DataFrame | None:
    if not options.against:
        return None
    asked = [typed_figure("--against", text, "volume", options.units) for text in options.against]
    return fuel_compared(boat, plan, condition, asked)


def _figures(
    boat: Boat, days: list[DayOut], far: FuelRange | None, alone: FuelAlone, compared: pd.DataFrame | None
) -> dict[str, Any]:
    """The same for programs: SI but for nautical miles, hours and degrees."""
    found = records.of_boat(boat) | {"trip": days[0].trip.name, "plans": [_day(day) for day in days]}
    if far is not None:
        found["range"] = {
            "aboard_m3": records.number(far.aboard),
            "usable_m3": records.number(far.usable),
            "burn_m3_per_nm": records.number(far.burn),
            "rules": [
                {"rule": row["rule"], "kept_m3": records.number(row["kept_l"] / 1000),
                 "to_burn_m3": records.number(row["to_burn_l"] / 1000), "range_nm": records.number(row["nm"]),
                 "range_low_nm": records.number(row["nm_low"]), "range_high_nm": records.number(row["nm_high"]),
                 "range_head_sea_nm": records.number(row["nm_head_sea"])}
                for _, row in far.table.iterrows()
            ],
        }  # fmt: skip
    found["full_to_a_tenth"] = {
        "condition": alone.condition,
        "waterplane_centre_x_m": records.number(alone.lcf),
        "lcg_without_fuel_m": records.number(alone.lcg_rest),
        "places": [
            {"place": row["place"], "x_m": records.number(row["x_m"]),
             "sole_up_m": records.number(row["sole_mm"] / 1000),
             "lowest_mark_up_m": records.number(row["least_mm"] / 1000),
             "trim_full_deg": records.number(row["trim_full_deg"]),
             "trim_low_deg": records.number(row["trim_low_deg"])}
            for _, row in alone.summary.iterrows()
        ],
    }  # fmt: skip
    if compared is not None:
        found["fuel_compared"] = [
            {"fuel_m3": records.number(row["fuel_l"] / 1000), "fuel_kg": records.number(row["fuel_kg"]),
             "lowest_mark_m": records.number(row["least_mm"] / 1000), "sole_m": records.number(row["sole_mm"] / 1000),
             "trim_deg": records.number(row["trim_deg"]), "range_thirds_nm": records.number(row["nm"])}
            for _, row in compared.iterrows()
        ]  # fmt: skip
    return found


def _day(day: DayOut) -> dict[str, Any]:
    worst = day.worst
    return {
        "plan": day.plan,
        "packages": sorted(day.boat.packages_on(day.along.plan)),
        "finding": day_finding(day),
        "worst": {"at": worst.step, "mark": worst.mark,
                  "height_above_water_openings_shut_m": records.number(worst.height),
                  "u_height_m": records.number(worst.u)},
        "points": [
            {"at": row["at"], "nm": records.number(row["nm"]),
             "hours": records.number(row["hours"]) if day.along.timed else None,
             "fuel_m3": records.number(row["fuel_l"] / 1000), "mass_kg": records.number(row["mass_kg"]),
             "trim_deg": records.number(row["trim_deg"]), "heel_deg": records.number(row["heel_deg"]),
             "lowest_mark": row["least_mark"], "lowest_m": records.number(row["least_mm"] / 1000),
             "u_lowest_m": records.number(day.u_least[k])}
            for k, (_, row) in enumerate(day.table.iterrows())
        ],
    }  # fmt: skip
