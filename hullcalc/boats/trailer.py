"""The boat on her trailer: what weighs on the ball, and which share of boat and trailer that is.

Statics of a beam on two supports: the axle group and the ball. Boat frame, SI. The share is of boat and trailer
together, as couplers and tow vehicles are rated for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hullcalc.boats.settings import FILE
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import InputError, Problems, require


@dataclass(frozen=True)
class Trailer:
    """An empty trailer: its mass and what it weighs on its ball [kg], and where axle group and ball stand [m]."""

    mass: float
    tongue: float
    axle_x: float
    ball_x: float


@dataclass(frozen=True)
class OnBall:
    """What weighs on the ball [kg], its share of the gross mass, and the gross mass of boat and trailer [kg]."""

    kg: float
    share: float
    gross: float


def on_ball(trailer: Trailer, mass: float, lcg: float) -> OnBall:
    """The boat, `mass` kg at `lcg` m, on her bow stop."""
    require(mass > 0, "mass of the boat", mass, "kg", "must be positive", "do the removals outweigh the boat?")
    kg = trailer.tongue + mass * (lcg - trailer.axle_x) / (trailer.ball_x - trailer.axle_x)
    gross = trailer.mass + mass
    return OnBall(kg, kg / gross, gross)


def read_trailer(measured: Mapping[str, Any]) -> Trailer | None:
    """The trailer of [trailer] in boat.toml; None where it says nothing of one.

    Raises
    ------
    InputError
        Where a figure is missing, cannot be read, or is impossible; all of it at once.
    """
    table = measured.get("trailer") or {}
    if not table:
        return None
    problems = Problems()
    keys = Keys(table, FILE, "trailer", problems)
    mass = keys.quantity("mass", "mass", True, "mass_kg = 600")
    tongue = keys.quantity("tongue", "mass", True, "tongue_kg = 45")
    axle = keys.position("axle_x", "x", True, "axle_x_m = 1.53")
    ball = keys.position("ball_x", "x", True, "ball_x_m = 8.20")
    if mass is not None and not mass > 0:
        keys.report("mass", f"{mass:g} kg", "expected the mass of the empty trailer", "Write mass_kg = 600")
    if axle is not None and ball is not None and not ball > axle:
        keys.report("ball_x", f"{ball:g} m", f"the ball stands forward of the axle at {axle:g} m", "Mend one of them")
    problems.raise_if_any()
    if mass is None or tongue is None or axle is None or ball is None:
        raise InputError(f"{FILE} [trailer]: cannot be read")  # not reached: what is missing is a problem
    return Trailer(mass, tongue, axle, ball)
