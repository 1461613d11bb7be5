"""Tanks: closed spaces that hold a liquid, whose surface stays level with the sea."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, as_vector, require
from hullcalc.geometry.solid import Solid

GASOLINE = 740.0  # kg/m3; common practice, no source
U_GASOLINE = 15.0  # kg/m3, its standard uncertainty; common practice, no source


@dataclass(frozen=True, eq=False)
class Tank:
    """A space that holds a liquid.

    Parameters
    ----------
    name : str
    solid : Solid
        The inside of the tank.
    density : float
        Of the liquid [kg/m3]; gasoline unless said.
    fill : float, optional
        Fraction of the gross volume, 0 to 1.
    level_at : array_like, shape (3,), optional
        A standpipe's lip [m]: the liquid stands level with it at the floated attitude, and its mass follows.

    Raises
    ------
    InputError
        If both or neither of `fill` and `level_at` are given, or a figure is out of range.
    """

    name: str
    solid: Solid
    density: float = GASOLINE
    fill: float | None = None
    level_at: ArrayLike | None = None

    def __post_init__(self) -> None:
        if (self.fill is None) == (self.level_at is None):
            raise InputError(
                f"{self.name}: give either fill (fraction of the gross volume) or level_at (a standpipe's lip)"
            )
        if not isinstance(self.solid, Solid):
            raise InputError(f"{self.name}: solid must be a Solid, not {type(self.solid).__name__}")
        density = as_number(self.density, f"density of {self.name}", "kg/m3")
        require(
            density > 0, f"density of {self.name}", density, "kg/m3", "must be positive",
            "gasoline is about 740, water 1000 to 1025",
        )  # fmt: skip
        if self.fill is not None:
            require_fill(as_number(self.fill, f"fill of {self.name}", ""), f"fill of {self.name}")
        else:
            lip = as_vector(self.level_at, f"level_at of {self.name}")
            lip.flags.writeable = False
            object.__setattr__(self, "level_at", lip)


def require_fill(fill: ArrayLike, name: str) -> None:
    """Raise an InputError unless every `fill` is a fraction from 0 to 1."""
    fill = np.asarray(fill, dtype=float)
    require(
        (fill >= 0) & (fill <= 1), name, fill, "", "must be from 0 to 1",
        "it is a fraction of the gross volume: 95 % is 0.95",
    )  # fmt: skip
