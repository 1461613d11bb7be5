"""Mends, mixes and alternatives in the reader's words; `system` is "metric" or "us"."""

from __future__ import annotations

import math
from collections.abc import Sequence

from analysis.studies.alternatives import Alternatives
from analysis.studies.best_mix import BestMix
from analysis.studies.ends import BOW_DOWN, FORWARD, HEELS, LOWER, SINKS, TONGUE, Flag
from analysis.studies.mixing import COST, HOURS
from analysis.studies.plans import AS_FOUND, short_package
from analysis.studies.rehearsal import Rehearsal
from analysis.studies.searched import PACKAGE, Mend, Searched
from analysis.studies.words import capital, say_change, the_plan
from hullcalc.boats.limits import say_list
from hullcalc.boats.moves import PLACE, RAISE, RESIZE, Setting
from hullcalc.units import say_heel, say_height, say_length_mm, say_mass, say_position, say_trim, say_volume

NOBODY_SAID = "not said"
ON_CENTRE = 0.005  # m


def say_setting(setting: Setting, system: str = "metric") -> str:
    """What is done: "batteries to 2.95 m forward of the transom, 0.19 m to port", "sole + scupper raised 40 mm"."""
    name, value, kind = setting.freedom.name, setting.value, setting.freedom.kind
    if kind == PLACE:
        across = "" if abs(value[1]) < ON_CENTRE else f", {say_position(float(value[1]), 'y', system)}"
        return f"{name} to {say_position(float(value[0]), 'x', system)}{across}"
    if kind == RESIZE:
        return f"{name} of {say_volume(float(value[0]), system)}"
    return f"{name} {say_length_mm(float(value[0]), system)} {'higher' if kind == RAISE else 'wider'}"


def say_mend(mend: Mend, system: str = "metric", short: bool = False) -> str:
    """A mend with what is set; `short` leaves out from where a place counts."""
    if mend.kind == PACKAGE:
        whose = "yard" if short else "the yard's own"
        return f"{mend.name.removeprefix('mend: ')} ({whose})"
    said = say_list([say_setting(setting, system) for setting in mend.settings])
    for long, brief in ((" forward of the transom", ""), (" to port", " port"), (" to starboard", " starboard")):
        said = said.replace(long, brief) if short else said
    return said


def say_flag(flag: Flag, system: str = "metric") -> str:
    """What got worse at the other end, with the figure."""
    if flag.kind == SINKS:
        return f"she sinks in {flag.condition}"
    if flag.kind == BOW_DOWN:
        return f"puts the bow down: {say_trim(flag.after)} in {flag.condition}"
    if flag.kind == LOWER:
        lower = say_length_mm(flag.before - flag.after, system)
        return f"{flag.mark} {lower} lower, {say_height(flag.after, system)} water in {flag.condition}"
    if flag.kind == FORWARD:
        return f"the sole drains forward by {say_length_mm(-flag.after, system)} in {flag.condition}"
    if flag.kind == HEELS:
        return f"heels her {say_heel(flag.after)} in {flag.condition} (was {say_heel(flag.before)})"
    assert flag.kind == TONGUE
    return (
        f"takes weight off the trailer's ball: {100 * flag.before:.1f} to {100 * flag.after:.1f} % of boat and trailer"
    )


def say_hours(hours: float | None) -> str:
    """Hours of work: "3 h", "no hours", "not said"."""
    if hours is None or math.isnan(hours):
        return NOBODY_SAID
    return f"{hours:g} h" if hours > 0 else "no hours"


def say_money(cost: float | None, currency: str) -> str:
    """An amount: "1,240 USD", "nothing", "not said"."""
    if cost is None or math.isnan(cost):
        return NOBODY_SAID
    return f"{cost:,.0f} {currency}".rstrip() if round(cost) else "nothing"


def say_rate(mend: Mend, by: str, currency: str, system: str = "metric") -> str:
    """What a mend buys for an hour, or for 100 of the currency."""
    rate = mend.mm_per_hour if by == HOURS else mend.mm_per_cost
    if math.isnan(rate):
        return NOBODY_SAID
    if math.isinf(rate):
        return "for no extra hours" if by == HOURS else "for nothing"
    per = "an hour" if by == HOURS else f"for 100 {currency}".rstrip()
    figure = say_length_mm(rate / 1000, system)
    least = "1 mm" if system == "metric" else "1/8 in"
    return f"under {least} {per}" if figure[:2] == "0 " else f"{figure} {per}"


