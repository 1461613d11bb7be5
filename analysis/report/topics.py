"""What a page may hold beside the story: a topic is a question asked of the boat as its verb asks it.

Each topic is told of the last plan in the load the story is told for, unless its own question says otherwise, as
sections and mostly a picture. A topic that cannot be told of this boat says why.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from analysis.figures.alternatives import alternatives_figure
from analysis.figures.chance import chance_figure
from analysis.figures.curves import curves_figure
from analysis.figures.day_out import day_figure
from analysis.figures.deck_view import deck_figure
from analysis.figures.matrix import matrix_figure
from analysis.figures.mend_bars import mend_figure
from analysis.figures.puddle import puddle_figure
from analysis.figures.rehearsal import rehearsal_figure
from analysis.figures.stripe import stripe_figure
from analysis.report.alternatives import alternatives_sections
from analysis.report.asking import asking_sections
from analysis.report.curves import curve_sections
from analysis.report.drain import drain_section, on_sole_section
from analysis.report.loads import load_sections
from analysis.report.mending import mending_sections
from analysis.report.parts import Section
from analysis.report.rehearsal import rehearsal_sections
from analysis.report.story import Story
from analysis.report.stripe import drill_section, stripe_section
from analysis.report.sure import sure_sections
from analysis.report.trip import fuel_section, trip_sections
from analysis.report.where import where_sections
from analysis.studies.alternatives import Alternative, side_by_side
from analysis.studies.asking import what_to_ask
from analysis.studies.curves import curves
from analysis.studies.drain import STEPS, sole_drainage, water_on_sole
from analysis.studies.fuel_alone import fuel_alone
from analysis.studies.loads import load_matrix
from analysis.studies.mixing import HOURS
from analysis.studies.plans import AS_FOUND
from analysis.studies.rehearsal import rehearse
from analysis.studies.searched import search_mends
from analysis.studies.stripe import dry_scuppers, stripe_of
from analysis.studies.sure import best_of, how_sure
from analysis.studies.trip import day_out, find_trip
from analysis.studies.watching import FIRST_ASKED
from analysis.studies.where import where_to_put
from hullcalc.boats.standard_conditions import with_standard_conditions
from hullcalc.errors import HullcalcError


@dataclass(frozen=True, eq=False)
class Topic:
    """One question answered: its sections, and the figure, drawn when it is asked for."""

    name: str
    sections: tuple[Section, ...]
    draw: Callable[[], Figure] | None = None


def tell_topics(story: Story, names: Sequence[str], system: str = "metric") -> list[Topic]:
    """The topics of these names (of `TOPICS`), in the order of `TOPICS`; one that cannot be told says why."""
    return [_told(story, name, system) for name in TOPICS if name in names]


def _told(story: Story, name: str, system: str) -> Topic:
    try:
        return TOPICS[name](story, system)
    except HullcalcError as problem:
        return Topic(name, (Section(name.capitalize(), before=(f"Cannot be told: {problem}",)),))


def _sure(story: Story, system: str) -> Topic:
    plans = [name for name in story.study.plans if name != AS_FOUND]
    found = how_sure(story.boat, story.last_plan, story.condition)
    best = best_of(story.boat, {name: name for name in plans}, story.condition)[0] if len(plans) > 1 else None
    return Topic("sure", tuple(sure_sections(found, best, system)), lambda: chance_figure(found, system=system))


def _loads(story: Story, system: str) -> Topic:
    wider = with_standard_conditions(story.boat)
    found = load_matrix(wider, {name: name for name in story.study.plans})
    return Topic("loads", tuple(load_sections(found, system)), lambda: matrix_figure(found, system=system))


def _where(story: Story, system: str) -> Topic:
    found = where_to_put(story.boat, story.last_plan, story.condition, deck=True)
    return Topic("where", tuple(where_sections(found, None, system)), lambda: deck_figure(found, system=system))


def _mend(story: Story, system: str) -> Topic:
    refit = story.refit or AS_FOUND
    at = FIRST_ASKED if any(m.kind == FIRST_ASKED for m in story.boat.marks_in(refit).values()) else None
    found = search_mends(story.boat, refit, story.condition, at)
    return Topic(
        "mend", tuple(mending_sections(found, HOURS, system)), lambda: mend_figure(found, by=HOURS, system=system)
    )


def _alternatives(story: Story, system: str) -> Topic:
    chosen = [Alternative(name, story.boat.packages_on(name)) for name in story.study.plans]
    found = side_by_side(story.boat, chosen, None, FIRST_ASKED)
    return Topic(
        "alternatives", tuple(alternatives_sections(found, system)), lambda: alternatives_figure(found, system=system)
    )


def _rehearse(story: Story, system: str) -> Topic:
    found = rehearse(story.boat, story.refit or AS_FOUND, story.light)
    return Topic("rehearse", tuple(rehearsal_sections(found, system)), lambda: rehearsal_figure(found, system=system))


def _trip(story: Story, system: str) -> Topic:
    days = [day_out(story.boat, story.last_plan, find_trip(story.boat))]
    alone = fuel_alone(story.boat, story.last_plan, story.condition)
    return Topic(
        "trip", (*trip_sections(days, system), fuel_section(alone, system)), lambda: day_figure(days, system=system)
    )


def _drain(story: Story, system: str) -> Topic:
    found = sole_drainage(story.boat, story.last_plan, story.condition)
    said = [drain_section(found, system)]
    if found.sole.space is not None:
        said.append(on_sole_section(water_on_sole(story.boat, story.last_plan, story.condition, STEPS), system))
    return Topic("drain", tuple(said), lambda: puddle_figure(found, system=system))


def _stripe(story: Story, system: str) -> Topic:
    found = stripe_of(story.boat, story.last_plan)
    drill = drill_section(found, dry_scuppers(list(found.cases.values())), system)
    return Topic("stripe", (stripe_section(found, system), drill), lambda: stripe_figure(found, system=system))


def _curves(story: Story, system: str) -> Topic:
    found = curves(story.boat, story.last_plan, story.light)
    return Topic("curves", tuple(curve_sections(found, system)), lambda: curves_figure(found, system=system))


def _ask(story: Story, system: str) -> Topic:
    return Topic("ask", tuple(asking_sections(what_to_ask(story.boat, story.last_plan, system))))


TOPICS: dict[str, Callable[[Story, str], Topic]] = {
    "sure": _sure,
    "loads": _loads,
    "where": _where,
    "mend": _mend,
    "alternatives": _alternatives,
    "rehearse": _rehearse,
    "trip": _trip,
    "drain": _drain,
    "stripe": _stripe,
    "curves": _curves,
    "ask": _ask,
}
