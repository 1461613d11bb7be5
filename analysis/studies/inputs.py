"""Which input moves the answer most? Millimetres at one mark for one standard uncertainty of each input.

An input is a named cause of uncertainty: of a weight (its mass, its place along each axis), of a pod's volume, of the
mark's own height, of the hull's shape. Effects are read off the response at the floated attitude with spaces shut, so
they hold for small changes; causes are taken one at a time. Liquids in tanks are as full as the condition says.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.presence import present
from hullcalc.errors import InputError
from hullcalc.weights.sources import effects

ASPECTS = {"mass": "mass", "x": "place along the boat", "y": "place across", "z": "height"}


def which_input(boat: Boat, plan: AnyPlan, condition: AnyCondition, mark: str) -> pd.DataFrame:
    """Columns input and mm (positive: the mark comes higher), the input that moves the mark most first.

    Raises
    ------
    InputError
        If the mark is not there in this plan.
    NoEquilibriumError
        If she sinks.
    """
    marks = boat.marks_in(plan)
    if mark not in marks:
        raise InputError(f"mark {mark!r} is not there in this plan; there are: {', '.join(marks)}")
    state = boat.float(plan, condition, shut=True)
    gradient = np.asarray(state.response(marks[mark].point), dtype=float)
    sources = boat.weight(plan, condition).sources
    moves = {_name(cause): float(move) for cause, move in effects(sources, gradient).items()}
    for name, pod in present(boat.solids, boat.packages_on(plan)).items():
        cut = pod.solid.cut(*state.plane)
        if pod.u_volume > 0 and cut.volume > 0 and not pod.inside and name not in state.loading.held_open:
            lift = boat.water_density * pod.u_volume * cut.volume / pod.solid.volume  # more volume is less weight
            moves[f"{name}: volume"] = float(gradient @ np.append(1.0, cut.centroid)) * -lift
    moves[f"{mark}: its own height"] = marks[mark].u_z
    moves["hull: shape"] = boat.u_hull
    table = pd.DataFrame({"input": list(moves), "mm": [1000 * move for move in moves.values()]})
    table = table[table["mm"] != 0]
    return table.sort_values("mm", key=np.abs, ascending=False, kind="stable").reset_index(drop=True)


def _name(cause: str) -> str:
    """A cause of a mass item in words: "helmsman: y" is "helmsman: place across"."""
    item, _, aspect = cause.rpartition(": ")
    return f"{item}: {ASPECTS[aspect]}" if item and aspect in ASPECTS else cause
