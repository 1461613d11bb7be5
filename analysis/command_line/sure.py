"""`sure`: how far the lowest mark may be off, its chance to be under water, what to measure next, the best plan."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from analysis.command_line import records
from analysis.command_line.choosing import choose_plans, condition_or_heaviest
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.report.sure import sure_sections
from analysis.studies.best_plan import BestPlan
from analysis.studies.plans import AS_FOUND
from analysis.studies.sure import LOWEST, Sure, best_of, how_sure, what_she_is_now
from analysis.studies.sure_words import sure_finding
from analysis.studies.words import caution
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.folder import read_boat
from hullcalc.errors import InputError


def run(options: Namespace) -> Outcome:
    """The sections, and at --out the picture."""
    ending = ending_of(options.out)
    samples = _samples(options.samples)
    boat = read_boat(options.folder)
    plans = _plans(boat, options.plan)
    plan = next(iter(plans.values()))
    condition = condition_or_heaviest(boat, plan, options.condition)
    sure = how_sure(boat, plan, condition, options.mark, samples, options.measured)
    best, notes = best_of(boat, plans, condition, options.mark, samples) if len(plans) > 1 else (None, ())

    def draw() -> Any:
        from analysis.figures.chance import chance_figure  # here: pictures take a while to import

        return chance_figure(sure, system=options.units)

    return told(
        boat,
        [f"{sure_finding(sure, options.units)}."],
        sure_sections(sure, best, options.units),
        records.of_boat(boat) | sure_figures(sure, best, options.units),
        picture_at(options.out, ending, draw),
        care=caution([sure.case], options.units),
        notes=[f"Not compared: {note}." for note in notes],
    )


def _plans(boat: Boat, typed: list[str] | None) -> dict[str, AnyPlan]:
    """The plan told of first, then those to compare it with."""
    if typed:
        return dict(choose_plans(boat, typed))
    names = [name for name in boat.plans if name != AS_FOUND] or list(boat.plans)
    return {name: name for name in reversed(names)}


def _samples(typed: str) -> int:
    try:
        return int(typed.replace("_", "").replace(",", ""))
    except ValueError:
        raise InputError(f"--samples {typed!r}: expected a whole number of draws, such as 20000") from None


def sure_figures(sure: Sure, best: BestPlan | None = None, system: str = "metric") -> dict[str, Any]:
    """The same for programs: SI, null where there is no figure."""
    figures: dict[str, Any] = {
        "finding": sure_finding(sure, system),
        "plan": sure.plan,
        "packages": sorted(sure.case.packages),
        "condition": sure.condition,
        "samples": sure.n,
        "samples_in_which_she_sinks": sure.sunk,
        "measured": list(sure.measured),
        "marks": [_mark(sure, row) for _, row in sure.table.iterrows()],
        "shares": [
            {"mark": sure.watched, "group": row["group"], "u_height_m": records.number(row["mm"] / 1000),
             "share_of_variance": records.number(row["share"]), "leans_her": bool(row["leans"])}
            for _, row in sure.shares.iterrows()
        ],
        "measure_next": [_measurement(row) for _, row in sure.next.ranked.iterrows()],
        "measure_in_order": [
            _measurement(row) | {"minutes_in_all": records.number(row["minutes_so_far"])}
            for _, row in sure.next.steps.iterrows()
        ],
        "what_she_is": [
            {key: records.number(value) if isinstance(value, float) else value for key, value in row.items()}
            for row in what_she_is_now(sure.boat, sure.boat.plans).to_dict("records")
        ],
    }  # fmt: skip
    if best is not None:
        figures["best_plan"] = {
            "order_kept_share": records.number(best.order_kept),
            "plans": [
                {"plan": row["plan"], "lowest_mark": row["mark"],
                 "height_above_water_m": records.number(row["height_mm"] / 1000),
                 "highest_share": records.number(row["best_share"])}
                for _, row in best.table.iterrows()
            ],
            "differences": [
                {"plan": row["plan"], "than": row["than"], "lower_by_m": records.number(row["lower_mm"] / 1000),
                 "u_m": records.number(row["u_mm"] / 1000), "higher_share": records.number(row["higher_share"])}
                for _, row in best.pairs.iterrows()
            ],
        }  # fmt: skip
    return figures


def _mark(sure: Sure, row) -> dict[str, Any]:
    """One mark, or the lowest of those watched."""
    lengths = {
        "height_above_water_m": "height_mm", "u_m": "u_mm", "u_level_m": "u_level_mm", "u_leaning_m": "u_lean_mm",
        "drawn_mean_m": "drawn_mean_mm", "drawn_u_m": "drawn_u_mm", "drawn_u_level_m": "drawn_level_u_mm",
        "interval_95_from_m": "low_mm", "interval_95_to_m": "high_mm",
    }  # fmt: skip
    told = sure.agreements.get(row["mark"])
    return (
        {"mark": row["mark"], "lowest_of_several": row["mark"] == LOWEST}
        | {key: records.number(row[column] / 1000) for key, column in lengths.items()}
        | {
            "chance_under_water": records.number(row["chance"]),
            "chance_standard_error": records.number(sure.chance(row["mark"]).se),
            "chance_under_water_level": records.number(row["chance_level"]),
            "chance_by_straight_lines": records.number(row["chance_straight"]),
            "straight_lines_hold": None if told is None else told.straight,
        }
    )


def _measurement(row) -> dict[str, Any]:
    return {
        "measure": row["measure"],
        "minutes": records.number(row["minutes"]),
        "u_then_m": records.number(row["u_mm"] / 1000),
        "removed_m": records.number(row["removed_mm"] / 1000),
        "removed_in_ten_minutes_m": records.number(row["per_ten_minutes_mm"] / 1000),
        "u_level_then_m": records.number(row["u_level_mm"] / 1000),
    }
