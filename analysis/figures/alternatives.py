"""Alternatives side by side: one row a load condition, one symbol shape an alternative, millimetres above the water.

The region under water is tinted and named. A key in lines of its own says what each weighs on the purse: hours, cost,
share on the trailer's ball.
"""

from __future__ import annotations

from collections.abc import Sequence

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.figures.frame import Drawn, axis_height, axis_words, tick_label_width
from analysis.figures.labels import in_lines, wrapped
from analysis.figures.ladder import LINE, NAME_LINE, draw_rungs, draw_symbol
from analysis.figures.pages import EDGE, Page
from analysis.figures.style import PAGE_PX, SMALL, Look, looks_of
from analysis.studies.alternatives import Alternatives
from analysis.studies.mend_words import alternatives_finding, say_hours, say_money
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import small_unit
from hullcalc.boats.limits import STANDING_CARE
from hullcalc.errors import InputError

KEY_LINE = 16.0  # px
OVER = 26.0  # px between the key and the rows


def alternatives_rungs(ax: Axes, found: Alternatives, *, system: str = "metric") -> Drawn:
    """Draw the rows on an Axes that has its final place and size."""
    unit, word = small_unit(system)
    names = [in_lines(condition) for condition in found.conditions]
    looks, shown = alternative_looks(found), found.alternatives
    step = 1.0 / (len(shown) + 0.5)
    rungs = []
    for row, condition in enumerate(found.conditions):
        for i, one in enumerate(shown):
            cell = found.table[(found.table["condition"] == condition) & (found.table["alternative"] == one.name)]
            if (one.name, condition) in found.cases:
                rungs.append((row + step * (i + 0.75) - 0.5, looks[one.name], float(cell["at_mm"].iloc[0]) / unit))
    artists = draw_rungs(ax, names, rungs, [0.0] * len(rungs), system)
    axis_words(ax, _axis(found, word))
    return Drawn(artists, [])


def alternatives_figure(found: Alternatives, *, system: str = "metric", width_px: float = PAGE_PX) -> Figure:
    """Key and rows, the finding over them and the caution in the foot."""
    if not found.cases:
        raise InputError("every alternative sinks in every load, so there is nothing to draw")
    page = Page(width_px, alternatives_finding(found, system, takes_too=False), _caution(found))
    wide = width_px - 2 * EDGE
    lines = [wrapped(page.figure, text, wide - 30.0, SMALL) for text in _key(found)]
    tall = KEY_LINE * sum(text.count("\n") + 1 for text in lines)
    page.panel(EDGE, wide, tall, lambda ax: _draw_key(ax, lines, list(alternative_looks(found).values())))
    page.down(tall + OVER)
    names = [in_lines(condition) for condition in found.conditions]
    left = tick_label_width(page.figure, names)
    deep = max(name.count("\n") + 1 for name in names)
    rows = len(names) * max(LINE * len(found.alternatives) + 9.0, NAME_LINE * deep + 6.0)
    page.panel(EDGE + left, wide - left, rows, lambda ax: alternatives_rungs(ax, found, system=system))
    page.down(rows + axis_height(page.figure, _axis(found, small_unit(system)[1]), wide - left))
    return page.finish()


def alternative_looks(found: Alternatives) -> dict[str, Look]:
    """The look of each alternative: that of the plan where it is one."""
    cases = list(found.cases.values())
    looks = looks_of(cases)
    return {one.name: looks[one.name] for one in found.alternatives if one.name in looks}


def _key(found: Alternatives) -> list[str]:
    """One line an alternative: its name, what it takes, its share on the ball."""
    table, said = found.summary.set_index("alternative"), []
    for name in alternative_looks(found):
        parts = []
        if name != AS_FOUND and found.takes(name):
            parts += [say_hours(table.loc[name, "hours"]), say_money(table.loc[name, "cost"], found.boat.currency)]
        if table.loc[name, "ball_share"] == table.loc[name, "ball_share"]:
            parts.append(f"{100 * table.loc[name, 'ball_share']:.1f} % on the trailer's ball")
        said.append(f"{name}: {', '.join(parts)}" if parts else name)
    return said


def _draw_key(ax: Axes, lines: Sequence[str], looks: Sequence[Look]) -> list[Artist]:
    ax.set_axis_off()
    ax.set_xlim(0, ax.bbox.width)
    ax.set_ylim(ax.bbox.height, 0)
    artists: list[Artist] = []
    y = 0.0
    for text, look in zip(lines, looks, strict=True):
        deep = KEY_LINE * (text.count("\n") + 1)
        artists += draw_symbol(ax, 10.0, y + KEY_LINE / 2, look)
        artists.append(
            ax.text(26.0, y + deep / 2, text, color=look.colour, size=SMALL, va="center", ha="left", linespacing=1.15)
        )
        y += deep
    return artists


def _caution(found: Alternatives) -> str:
    """In how many of the cases an opening is under water, and the standing care."""
    wet, cases = sum(bool(case.under) for case in found.cases.values()), len(found.cases)
    said = f"No opening is under water in any of the {cases} cases; all are shut."
    if wet:
        said = (
            f"Openings are under water in {wet} of the {cases} cases: figures there hold only while they are plugged. "
            "Water at an opening at rest: stop and ask a naval architect."
        )
    return " ".join([said, *STANDING_CARE, *(["Invented boat."] if found.boat.invented else [])])


def _axis(found: Alternatives, word: str) -> str:
    return f"lowest {found.at}, {word} above the water, spaces shut"
