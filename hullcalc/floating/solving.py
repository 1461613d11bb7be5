"""The way to the compiled solver and back: load cases in, states with names out.

Work is shared between threads in chunks of whole states, each solved alone, so the bits do not depend on their number.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from hullcalc.floating.bodies import UP, Afloat
from hullcalc.floating.state import FloatState, Liquid
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.forest import kernel

CAPSIZED = np.cos(np.radians(60))  # the deck's normal stands further than this from the vertical
DOUBTFUL_STIFFNESS = (
    0.25  # part of the waterplane's own: weaker, or heeled over 15 deg, she is held upright and looked at
)
DOUBTFUL_HEEL = 15.0
FALLS = -1e-9  # a stiffness this far below nothing, as a part of its size, is no rounding
CHUNK = 64  # states a thread takes at a time


@dataclass(frozen=True, eq=False)
class Loads:
    """Load cases of the same bodies; arrays have one row a case."""

    mass: np.ndarray  # (n,) kg, without the liquids
    cg: np.ndarray  # (n, 3) m
    density: np.ndarray  # (n,) kg/m3 of the sea
    volumes: np.ndarray  # (n, tanks) m3 of liquid; nan where a standpipe decides

    def rows(self, chosen: np.ndarray) -> Loads:
        return Loads(self.mass[chosen], self.cg[chosen], self.density[chosen], self.volumes[chosen])


@dataclass(frozen=True, eq=False)
class Answer:
    """The kernel's own arrays, one row a case, about the forest's origin; the kernel's constants name the columns."""

    planes: np.ndarray
    states: np.ndarray
    liquids: np.ndarray
    outcomes: np.ndarray

    @property
    def floats(self) -> np.ndarray:
        return self.outcomes[:, 0] == kernel().FLOATS

    @property
    def walks(self) -> np.ndarray:
        return self.outcomes[:, 1]


def solve(
    bodies: Afloat, tanks: Sequence[Tank], loads: Loads, ups: np.ndarray, hold: bool = False, threads: int | None = None
) -> Answer:
    """Float each case from its own up-direction, (n, 3) of unit length; `hold`: with the heel of `ups` kept.

    Cases that find no rest while standpipes give and take are begun again with the water they hold at the start.
    """
    answer = _run(bodies, tanks, loads, ups, hold, False, threads)
    restless = np.any(np.isnan(loads.volumes), axis=1) & ~answer.floats & (answer.walks > 0)
    if np.any(restless):
        rows = np.flatnonzero(restless)
        again = _run(bodies, tanks, loads.rows(rows), ups[rows], hold, True, threads)
        rested = again.floats
        for old, new in zip(vars(answer).values(), vars(again).values(), strict=True):
            old[rows[rested]] = new[rested]
    return answer


def _run(
    bodies: Afloat, tanks: Sequence[Tank], loads: Loads, ups: np.ndarray, hold: bool, frozen: bool, threads: int | None
) -> Answer:
    """One pass of the kernel over all cases."""
    k, n = kernel(), len(loads.mass)
    densities = np.array([t.density for t in tanks], dtype=float)
    lips = np.array([np.zeros(3) if t.level_at is None else t.level_at for t in tanks]).reshape(-1, 3)
    lips = lips - bodies.forest.origin
    spills = np.isnan(loads.volumes)
    volumes = np.array(np.nan_to_num(loads.volumes), order="C")
    offsets = bodies.level((loads.mass + volumes @ densities) / loads.density)
    planes = np.column_stack([ups, np.where(ups[:, 2] == 1.0, offsets, np.nan)])
    mass, density = np.array(loads.mass), np.array(loads.density)
    cg = np.array(loads.cg - bodies.forest.origin, order="C")
    states, liquids = np.full((n, k.STATE), np.nan), np.zeros((n, len(densities), k.LIQUID))
    outcomes, holds = np.zeros((n, 3), dtype=np.int64), np.full(n, hold)

    def run(part: slice) -> None:
        k.float_many(
            bodies.forest.trees, bodies.signs, densities, lips, spills[part], volumes[part],
            mass[part], cg[part], density[part], holds[part], frozen,
            planes[part], states[part], liquids[part], outcomes[part],
        )  # fmt: skip

    parts = [slice(i, i + CHUNK) for i in range(0, n, CHUNK)]
    workers = min(len(parts), threads or os.cpu_count() or 1)
    if workers <= 1:
        for part in parts:
            run(part)
    else:
        with ThreadPoolExecutor(workers) as pool:
            list(pool.map(run, parts))
    return Answer(planes, states, liquids, outcomes)


