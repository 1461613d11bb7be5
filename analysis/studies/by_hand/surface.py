"""The free surface of a tank: inertia l b³ / 12 of its surface and what it takes off GM, beside the exact liquid.

The hand's figure holds while the surface keeps its breadth: until the liquid touches the top or leaves part of the
bottom dry. The exact liquid lies level at every heel, so the breadth changes there, and the loss of GM with it. Boat
frame, SI; heels to starboard.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.studies.by_hand.change import Afloat
from analysis.studies.by_hand.liquids import UPRIGHT, upright_liquid
from analysis.studies.by_hand.sums import Sum, Writer
from hullcalc.errors import InputError
from hullcalc.floating import small_angle
from hullcalc.floating.equilibrium import hold_heel
from hullcalc.floating.frame import level_axes
from hullcalc.floating.state import FloatState
from hullcalc.floating.tanks import Tank

HEELS = np.arange(0.0, 40.5, 0.5)  # deg: where the liquid is looked at
SLIGHT = 1e-9  # m: a surface this near to a corner has reached it


@dataclass(frozen=True, eq=False)
class FreeSurface:
    """One slack tank by hand and exactly."""

    tank: Tank
    fill: float
    by_hand: float  # m off GM: l b³ / 12 times density over displacement
    exact: float  # m off GM at the attitude she floats in
    touches_top: (
        float | None
    )  # heel [deg] at which the surface reaches the top, trimmed as she then is; None: not by 40
    bares_bottom: float | None  # heel [deg] at which it leaves part of the bottom dry
    curve: pd.DataFrame  # heel_deg, by_hand_kgm, exact_kgm: the moment with which the shifted liquid heels her further
    sum: Sum


@dataclass(frozen=True, eq=False)
class FreeSurfaces:
    """All slack tanks of a boat, and GM with the liquids frozen and free."""

    tanks: tuple[FreeSurface, ...]
    gm_free: float
    gm_frozen: float
    held: FloatState  # at HEELS, the first upright


def free_surfaces(one: Afloat) -> FreeSurfaces:
    """Every tank of the boat that is neither empty nor full.

    Raises InputError where there is none, with what to choose instead.
    """
    slack = [tank for tank in one.loading.tanks if 0 < upright_liquid(tank).fill < 1]
    if not slack:
        raise InputError(
            f"{one.plan}, {one.condition}: no tank is part full, so no surface is free; choose a "
            "condition that fills one"
        )
    loading = one.loading
    held, _ = hold_heel(list(loading.solids.values()), loading.mass, loading.cg, HEELS, loading.density, loading.tanks)
    names = [tank.name for tank in loading.tanks]
    found = tuple(_one_tank(tank, names.index(tank.name), one.state, held) for tank in slack)
    gm = float(one.state.gm_transverse)
    return FreeSurfaces(found, gm, gm + float(one.state.free_surface[0]), held)


def _one_tank(tank: Tank, index: int, state: FloatState, held: FloatState) -> FreeSurface:
    liquid = upright_liquid(tank)
    wet = tank.solid.cut(UPRIGHT, liquid.level)
    low, high = tank.solid.bounds
    breadth = float(high[1] - low[1])
    mean_length = wet.area / breadth
    write = Writer(f"Free surface of {tank.name}")
    area = write.given("area of the surface, boat level", wet.area, "area")
    across = write.given("breadth of the tank, b", breadth, "length")
    along = write.line("length of the surface, l", mean_length, "length", "{0} / {1}", area, across)
    inertia = write.line("inertia l b³ / 12", mean_length * breadth**3 / 12, "fourth", "{0} × {1}³ / 12", along, across)
    density = write.given("density of the liquid", tank.density, "density")
    mass = write.given("displacement, liquids included", float(state.mass), "mass")
    loss = float(small_angle.free_surface_correction(inertia.value, tank.density, float(state.mass)))
    write.line("loss of GM", loss, "small", "{0} × {1} / {2}", inertia, density, mass)
    exact = _exact_loss(tank, state, index)
    angles = np.radians(HEELS)
    shift = _shift(held, index)
    curve = pd.DataFrame(
        {
            "heel_deg": HEELS,
            "by_hand_kgm": inertia.value * tank.density * np.sin(angles),
            "exact_kgm": shift - shift[0],
        }
    )
    top, bottom = _reaches(tank, held, index)
    return FreeSurface(
        tank, liquid.fill, loss, exact, top, bottom, curve,
        write.done("Breadth counts cubed: two tanks of half the breadth lose a quarter between them."),
    )  # fmt: skip


def _exact_loss(tank: Tank, state: FloatState, index: int) -> float:
    """ρ i / W of the surface as it lies at the attitude she floats in, about the fore-and-aft axis levelled."""
    offset = float(state.liquids[index].surface_offset)
    if not np.isfinite(offset):
        return 0.0
    cut = tank.solid.cut(state.normal, offset)
    _, across = level_axes(state.normal)
    return float(tank.density * (across @ cut.area_inertia @ across) / state.mass)


def _shift(held: FloatState, index: int) -> np.ndarray:
    """Moment [kg m] of the liquid about the fore-and-aft line levelled, as it heels her to starboard, at each heel."""
    liquid = held.liquids[index]
    _, across = level_axes(held.normal)  # to port
    moved = np.asarray(liquid.centre) - np.asarray(liquid.centre)[0]
    moment: np.ndarray = -np.asarray(liquid.mass) * np.sum(moved * across, axis=-1)
    return moment


def _reaches(tank: Tank, held: FloatState, index: int) -> tuple[float | None, float | None]:
    """The heels [deg] at which the surface reaches the top of the tank, and leaves part of its bottom dry."""
    offsets = np.asarray(held.liquids[index].surface_offset)
    low, high = tank.solid.bounds[:, 2]
    vertices = tank.solid.vertices
    roof = vertices[vertices[:, 2] >= high - SLIGHT]
    floor = vertices[vertices[:, 2] <= low + SLIGHT]
    headroom = np.min(held.normal @ roof.T, axis=1) - offsets
    cover = offsets - np.max(held.normal @ floor.T, axis=1)
    return _first_zero(headroom), _first_zero(cover)


def _first_zero(room: np.ndarray) -> float | None:
    """The heel at which room is used up, by a straight line between the heels looked at; 0 if there never was any."""
    gone = np.flatnonzero(~(room > 0))
    if not len(gone):
        return None
    k = int(gone[0])
    if k == 0:
        return 0.0
    return float(HEELS[k - 1] + (HEELS[k] - HEELS[k - 1]) * room[k - 1] / (room[k - 1] - room[k]))
