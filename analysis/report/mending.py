"""What mends it, cheapest first, and the best mix under limits, in sections."""

from __future__ import annotations

from analysis.report.parts import Grid, Section, height_cell, height_unit
from analysis.studies.best_mix import BestMix
from analysis.studies.floats import Case
from analysis.studies.mend_words import (
    mix_finding,
    mix_parts,
    say_flag,
    say_hours,
    say_mend,
    say_money,
    say_rate,
    say_setting,
)
from analysis.studies.mends import height_at
from analysis.studies.mixing import HOURS
from analysis.studies.searched import Mend, Searched
from analysis.studies.words import capital, say_change, the_plan
from hullcalc.boats.limits import say_list
from hullcalc.boats.moves import PLACE, RESIZE, Setting
from hullcalc.units import say_length_mm, say_mass

PER_STEP = {"metric": 0.1, "us": 0.1016}  # m: every so much of a move buys so much; 100 mm, 4 in
LEAST_MOVE = 0.02  # m
WORTH_MM = 2.0  # of a gain that is worth opening


def mending_sections(found: Searched, by: str = HOURS, system: str = "metric") -> list[Section]:
    """Mends ranked; how far each is worth it; what each does at the other end."""
    return [part for part in (_ranked(found, by, system), _how_far(found, system), _ends(found, system)) if part]


def mix_sections(mix: BestMix, system: str = "metric") -> list[Section]:
    """The best mix: what is done, where the lowest marks are then, and what it does at the other end."""
    rows = [
        (f"lowest {mix.at}", *(height_cell(height_at(case, mix.at), system) for case in (mix.before, mix.case))),
        ("lowest of all", *(_least(case, system) for case in (mix.before, mix.case))),
        ("hours", "", say_hours(mix.hours)),
        ("cost", "", say_money(mix.cost, mix.boat.currency)),
    ]
    if mix.ends.ball is not None:
        rows.append(("on the trailer's ball", "", f"{100 * mix.ends.ball.share:.1f} %"))
    after = [f"{capital(say_flag(flag, system))}." for flag in mix.flags]
    if mix.left_out:
        after.append(f"Left out, as nobody said what they take: {say_list(list(mix.left_out))}.")
    after.append(_kept(mix, system))
    return [
        Section(
            "The best mix",
            f"{the_plan(mix.plan)}, {mix.condition}, {height_unit(system)}, spaces shut",
            (f"{mix_finding(mix, system)}.",),
            tuple(mix_parts(mix, system)),
            (Grid(("", "now", "with it"), tuple(rows)),),
            tuple(after),
        )
    ]


def _ranked(found: Searched, by: str, system: str) -> Section:
    boat = found.boat
    rows = [
        (
            say_mend(mend, system),
            say_change(-mend.mm, system),
            height_cell(height_at(mend.case, found.at), system),
            say_hours(mend.hours),
            say_money(mend.work.cost, boat.currency),
            say_rate(mend, by, boat.currency, system),
            "worse" if any(flag.grave for flag in mend.flags) else "lower" if mend.flags else "as it was",
        )
        for mend in found.mends
    ]
    now = height_cell(height_at(found.before, found.at), system)
    head = ("one mend alone", "buys", f"{found.at} then", "hours", "cost", "buys so much", "other end")
    after = [f"Now the lowest {found.at} is {now}. Each floated again alone, spaces shut; they do not simply add up."]
    if found.later:
        after.append("Hours are those once the sole is down.")
    elif dear := [
        m for m in found.mends if m.work.hours_later is not None and m.work.hours_later > (m.work.hours or 0)
    ]:
        later = {f"{m.name.removeprefix('mend: ')} {say_hours(m.work.hours_later)}": None for m in dear}
        after.append(f"Done once the sole is down: {'; '.join(later)}.")
    if found.useless:
        after.append(f"Tried, and no use within their limits: {say_list(list(dict.fromkeys(found.useless)))}.")
    if found.absent:
        after.append(f"Not there in this plan and load: {say_list(list(dict.fromkeys(found.absent)))}.")
    if not boat.freedoms:
        after.append("Only the yard's packages were tried: moves.csv says what else may be moved, and where it fits.")
    if not boat.works and not boat.freedoms:
        after.append("Nobody said what they take: packages.csv (package, hours, cost) ranks them.")
    about = f"{the_plan(found.plan)}, {found.condition}; {height_unit(system)} above water, lowest {found.at}"
    return Section("What mends it, cheapest first", about, grids=(Grid(head, tuple(rows)),), after=tuple(after))


