"""Heights of marks above the water, taped afloat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, eq=False)
class Readings:
    """One row of readings: `heights` by mark [m], `aboard` as it was written down, `water_density` [kg/m³]."""

    state: str
    water_density: float
    aboard: str = ""
    heights: Mapping[str, float] = field(default_factory=dict)
