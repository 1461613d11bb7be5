"""What is floated and what came of it: a boat in one plan and condition, and one round of floating her."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hullcalc.boats.marks import Mark
from hullcalc.boats.spaces import Space
from hullcalc.floating.state import FloatState
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.solid import Solid


@dataclass(frozen=True, eq=False)
class Loading:
    """A boat in one plan and condition, ready to float."""

    mass: float  # kg, without the liquids in tanks
    cg: np.ndarray  # (3,) m
    density: float  # of the sea, kg/m³
    solids: Mapping[str, Solid]
    tanks: tuple[Tank, ...]
    spaces: Mapping[str, Space]
    held_open: tuple[str, ...]  # names among `spaces` open to the sea from the start
    tight_tanks: tuple[Solid, ...]  # all tanks: they float her where they stand in an open space
    tight_inside: Mapping[str, tuple[str, Solid]]  # other tight solids by name: (space they stand in, solid)
    marks: Mapping[str, Mark]

    @property
    def openings(self) -> tuple[str, ...]:
        """The marks at which water comes in once they are under, by their kind or as an opening of a space."""
        of_spaces = {name for space in self.spaces.values() for name in space.openings}
        return tuple(name for name, mark in self.marks.items() if mark.is_opening or name in of_spaces)

    def heights(self, state: FloatState) -> dict[str, float]:
        """Height of each mark above the water [m], negative when under."""
        return {name: float(state.height_above_water(mark.point)) for name, mark in self.marks.items()}


@dataclass(frozen=True, eq=False)
class Round:
    """One floating with the spaces `opened` open to the sea; `under` are the openings then under water."""

    state: FloatState
    opened: tuple[str, ...]
    heights: Mapping[str, float]  # mark -> m above the water
    under: tuple[str, ...]
