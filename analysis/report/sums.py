"""A written sum as a section: its lines as a list, and what to read in it. `system` is "metric" or "us"."""

from __future__ import annotations

from analysis.report.parts import Section
from analysis.studies.by_hand.saying import say_line
from analysis.studies.by_hand.sums import Sum


def sum_section(one: Sum, system: str = "metric", after: tuple[str, ...] = ()) -> Section:
    """A sum as a section: its lines as a list, what to read in it under them."""
    reading = (one.reading,) if one.reading else ()
    return Section(one.title, listed=tuple(say_line(line, system) for line in one.lines), after=(*reading, *after))
