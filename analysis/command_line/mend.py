"""`mend`: what mends it, cheapest first, both ends watched; the best mix under limits; the bars as a picture."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from math import degrees
from typing import Any

from analysis.command_line import records
from analysis.command_line.answer import title
from analysis.command_line.choosing import choose_plans, known
from analysis.command_line.drawn import as_bytes, ending_of
from analysis.command_line.layout import paragraph, section
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.command_line.where import chosen_condition
from analysis.report.mending import mending_sections, mix_sections
from analysis.studies.best_mix import BestMix, Limits, best_mix
from analysis.studies.ends import Flag
from analysis.studies.mend_words import mend_finding, mix_parts, say_flag, say_mend
from analysis.studies.mixing import HEIGHT
from analysis.studies.plans import AS_FOUND
from analysis.studies.searched import Searched, search_mends
from analysis.studies.watching import FIRST_ASKED
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.boats.moves import Setting
from hullcalc.errors import InputError
from hullcalc.units import NotUnderstood, parse_quantity


def run(options: Namespace) -> Outcome:
    """The ranking; where a best mix is asked for, or a limit given, the mix too."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    limits = _limits(options)
    plan = first_plan(boat, options.plan)
    condition = chosen_condition(boat, plan, options.condition)
    at = mark_or_kind(boat, plan, options.mark)
    mends = options.mends and known(options.mends, boat.plans, "plan")
    without = [_named(boat, name) for name in options.without or ()]
    mix = None
    if options.best or limits != Limits() or options.aim != HEIGHT:
        mix = best_mix(boat, plan, condition, at, limits, options.aim, options.later, without)
    elif without:
        raise InputError("--without belongs to the best mix: ask for it with --best")
    found = search_mends(boat, plan, condition, at, mends, options.later, options.by)
    columns, system = width(), options.units
    lines = [*title(boat, columns), "", *paragraph(f"{mend_finding(found, options.by, system)}.", columns)]
    parts = mending_sections(found, options.by, system) + (mix_sections(mix, system) if mix is not None else [])
    for part in parts:
        lines += section(part, columns)
    lines += ["", *paragraph(" ".join(STANDING_CARE), columns)]
    files = []
    if ending:
        from analysis.figures.mend_bars import mend_figure  # here: pictures take a while to import

        files.append((options.out, as_bytes(lambda: mend_figure(found, by=options.by, system=system), ending)))
        lines.append(f"Written: {options.out}")
    return Outcome(lines, _figures(found, mix), files)


def first_plan(boat: Boat, typed: str | None) -> AnyPlan:
    """The plan typed, or the first refit of the folder."""
    if typed is not None:
        return next(iter(choose_plans(boat, [typed]).values()))
    return next((name for name in boat.plans if name != AS_FOUND), AS_FOUND)


def mark_or_kind(boat: Boat, plan: AnyPlan, typed: str | None) -> str | None:
    """The mark or kind typed; else the sole where it is marked, else None."""
    marks = boat.marks_in(plan)
    kinds = list(dict.fromkeys(mark.kind for mark in marks.values()))
    if typed is not None:
        return known(typed, [*kinds, *marks], "mark or kind of mark of this plan")
    return FIRST_ASKED if FIRST_ASKED in kinds else None


def _named(boat: Boat, name: str) -> str:
    return known(name, list(dict.fromkeys([*boat.packages, *(f.name for f in boat.freedoms)])),
                 "package, or thing of moves.csv,")  # fmt: skip


def _limits(options: Namespace) -> Limits:
    """The limits typed; a bare number is in the unit shown."""
    length = "mm" if options.units == "metric" else "in"

    def read(option: str, text: str | None, kind: str, unit: str | None) -> float | None:
        if text is None:
            return None
        try:
            return parse_quantity(text, kind, unit)
        except NotUnderstood as problem:
            raise InputError(f"--{option} {text!r}: {problem}") from None

    keep, forward = (read(name, getattr(options, name), "length", length) for name in ("keep", "forward"))
    heel = read("heel", options.heel, "angle", "deg")
    shares = [read("tongue", text, "fraction", None) for text in options.tongue or ()]
    return Limits(
        keep_mm=None if keep is None else 1000 * keep,
        forward_mm=None if forward is None else 1000 * forward,
        tongue=(shares[0] or 0.0, shares[1] or 0.0) if shares else None,
        heel_deg=None if heel is None else round(degrees(heel), 9),
        hours=read("hours", options.hours, "number", None),
        cost=read("cost", options.cost, "number", None),
        bow_up=not options.anyway,
        drains_aft=not options.anyway,
    )


def _figures(found: Searched, mix: BestMix | None) -> dict[str, Any]:
    """The same for programs: SI, hours in h, money in the currency of the boat."""
    figures = records.of_boat(found.boat) | {
        "finding": mend_finding(found),
        "plan": found.plan,
        "condition": found.condition,
        "watched": found.at,
        "currency": found.boat.currency,
        "mends": [
            {
                "mend": say_mend(mend),
                "kind": mend.kind,
                "settings": settings_record(mend.settings),
                "up_m": records.number(mend.mm / 1000),
                "hours": mend.hours,
                "hours_later": mend.work.hours_later,
                "cost": mend.work.cost,
                "up_m_per_hour": records.number(mend.mm_per_hour / 1000),
                "other_end": flags_record(mend.flags),
            }
            for mend in found.mends
        ],
        "no_use": list(found.useless),
    }
    if mix is not None:
        figures["best_mix"] = {
            "aim": mix.aim,
            "packages": list(mix.packages),
            "settings": settings_record(mix.settings),
            "parts": mix_parts(mix),
            "up_m": records.number(mix.mm / 1000),
            "lowest_m": records.number(mix.mix.lowest),
            "hours": records.number(mix.hours),
            "cost": records.number(mix.cost),
            "other_end": flags_record(mix.flags),
            "on_ball_share": None if mix.ends.ball is None else records.number(mix.ends.ball.share),
        }
    return figures


def settings_record(settings: Sequence[Setting]) -> list[dict[str, Any]]:
    """Settings for programs: SI."""
    return [
        {"thing": s.freedom.name, "kind": s.freedom.kind, "value": [records.number(v) for v in s.value]}
        for s in settings
    ]


def flags_record(flags: Sequence[Flag]) -> list[dict[str, Any]]:
    """What got worse at the other end: degrees, metres or shares."""
    return [
        {"what": flag.kind, "words": say_flag(flag), "condition": flag.condition, "mark": flag.mark,
         "before": records.number(flag.before), "after": records.number(flag.after)}
        for flag in flags
    ]  # fmt: skip
