"""Marks: the points of a boat whose height above the water people ask for."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hullcalc.boats.presence import Presence

KINDS = (
    "scupper",
    "sole",
    "drain",
    "downflooding",
    "freeboard",
    "boot stripe",
    "draught",
    "electrical",
    "bracket opening",
)
OPENINGS = frozenset({"scupper", "drain", "downflooding", "bracket opening"})  # water comes in where these are under


@dataclass(frozen=True, eq=False)
class Mark:
    """A named point; `u_z` is the standard uncertainty of its height [m]."""

    name: str
    point: np.ndarray  # (3,) m
    kind: str
    note: str = ""
    u_z: float = 0.0
    presence: Presence = field(default_factory=Presence)

    def __post_init__(self) -> None:
        point = np.array(self.point, dtype=float).reshape(3)
        point.flags.writeable = False
        object.__setattr__(self, "point", point)

    @property
    def is_opening(self) -> bool:
        """Does water come in here once it is under?"""
        return self.kind in OPENINGS
