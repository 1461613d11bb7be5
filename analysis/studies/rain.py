"""Rain that stays aboard: litres of fresh water standing level in a space whose way out is blocked.

The space (a cockpit) holds the water as a tank does: it runs to the low side and sinks her there. Every space is kept
shut that the condition does not hold open, as water that cannot run out does not run in either.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from analysis.studies.floats import Case
from hullcalc.boats.afloat import float_loading
from hullcalc.errors import InputError, NoEquilibriumError, require
from hullcalc.floating.tanks import Tank

FRESH = 1000.0  # kg/m3
LITRES = (100.0, 400.0)


def rain_in(case: Case, space: str, litres: Sequence[float] = LITRES) -> pd.DataFrame:
    """Heights with rain standing in a space, a row for each amount, 0 L first.

    Columns litres, mass_kg, trim_deg, heel_deg, gm_m, status and one a mark that should be above water, in mm.

    Raises
    ------
    InputError
        If the plan has no such space, it is open to the sea, or it does not hold that much.
    """
    loading = case.state.loading
    if space not in loading.spaces or space in loading.held_open:
        raise InputError(
            f"rain cannot stand in {space!r}: it is open to the sea or not there; there are: "
            f"{', '.join(n for n in loading.spaces if n not in loading.held_open) or 'none'}"
        )
    solid = loading.spaces[space].solid
    amounts = np.array([0.0, *litres])
    require(
        (amounts >= 0) & (amounts <= 1000 * solid.volume), f"rain in {space}", amounts, "L",
        f"must be zero or more and at most the {1000 * solid.volume:.0f} L that it holds", "give fewer litres",
    )  # fmt: skip
    rows = []
    for amount in amounts:
        rain = Tank(f"rain in {space}", solid, FRESH, fill=amount / 1000 / solid.volume)
        wet = replace(loading, tanks=(*loading.tanks, rain))
        try:
            state = float_loading(wet, shut=True)
        except NoEquilibriumError:
            rows.append({"litres": amount, "status": "sinks"})
            continue
        row = {
            "litres": amount, "status": state.status, "mass_kg": float(state.mass), "trim_deg": float(state.trim),
            "heel_deg": float(state.heel), "gm_m": float(state.gm_transverse),
        }  # fmt: skip
        rows.append(row | {name: 1000 * state.marks[name] for name in case.watched()})
    return pd.DataFrame(rows)
