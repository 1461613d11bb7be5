"""What mends it: a bar a mend, the most for an hour (or for the money) on top, as long as what it buys.

Beside each bar stand what it buys, what it takes and the rate. Hatched is what makes something worse at the other end:
the bow down, the sole draining forward, heel, less on the trailer's ball; the words say which.
"""

from __future__ import annotations

from matplotlib.figure import Figure

from analysis.figures.bars import bar_names, ranked_bars, row_places
from analysis.figures.frame import axis_height, tick_label_width
from analysis.figures.labels import wrapped
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import PAGE_PX, SMALL
from analysis.studies.ends import BOW_DOWN, FORWARD, HEELS, LOWER, SINKS, TONGUE
from analysis.studies.mend_words import mend_finding, say_hours, say_mend, say_money, say_rate
from analysis.studies.mixing import HOURS
from analysis.studies.searched import Mend, Searched
from analysis.studies.words import caution, small_unit
from hullcalc.errors import InputError
from hullcalc.units import say_length_mm

MOST = 12  # bars; more are not read
SHORT = {BOW_DOWN: "bow down", LOWER: "", FORWARD: "sole drains forward", HEELS: "heels her",
         TONGUE: "light on the ball", SINKS: "sinks in some load"}  # fmt: skip
NAME, NARROW_NAME, WORDS = 230.0, 130.0, 250.0  # px a name may take, and words beside a bar
PHONE = 560.0  # px: narrower pages have short names


def mend_figure(found: Searched, *, by: str = HOURS, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """The bars with their finding over them and the caution in the foot."""
    if not found.mends:
        raise InputError(f"nothing tried lifts the lowest {found.at}, so there is nothing to draw")
    shown = found.mends[:MOST]
    page = Page(
        width_px, mend_finding(found, by, system, short=True), f"{_reading(found)} {caution([found.before], system)}"
    )
    names = bar_names(
        page.figure, [say_mend(mend, system, short=True) for mend in shown], NAME if width_px > PHONE else NARROW_NAME
    )
    left = tick_label_width(page.figure, names)
    wide = width_px - 2 * EDGE - left
    words = [_beside(mend, by, found, system) for mend in shown]
    words = [wrapped(page.figure, text, min(WORDS, 0.55 * wide), SMALL) for text in words]
    tall = _tall(names, words)
    axis = _axis(found, by, system)
    values = [mend.mm / small_unit(system)[0] for mend in shown]
    hatched = [any(flag.grave for flag in mend.flags) for mend in shown]
    page.panel(EDGE + left, wide, tall, lambda ax: ranked_bars(ax, names, values, words, axis, hatched))
    page.down(tall + axis_height(page.figure, axis, wide))
    return page.finish()


def _tall(names: list[str], words: list[str]) -> float:
    """Pixels in which every row has room for the lines of its name and of its words."""
    places = row_places(names)
    need = [max(18.5 * (n.count("\n") + 1), 16.5 * (w.count("\n") + 1)) + 6 for n, w in zip(names, words, strict=True)]
    return places[-1][1] * max(1.0, *(px / (b - a) for px, (a, b) in zip(need, places, strict=True)))


def _beside(mend: Mend, by: str, found: Searched, system: str) -> str:
    """What stands beside a bar: what it buys, what it takes, the rate, what gets worse."""
    currency = found.boat.currency
    takes = say_hours(mend.hours) if by == HOURS else say_money(mend.work.cost, currency)
    buys = say_length_mm(mend.mm / 1000, system)
    if buys[:2] == "0 ":
        buys = f"under {'1 mm' if system == 'metric' else '1/8 in'}"
    said = [f"{buys}, {takes}"]
    rate = mend.mm_per_hour if by == HOURS else mend.mm_per_cost
    if 0 < rate < float("inf"):
        said.append(say_rate(mend, by, currency, system))
    said += dict.fromkeys(SHORT[flag.kind] for flag in mend.flags if SHORT[flag.kind])
    return "; ".join(said)


def _axis(found: Searched, by: str, system: str) -> str:
    per = "hour" if by == HOURS else found.boat.currency or "cost"
    later = ", hours once the sole is down" if found.later else ""
    return f"{small_unit(system)[1]} up at the lowest {found.at}, each alone; the most for the {per} on top{later}"


def _reading(found: Searched) -> str:
    said = (
        "Each bar is one mend alone, floated again; several do not simply add up. Places count forward of the transom."
    )
    if any(flag.grave for mend in found.mends for flag in mend.flags):
        said += " Hatched: something gets worse at the other end."
    return said
