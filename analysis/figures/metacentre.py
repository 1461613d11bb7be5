"""GM as bars: KM is KB and BM, and the same height is KG, what free surfaces take, and GM. One pair of bars a case."""

from __future__ import annotations

from collections.abc import Mapping

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure as Picture
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures.frame import Drawn, axis_words, tick_label_width
from analysis.figures.ground import text_size
from analysis.figures.labels import Label, place_labels
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import DEEPER, FUEL, INK, PAGE_PX, PAPER, SMALL, UP, WATER
from analysis.studies.by_hand.metacentre import GmChange, Metacentre
from analysis.studies.by_hand.saying import say_figure
from analysis.studies.by_hand.sums import Figure
from analysis.studies.words import capital
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.units import factor

ROW, AXIS = 42.0, 46.0  # px
THICK = 0.62
INSIDE = 10.0  # px more than its words a bar must be long to hold them


def gm_finding(change: GmChange, before: str, after: str, system: str = "metric") -> str:
    """GM before and after, and the part that did most, without a full stop."""
    parts = change.parts
    total = sum(parts.values())
    worst = max(parts, key=lambda name: abs(parts[name]))
    way = "fell" if total < 0 else "rose"
    was, now, most = (
        say_figure(Figure(v, "length"), system).replace(" ", "\u00a0")
        for v in (change.before.gm, change.after.gm, abs(parts[worst]))
    )
    did = "takes" if parts[worst] < 0 else "gives"
    return f"GM {way} from {was} ({before}) to {now} ({after}): {worst} {did} most, {most}"


def gm_figure(
    cases: Mapping[str, Metacentre], title: str, invented: bool, *, system: str = "metric", width_px: float = PAGE_PX
) -> Picture:
    """A pair of bars a case under a title."""
    foot = ["GM tells of small heels from where she rests, spaces as the names say, liquids free.", *STANDING_CARE]
    page = Page(width_px, title, " ".join([*foot, *(["Invented boat."] if invented else [])]))
    names = tick_label_width(page.figure, list(cases)) + 4
    tall = (2 * ROW + 12) * len(cases)
    page.panel(EDGE + names, width_px - 2 * EDGE - names - 10, tall, lambda ax: gm_bars(ax, cases, system=system))
    page.down(tall + AXIS)
    return page.finish()


def gm_bars(ax: Axes, cases: Mapping[str, Metacentre], *, system: str = "metric") -> Drawn:
    """Two bars a case from the keel line up: KB and BM; KG, free surfaces and GM. They end at the same height."""
    unit, word = (1.0, "m") if system == "metric" else (factor("ft", "length"), "ft")
    longest = max(max(one.km, one.kg + one.free_surface + one.communication) for one in cases.values())
    ax.set_xlim(0, 1.02 * longest / unit)
    ax.set_ylim(3 * len(cases) - 0.6, -0.6)
    ax.set_yticks([3 * k + 0.5 for k in range(len(cases))], [capital(name) for name in cases])
    ax.tick_params(axis="y", length=0)
    ax.tick_params(axis="x", labelsize=SMALL)
    ax.spines["left"].set_visible(False)
    ax.xaxis.set_major_locator(MaxNLocator(6, steps=[1, 2, 5, 10]))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}"))
    axis_words(ax, f"height over the keel line, square to the water ({word})")
    artists: list[Artist] = []
    labels = []
    for k, one in enumerate(cases.values()):
        slack = one.free_surface + one.communication
        upper = [("KB", one.kb, WATER), ("BM", one.bm, PAPER)]
        lower = [("KG", one.kg, FUEL), ("free surfaces", slack, DEEPER), ("GM", one.gm, UP)]
        for row, parts in ((3 * k, upper), (3 * k + 1, lower)):
            at = 0.0
            for name, value, colour in parts:
                if value == 0:
                    continue
                artists += ax.barh(row, value / unit, THICK, at / unit, facecolor=colour, edgecolor=INK,
                                   linewidth=0.9, zorder=3)  # fmt: skip
                words = f"{name} {value / unit:.2f}"
                middle = (at + value / 2) / unit
                long = value / unit * ax.bbox.width / ax.get_xlim()[1]
                if long > text_size(ax.figure, words, SMALL)[0] + INSIDE:
                    artists.append(ax.text(middle, row, words, size=SMALL, ha="center", va="center", zorder=6))
                else:
                    below = row + THICK / 2 if row % 3 else row - THICK / 2
                    labels.append(
                        Label(words, [(middle, below)], ("below" if row % 3 else "above", "high", "low"), clear=1.0)
                    )
                at += value
    places, texts = place_labels(ax, labels)
    return Drawn([*artists, *texts], places)
