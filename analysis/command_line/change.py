"""`change`: which package did it, in several conditions and at several places, and what the order of them does."""

from __future__ import annotations

from argparse import Namespace

from analysis.command_line import records
from analysis.command_line.answer import title
from analysis.command_line.choosing import choose_conditions, known
from analysis.command_line.layout import paragraph, section
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from analysis.command_line.where import chosen_condition, chosen_plan
from analysis.report.sharing import share_sections
from analysis.studies.attribution import STERN, which_changes
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import shares_caution
from hullcalc.boats.folder import read_boat


def run(options: Namespace) -> Outcome:
    """The shares from one plan to another."""
    boat = read_boat(options.folder)
    _, plan = chosen_plan(boat, options.plan)
    start = chosen_plan(boat, options.start)[1] if options.start else AS_FOUND if AS_FOUND in boat.plans else ()
    conditions = choose_conditions(boat, options.condition or [chosen_condition(boat, plan, None)])
    at = [known(name, [STERN, *boat.marks], "mark (or the stern)") for name in dict.fromkeys(options.mark or [STERN])]
    found = which_changes(boat, plan, conditions, at, start)
    columns = width()
    lines = title(boat, columns)
    for part in share_sections(found, options.units):
        lines += section(part, columns)
    lines += ["", *paragraph(shares_caution(found[0]), columns)]
    return Outcome(lines, records.of_boat(boat) | {"changes": [records.of_change(one) for one in found]})
