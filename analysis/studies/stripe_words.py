"""Where the boot stripe belongs, in the reader's words. `system` is "metric" or "us"."""

from __future__ import annotations

import pandas as pd

from analysis.studies.stripe import Stripe
from analysis.studies.words import capital, the_plan
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.units import say_length_mm, say_position


def stripe_finding(found: Stripe, system: str = "metric") -> str:
    """The finding, without a full stop."""
    figures = [
        (say_length_mm(row["paint_mm"] / 1000, system), say_place(row, system)) for _, row in found.table.iterrows()
    ]
    (first, where), *rest = figures
    said = [f"{first} above the keel line {where}", *(f"{figure} {there}" for figure, there in rest)]
    return f"{capital(the_plan(found.plan))}: the stripe's lower edge belongs {say_list(said)}"


def say_place(row: pd.Series, system: str = "metric") -> str:
    """ "at the transom" or "at 5.20 m forward"."""
    if row["x_m"] <= 0:
        return "at the transom"
    return "at " + say_position(float(row["x_m"]), "x", system).replace(" of the transom", "")


def say_over(mm: float, system: str = "metric") -> str:
    """Water against a line painted on her [mm, positive over it]: "29 mm over", "8 mm below"."""
    return f"{say_length_mm(abs(mm) / 1000, system)} {'over' if mm >= 0 else 'below'}"


def stripe_caution(found: Stripe) -> str:
    """What the picture leaves out."""
    said = [
        "The stripe goes by the water with the heel taken out; spaces shut. Check afloat before you paint.",
        *STANDING_CARE,
    ]
    return " ".join([*said, "Invented boat."] if found.boat.invented else said)