def judge(
    bodies: Afloat, tanks: Sequence[Tank], loads: Loads, answer: Answer, threads: int | None = None
) -> np.ndarray:
    """The status of each case; where it is in doubt she is held upright, trim free, and her stiffness there decides."""
    k = kernel()
    heel = np.degrees(np.arctan2(answer.planes[:, 1], answer.planes[:, 2]))
    status = np.where(answer.planes[:, 2] < CAPSIZED, "capsizes", "floats").astype("<U10")
    status[answer.outcomes[:, 0] == k.SINKS] = "sinks"
    status[answer.outcomes[:, 0] == k.UNANSWERED] = "unsettled"
    status[answer.outcomes[:, 0] == k.WEIGHTLESS] = "weightless"
    with np.errstate(invalid="ignore"):
        weak = answer.states[:, k.FIRST_STIFFNESS] < DOUBTFUL_STIFFNESS
    doubtful = weak | (abs(heel) > DOUBTFUL_HEEL) | (answer.outcomes[:, 2] == 1)
    rows = np.flatnonzero(doubtful & (status == "floats") & (heel != 0))
    if len(rows):
        held = solve(bodies, tanks, loads.rows(rows), np.tile(UP, (len(rows), 1)), hold=True, threads=threads)
        k_uu, k_vv = held.states[:, k.K_UU], held.states[:, k.K_VV]
        status[rows[held.floats & (k_vv < FALLS * (abs(k_uu) + abs(k_vv)))]] = "lolls"
    return status


def name(bodies: Afloat, tanks: Sequence[Tank], loads: Loads, answer: Answer, status: np.ndarray) -> FloatState:
    """Give the kernel's figures their names and set them back into the boat's frame; a case with no answer is nan."""
    k, origin = kernel(), bodies.forest.origin
    answered, sinks = answer.floats, status == "sinks"
    planes = np.where(answered[:, None], answer.planes, np.nan)
    rows = np.where(answered[:, None], answer.states, np.nan)
    normal, mass, volume = planes[:, :3], rows[:, k.MASS], rows[:, k.WET_VOLUME]

    def vector(first: int) -> np.ndarray:
        return rows[:, first : first + 3]

    def symmetric(uu: int, uv: int, vv: int) -> np.ndarray:
        return rows[:, [uu, uv, uv, vv]].reshape(-1, 2, 2)

    return FloatState(
        status=status,
        normal=normal,
        offset=planes[:, 3] + normal @ origin,
        mass=mass,
        cg=origin + vector(k.WEIGHT_MOMENT) / mass[:, None],
        volume=volume,
        buoyancy=origin + vector(k.BUOYANCY_MOMENT) / volume[:, None],
        waterplane_area=rows[:, k.WATERPLANE],
        flotation=origin + vector(k.FLOTATION),
        stiffness=symmetric(k.K_UU, k.K_UV, k.K_VV),
        slack=symmetric(k.SLACK_UU, k.SLACK_UV, k.SLACK_VV),
        spill=rows[:, k.SPILL : k.SPILL + 6].reshape(-1, 3, 2),
        liquids=tuple(_liquid(t, answer.liquids[:, i], answered, normal, origin) for i, t in enumerate(tanks)),
        hull_cuts=answer.walks,
        density=loads.density,
        short_by_kg=np.where(sinks, np.maximum(answer.states[:, k.MASS] - loads.density * bodies.capacity, 0), np.nan),
    )


def _liquid(tank, rows, answered, normal, origin):
    """One tank's liquid in every case."""
    k = kernel()
    rows = np.where(answered[:, None], rows, np.nan)
    wet = rows[:, k.LIQUID_MASS] > 0
    return Liquid(
        name=tank.name,
        mass=rows[:, k.LIQUID_MASS],
        centre=np.where(wet[:, None], origin + rows[:, k.LIQUID_CENTRE : k.LIQUID_CENTRE + 3], np.nan),
        fill=rows[:, k.LIQUID_MASS] / (tank.density * tank.solid.volume),
        surface_offset=np.where(wet, rows[:, k.LIQUID_OFFSET] + normal @ origin, np.nan),
    )
