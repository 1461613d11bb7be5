"""`report`: the story as one page."""

from __future__ import annotations

from argparse import Namespace

from analysis.command_line.answer import story_figures, told
from analysis.command_line.choosing import known
from analysis.command_line.outcome import Outcome
from analysis.report.page import page
from analysis.report.pdf import as_pdf
from analysis.report.sections import headline
from analysis.report.topics import TOPICS

ALL = "all"


def run(options: Namespace) -> Outcome:
    """The page as bytes, to be written at --out: HTML, or PDF where its name ends so."""
    story = told(options)
    topics = (
        [*TOPICS] if ALL in options.topics else [known(name, TOPICS, "topic of the page") for name in options.topics]
    )
    text = page(story, options.units, topics)
    data = as_pdf(text) if options.out.suffix.lower() == ".pdf" else text.encode("utf-8")
    lines = [f"{headline(story, options.units)}.", f"Written: {options.out}"]
    return Outcome(lines, story_figures(story), [(options.out, data)])
