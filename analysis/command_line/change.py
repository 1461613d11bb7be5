"""`change`: which package did it, in several conditions and at several places, and what the order of them does."""

from __future__ import annotations

from argparse import Namespace

from analysis.command_line import records
from analysis.command_line.choosing import choose_conditions, condition_or_heaviest, known, last_plan
from analysis.command_line.outcome import Outcome
from analysis.command_line.telling import told
from analysis.report.sharing import share_sections
from analysis.studies.attribution import STERN, which_changes
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import shares_caution
from hullcalc.boats.folder import read_boat


def run(options: Namespace) -> Outcome:
    """The shares from one plan to another."""
    boat = read_boat(options.folder)
    _, plan = last_plan(boat, options.plan)
    start = last_plan(boat, options.start)[1] if options.start else AS_FOUND if AS_FOUND in boat.plans else ()
    conditions = choose_conditions(boat, options.condition or [condition_or_heaviest(boat, plan, None)])
    at = [known(name, [STERN, *boat.marks], "mark (or the stern)") for name in dict.fromkeys(options.mark or [STERN])]
    found = which_changes(boat, plan, conditions, at, start)
    figures = records.of_boat(boat) | {"changes": [records.of_change(one) for one in found]}
    return told(boat, (), share_sections(found, options.units), figures, care=shares_caution(found[0]))