def mend_finding(found: Searched, by: str = HOURS, system: str = "metric", short: bool = False) -> str:
    """The finding in one sentence without a full stop: the mend that buys most for its hours, and the most of all."""
    said = f"{capital(the_plan(found.plan))}, {found.condition}"
    if not found.mends:
        return f"{said}: nothing tried lifts the lowest {found.at}"
    best, most = found.mends[0], max(found.mends, key=lambda mend: mend.mm)
    working = next((mend for mend in found.mends if _takes(mend, by)), None)

    def told(mend: Mend) -> str:
        hours = say_hours(mend.hours).replace("no hours", "no extra hours")
        takes = hours if by == HOURS else say_money(mend.work.cost, found.boat.currency)
        return f"{say_mend(mend, system, short)}, {say_change(-mend.mm, system)} for {takes}"

    if math.isnan(best.mm_per_hour if by == HOURS else best.mm_per_cost):
        change = say_change(-most.mm, system)
        lifts = f"the most for the lowest {found.at} is bought by {say_mend(most, system)}"
        return f"{said}: {lifts}, {change}; nobody said for how much"
    parts = [f"{said}: cheapest for the lowest {found.at} is {told(best)}"]
    if working is not None and working is not best:
        parts.append(f"of those that take {'work' if by == HOURS else 'money'}, {told(working)}")
    if most is not best and most is not working:
        parts.append(f"the most is bought by {told(most)}")
    return "; ".join(parts)


def _takes(mend: Mend, by: str) -> bool:
    """Does the mend take any work, or money?"""
    return bool(mend.hours if by == HOURS else mend.work.cost)


def mix_finding(mix: BestMix, system: str = "metric") -> str:
    """What the best mix comes to, without a full stop."""
    where = say_height(mix.mix.lowest, system)
    takes = f"{say_hours(mix.hours)} and {say_money(mix.cost, mix.boat.currency)}"
    if not mix.packages and not mix.settings:
        return f"{capital(the_plan(mix.plan))}, {mix.condition}: nothing need be changed; lowest {mix.at} {where} water"
    return (
        f"{capital(the_plan(mix.plan))}, {mix.condition}: the best mix lifts the lowest {mix.at} "
        f"{say_length_mm(mix.mm / 1000, system)}, to {where} water, for {takes}"
    )


def mix_parts(mix: BestMix, system: str = "metric") -> list[str]:
    """The changes of a mix, one by one."""
    return [*(short_package(p) for p in mix.packages), *(say_setting(setting, system) for setting in mix.settings)]


def alternatives_finding(found: Alternatives, system: str = "metric", takes_too: bool = True) -> str:
    """The one sentence for whoever signs: which keeps the watched marks highest at the worst, and what that takes."""
    worst, takes = found.worst, found.summary.set_index("alternative")
    refits = [name for name in worst.index if name != AS_FOUND] or list(worst.index)
    if not refits:
        return "every alternative sinks in every load"
    best = str(worst.loc[refits, "at_mm"].idxmax())
    loads = set(worst["condition"])
    head = f"the lowest {found.at} at the worst of these loads{f', {loads.pop()}' if len(loads) == 1 else ''}"
    each = [
        f"{the_plan(str(name))} {say_height(row['at_mm'] / 1000, system)}{f' in {row.condition}' if loads else ''}"
        for name, row in worst.sort_values("at_mm", ascending=False).iterrows()
    ]
    said = [f"{head}: {say_list(each)}"]
    cheapest = str(takes.loc[refits, "cost"].idxmin())
    if takes_too and len(refits) > 1 and cheapest != best and all(found.takes(name) for name in (best, cheapest)):
        hours, cost = (float(takes.loc[best, column] - takes.loc[cheapest, column]) for column in (HOURS, COST))
        more = [_more(hours, f"{abs(hours):g} h"), _more(cost, say_money(abs(cost), found.boat.currency))]
        said.append(f"{the_plan(best)} takes {more[0]} and {more[1]} than {the_plan(cheapest)}")
    return capital("; ".join(said))


def rehearsal_finding(found: Rehearsal, system: str = "metric") -> str:
    """What to put where, in one sentence without a full stop."""
    where = say_position(float(found.load_place[0]), "x", system)
    return (
        f"{capital(the_plan(found.target.plan))}, {found.target.condition}: {found.count} cans of "
        f"{say_mass(found.can_kg, system)} bring the uncut boat to within {_no_less(found.off_mm / 1000, system)} "
        f"of it at every mark; exact is {say_mass(found.load_kg, system)} at {where}"
    )


def _no_less(length: float, system: str) -> str:
    """A length that something stays within; never less than the least that is told apart."""
    said = say_length_mm(length, system)
    return ("1 mm" if system == "metric" else "1/8 in") if said[:2] == "0 " else said


def say_plans(names: Sequence[str]) -> str:
    """Names of alternatives in a row of best ones; the boat as found is called that."""
    return say_list([AS_FOUND if name == AS_FOUND else name for name in names])


def _more(difference: float, amount: str) -> str:
    if difference == 0:
        return f"no more {'hours' if amount == '0 h' else 'money'}"
    return f"{amount} {'more' if difference > 0 else 'less'}"
