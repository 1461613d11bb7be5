"""`answer`: the whole story of one boat."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from analysis import DEMO, data_folder
from analysis.command_line import records
from analysis.command_line.choosing import known
from analysis.command_line.layout import paragraph, section
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.report.sections import headline, sections
from analysis.report.story import Story, tell
from hullcalc.boats.boat import Boat
from hullcalc.boats.folder import read_boat


def run(options: Namespace) -> Outcome:
    """The story told for the heaviest condition, or for the one asked for."""
    story = told(options)
    columns = width()
    lines = [*title(story.boat, columns), "", *paragraph(f"{headline(story, options.units)}.", columns)]
    for part in sections(story, options.units):
        lines += section(part, columns)
    return Outcome(lines, story_figures(story))


def told(options: Namespace) -> Story:
    """The story of the folder that was typed, or of the demonstration boat."""
    boat = read_boat(data_folder() / "boats" / DEMO if options.folder is None else options.folder)
    condition = options.condition and known(options.condition, boat.conditions, "condition")
    return tell(boat, condition)


def title(boat: Boat, columns: int) -> list[str]:
    """The boat's name and title, that she is invented, and what the check of her folder found."""
    invented = "Invented boat. " if boat.invented else ""
    name = paragraph(f"{boat.name}: {boat.title or boat.name}.", columns)
    return [*name, f"{invented}Folder: {boat.checked}."]


def story_figures(story: Story) -> dict[str, Any]:
    """The same figures for programs."""
    found: dict[str, Any] = records.of_boat(story.boat) | {
        "finding": headline(story),
        "condition": story.condition,
        "weights": records.of_weights(story.boat, {plan: plan for plan in story.study.plans}),
        "cases": [records.of_case(plan, case) for (plan, _), case in story.study.cases.items()],
        "marks": [row for (plan, _), case in story.study.cases.items() for row in records.of_marks(plan, case)],
        "notes": list(story.notes),
    }
    found["how_sure"] = [
        records.of_inputs(case.plan, mark, story.inputs(case.plan, mark))
        for case in story.told
        if case.shut.status == "floats"
        for mark in case.watched()[:1]
    ]
    if story.change is not None:
        found["change"] = records.of_change(story.change)
    if story.mends is not None:
        found["mends"] = records.of_mends(story.mends)
    if story.neutral is not None:
        found["neutral_points"] = [
            {
                "mark": row["mark"],
                "neutral_x_m": records.number(row["neutral_x_m"]),
                "inside_boat": bool(row["inside_boat"]),
            }
            for _, row in story.neutral.iterrows()
        ]
    return found
