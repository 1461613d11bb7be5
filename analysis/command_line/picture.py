"""`picture`: the finding as one picture in a file of its own."""

from __future__ import annotations

from argparse import Namespace

from analysis.command_line.answer import story_figures, told
from analysis.command_line.drawn import ending_of
from analysis.command_line.outcome import Outcome
from analysis.report.pictures import one_picture
from analysis.report.sections import headline


def run(options: Namespace) -> Outcome:
    """The picture as bytes, to be written at --out."""
    ending = ending_of(options.out)
    story = told(options)
    lines = [f"{headline(story, options.units)}.", f"Written: {options.out}"]
    return Outcome(lines, story_figures(story), [(options.out, one_picture(story, ending, options.units))])
