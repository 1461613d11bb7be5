"""Hydrostatic properties against draught, exact for the given solids at any trim and heel.

Boat axes, m: x forward, y to port, z up. The draught is that of one stated point: how far it lies under the water,
square to the water. The base line, from which KB and KM count, is z = 0. Metacentres stand over the centre of buoyancy
on the water's normal; BM is second moment of the waterplane over displaced volume, about the axes of the waterplane
that lie along the boat and across her. Displacement, TPC and MCT are masses and moments of mass (kg, kg m).

TPC and MCT are the textbook's approximations for small changes; see `small_angle`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hullcalc.errors import InputError, as_array, as_number, as_vector, require
from hullcalc.floating import small_angle
from hullcalc.floating.equilibrium import SEA_WATER
from hullcalc.floating.frame import level_axes
from hullcalc.floating.waterline import waterline_extent
from hullcalc.geometry.solid import Solid

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class HydrostaticTable:
    """One row a draught: every array has the shape (n,) unless said, and its name says what it holds."""

    draught: Floats  # [m], of the point `at`, square to the water
    trim: float  # [deg], bow up positive
    heel: float  # [deg], starboard down positive
    density: float  # of the sea [kg/m3]
    at: Floats  # (3,) m: the point whose draught it is
    displacement: Floats  # [kg]
    volume: Floats  # [m3]
    lcb: Floats  # x, y and z of the centre of buoyancy [m]
    tcb: Floats
    kb: Floats
    bm_transverse: Floats  # [m]
    bm_longitudinal: Floats
    km_transverse: Floats  # height of the metacentre over z = 0, square to the base line [m]
    km_longitudinal: Floats
    waterplane_area: Floats  # [m2]
    lcf: Floats  # x and y of the centre of flotation [m]
    tcf: Floats
    lwl: Floats  # length and beam of the waterline, its whole extent (`waterline_extent`) [m]
    bwl: Floats
    kg_per_mm: Floats  # for a millimetre of parallel sinkage
    tpc: Floats  # tonnes for a centimetre of parallel sinkage
    mct: Floats  # [kg m] for a centimetre of trim over `mct_length`
    mct_length: Floats  # [m]: LWL unless said
    mct_by: str  # "GM_L" where VCG was given; "BM_L" where BM_L stands in its place, a further approximation


def hydrostatic_table(
    solids: Sequence[Solid] | Solid,
    draughts: ArrayLike,
    trim: float = 0.0,
    heel: float = 0.0,
    density: float = SEA_WATER,
    flooded: Sequence[Solid] = (),
    at: ArrayLike = (0.0, 0.0, 0.0),
    vcg: float | None = None,
    length: float | None = None,
) -> HydrostaticTable:
    """Tabulate hydrostatic properties for the draughts of one point, at a fixed trim and heel.

    Parameters
    ----------
    solids : sequence of Solid
        Bodies that float her; they only add.
    draughts : array_like, shape (n,)
        How far the point `at` lies under the water, square to the water [m].
    trim, heel : float
        Angle of the keel run, bow up positive, and across her, starboard down positive [deg].
    density : float
        Of the sea [kg/m3].
    flooded : sequence of Solid
        Closed spaces inside `solids` that are open to the sea: lost buoyancy.
    at : array_like, shape (3,)
        The point whose draught is meant [m]: a draught mark, or the lower end of the transom unless said.
    vcg : float, optional
        Height of the centre of gravity over the base line [m], liquids frozen: MCT then uses GM_L, else BM_L.
    length : float, optional
        Over which MCT counts trim [m]; LWL of each row unless said.

    Returns
    -------
    HydrostaticTable

    Raises
    ------
    InputError
        If a figure is not finite or out of range, or at a draught she has no waterplane or displaces nothing.
    """
    solids, flooded = ((solids,) if isinstance(solids, Solid) else tuple(solids)), tuple(flooded)
    if not solids:
        raise InputError("solids is empty: give at least one closed body that floats her")
    draughts, mark = np.atleast_1d(as_array(draughts, "draughts", "m")).copy(), as_vector(at, "at")
    if draughts.ndim != 1:
        raise InputError(f"draughts of shape {draughts.shape}: give a list, in metres under the water")
    require(np.isfinite(draughts), "draughts", draughts, "m", "must be finite", "give metres under the water")
    trim, heel = as_number(trim, "trim", "deg"), as_number(heel, "heel", "deg")
    require(abs(trim) < 90, "trim", trim, "deg", "is not within 90 degrees of level", "give degrees, bow up positive")
    require(abs(heel) < 90, "heel", heel, "deg", "is not within 90 degrees", "give degrees, starboard down positive")
    density = as_number(density, "density", "kg/m3")
    require(density > 0, "density", density, "kg/m3", "must be positive", "sea water is 1025")
    if length is not None:
        length = as_number(length, "length", "m")
        require(length > 0, "length", length, "m", "must be positive", "give the length over which trim is counted")
    if vcg is not None:
        vcg = as_number(vcg, "vcg", "m")
    angle, side = np.radians(trim), np.radians(heel)
    normal = np.array([np.sin(angle), np.cos(angle) * np.sin(side), np.cos(angle) * np.cos(side)])
    offsets = normal @ mark + draughts
    volume, centre, area, flotation, inertia = _sections(solids, flooded, normal, offsets)
    heights = np.concatenate([s.vertices @ normal for s in solids]) - normal @ mark
    require(
        (volume > 0) & (area > 0), "draughts", draughts, "m", "gives her no waterplane",
        f"at this trim and heel she can float at {heights.min():.3f} to {heights.max():.3f} m",
    )  # fmt: skip
    u, v = level_axes(normal)
    bm_t, bm_l = v @ inertia @ v / volume, u @ inertia @ u / volume
    extent = np.array([waterline_extent(solids, normal, offset, flooded) for offset in offsets])
    over = extent[:, 0] if length is None else np.full(len(draughts), length)
    km_l = centre[:, 2] + bm_l * normal[2]
    gm_l = bm_l if vcg is None else (km_l - vcg) / normal[2]
    per_metre = small_angle.tpc(area, density)
    return HydrostaticTable(
        draught=draughts,
        trim=trim,
        heel=heel,
        density=density,
        at=mark,
        displacement=density * volume,
        volume=volume,
        lcb=centre[:, 0],
        tcb=centre[:, 1],
        kb=centre[:, 2],
        bm_transverse=bm_t,
        bm_longitudinal=bm_l,
        km_transverse=centre[:, 2] + bm_t * normal[2],
        km_longitudinal=km_l,
        waterplane_area=area,
        lcf=flotation[:, 0],
        tcf=flotation[:, 1],
        lwl=extent[:, 0],
        bwl=extent[:, 1],
        kg_per_mm=per_metre / 1e3,
        tpc=per_metre / 1e5,
        mct=small_angle.mct(density * volume, gm_l, over) / 100,
        mct_length=over,
        mct_by="BM_L" if vcg is None else "GM_L",
    )


def _sections(
    solids: tuple[Solid, ...], flooded: tuple[Solid, ...], normal: Floats, offsets: Floats
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Volume (n,), its centroid (n, 3), waterplane area (n,), its centroid and second moments (n, 3, 3) about it."""
    volume, area = np.zeros(len(offsets)), np.zeros(len(offsets))
    moment, first, second = np.zeros((len(offsets), 3)), np.zeros((len(offsets), 3)), np.zeros((len(offsets), 3, 3))
    about = solids[0].centroid  # second moments about a point within her lose nothing to a far origin
    for sign, solid in [(1, s) for s in solids] + [(-1, s) for s in flooded]:
        for k, cut in enumerate(solid.cut_level(offsets, normal)):
            if cut.volume > 0:
                volume[k] += sign * cut.volume
                moment[k] += sign * cut.volume * (cut.centroid - about)
            if cut.area > 0:
                arm = cut.area_centroid - about
                area[k] += sign * cut.area
                first[k] += sign * cut.area * arm
                second[k] += sign * (cut.area_inertia + cut.area * np.outer(arm, arm))
    with np.errstate(invalid="ignore", divide="ignore"):  # a row without a waterplane is refused by the caller
        flat = first / area[:, None]
        own = second - area[:, None, None] * flat[:, :, None] * flat[:, None, :]
        return volume, about + moment / volume[:, None], area, about + flat, own
