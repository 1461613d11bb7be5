"""The picture that goes with each hand sum; every one is a figure of its own, finding over it and caution under it."""

from __future__ import annotations

from matplotlib.figure import Figure

from analysis.figures.lever import lever_figure
from analysis.figures.liquid import liquid_figure
from analysis.figures.metacentre import gm_figure, gm_finding
from analysis.figures.parting import parting_figure
from analysis.studies.by_hand.saying import say_figure
from analysis.studies.by_hand.study import ByHand
from analysis.studies.by_hand.sums import Figure as Shown
from hullcalc.boats.limits import say_list
from hullcalc.errors import InputError

DRAWN = ("change", "weights", "gm", "space", "surface")  # the sums that have a picture


def hand_figure(study: ByHand, topic: str, system: str = "metric") -> Figure:
    """The picture of one topic.

    Raises
    ------
    InputError
        Where the topic has none, or cannot be asked of this boat.
    """
    invented = study.boat.invented
    if topic == "change":
        return parting_figure(study.parting, system=system)
    if topic == "weights":
        return lever_figure(study.change, system=system)
    if topic == "surface":
        widest = max(range(len(study.surfaces.tanks)), key=lambda k: study.surfaces.tanks[k].by_hand)
        return liquid_figure(study.surfaces, widest, invented, system=system)
    if topic == "gm":
        title = gm_finding(study.gm, study.before.plan, study.after.plan, system)
        cases = {study.before.plan: study.gm.before, study.after.plan: study.gm.after}
        return gm_figure(cases, title, invented, system=system)
    if topic == "space":
        space = study.space
        moment = say_figure(Shown(space.lost.righting_per_degree, "moment"), system).replace(" ", "\u00a0")
        spaces = say_list(list(space.spaces))
        title = f"The {spaces} open to the sea: two GM, one righting moment, {moment} at 1°"
        if space.water <= 0:
            title = f"The sea does not reach into the {spaces} as she floats here: counted either way, GM is the same"
        return gm_figure({"lost buoyancy": space.lost, "added weight": space.added}, title, invented, system=system)
    raise InputError(f"there is no picture of {topic!r}; there is one of {', '.join(DRAWN)}")
