"""`mend`: what mends it, cheapest first, both ends watched; the best mix under limits; the bars as a picture."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from math import degrees
from typing import Any

from analysis.command_line import records
from analysis.command_line.choosing import condition_or_heaviest, first_refit, known, mark_or_kind
from analysis.command_line.drawn import ending_of, picture_at
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.command_line.typed import typed_figure
from analysis.report.mending import mending_sections, mix_sections
from analysis.studies.best_mix import BestMix, Limits, best_mix
from analysis.studies.ends import Flag
from analysis.studies.mend_words import mend_finding, mix_parts, say_flag, say_mend
from analysis.studies.mixing import HEIGHT
from analysis.studies.searched import Searched, search_mends
from hullcalc.boats.boat import Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.moves import Setting
from hullcalc.errors import InputError


def run(options: Namespace) -> Outcome:
    """The ranking; where a best mix is asked for, or a limit given, the mix too."""
    ending = ending_of(options.out)
    boat = read_boat(options.folder)
    limits = _limits(options)
    plan = first_refit(boat, options.plan)
    condition = condition_or_heaviest(boat, plan, options.condition)
    at = mark_or_kind(boat, plan, options.mark)
    mends = options.mends and known(options.mends, boat.plans, "plan")
    without = [_named(boat, name) for name in options.without or ()]
    mix = None
    if options.best or limits != Limits() or options.aim != HEIGHT:
        mix = best_mix(boat, plan, condition, at, limits, options.aim, options.later, without)
    elif without:
        raise InputError("--without belongs to the best mix: ask for it with --best")
    found = search_mends(boat, plan, condition, at, mends, options.later, options.by)
    system = options.units
    parts = mending_sections(found, options.by, system) + (mix_sections(mix, system) if mix is not None else [])

    def draw() -> Any:
        from analysis.figures.mend_bars import mend_figure  # here: pictures take a while to import

        return mend_figure(found, by=options.by, system=system)

    files = picture_at(options.out, ending, draw)
    return told(boat, [f"{mend_finding(found, options.by, system)}."], parts, _figures(found, mix), files)


def _named(boat: Boat, name: str) -> str:
    return known(name, list(dict.fromkeys([*boat.packages, *(f.name for f in boat.freedoms)])),
                 "package, or thing of moves.csv,")  # fmt: skip


def _limits(options: Namespace) -> Limits:
    """The limits typed; a bare number is in the unit shown."""

    def read(option: str, text: str | None, kind: str) -> float | None:
        return None if text is None else typed_figure(f"--{option}", text, kind, options.units)

    keep, forward = (read(name, getattr(options, name), "length") for name in ("keep", "forward"))
    heel = read("heel", options.heel, "angle")
    shares = [read("tongue", text, "fraction") for text in options.tongue or ()]
    return Limits(
        keep_mm=None if keep is None else 1000 * keep,
        forward_mm=None if forward is None else 1000 * forward,
        tongue=(shares[0] or 0.0, shares[1] or 0.0) if shares else None,
        heel_deg=None if heel is None else round(degrees(heel), 9),
        hours=read("hours", options.hours, "number"),
        cost=read("cost", options.cost, "number"),
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