def _how_far(found: Searched, system: str) -> Section | None:
    said = [text for mend in found.mends if (text := _worth(mend, system))]
    return Section("How far it is worth going", "", listed=tuple(said)) if said else None


def _worth(mend: Mend, system: str) -> str:
    """What every 100 mm of a move buys, where nine tenths of it are had, how far nothing grave happens."""
    if mend.kind not in (PLACE, RESIZE) or mend.now is None or mend.mm < WORTH_MM:
        return ""
    name, parts = mend.name, []
    way = abs(float(mend.settings[0].value[0] - mend.now[0]))
    if mend.kind == PLACE and way > LEAST_MOVE:
        step = PER_STEP[system]
        rate = say_length_mm(mend.mm * step / way / 1000, system)
        if rate[:2] != "0 ":
            parts.append(f"every {say_length_mm(step, system)} forward or aft buys {rate} on average")
    if mend.enough is not None and abs(mend.enough[0].value[0] - mend.settings[0].value[0]) > LEAST_MOVE:
        parts.append(f"{say_length_mm(mend.enough[1] / 1000, system)} of it {_where(mend.enough[0], system)}")
    if mend.clear is not None:
        setting, mm = mend.clear
        parts.append(
            f"nothing grave at the other end as far as {_where(setting, system).removeprefix('at ')}, "
            f"which buys {say_length_mm(mm / 1000, system)}"
        )
    return f"{name}: {'; '.join(parts)}" if parts else ""


def _where(setting: Setting, system: str) -> str:
    """The value without the thing's name: "at 2.75 m forward of the transom"."""
    words = say_setting(setting, system).removeprefix(setting.freedom.name).strip()
    return f"at {words.removeprefix('to ').removeprefix('of ')}"


def _ends(found: Searched, system: str) -> Section | None:
    said = [
        f"{say_mend(mend, system)}: {'; '.join(say_flag(flag, system) for flag in mend.flags)}"
        for mend in found.mends
        if mend.flags
    ]
    if found.ends.ball is not None:
        ball = found.ends.ball
        trailer = (
            f"On the trailer now, tanks empty: {say_mass(ball.kg, system)} on the ball, {100 * ball.share:.1f} % of "
            f"boat and trailer ({say_mass(ball.gross, system)}). Vehicle and coupler plates decide what is right."
        )
    else:
        trailer = "The trailer is not watched: [trailer] in boat.toml says what it weighs and where it stands."
    if not said:
        said = ["nothing got worse"]
    return Section(
        "Both ends", "what each does in all loads that hold nothing open", listed=tuple(said), after=(trailer,)
    )


def _least(case: Case, system: str) -> str:
    names = case.watched()
    return f"{names[0]} {height_cell(case.heights_shut[names[0]], system)}" if names else ""


def _kept(mix: BestMix, system: str) -> str:
    limits, said = mix.limits, []
    if limits.bow_up:
        said.append("the keel run not bow down")
    if limits.drains_aft:
        said.append("the sole draining aft")
    if limits.keep_mm is not None:
        said.append(f"the lowest {mix.at} at least {say_length_mm(limits.keep_mm / 1000, system)} above water")
    if limits.forward_mm is not None:
        said.append(f"the deck edge forward at least {say_length_mm(limits.forward_mm / 1000, system)} above water")
    if limits.tongue is not None:
        said.append(f"{100 * limits.tongue[0]:g} to {100 * limits.tongue[1]:g} % on the trailer's ball")
    if limits.heel_deg is not None:
        said.append(f"heel at most {limits.heel_deg:g}° in {mix.condition}")
    if limits.hours is not None:
        said.append(f"at most {limits.hours:g} h")
    if limits.cost is not None:
        said.append(f"at most {say_money(limits.cost, mix.boat.currency)}")
    return f"Kept: {say_list(said)}. Every figure was floated, none read off a straight line." if said else "No limits."
