"""Floating at rest: the attitude in which weight and buoyancy share one vertical line, of one boat and of many.

Plane and offset are solved together, downhill in energy from a start, on the exact stiffness with the liquids in it; the
work is done in `hullcalc.geometry.kernel`. Bodies taken off below the sea (`flooded`) are lost buoyancy.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import HullcalcError, InputError, NoEquilibriumError, require
from hullcalc.floating.state import FloatState, Liquid
from hullcalc.floating.tanks import Tank, require_fill
from hullcalc.geometry.forest import Forest, kernel, plant
from hullcalc.geometry.solid import Solid, unit_plane

log = logging.getLogger("hullcalc")

SEA_WATER = 1025.0  # kg/m3, unless said; common practice, no source
CAPSIZED = np.cos(np.radians(60))  # the deck's normal is further than this from the vertical
DOUBTFUL_STIFFNESS = 0.25  # part of the waterplane's; below it, or heeled over 15 deg, held upright is looked at
DOUBTFUL_HEEL = 15.0
LEVELS = 129  # of the upright volume table
CHUNK = 64  # states a thread takes at a time
UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, eq=False)
class Afloat:
    """Bodies ready to be floated: tanks first, then hull, pods and flooded spaces; built once for the same bodies."""

    forest: Forest  # about the middle of the first hull: a symmetric boat's is on the centreline to the bit
    signs: np.ndarray  # +1, or -1 for a flooded space
    levels: np.ndarray  # offsets of level planes, upright, about the forest's origin [m]
    volumes: np.ndarray  # volume below each [m3]

    @property
    def capacity(self) -> float:
        """All the buoyant volume there is [m3]."""
        return float(self.volumes[-1])


@lru_cache(maxsize=32)
def afloat(solids: tuple[Solid, ...], flooded: tuple[Solid, ...], tanks: tuple[Solid, ...]) -> Afloat:
    """Bundle the bodies for the kernel, with the upright table of volume against level that starts each solution."""
    bodies = (*tanks, *solids, *flooded)
    forest = plant([b.tree for b in bodies], solids[0].tree.origin)
    signs = np.array([1.0] * (len(tanks) + len(solids)) + [-1.0] * len(flooded))
    low = min(float(s.vertices[:, 2].min()) for s in solids) - forest.origin[2]
    high = max(float(s.vertices[:, 2].max()) for s in solids) - forest.origin[2]
    levels = np.linspace(low, high + 1e-9 * (high - low), LEVELS)
    normals = np.tile(UP, (LEVELS, 1))
    hulls = range(len(tanks), len(bodies))
    volumes = sum(signs[b] * forest.cut(normals, levels + forest.origin[2], b)[:, 0] for b in hulls)
    return Afloat(forest, signs, levels, np.maximum.accumulate(volumes))


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
        Bodies that float her; they only add.
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
    """
    up, _ = unit_plane(start, 0.0)
    mass = np.asarray(mass, dtype=float)
    require(mass.ndim == 0, "mass", mass, "kg", "must be one figure here", "float_many takes many")
    states, _ = _float(solids, mass[None], np.reshape(cg, (1, -1)), density, tanks, None, flooded, up[None])
    state = _one(states, 0)
    if state.status == "sinks":
        raise NoEquilibriumError(
            f"she weighs {state.mass:.0f} kg with her liquids and the bodies that float her can carry "
            f"{state.mass - state.short_by_kg:.0f} kg: short of {state.short_by_kg:.0f} kg of buoyancy. "
            "Take weight off, or check masses, units and which spaces are open to the sea",
            float(state.short_by_kg),
        )
    if state.status != "lolls":
        return state
    mirrored = state.normal * [1, -1, 1]
    across, _ = _float(solids, mass[None], np.reshape(cg, (1, -1)), density, tanks, None, flooded, mirrored[None])
    other = _one(across, 0)
    opposite = other.status not in ("sinks", "capsizes") and other.heel * state.heel < 0
    return replace(state, other=other if opposite else None)


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
        As in `float_at_rest`; scalars (for `cg` one centre) serve all.
    fills : array_like, shape (n, tanks), optional
        Fraction of each tank; nan keeps the tank's own fill or standpipe.
    threads : int, optional
        Of the processor; all unless said.

    Returns
    -------
    FloatState
        With a leading axis n. A row that sinks is nan, its status "sinks" and its `short_by_kg` says by how much.

    Raises
    ------
    InputError
        If a figure is not finite or out of range, or a total weight is not positive; it shows the first such entry.
    """
    cg = np.asarray(cg, dtype=float)
    shapes = [np.shape(mass), cg.shape[:-1], np.shape(density)] + ([np.shape(fills)[:-1]] if fills is not None else [])
    try:
        (n,) = np.broadcast_shapes(*shapes, (1,))
    except ValueError:
        raise InputError(
            f"mass, cg, density and fills must have one length n or be single figures; got {shapes}"
        ) from None
    states, _ = _float(
        solids, np.broadcast_to(np.asarray(mass, dtype=float), (n,)), np.broadcast_to(cg, (n, *cg.shape[-1:])), density,
        tanks, fills, flooded, np.tile(UP, (n, 1)), threads,
    )  # fmt: skip
    return states


def hold_heel(
    solids: Sequence[Solid] | Solid,
    mass: float,
    cg: ArrayLike,
    heels: ArrayLike,
    density: float = SEA_WATER,
    tanks: Sequence[Tank] = (),
    flooded: Sequence[Solid] = (),
) -> tuple[FloatState, np.ndarray]:
    """Balance weight and trim with the heel held: states (n,), and the moment that rights her about u [kg m], (n,).

    `heels` (n,) deg, starboard down positive; the moment is positive where it turns her to port, back from a heel to
    starboard. Rows as in `float_many`; their status is left "floats" where a balance was found.
    """
    angle = np.radians(np.asarray(heels, dtype=float))
    require(np.isfinite(angle), "heels", angle, "deg", "must be finite", "give degrees")
    ups = np.stack([np.zeros_like(angle), np.sin(angle), np.cos(angle)], axis=-1)
    masses = np.full(angle.shape, float(mass))
    cgs = np.broadcast_to(np.asarray(cg, dtype=float), (*angle.shape, 3))
    return _float(solids, masses, cgs, density, tanks, None, flooded, ups, hold=True)


def _float(solids, mass, cg, density, tanks, fills, flooded, ups, threads=None, hold=False):
    """Check, solve and name: states with a leading axis, and the moment about u left over (nought unless held)."""
    solids = (solids,) if isinstance(solids, Solid) else tuple(solids)
    tanks, flooded = tuple(tanks), tuple(flooded)
    if not solids:
        raise InputError("solids is empty: give at least one closed body that floats her")
    n = len(mass)
    density = np.array(np.broadcast_to(np.asarray(density, dtype=float), (n,)))
    _check(mass, cg, density)
    bodies = afloat(solids, flooded, tuple(t.solid for t in tanks))
    volumes, lips, spills = _contents(tanks, fills, n)
    densities = np.array([t.density for t in tanks], dtype=float)
    total = mass + np.nansum(volumes * densities, axis=1)
    require(
        (total > 0) | np.any(spills),
        "total weight",
        total,
        "kg",
        "must be positive",
        "do the removals outweigh the boat?",
    )
    task = _Task(bodies, densities, lips - bodies.forest.origin, spills, threads)
    answer = task.solve(np.nan_to_num(volumes), mass, cg - bodies.forest.origin, density, ups, hold)
    status = np.full(n, "floats", dtype="<U8") if hold else task.status(answer, volumes, mass, cg, density)
    status[answer.outcomes[:, 0] == kernel().SINKS] = "sinks"
    if np.any(answer.outcomes[:, 0] == kernel().UNANSWERED):
        row = int(np.argmax(answer.outcomes[:, 0] == kernel().UNANSWERED))
        raise HullcalcError(f"no position of rest was found for state {row}: please report it with mass, cg and solids")
    states = _named(bodies, tanks, answer, status, density)
    return states, answer.states[:, kernel().TURN_V]


def _check(mass, cg, density):
    require(np.isfinite(mass), "mass", mass, "kg", "must be a finite number", "check the ledger's totals")
    if cg.ndim != 2 or cg.shape[-1] != 3:
        raise InputError(f"cg must be three figures (x, y, z) in metres a boat, not shape {cg.shape}")
    require(np.isfinite(cg), "cg", cg, "m", "must be a finite number", "check moments and masses")
    require(np.isfinite(density) & (density > 0), "density", density, "kg/m3", "must be positive", "sea water is 1025")


def _contents(tanks, fills, n):
    """Liquid volumes (n, tanks), nan where a standpipe decides; lips (tanks, 3) and which tanks spill (n, tanks)."""
    own = [np.nan if t.fill is None else t.fill * t.solid.volume for t in tanks]
    volumes = np.tile(np.array(own, dtype=float), (n, 1))
    if fills is not None:
        fills = np.asarray(fills, dtype=float)
        if fills.ndim < 1 or fills.shape[-1] != len(tanks):
            raise InputError(f"fills must have one column a tank ({len(tanks)}), not shape {fills.shape}")
        require_fill(np.where(np.isnan(fills), 0.0, fills), "fills")
        fills = np.broadcast_to(fills, (n, len(tanks)))
        gross = np.array([t.solid.volume for t in tanks])
        volumes = np.where(np.isnan(fills), volumes, fills * gross)
    lips = np.array([np.zeros(3) if t.level_at is None else t.level_at for t in tanks]).reshape(-1, 3)
    return volumes, lips, np.isnan(volumes)


@dataclass(frozen=True, eq=False)
class _Answer:
    """The kernel's own arrays, one row a state, about the forest's origin."""

    planes: np.ndarray
    states: np.ndarray
    liquids: np.ndarray
    outcomes: np.ndarray


@dataclass(frozen=True, eq=False)
class _Task:
    """Bodies and tanks to be floated at given weights."""

    bodies: Afloat
    densities: np.ndarray
    lips: np.ndarray
    spills: np.ndarray  # (n, tanks)
    threads: int | None

    def solve(self, volumes, mass, cg, density, ups, hold, rows=slice(None)):
        """Run the kernel over all states in chunks, each chunk on one thread: results do not depend on their number."""
        k, bodies = kernel(), self.bodies
        n, t = len(mass), len(self.densities)
        target = (mass + volumes @ self.densities) / density
        offsets = np.where(ups[:, 2] == 1.0, np.interp(target, bodies.volumes, bodies.levels), np.nan)
        planes = np.column_stack([ups, offsets])
        states, liquids = np.full((n, k.STATE), np.nan), np.zeros((n, t, k.LIQUID))
        outcomes = np.zeros((n, 3), dtype=np.int64)
        volumes, spills, mass, cg = (np.array(a, order="C") for a in (volumes, self.spills[rows], mass, cg))
        holds = np.full(n, hold)

        def run(part):
            k.float_many(
                bodies.forest.trees, bodies.signs, self.densities, self.lips, spills[part], volumes[part],
                mass[part], cg[part], density[part], holds[part], planes[part], states[part], liquids[part], outcomes[part],
            )  # fmt: skip

        parts = [slice(i, i + CHUNK) for i in range(0, n, CHUNK)]
        workers = min(len(parts), self.threads or os.cpu_count() or 1)
        if workers == 1:
            for part in parts:
                run(part)
        else:
            with ThreadPoolExecutor(workers) as pool:
                list(pool.map(run, parts))
        return _Answer(planes, states, liquids, outcomes)

    def status(self, answer, volumes, mass, cg, density):
        """Words for each state; where it is in doubt she is held upright, trim free, and her stiffness there decides."""
        k = kernel()
        up = answer.planes[:, 2]
        heel = np.degrees(np.arctan2(answer.planes[:, 1], up))
        status = np.where(up < CAPSIZED, "capsizes", "floats").astype("<U8")
        with np.errstate(invalid="ignore"):
            weak = answer.states[:, k.FIRST_STIFFNESS] < DOUBTFUL_STIFFNESS
        doubtful = weak | (abs(heel) > DOUBTFUL_HEEL) | (answer.outcomes[:, 2] == 1)
        rows = np.flatnonzero(doubtful & (status == "floats") & (heel != 0) & (answer.outcomes[:, 0] == k.FLOATS))
        if len(rows):
            held = self.solve(
                np.nan_to_num(volumes[rows]), mass[rows], cg[rows] - self.bodies.forest.origin, density[rows],
                np.tile(UP, (len(rows), 1)), True, rows,
            )  # fmt: skip
            falls = held.states[:, k.K_VV] < -1e-9 * (abs(held.states[:, k.K_UU]) + abs(held.states[:, k.K_VV]))
            status[rows[(held.outcomes[:, 0] == k.FLOATS) & falls]] = "lolls"
        return status


def _named(bodies, tanks, answer, status, density):
    """Give the kernel's figures their names and set them back into the boat's frame."""
    k = kernel()
    sinks = status == "sinks"
    planes, s = np.where(sinks[:, None], np.nan, answer.planes), answer.states
    origin = bodies.forest.origin
    normal = planes[:, :3]
    weight = s[:, k.MASS]
    rows = np.where(sinks[:, None], np.nan, s)
    liquids = []
    for t, tank in enumerate(tanks):
        one = np.where(sinks[:, None], np.nan, answer.liquids[:, t])
        wet = one[:, k.LIQUID_MASS] > 0
        centre = np.where(wet[:, None], origin + one[:, k.LIQUID_CENTRE : k.LIQUID_CENTRE + 3], np.nan)
        surface = np.where(wet, one[:, k.LIQUID_OFFSET] + normal @ origin, np.nan)
        fill = one[:, k.LIQUID_MASS] / (tank.density * tank.solid.volume)
        liquids.append(Liquid(tank.name, one[:, k.LIQUID_MASS], centre, fill, surface))
    spill = np.stack([rows[:, k.SPILL + i] for i in range(6)], axis=-1).reshape(-1, 3, 2)
    stiffness = np.stack([rows[:, k.K_UU], rows[:, k.K_UV], rows[:, k.K_UV], rows[:, k.K_VV]], axis=-1)
    slack = np.stack([rows[:, k.SLACK_UU], rows[:, k.SLACK_UV], rows[:, k.SLACK_UV], rows[:, k.SLACK_VV]], axis=-1)
    moment, buoyant = rows[:, k.WEIGHT_MOMENT : k.WEIGHT_MOMENT + 3], rows[:, k.BUOYANCY_MOMENT : k.BUOYANCY_MOMENT + 3]
    return FloatState(
        status=status,
        normal=normal,
        offset=planes[:, 3] + normal @ origin,
        mass=np.where(sinks, np.nan, weight),
        cg=origin + moment / rows[:, k.MASS, None],
        volume=rows[:, k.WET_VOLUME],
        buoyancy=origin + buoyant / rows[:, k.WET_VOLUME, None],
        waterplane_area=rows[:, k.WATERPLANE],
        flotation=origin + rows[:, k.FLOTATION : k.FLOTATION + 3],
        stiffness=stiffness.reshape(-1, 2, 2),
        slack=slack.reshape(-1, 2, 2),
        spill=spill,
        liquids=tuple(liquids),
        hull_cuts=answer.outcomes[:, 1],
        density=density,
        short_by_kg=np.where(sinks, weight - density * bodies.capacity, np.nan),
    )


def _one(states: FloatState, row: int) -> FloatState:
    """One boat out of many."""
    picked: dict[str, Any] = {
        name: value[row] for name, value in vars(states).items() if name not in ("liquids", "other")
    }
    picked["status"] = str(picked["status"])
    picked["hull_cuts"] = int(picked["hull_cuts"])
    liquids = tuple(
        Liquid(q.name, q.mass[row], q.centre[row], q.fill[row], q.surface_offset[row]) for q in states.liquids
    )
    return FloatState(**picked, liquids=liquids)
