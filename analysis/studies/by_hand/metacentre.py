"""GM put together from KB, BM, KG and the free surfaces; what changed it; and a wet space counted two ways.

KB and KG are heights of B and G over the keel line (z = 0), measured square to the water she floats in; BM is the
second moment of the waterplane over the displaced volume. B stands under G square to the water, so KB + BM − KG − free
surfaces is the exact GM at the floated attitude. Boat frame, SI.

Water in a space may be counted as *lost buoyancy* (the space no longer floats her, her weight is what it was) or as
*added weight* (she is whole and carries the water, whose surface is free). Waterline and righting moment are the same;
displacement and GM are not, so the two must never be mixed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from analysis.studies.by_hand.change import Afloat
from analysis.studies.by_hand.sums import Sum, Writer
from hullcalc.boats.afloat import bodies_open, float_loading
from hullcalc.errors import InputError
from hullcalc.floating.frame import level_axes
from hullcalc.floating.state import FloatState
from hullcalc.geometry.solid import Solid


@dataclass(frozen=True)
class Metacentre:
    """The parts of GM [m] and what they come from."""

    mass: float  # kg
    volume: float  # m³
    second_moment: float  # of the waterplane about its own fore-and-aft axis [m⁴]
    kb: float
    bm: float
    kg: float
    free_surface: float
    communication: float = 0.0  # for water that runs in and out off the centreline as she heels

    @property
    def km(self) -> float:
        return self.kb + self.bm

    @property
    def gm(self) -> float:
        return self.km - self.kg - self.free_surface - self.communication

    @property
    def righting_per_degree(self) -> float:
        """Righting moment at one degree of heel by GM sin [kg m]."""
        return float(self.mass * self.gm * np.sin(np.radians(1)))


def metacentre(state: FloatState, bodies: Sequence[Solid], taken: Sequence[Solid] = ()) -> Metacentre:
    """The parts of GM of a floated boat, from the cut of her `bodies` less the bodies `taken` off below the sea."""
    wet = _wet(state, [(1.0, s) for s in bodies] + [(-1.0, s) for s in taken])
    mass = float(state.mass)
    return Metacentre(
        mass, wet.volume, wet.second_moment, wet.height, wet.second_moment / wet.volume,
        float(state.cg[2] / state.normal[2]), float(state.free_surface[0]),
    )  # fmt: skip


@dataclass(frozen=True, eq=False)
class _Wet:
    """What lies under the sea, and its waterplane."""

    volume: float  # m³
    height: float  # of its centroid over z = 0, square to the water [m]; nan where there is no volume
    area: float
    side: float  # of the waterplane's centroid, to port along the water [m]
    second_moment: float


def _wet(state: FloatState, signed: Sequence[tuple[float, Solid]]) -> _Wet:
    normal, offset = state.plane
    _, across = level_axes(normal)
    volume = area = first = second = moment = 0.0
    for sign, solid in signed:
        cut = solid.cut(normal, offset)
        if cut.volume > 0:
            volume += sign * cut.volume
            moment += sign * cut.volume * float(cut.centroid[2])
        if cut.area > 0:
            side = float(cut.area_centroid @ across)
            area += sign * cut.area
            first += sign * cut.area * side
            second += sign * (float(across @ cut.area_inertia @ across) + cut.area * side**2)
    height = moment / volume / float(normal[2]) if volume else np.nan
    middle = first / area if area else 0.0
    return _Wet(volume, height, area, middle, second - area * middle**2)


@dataclass(frozen=True, eq=False)
class GmChange:
    """GM before and after, part by part; `items` share out the change of KG by what was added, taken or moved."""

    before: Metacentre
    after: Metacentre
    items: (
        pd.DataFrame
    )  # group, mass_kg, kg_m: rise of G by each package and the load, in boat axes; adds up to the rise
    sum: Sum

    @property
    def parts(self) -> dict[str, float]:
        """Change of GM by part [m]; they add up to the whole."""
        a, b = self.before, self.after
        return {
            "KB": b.kb - a.kb,
            "BM": b.bm - a.bm,
            "KG": a.kg - b.kg,
            "free surfaces": a.free_surface - b.free_surface,
        }


def gm_change(before: Afloat, after: Afloat) -> GmChange:
    """What made GM of the boat after differ from that of the boat before, spaces shut.

    The rise of G by one group of items is the sum of mass × (height − VCG before) over the displacement after: heavy
    things put high raise it, the same things taken off lower it. In boat axes, liquids upright.
    """
    was, now = (metacentre(one.state, *bodies_open(one.loading, one.loading.held_open)) for one in (before, after))
    height, whole = float(before.items.cg[2]), after.items.mass
    rises: dict[str, list[float]] = {}
    for sign, one in ((1.0, after), (-1.0, before)):
        for item in one.items.items:
            entry = rises.setdefault(item.group, [0.0, 0.0])
            entry[0] += sign * item.mass
            entry[1] += sign * (item.moment[2] - item.mass * height) / whole
    items = pd.DataFrame(
        [{"group": group, "mass_kg": mass, "kg_m": rise} for group, (mass, rise) in rises.items() if mass or rise],
        columns=["group", "mass_kg", "kg_m"],
    )
    items = items.sort_values("kg_m", key=np.abs, ascending=False, kind="stable").reset_index(drop=True)
    return GmChange(was, now, items, _gm_sum(now, after.plan))


def _gm_sum(one: Metacentre, plan: str) -> Sum:
    write = Writer(f"GM of {plan}")
    second = write.given("second moment of the waterplane", one.second_moment, "fourth")
    volume = write.given("displaced volume", one.volume, "volume")
    bm = write.line("BM", one.bm, "length", "{0} / {1}", second, volume)
    kb, kg = write.given("KB, square to the water", one.kb, "length"), write.given("KG", one.kg, "length")
    slack = write.given("free surfaces", one.free_surface, "length")
    gm = write.line("GM, liquids free", one.gm, "length", "{0} + {1} − {2} − {3}", kb, bm, kg, slack)
    mass = write.given("displacement", one.mass, "mass")
    degree = write.given("one degree", np.radians(1), "angle")
    write.line("righting moment at one degree", one.righting_per_degree, "moment", "{0} × {1} × sin({2})",
               mass, gm, degree)  # fmt: skip
    return write.done("GM tells of small heels only, in calm water.")


@dataclass(frozen=True, eq=False)
class WetSpace:
    """Spaces open to the sea, counted as lost buoyancy and as added weight; both at the floated attitude."""

    one: Afloat
    spaces: tuple[str, ...]
    state: FloatState  # with the spaces open
    water: float  # kg in them, up to the sea's level
    lost: Metacentre
    added: Metacentre
    dry: Metacentre | None  # before the water came: spaces shut
    trim: float
    heel: float


def wet_space(one: Afloat, spaces: Sequence[str]) -> WetSpace:
    """Open these spaces to the sea, float her, and put GM together both ways.

    Raises InputError where a name is no space of hers or none is given, NoEquilibriumError where she sinks.
    """
    if not spaces:
        raise InputError(
            f"{one.boat.name}: name a space to open to the sea; there are: {', '.join(one.loading.spaces)}"
        )
    for name in spaces:
        if name not in one.loading.spaces:
            known = ", ".join(one.loading.spaces) or "none; write one in spaces.csv"
            raise InputError(f"{one.boat.name}, {one.plan}: no space is called {name!r}; there are: {known}")
    opened = tuple(dict.fromkeys((*one.loading.held_open, *spaces)))
    loading = replace(one.loading, held_open=opened)
    state = float_loading(loading, shut=True)
    if state.status == "capsizes":
        raise InputError(
            f"with {' and '.join(spaces)} open to the sea she comes to rest on her side or over: no GM to tell"
        )
    bodies, taken = bodies_open(loading, opened)
    whole = list(loading.solids.values())
    tight = bodies[len(whole) :]
    inside = _wet(state, [(1.0, s) for s in taken] + [(-1.0, s) for s in tight])
    hull = _wet(state, [(1.0, s) for s in whole])
    density, mass = float(state.density), float(state.mass)
    water = density * inside.volume
    total = mass + water
    lost = metacentre(state, bodies, taken)
    kg = (mass * lost.kg + (water * inside.height if water else 0.0)) / total
    slack = (mass * lost.free_surface + density * inside.second_moment) / total
    # As she heels water runs in and out of an open space off the middle of the waterplane: it is no fixed weight.
    aside = (inside.side - hull.side) ** 2 * inside.area * hull.area / (hull.area - inside.area) if inside.area else 0.0
    added = Metacentre(
        total, hull.volume, hull.second_moment, hull.height, hull.second_moment / hull.volume, kg, slack,
        density * aside / total,
    )  # fmt: skip
    dry = (
        metacentre(one.state, *bodies_open(one.loading, one.loading.held_open))
        if one.state.status == "floats"
        else None
    )
    return WetSpace(one, tuple(spaces), state, water, lost, added, dry, float(state.trim), float(state.heel))
