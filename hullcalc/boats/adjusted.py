"""A boat in one plan and condition with her freedoms used: things and tanks moved, marks raised, bodies resized.

Masses stay what the ledger says: a wider pod or a longer tank is not made heavier. A space that a raised mark belongs
to keeps its shape, so floats here are with spaces shut. Boat frame, SI.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hullcalc.boats.afloat import BoatState, float_loading
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.fit import CLEAR, outside
from hullcalc.boats.moves import PLACE, RAISE, RESIZE, WIDEN, Freedom, Setting
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import common_part, in_step
from hullcalc.errors import InputError, require
from hullcalc.floating.tanks import Tank
from hullcalc.geometry.solid import Solid

SHARED = 0.001  # m³ that two tanks may share before they cannot both stand there


@dataclass(frozen=True, eq=False)
class Adjustable:
    """A loading and the things in it that may move: name -> (mass, place of its middle)."""

    boat: Boat
    loading: Loading
    things: Mapping[str, tuple[float, np.ndarray]]

    def there(self, freedom: Freedom) -> bool:
        """Is what the freedom is about there in this plan and condition?"""
        if freedom.kind == PLACE:
            return freedom.name in self.things or self._tank(freedom.name) is not None
        if freedom.kind == RAISE:
            return bool(self.raised(freedom))
        if freedom.kind == WIDEN:
            return freedom.name in self.loading.solids
        return self._tank(freedom.name) is not None

    def now(self, freedom: Freedom) -> np.ndarray:
        """The present value: (x, y) of its middle, 0 for a raise or widening, the gross volume of a tank."""
        if freedom.kind == PLACE:
            return np.array(self._middle(freedom.name)[:2])
        if freedom.kind == RESIZE:
            return np.array([self._needed(freedom.name).solid.volume])
        return np.zeros(1)

    def limits(self, freedom: Freedom) -> tuple[np.ndarray, np.ndarray]:
        """Low and high of its values; an axis without limits stays where it is."""
        now = self.now(freedom)
        free = np.isnan(freedom.low)
        return np.where(free, now, freedom.low), np.where(free, now, freedom.high)

    def raised(self, freedom: Freedom) -> list[str]:
        """The marks that a raise lifts."""
        return [n for n, mark in self.loading.marks.items() if n in freedom.names or mark.kind in freedom.names]

    def load(self, settings: Iterable[Setting]) -> np.ndarray:
        """What the things moved add to (mass, mx, my, mz) [kg, kg m], (4,); tanks and bodies take no part."""
        load = np.zeros(4)
        for setting in settings:
            self._check(setting)
            if setting.freedom.kind == PLACE:
                way = self._way(setting)
                for name, share in ((setting.freedom.name, 1.0), *setting.freedom.goes_with):
                    if name in self.things:
                        load[1:] += self.things[name][0] * share * way
        return load

    def set(self, settings: Sequence[Setting]) -> Loading:
        """The loading with all settings made.

        Raises
        ------
        InputError
            Where a thing, tank, body or mark is not there, or a value is out of range.
        """
        loading, load = self.loading, self.load(settings)
        marks, solids, tanks = dict(loading.marks), dict(loading.solids), {id(t): t for t in loading.tanks}
        for setting in settings:
            freedom, value = setting.freedom, setting.value
            if freedom.kind == PLACE:
                way = self._way(setting)
                along = dict([(freedom.name, 1.0), *freedom.goes_with])
                tanks = {k: _moved(t, along[t.name] * way) if t.name in along else t for k, t in tanks.items()}
            elif freedom.kind == RAISE:
                up = np.array([0.0, 0.0, float(value[0])])
                marks |= {n: replace(marks[n], point=marks[n].point + up) for n in self.raised(freedom)}
            elif freedom.kind == WIDEN:
                solids[freedom.name] = _wider(solids[freedom.name], float(value[0]), freedom.name)
            else:
                tanks = {k: _resized(t, float(value[0])) if t.name == freedom.name else t for k, t in tanks.items()}
        swapped = {id(was.solid): tanks[id(was)].solid for was in loading.tanks}
        swapped |= {id(was): solids[name] for name, was in loading.solids.items()}
        return replace(
            loading,
            cg=loading.cg + load[1:] / loading.mass,
            marks=marks,
            solids=solids,
            tanks=tuple(tanks.values()),
            spaces={n: in_step(space, swapped) for n, space in loading.spaces.items()},
            tight_tanks=tuple(swapped.get(id(s), s) for s in loading.tight_tanks),
        )

    def float(self, settings: Sequence[Setting]) -> BoatState:
        """Float her with the settings made, spaces shut; raises NoEquilibriumError where she sinks."""
        return float_loading(self.set(settings), shut=True)

    def does_not_fit(self, settings: Sequence[Setting]) -> str:
        """Why a tank does not fit with these settings: outside the hull, or in another; "" where all do."""
        touched = [s for s in settings if s.freedom.kind in (PLACE, RESIZE)]
        names = {n for s in touched for n in (s.freedom.name, *(name for name, _ in s.freedom.goes_with))}
        loading = self.set(touched)
        for tank in loading.tanks:
            if tank.name not in names:
                continue
            for corner in tank.solid.vertices:
                out = outside(self.boat.hull, corner)
                if out is not None:
                    return f"{tank.name} would stand {1000 * out.distance:.0f} mm outside the {out.face}"
                near = outside(self.boat.hull, corner - np.array([0.0, 0.0, CLEAR]))
                if near is not None and near.face == "bottom":
                    return f"{tank.name} would stand less than {1000 * CLEAR:.0f} mm clear of the bottom"
            for other in loading.tanks:
                part = None if other is tank else common_part(tank.solid, other.solid)
                if part is not None and part.volume > SHARED:
                    return f"{tank.name} and {other.name} would share {1000 * part.volume:.0f} L"
        return ""

    def _check(self, setting: Setting) -> None:
        """Raise an InputError for a value that is no figure, or for a thing that is not there."""
        name = setting.freedom.name
        require(np.isfinite(setting.value), name, setting.value, "", "must be a finite number", "give a figure")
        if not self.there(setting.freedom):
            raise InputError(f"{name} is not there in this plan and condition, so nothing is to be changed")

    def _way(self, setting: Setting) -> np.ndarray:
        """From where the thing stands to where it is put [m], (3,)."""
        middle = self._middle(setting.freedom.name)
        z = middle[2] if setting.freedom.z is None else setting.freedom.z
        return np.array([*setting.value, z]) - middle

    def _middle(self, name: str) -> np.ndarray:
        tank = self._tank(name)
        return self.things[name][1] if tank is None else tank.solid.bounds.mean(axis=0)

    def _tank(self, name: str) -> Tank | None:
        return next((tank for tank in self.loading.tanks if tank.name == name), None)

    def _needed(self, name: str) -> Tank:
        tank = self._tank(name)
        if tank is None:
            raise InputError(f"{name} is no tank of this plan")
        return tank


def adjustable(boat: Boat, plan: AnyPlan, condition: AnyCondition) -> Adjustable:
    """The boat in a plan and condition, ready to have her freedoms used."""
    aboard = boat.ledger.apply(boat.packages_on(plan))[1]
    things = {name: (float(thing.item.mass), np.array(thing.place)) for name, thing in aboard.items()}
    for item in boat.carried_in(condition, plan):
        if item.mass > 0:
            things[item.name] = (float(item.mass), np.array(item.centre))
    return Adjustable(boat, boat.loading(plan, condition), things)


def _moved(tank: Tank, way: np.ndarray) -> Tank:
    lip = None if tank.level_at is None else np.asarray(tank.level_at) + way
    return replace(tank, solid=Solid(tank.solid.vertices + way, tank.solid.faces), level_at=lip)


def _resized(tank: Tank, volume: float) -> Tank:
    require(volume > 0, f"volume of {tank.name}", volume, "m3", "must be positive", "a tank of nothing is left out")
    vertices, middle = np.array(tank.solid.vertices), tank.solid.bounds[:, 0].mean()
    vertices[:, 0] = middle + (vertices[:, 0] - middle) * volume / tank.solid.volume
    return replace(tank, solid=Solid(vertices, tank.solid.faces))


def _wider(solid: Solid, by: float, name: str) -> Solid:
    """The body stretched across about its middle, `by` m wider in all."""
    width = float(np.ptp(solid.bounds[:, 1]))
    require(by > -width, f"width of {name}", width + by, "m", "must be positive", "make it less narrow")
    vertices, middle = np.array(solid.vertices), solid.bounds[:, 1].mean()
    vertices[:, 1] = middle + (vertices[:, 1] - middle) * (1 + by / width)
    return Solid(vertices, solid.faces)
