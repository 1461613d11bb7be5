"""`ask`: what to ask a naval architect about a plan, and what to send."""

from __future__ import annotations

from argparse import Namespace

from analysis.command_line import records
from analysis.command_line.choosing import last_plan
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.report.asking import asking_finding, asking_sections
from analysis.studies.asking import PEOPLE_SAY, TO_SEND, what_to_ask
from hullcalc.boats.folder import read_boat


def run(options: Namespace) -> Outcome:
    """The reasons in the figures, those people know, what to send."""
    boat = read_boat(options.folder)
    found = what_to_ask(boat, last_plan(boat, options.plan)[1], options.units)
    figures = records.of_boat(boat) | {
        "finding": asking_finding(found),
        "plan": found.plan,
        "conditions": list(found.conditions),
        "reasons": [{"reason": reason.short, "figures": reason.figures} for reason in found.reasons],
        "not_looked_at": list(found.not_looked_at),
        "reasons_people_know": list(PEOPLE_SAY),
        "to_send": list(TO_SEND),
    }
    return told(boat, [f"{asking_finding(found)}."], asking_sections(found), figures)
