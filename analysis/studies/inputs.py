"""Which input moves the answer most? Millimetres at one mark for one standard uncertainty of each input.

The inputs are the named causes of `hullcalc.boats.causes`: of weights, liquids, pods, marks, the hull's shape and the
water. Effects are read off the response at the floated attitude with spaces shut, so they hold for small changes.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.causes import Causes, all_causes


def which_input(boat: Boat, plan: AnyPlan, condition: AnyCondition, mark: str) -> pd.DataFrame:
    """Columns input and mm (positive: the mark comes higher), the input that moves the mark most first.

    Raises
    ------
    InputError
        If the mark is not there in this plan.
    NoEquilibriumError
        If she sinks.
    """
    return inputs_of(all_causes(boat, plan, condition), mark)


def inputs_of(causes: Causes, mark: str) -> pd.DataFrame:
    """The same of causes already found."""
    effects = 1000 * causes.effects([mark])[:, 0]
    table = pd.DataFrame({"input": [cause.words for cause in causes.each], "mm": effects})
    table = table[table["mm"] != 0]
    return table.sort_values("mm", key=np.abs, ascending=False, kind="stable").reset_index(drop=True)
