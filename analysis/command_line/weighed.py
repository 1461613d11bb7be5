"""`weighed`: what a thing weighs on the scale, written into the ledger beside the estimate."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from analysis.command_line.layout import paragraph
from analysis.command_line.outcome import Outcome
from analysis.command_line.terminal import width
from hullcalc.boats.folder import read_boat
from hullcalc.boats.record import record_weighing
from hullcalc.units import factor, say_mass


def run(options: Namespace) -> Outcome:
    """Write the figure, then say what it changed: the thing, and every plan that has it."""
    before = read_boat(options.folder)
    was, weighs = record_weighing(options.folder, options.item, options.mass, options.on, options.by, options.why)
    boat = read_boat(options.folder)
    system = options.units
    lines = [f"{options.item}: {_fine(weighs, system)} weighed, {_against(weighs - was, was, system)}."]
    plans: dict[str, Any] = {}
    for plan in boat.plans:
        old, new = float(before.weight(plan).mass), float(boat.weight(plan).mass)
        tally = boat.tally(plan)
        plans[plan] = {"mass_kg": new, "mass_before_kg": old, "surprise_kg": tally.surprise}
        if new != old:
            lines.append(
                f"{plan.capitalize()}: {say_mass(new, system)} without liquids in tanks. All that was weighed so far "
                f"came out {_grown(tally.surprise, system)}."
            )
    lines.append(
        "The earlier figure is kept in ledger.csv for the record. See what it does to her with: answer, float."
    )
    figures = {"item": options.item, "mass_kg": weighs, "mass_before_kg": was, "plans": plans}
    return Outcome([line for text in lines for line in paragraph(text, width(), hang="  ")], figures)


def _against(more: float, was: float, system: str) -> str:
    if abs(more) < 0.05:
        return "as it stood"
    return f"{_fine(abs(more), system)} {'heavier' if more > 0 else 'lighter'} than the {_fine(was, system)} before"


def _fine(mass: float, system: str) -> str:
    """A mass as a scale tells it, to a tenth where there is one: "26.5 kg", "24 kg"."""
    unit = "lb" if system == "us" else "kg"
    return f"{mass / factor(unit, 'mass'):.1f} {unit}".replace(".0 ", " ")


def _grown(surprise: float, system: str) -> str:
    if abs(surprise) < 0.5:
        return "as estimated"
    return f"{say_mass(abs(surprise), system)} {'over' if surprise > 0 else 'under'} the estimates"
