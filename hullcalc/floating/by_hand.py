"""The hand method on three axes: sinkage by TPC, trim by MCT about the LCF, list by GM, from the figures of one float.

Boat frame, SI. It is the tangent to the exact answer at the float its figures are taken from, but for two things that
a hand leaves out: arms are taken along the boat's own axes, not along the water, and heights of weights do not count.
So it is right for a light change and parts from the exact answer as the change grows, where the waterplane changes its
shape: a hard chine coming out of the water, a bow going under.

References
----------
C. B. Barrass and D. R. Derrett, Ship Stability for Masters and Mates, chapters on TPC, trim and list (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_array, as_number, as_vector, require
from hullcalc.floating import small_angle
from hullcalc.floating.state import FloatState


@dataclass(frozen=True, eq=False)
class HandFigures:
    """What a hand sum takes from a boat afloat; one boat, SI."""

    mass: float  # kg, liquids included
    tpc: float  # kg for a metre of sinkage
    lcf: float  # x and y of the centre of flotation [m]
    tcf: float
    gm_longitudinal: float  # m, liquids free
    gm_transverse: float

    def change(self, mass: float, moment: ArrayLike) -> HandChange:
        """What a weight added does by hand.

        Parameters
        ----------
        mass : float
            Added [kg], negative where it is taken off, zero for a move.
        moment : array_like, shape (3,)
            Its moment about the boat's origin [kg m]; the height's does not count.

        Raises
        ------
        InputError
            If a figure is not finite.
        """
        mass, moment = (
            as_number(mass, "mass", "kg"),
            as_vector(moment, "moment", "must be three finite numbers in kg m"),
        )
        about_f = moment[:2] - mass * np.array([self.lcf, self.tcf])
        along, across = about_f / self.mass / np.array([self.gm_longitudinal, self.gm_transverse])
        return HandChange(mass / self.tpc, -float(along), -float(across), self.lcf, self.tcf)


@dataclass(frozen=True)
class HandChange:
    """What a change does by hand; slopes of the water in the boat's frame, positive bow up and starboard down."""

    sinkage: float  # of the centre of flotation [m], positive deeper
    bow_up: float  # tan of the change of trim
    starboard_down: float  # tan of the change of heel
    lcf: float
    tcf: float

    def rise(self, points: ArrayLike) -> np.ndarray:
        """Change of the height of points (..., 3) above the water [m], shape (...)."""
        points = as_array(points, "points", "m")
        if points.ndim < 1 or points.shape[-1] != 3:
            raise InputError(f"points must be (x, y, z) in metres, shape (..., 3), not {points.shape}")
        turned = self.bow_up * (points[..., 0] - self.lcf) + self.starboard_down * (points[..., 1] - self.tcf)
        return np.asarray(turned - self.sinkage)


def hand_figures(state: FloatState) -> HandFigures:
    """The figures of a floated boat; an InputError where she does not rest upright on a waterplane.

    GM must be positive both ways: a boat that lolls has no list by hand.
    """
    gm_l, gm_t = float(state.gm_longitudinal), float(state.gm_transverse)
    for name, gm in (("GM_L", gm_l), ("GM", gm_t)):
        require(gm > 0, name, gm, "m", "must be positive for a hand sum", "with GM zero or less she lolls; float her")
    tpc = float(small_angle.tpc(state.waterplane_area, float(state.density)))
    x, y, _ = (float(c) for c in state.flotation)
    return HandFigures(float(state.mass), tpc, x, y, gm_l, gm_t)


def density_change(figures: HandFigures, lcb: float, before: float, after: float) -> HandChange:
    """What other water does by hand: sinkage by volume over waterplane, trim by the layer's lever about B.

    In water of density `after` [kg/m³] she needs the volume W (1/after − 1/before) more. That layer is added at the LCF
    while the old volume, at `lcb` [m], lifts less by W (1 − after/before): a moment of that weight times LCF − LCB.
    TPC is that of the water before. Range: densities a few per cent apart. Derived here from the layer.
    """
    for name, density in (("before", before), ("after", after)):
        require(
            density > 0, f"density {name}", density, "kg/m³", "must be positive", "sea water is 1025, fresh water 1000"
        )
    share = 1 - after / before
    layer = figures.mass * (1 / after - 1 / before)
    bow_up = share * (figures.lcf - lcb) / figures.gm_longitudinal
    return HandChange(layer * before / figures.tpc, bow_up, 0.0, figures.lcf, figures.tcf)
