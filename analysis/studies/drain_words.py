"""What rain on the sole does, in the reader's words. `system` is "metric" or "us"."""

from __future__ import annotations

from analysis.studies.drain import Drainage
from analysis.studies.words import capital, the_plan
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.units import say_length_mm


def drain_finding(found: Drainage, system: str = "metric") -> str:
    """The finding, without a full stop."""
    case = found.case
    head = f"{capital(case.condition)}, {the_plan(case.plan)}"
    under = say_list([name for name in found.sole.drains if name in case.under])
    if found.level is None:
        return f"{head}: water runs {found.words}, and no drain is known"
    deep = found.table["depth_mm"].max()
    if under and deep > 0:
        return f"{head}: the sea comes in at {under} and stands {say_length_mm(deep / 1000, system)} deep on the sole"
    if found.forward:
        return f"{head}: the sole drains forward, away from {found.drain}"
    if deep >= 0.5:
        return f"{head}: rain stands {say_length_mm(deep / 1000, system)} deep at {found.lowest}"
    said = f"{head}: rain runs {found.words} and leaves by {found.drain}"
    return f"{said}, which is under water at rest" if found.drain in case.under else said


def drain_caution(found: Drainage) -> str:
    """What the picture leaves out, fitted to the case."""
    said = ["At rest, spaces shut; the sole taken as a plane, hatches and gutters left out."]
    if any(name in found.case.under for name in found.sole.drains):
        said.append("A drain under water at rest: stop and ask a naval architect.")
    said += STANDING_CARE
    return " ".join([*said, "Invented boat."] if found.case.boat.invented else said)
