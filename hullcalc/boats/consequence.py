"""What a slip in the ledger would do to the boat: so that a message can say it in millimetres at the stern."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.boats.ledger import Ledger
from hullcalc.boats.presence import present
from hullcalc.boats.settings import Settings
from hullcalc.boats.spaces import Pod
from hullcalc.errors import HullcalcError, require
from hullcalc.floating.equilibrium import float_at_rest
from hullcalc.geometry.solid import Solid
from hullcalc.measuring.stations import Hull
from hullcalc.weights.items import combine


@dataclass(frozen=True, eq=False)
class Consequence:
    """The boat as far as she could be read, light."""

    hull: Hull | None
    settings: Settings
    ledger: Ledger
    pods: tuple[Pod, ...]

    def stern_rise(self, package: str, lift: float, place: ArrayLike) -> float | None:
        """How much the lower end of the transom rises [m] when `lift` [kg] is taken off at `place` [m].

        In the first plan that has `package`, the boat as found if none has. None where too little of the boat could
        be read, or she would not float.
        """
        if self.hull is None or self.settings.as_found is None:
            return None
        on = next((plan for plan in self.settings.plans.values() if package in plan), ())
        changes, _ = self.ledger.apply(on)
        light = combine([self.settings.as_found, *(change.item for change in changes)])
        pods = present(self.pods, on).values()
        bodies = [self.hull.solid, *(pod.solid for pod in pods if not pod.inside)]
        lifted = light.moment - lift * np.asarray(place, dtype=float)
        try:
            before = self._water_at_transom(bodies, float(light.mass), light.moment)
            return before - self._water_at_transom(bodies, float(light.mass) - lift, lifted)
        except HullcalcError:
            return None

    def _water_at_transom(self, bodies: list[Solid], mass: float, moment: np.ndarray) -> float:
        """Height of the water above the origin, along the boat's z [m]."""
        require(mass > 0, "mass", mass, "kg", "is no boat", "see the ledger")
        state = float_at_rest(bodies, mass, moment / mass, self.settings.water_density)
        normal, offset = state.plane
        return float(offset / normal[2])
