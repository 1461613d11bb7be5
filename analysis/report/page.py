"""The story as one HTML page that holds everything it shows: nothing is fetched, nothing runs, it prints as it stands.

The same boat gives the same bytes: no date, no random names.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import jinja2

import hullcalc
from analysis.report.assumptions import assumptions
from analysis.report.parts import Grid, Section, height_unit, side_by_side
from analysis.report.pictures import pictures, topic_picture
from analysis.report.sections import headline, sections
from analysis.report.story import Story
from analysis.report.topics import tell_topics
from analysis.studies.words import capital, say_change
from hullcalc.units import say_mass

TEMPLATE = Path(__file__).with_name("page.html")


def page(story: Story, system: str = "metric", topics: Sequence[str] = ()) -> str:
    """The whole page, with what the `topics` (names of `topics.TOPICS`) answer after the story."""
    environment = jinja2.Environment(
        autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=jinja2.StrictUndefined
    )
    template = environment.from_string(TEMPLATE.read_text(encoding="utf-8"))
    told = sections(story, system)
    return template.render(
        boat=story.boat,
        finding=headline(story, system),
        caution=next(part for part in told if part.title == "Take care"),
        pictures=pictures(story, system),
        parts=[part for part in told if part.title != "Take care"],
        tables=[*every_mark(story, system), *every_item(story, system)],
        topics=[(topic, topic_picture(topic)) for topic in tell_topics(story, topics, system)],
        assumptions=assumptions(story, system),
        program=f"hullcalc {hullcalc.__version__}",
    )


def every_mark(story: Story, system: str) -> list[Section]:
    """Each mark of each plan, a table for each condition."""
    made = []
    for condition in story.study.conditions:
        cases = {
            plan: story.study.cases[plan, condition]
            for plan in story.study.plans
            if (plan, condition) in story.study.cases
        }
        if not cases:
            continue
        names = list(dict.fromkeys(name for case in cases.values() for name in case.marks))
        about = f"{height_unit(system)} above or under water, openings shut unless said"
        made.append(Section(capital(condition), about, grids=(side_by_side(cases, system, names),)))
    return made


def every_item(story: Story, system: str) -> list[Section]:
    """What each item does, by package, adding up to the whole with the remainder."""
    change = story.change
    if change is None:
        return []
    rows = [
        (
            str(row["item"]),
            str(row["package"] or row["kind"]),
            _mass(row["mass_kg"], system),
            say_change(row["mm"], system),
        )
        for _, row in change.items.iterrows()
    ]
    rows.append(("what the straight lines of the items miss", "", "", say_change(change.remainder_mm, system)))
    rows.append(("in all", "", "", say_change(change.total_mm, system)))
    about = f"from as found to {change.plan}, {change.condition}: at the {change.at}, through the mean of both ends"
    return [
        Section("Each item of the change", about, grids=(Grid(("item", "package", "weight", "does"), tuple(rows)),))
    ]


def _mass(mass: float, system: str) -> str:
    if round(mass) == 0:
        return "moved"
    return f"{say_mass(abs(mass), system)} {'on' if mass > 0 else 'off'}"
