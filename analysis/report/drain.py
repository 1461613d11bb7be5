"""Rain on the sole in sections: which way it runs, where it stands, what water that stays does."""

from __future__ import annotations

import math

from analysis.report.parts import Grid, Section, height_cell, height_unit, say_metres
from analysis.studies.drain import DECK_YARDSTICK, LEAST_DECK, Drainage, OnTheSole
from analysis.studies.drain_words import drain_finding
from analysis.studies.words import capital
from hullcalc.units import say_heel, say_length_mm, say_trim, say_volume


def drain_section(found: Drainage, system: str = "metric") -> Section:
    """Which way water runs and what stands where."""
    before = [f"{drain_finding(found, system)}."]
    before.append(
        f"The sole falls {_slope(found.rise_forward, system)} {'aft' if found.rise_forward >= 0 else 'forward'} and "
        f"{_slope(found.rise_port, system)} to {'starboard' if found.rise_port >= 0 else 'port'}, at "
        f"{say_trim(float(found.case.shut.trim))} and {say_heel(float(found.case.shut.heel))}; its lowest corner is "
        f"{found.lowest}."
    )
    if found.forward:
        before.append(
            "The sole drains forward: what falls on it gathers at its forward end, out of reach of the drains. "
            "Weight too far forward does this as surely as weight aft sinks the scuppers."
        )
    if found.standing is not None and found.standing > 5e-4:
        before.append(f"{say_volume(found.standing, system)} stand on the sole below the lowest way out.")
    if any(name in found.case.under for name in found.sole.drains):
        before.append("With a drain under water at rest the sea comes in by it unless it is plugged or has a flap.")
    rows = [
        (
            str(row["corner"]),
            say_metres(row["x_m"], system),
            height_cell(row["height_mm"] / 1000, system),
            "" if math.isnan(row["depth_mm"]) else _depth(row["depth_mm"], system),
        )
        for _, row in found.table.sort_values("height_mm").iterrows()
    ]
    head = ("corner of the sole", "forward of the transom", f"over the sea, {height_unit(system)}", "water stands")
    least = found.table["height_mm"].min() / 1000
    after = [] if least >= LEAST_DECK else [DECK_YARDSTICK]
    if found.sole.misfit > 0.005:
        after.append(f"The sole's marks lie up to {say_length_mm(found.sole.misfit, system)} off one plane.")
    return Section("Rain on the sole", "", tuple(before), grids=(Grid(head, tuple(rows)),), after=tuple(after))


def _slope(rise: float, system: str) -> str:
    """ "11 mm in a metre", or "1/8 in in a foot"."""
    if system == "metric":
        return f"{1000 * abs(rise):.0f} mm in a metre"
    return f"{say_length_mm(abs(rise) * 0.3048, system)} a foot"


def _depth(mm: float, system: str) -> str:
    return "none" if mm < 0.5 else f"{say_length_mm(mm / 1000, system)} deep"


def on_sole_section(found: OnTheSole, system: str = "metric") -> Section:
    """What water that cannot leave does, step by step."""
    rows = []
    for _, row in found.table.iterrows():
        rows.append(
            (
                say_volume(row["litres"] / 1000, system),
                say_length_mm(row["lower_mm"] / 1000, system),
                *(height_cell(row[name] / 1000, system) for name in found.marks),
                say_heel(row["heel_deg"]),
                say_metres(row["gm_m"], system),
                say_metres(row["gm_lost_mm"] / 1000, system),
            )
        )
    head = ("water", "lowest mark lower by", *found.marks, "heel", "GM left", "GM taken by its free surface")
    before = []
    for name, volume in sorted(found.under_at.items(), key=lambda pair: (math.isnan(pair[1]), pair[1])):
        if volume == 0:
            before.append(f"{capital(name)} is under the sea without any.")
        elif not math.isnan(volume):
            before.append(f"{say_volume(volume, system)} bring {name} down to the sea.")
    after = (
        f"Heights in {height_unit(system)} over the sea, spaces shut; the water lies level and runs to the low side. "
        "What stands on the sole is not taken off its room. Free water over a wide sole takes much of GM: ask a naval "
        "architect.",
    )
    return Section(
        "Water that stays on the sole", found.condition, tuple(before), (), (Grid(head, tuple(rows)),), after
    )
