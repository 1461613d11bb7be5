"""Floating at rest: the attitude in which weight and buoyancy share one vertical line, of one boat and of many.

Plane and offset are solved together, downhill in energy from a start, on the exact stiffness with the liquids in it;
the work is done in `hullcalc.geometry.kernel`. Bodies taken off below the sea (`flooded`) are lost buoyancy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import HullcalcError, InputError, NoEquilibriumError, as_array, as_number, require
from hullcalc.floating.bodies import UP, Afloat, afloat
from hullcalc.floating.solving import Loads, judge, name, solve
from hullcalc.floating.state import FloatState, Liquid
from hullcalc.floating.tanks import Tank, require_fill
from hullcalc.geometry.forest import kernel
from hullcalc.geometry.solid import Solid, unit_plane

SEA_WATER = 1025.0  # kg/m3, unless said; common practice, no source
FAR = 50.0  # boat lengths: a centre of gravity further off than this is a slip of units


def float_at_rest(
    solids: Sequence[Solid] | Solid,
    mass: float,
    cg: ArrayLike,
    density: float = SEA_WATER,
    tanks: Sequence[Tank] = (),
    flooded: Sequence[Solid] = (),
    start: ArrayLike = (0, 0, 1),
) -> FloatState:
    """Float one boat: the position reached downhill in energy from the up-direction `start`.

    Parameters
    ----------
    solids : sequence of Solid
        Bodies that float her; they only add, so none may overlap another.
    mass, cg : float [kg] and array_like, shape (3,) [m]
        All weight but the liquids in `tanks`, and its centre.
    density : float
        Of the sea [kg/m3].
    tanks : sequence of Tank
    flooded : sequence of Solid
        Closed spaces inside `solids` that are open to the sea: lost buoyancy.
    start : array_like, shape (3,)
        Direction in boat axes that points up at the start.

    Returns
    -------
    FloatState

    Raises
    ------
    InputError
        If a figure is not finite or out of range, or the total weight is not positive.
    NoEquilibriumError
        If the weight with liquids reaches the buoyancy of the solids less the flooded spaces (`short_by_kg`).
    HullcalcError
        If the water that standpipe tanks give and take never lets her come to rest.
    """
    up, _ = unit_plane(start, 0.0, "start")
    if np.ndim(mass) or np.ndim(density) or np.ndim(cg) != 1:
        raise InputError("float_at_rest takes one mass, one cg (x, y, z) and one density; float_many takes many")
    bodies, tanks, loads = _ready(solids, mass, cg, density, tanks, None, flooded)
    state = _settled(bodies, tanks, loads, up)
    if state.status != "lolls":
        return state
    across = _first(bodies, tanks, loads, state.normal * [1, -1, 1])
    opposite = across.status in ("floats", "lolls") and across.heel * state.heel < 0
    return replace(state, other=across if opposite else None)


def float_many(
    solids: Sequence[Solid] | Solid,
    mass: ArrayLike,
    cg: ArrayLike,
    density: ArrayLike = SEA_WATER,
    tanks: Sequence[Tank] = (),
    fills: ArrayLike | None = None,
    flooded: Sequence[Solid] = (),
    threads: int | None = None,
) -> FloatState:
    """Float many load cases of the same bodies, each from upright; the bits do not depend on the number of threads.

    Parameters
    ----------
    mass, cg, density : array_like, shapes (n,), (n, 3), (n,)
        As in `float_at_rest`; single figures (for `cg` one centre) serve all.
    fills : array_like, shape (n, tanks), optional
        Fraction of each tank; nan keeps the tank's own fill or standpipe.
    threads : int, optional
        Threads to use; as many as the machine has processors unless said.

    Returns
    -------
    FloatState
        With a leading axis n. A row that sinks is nan, its status "sinks", and its `short_by_kg` says by how much; a
        row whose standpipe tanks never let her come to rest is nan and "unsettled".

    Raises
    ------
    InputError
        If a figure is not finite or out of range, or a total weight is not positive; it shows the first such entry.
    """
    if threads is not None:
        require(threads >= 1, "threads", threads, "", "must be 1 or more", "leave it out to use all processors")
    bodies, tanks, loads = _ready(solids, mass, cg, density, tanks, fills, flooded)
    answer = solve(bodies, tanks, loads, np.tile(UP, (len(loads.mass), 1)), threads=threads)
    return name(bodies, tanks, loads, answer, judge(bodies, tanks, loads, answer, threads))


def hold_heel(
    solids: Sequence[Solid] | Solid,
    mass: float,
    cg: ArrayLike,
    heels: ArrayLike,
    density: float = SEA_WATER,
    tanks: Sequence[Tank] = (),
    flooded: Sequence[Solid] = (),
) -> tuple[FloatState, np.ndarray]:
    """Balance weight and trim with the heel held: states (n,), and the moment that rights her [kg m], (n,).

    `heels` (n,) deg, starboard down positive. The moment is about the fore-and-aft line levelled, positive where it
    turns her back to port. Rows as in `float_many`; "floats" says only that a balance was found.
    """
    angle = np.radians(np.atleast_1d(as_array(heels, "heels", "deg")))
    require(np.isfinite(angle), "heels", angle, "deg", "must be finite", "give degrees")
    ups = np.stack([np.zeros_like(angle), np.sin(angle), np.cos(angle)], axis=-1)
    masses = np.full(angle.shape, as_number(mass, "mass", "kg"))
    bodies, tanks, loads = _ready(solids, masses, cg, density, tanks, None, flooded)
    answer = solve(bodies, tanks, loads, ups, hold=True)
    k = kernel()
    status = np.select([answer.floats, answer.outcomes[:, 0] == k.SINKS], ["floats", "sinks"], "unsettled")
    moment = np.where(answer.floats, answer.states[:, k.TURN_V], np.nan)
    return name(bodies, tanks, loads, answer, status), moment


def _ready(solids, mass, cg, density, tanks, fills, flooded) -> tuple[Afloat, tuple[Tank, ...], Loads]:
    """Check everything once, broadcast the load cases and bundle the bodies."""
    solids, flooded = _each(solids, Solid, "solids"), _each(flooded, Solid, "flooded")
    tanks = _each(tanks, Tank, "tanks")
    if not solids:
        raise InputError("solids is empty: give at least one closed body that floats her")
    mass, cg = as_array(mass, "mass", "kg"), as_array(cg, "cg", "m")
    density = as_array(density, "density", "kg/m3")
    if cg.ndim not in (1, 2) or cg.shape[-1] != 3:
        raise InputError(f"cg must be three figures (x, y, z) in metres a boat, not shape {cg.shape}")
    own = [np.nan if t.fill is None else t.fill * t.solid.volume for t in tanks]
    volumes = np.array(own, dtype=float)
    if fills is not None:
        fills = as_array(fills, "fills", "")
        if fills.ndim not in (1, 2) or fills.shape[-1] != len(tanks):
            raise InputError(f"fills must have one column a tank ({len(tanks)}), not shape {fills.shape}")
        require_fill(np.where(np.isnan(fills), 0.0, fills), "fills")
        volumes = np.where(np.isnan(fills), volumes, fills * [t.solid.volume for t in tanks])
    shapes = [mass.shape, cg.shape[:-1], density.shape, volumes.shape[:-1]]
    try:
        (n,) = np.broadcast_shapes(*shapes, (1,))
    except ValueError:
        raise InputError(
            f"mass, cg, density and fills must have one length or be single; their shapes: {shapes}"
        ) from None
    loads = Loads(
        np.broadcast_to(mass, (n,)),
        np.broadcast_to(cg, (n, 3)),
        np.broadcast_to(density, (n,)),
        np.broadcast_to(volumes, (n, len(tanks))),
    )
    require(np.isfinite(mass), "mass", mass, "kg", "must be a finite number", "check the ledger's totals")
    require(np.isfinite(cg), "cg", cg, "m", "must be a finite number", "check moments and masses")
    far = FAR * max(np.ptp(s.bounds, axis=0).max() for s in solids)
    near = abs(cg - np.mean(solids[0].bounds, axis=0)) <= far
    require(near, "cg", cg, "m", f"is over {FAR:g} boat lengths away", "is it in millimetres?")
    require(np.isfinite(density) & (density > 0), "density", density, "kg/m3", "must be positive", "sea water is 1025")
    total = loads.mass + np.nansum(loads.volumes * [t.density for t in tanks], axis=1)
    heavy = (total > 0) | np.any(np.isnan(loads.volumes), axis=1)
    require(heavy, "total weight", total, "kg", "must be positive", "do the removals outweigh the boat?")
    return afloat(solids, flooded, tuple(t.solid for t in tanks)), tanks, loads


def _each(given, kind: type, what: str) -> tuple:
    """One or several bodies as a tuple; raises InputError for anything that is none."""
    several = (given,) if isinstance(given, kind) else tuple(given)
    for k, one in enumerate(several):
        if not isinstance(one, kind):
            raise InputError(f"{what}[{k}] must be a {kind.__name__}, not {type(one).__name__}")
    return several


def _settled(bodies: Afloat, tanks: Sequence[Tank], loads: Loads, up: np.ndarray) -> FloatState:
    """One boat at rest, or the error that says why there is none."""
    state = _first(bodies, tanks, loads, up)
    if state.status == "sinks":
        capacity = bodies.capacity * state.density
        digits = 0 if state.short_by_kg >= 10 else 1
        raise NoEquilibriumError(
            f"she weighs {capacity + state.short_by_kg:.{digits}f} kg with her liquids, and the bodies that float her "
            f"carry {capacity:.{digits}f} kg at most: short of {state.short_by_kg:.{digits}f} kg of buoyancy. "
            "Take weight off, or check masses, units and which spaces are open to the sea",
            float(state.short_by_kg),
        )
    if state.status == "weightless":
        raise InputError("total weight must be positive with her liquids; do the removals outweigh the boat?")
    if state.status == "unsettled":
        raise HullcalcError(
            "the water that standpipe tanks give and take never lets her come to rest: give those tanks a fill instead"
            if any(t.fill is None for t in tanks)
            else f"no position of rest found for {loads.mass[0]:g} kg at {loads.cg[0].tolist()}; please report it"
        )
    return state


def _first(bodies: Afloat, tanks: Sequence[Tank], loads: Loads, up: np.ndarray) -> FloatState:
    """The only load case, as a state without a leading axis."""
    answer = solve(bodies, tanks, loads, up[None])
    states = name(bodies, tanks, loads, answer, judge(bodies, tanks, loads, answer))
    fields: dict[str, Any] = {key: value[0] for key, value in vars(states).items() if key not in ("liquids", "other")}
    fields["status"], fields["hull_cuts"] = str(fields["status"]), int(fields["hull_cuts"])
    liquids = tuple(Liquid(q.name, q.mass[0], q.centre[0], q.fill[0], q.surface_offset[0]) for q in states.liquids)
    return FloatState(**fields, liquids=liquids)
