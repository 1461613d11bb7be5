"""The textbook's approximations, by name and with their range: hand methods to hold beside the exact answer.

Nothing here sees a hull: each takes the few figures a stability book gives and says how far they carry. Heel is
positive to starboard [rad], trim positive bow up, x forward [m], masses in kg, lengths in m; but every function holds
in any units that fit together, as tonnes and metres. Liquids do not move here unless a function says so. For the
answer at any attitude float the solids themselves.

References
----------
.. [1] D. R. Derrett, rev. C. B. Barrass, Ship Stability for Masters and Mates, 5th ed., 1999; worked examples on
   pp. 116 (list), 130 (wall-sided), 195 (free surface), 206 (bilging); formulas elsewhere from memory.
.. [2] K. J. Rawson and E. C. Tupper, Basic Ship Theory, 5th ed., vol. 1, 2001, ch. 4 and 5 (from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import require


def _arrays(**given: ArrayLike) -> list[np.ndarray]:
    """The arguments as arrays; an InputError names the first that holds no finite number."""
    arrays = [np.asarray(value, dtype=float) for value in given.values()]
    for name, array in zip(given, arrays, strict=True):
        require(np.isfinite(array), name, array, "", "must be a finite number", "look for an empty cell")
    return arrays


def _require_positive(name: str, value: np.ndarray, unit: str, mend: str) -> None:
    require(value > 0, name, value, unit, "must be positive", mend)


def _require_heel(heel: np.ndarray) -> None:
    mend = "given in degrees? use np.radians"
    require(abs(heel) < np.pi / 2, "heel", heel, "rad", "is 90 degrees or more", mend)


# --- transverse: list, inclining, righting arm ---------------------------------------------------------------------


def shift_of_g(moved: ArrayLike, distance: ArrayLike, mass: ArrayLike) -> np.ndarray:
    """GG1 = w d / W, how far the whole's centre of gravity moves when the part `moved` goes `distance`; exact.

    `distance` [m] is signed and along any axis, G moves the same way; `mass` is the whole's, the part's included.
    Shapes broadcast. Raises InputError where `mass` is not positive. Source: [1]_.
    """
    moved, distance, mass = _arrays(moved=moved, distance=distance, mass=mass)
    _require_positive("mass", mass, "kg", "give the displacement, the moved part included")
    return moved * distance / mass


def small_angle_list(gm: ArrayLike, shift: ArrayLike) -> np.ndarray:
    """Angle of list with tan(list) = GG1 / GM.

    Range: while GZ follows GM sin(heel), some 5 to 10 degrees for a ship; a hard-chined boat leaves it sooner.

    Parameters
    ----------
    gm : array_like, shape (...)
        GM [m], positive; free surfaces already taken off.
    shift : array_like, shape (...)
        Centre of gravity off the centreline [m], positive to starboard (the boat frame's y turned round).

    Returns
    -------
    ndarray, shape (...)
        List [rad], positive to starboard.

    Raises
    ------
    InputError
        Where `gm` is not positive: then she lolls and the formula says nothing.

    References
    ----------
    [1]_, p. 116.
    """
    gm, shift = _arrays(gm=gm, shift=shift)
    _require_positive("gm", gm, "m", "with GM zero or less use wall_sided_loll")
    return np.arctan(shift / gm)


def plumb_line_heel(deflection: ArrayLike, length: ArrayLike) -> np.ndarray:
    """Heel [rad] with tan(heel) = deflection / length of a plumb line, both [m], deflection signed; exact."""
    deflection, length = _arrays(deflection=deflection, length=length)
    _require_positive("length", length, "m", "measure from the hanging point to the batten")
    return np.arctan(deflection / length)


def inclining_gm(moved: ArrayLike, distance: ArrayLike, mass: ArrayLike, heel: ArrayLike) -> np.ndarray:
    """GM = w d / (W tan(heel)) from an inclining experiment.

    Range: heels of a few degrees, within which GM is constant; water calm, liquids still, lines slack.

    Parameters
    ----------
    moved, distance : array_like, shape (...)
        Mass shifted across [kg] and how far [m], positive to starboard.
    mass : array_like, shape (...)
        Displacement with everything aboard [kg], positive.
    heel : array_like, shape (...)
        Change of heel [rad], positive to starboard, not zero (see `plumb_line_heel`).

    Returns
    -------
    ndarray, shape (...)
        GM as inclined, liquids as they were [m]; negative if she heeled away from the mass.

    References
    ----------
    [2]_, ch. 4; the same in every stability book.
    """
    moved, distance, mass, heel = _arrays(moved=moved, distance=distance, mass=mass, heel=heel)
    _require_heel(heel)
    require(heel != 0, "heel", heel, "rad", "must not be zero", "shift more mass, or read the plumb line again")
    return shift_of_g(moved, distance, mass) / np.tan(heel)


def small_angle_gz(gm: ArrayLike, heel: ArrayLike) -> np.ndarray:
    """Righting arm GZ = GM sin(heel) [m]; it has the sign of `heel` [rad] where the boat rights herself.

    Range: some 5 to 10 degrees of heel; the wall-sided formula adds the next term. Raises InputError where `heel`
    reaches 90 degrees. Source: [1]_, p. 130, which starts from it.
    """
    gm, heel = _arrays(gm=gm, heel=heel)
    _require_heel(heel)
    return gm * np.sin(heel)


# --- wall sides ----------------------------------------------------------------------------------------------------


def wall_sided_gz(gm: ArrayLike, bm: ArrayLike, heel: ArrayLike) -> np.ndarray:
    """Righting arm GZ = sin(heel) (GM + BM tan²(heel) / 2), the sides vertical wherever they cross the water.

    Exact until the deck edge or the chine crosses the water (`wall_sided_limit`), which it cannot see; then cut the
    solid instead.

    Parameters
    ----------
    gm, bm : array_like, shape (...)
        Upright GM (may be negative) and BM = I_T / displaced volume (positive) [m].
    heel : array_like, shape (...)
        Heel, positive to starboard [rad].

    Returns
    -------
    ndarray, shape (...)
        GZ [m]; it has the sign of `heel` where the boat rights herself.

    Raises
    ------
    InputError
        If a `bm` is not positive or a `heel` reaches 90 degrees.

    References
    ----------
    [1]_, p. 130; [2]_, ch. 4.
    """
    gm, bm, heel = _arrays(gm=gm, bm=bm, heel=heel)
    _require_bm(bm)
    _require_heel(heel)
    return np.sin(heel) * (gm + 0.5 * bm * np.tan(heel) ** 2)


def wall_sided_limit(half_breadth: ArrayLike, freeboard: ArrayLike, draught: ArrayLike) -> np.ndarray:
    """Heel [rad] at which deck edge or bottom corner reaches the water: the end of the wall-sided range.

    tan(limit) = the lesser of `freeboard` and `draught` over `half_breadth`, all [m] upright and at the least section.
    """
    half_breadth, freeboard, draught = _arrays(half_breadth=half_breadth, freeboard=freeboard, draught=draught)
    _require_positive("half_breadth", half_breadth, "m", "give half the breadth of the waterplane")
    _require_positive("freeboard", freeboard, "m", "with the deck edge under there is no wall-sided range")
    _require_positive("draught", draught, "m", "give the draught of the vertical side")
    return np.arctan(np.minimum(freeboard, draught) / half_breadth)


def wall_sided_loll(gm: ArrayLike, bm: ArrayLike) -> np.ndarray:
    """Angle of loll, tan(loll) = sqrt(-2 GM / BM), to either side; zero where GM is not negative.

    Exact within `wall_sided_limit`. `gm` (upright, liquids free) and `bm` (positive) [m], shapes broadcast; the result
    [rad] is positive, the attitude on the other side is its negative. Source: [1]_; [2]_, ch. 4.
    """
    gm, bm = _arrays(gm=gm, bm=bm)
    _require_bm(bm)
    return np.arctan(np.sqrt(np.maximum(-2 * gm / bm, 0.0)))


def wall_sided_gm_from_loll(loll: ArrayLike, bm: ArrayLike) -> np.ndarray:
    """Upright GM = -BM tan²(loll) / 2 [m] of a wall-sided boat seen to loll at `loll` [rad]; `bm` [m] positive."""
    loll, bm = _arrays(loll=loll, bm=bm)
    _require_bm(bm)
    _require_heel(loll)
    return -0.5 * bm * np.tan(loll) ** 2


def wall_sided_gm_at_loll(gm: ArrayLike, bm: ArrayLike) -> np.ndarray:
    """Slope of GZ at the angle of loll, -2 GM / cos(loll) [m], for an upright `gm` below zero; `bm` [m] positive."""
    gm, bm = _arrays(gm=gm, bm=bm)
    require(gm < 0, "gm", gm, "m", "must be negative", "with a positive GM she rests upright")
    return -2 * gm / np.cos(wall_sided_loll(gm, bm))


def _require_bm(bm: np.ndarray) -> None:
    _require_positive("bm", bm, "m", "check the waterplane and the displaced volume")


# --- free surface --------------------------------------------------------------------------------------------------


def rectangle_second_moment(length: ArrayLike, breadth: ArrayLike) -> np.ndarray:
    """Second moment l b³ / 12 [m⁴] of a rectangular surface about the axis along its length, both [m]; exact."""
    length, breadth = _arrays(length=length, breadth=breadth)
    return length * breadth**3 / 12


def free_surface_correction(second_moment: ArrayLike, liquid_density: ArrayLike, mass: ArrayLike) -> np.ndarray:
    """Loss of GM by a slack tank, i ρ / W.

    Range: small heels, while the liquid's surface keeps its breadth; nothing of it where the tank is full or empty.

    Parameters
    ----------
    second_moment : array_like, shape (...)
        Of the liquid's surface about its own fore-and-aft axis [m⁴].
    liquid_density : array_like, shape (...)
        Of the liquid in the tank [kg/m³].
    mass : array_like, shape (...)
        Displacement, liquids included [kg], positive.

    Returns
    -------
    ndarray, shape (...)
        To be taken off GM [m].

    References
    ----------
    [1]_, p. 195.
    """
    second_moment, liquid_density, mass = _arrays(second_moment=second_moment, liquid_density=liquid_density, mass=mass)
    _require_positive("mass", mass, "kg", "give the displacement, liquids included")
    return second_moment * liquid_density / mass


def divided_second_moment(second_moment: ArrayLike, cells: ArrayLike) -> np.ndarray:
    """Second moment of a rectangular surface parted lengthwise into n equal cells: that of the whole over n².

    `second_moment` [m⁴] of the undivided surface; `cells` a whole number, one or more. Exact. Source: [1]_, p. 195.
    """
    second_moment, cells = _arrays(second_moment=second_moment, cells=cells)
    whole = (cells >= 1) & (cells == np.floor(cells))
    require(whole, "cells", cells, "", "must be a whole number, one or more", "count the cells, not the bulkheads")
    return second_moment / cells**2


# --- draughts ------------------------------------------------------------------------------------------------------


def tpc(waterplane_area: ArrayLike, density: ArrayLike) -> np.ndarray:
    """Mass for a metre of parallel sinkage, ρ A [kg/m]: 100,000 kg/m is a TPC of one tonne per centimetre.

    Range: while the waterplane area [m²] keeps its size. `density` [kg/m³]. Source: [1]_, p. 74.
    """
    waterplane_area, density = _arrays(waterplane_area=waterplane_area, density=density)
    _require_positive("waterplane_area", waterplane_area, "m²", "is the boat afloat?")
    _require_positive("density", density, "kg/m³", "sea water is 1025")
    return density * waterplane_area


def mct(mass: ArrayLike, gm_longitudinal: ArrayLike, length: ArrayLike) -> np.ndarray:
    """Moment for a metre of trim, W GM_L / L [kg m/m]: 100,000 is an MCT of one tonne-metre per centimetre.

    Trim is the difference of draught over `length` [m]. `mass` displacement [kg], `gm_longitudinal` [m] (BM_L in its
    place is a further approximation, and a coarse one for a small boat). Range: trims that leave the waterplane's
    shape. Source: [1]_.
    """
    mass, gm_longitudinal, length = _arrays(mass=mass, gm_longitudinal=gm_longitudinal, length=length)
    _require_positive("mass", mass, "kg", "give the displacement")
    _require_positive("length", length, "m", "give the length over which trim is counted")
    return mass * gm_longitudinal / length


def draughts_after_loading(
    draughts: ArrayLike,
    at: ArrayLike,
    added: ArrayLike,
    places: ArrayLike,
    lcf: float,
    tpc: float,
    mct: float,
    length: float,
) -> np.ndarray:
    """Draughts after masses come aboard (or go, negative), by parallel sinkage and trim about the LCF.

    Each added mass sinks her by mass / TPC and trims her by its moment about the LCF / MCT; the LCF stays put. Range:
    masses of a few per cent of the displacement and trims small against the draught. A mass that moves is two entries,
    out and in.

    Parameters
    ----------
    draughts : array_like, shape (n,)
        Draughts before [m].
    at : array_like, shape (n,)
        Where they are read, x [m].
    added : array_like, shape (k,)
        Masses [kg], negative where they go ashore.
    places : array_like, shape (k,)
        x of each [m].
    lcf : float
        x of the centre of flotation [m].
    tpc : float
        Mass per metre of sinkage [kg/m], positive (see `tpc`).
    mct : float
        Moment per metre of trim over `length` [kg m/m], positive (see `mct`).
    length : float
        Length over which `mct` counts trim [m], positive.

    Returns
    -------
    ndarray, shape (n,)
        Draughts after [m].

    References
    ----------
    [1]_.
    """
    draughts, at, added, places = _arrays(draughts=draughts, at=at, added=added, places=places)
    per_metre, moment_per_metre, over, centre = _arrays(tpc=tpc, mct=mct, length=length, lcf=lcf)
    _require_positive("tpc", per_metre, "kg/m", "a TPC of 1 t/cm is 100,000 kg/m")
    _require_positive("mct", moment_per_metre, "kg m/m", "an MCT of 1 t m/cm is 100,000 kg m/m")
    _require_positive("length", over, "m", "give the length over which mct counts trim")
    sinkage = np.sum(added) / per_metre
    bow_down = np.sum(added * (places - centre)) / moment_per_metre / over  # slope
    return draughts + sinkage + bow_down * (at - centre)


def lost_buoyancy_sinkage(
    lost_volume: ArrayLike, waterplane_area: ArrayLike, lost_area: ArrayLike, permeability: ArrayLike = 1.0
) -> np.ndarray:
    """Parallel sinkage when a compartment is open to the sea: lost buoyancy over the waterplane that is left.

    Exact for a wall-sided body whose compartment lies under or about the LCF, so that she does not trim or list.

    Parameters
    ----------
    lost_volume : array_like, shape (...)
        Volume of the compartment below the intact waterline, its contents not deducted [m³].
    waterplane_area : array_like, shape (...)
        Of the intact boat [m²].
    lost_area : array_like, shape (...)
        What the compartment takes of it [m²]; 0 where its top is under water.
    permeability : array_like, shape (...)
        Share of the compartment that water can fill, 0 to 1. It counts for the volume and for the area.

    Returns
    -------
    ndarray, shape (...)
        Sinkage [m].

    References
    ----------
    [1]_, p. 206.
    """
    lost_volume, waterplane_area, lost_area, permeability = _arrays(
        lost_volume=lost_volume, waterplane_area=waterplane_area, lost_area=lost_area, permeability=permeability
    )
    in_range = (permeability >= 0) & (permeability <= 1)
    require(in_range, "permeability", permeability, "", "must lie in 0 to 1", "25 % is 0.25")
    left = waterplane_area - permeability * lost_area
    _require_positive("waterplane area left", left, "m²", "nothing holds her up any more: lost_area takes it all")
    return permeability * lost_volume / left
