"""What a sweep may turn: the setback of a bracket, the place of a thing or a tank, a tank's litres, a fill, a weight.

A knob says, for any of its values, what it adds to the load (mass, mx, my, mz), how full it makes tanks, and, if it
`shapes`, how it changes bodies and marks. Knobs add up; each starts from the boat as her plan has her (`now`). Boat
frame, SI.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hullcalc.boats.boat import HULL, AnyPlan, Boat
from hullcalc.boats.ledger import Thing
from hullcalc.boats.presence import present
from hullcalc.errors import InputError, require
from hullcalc.floating.tanks import Tank, require_fill
from hullcalc.geometry.solid import Solid

AT_TRANSOM = 0.1  # share of the setback: things nearer to the transom are fixed to it and stay
BESIDE = 0.1  # m along the boat: things of a tank's packages this near to its middle move with it


@dataclass(frozen=True, eq=False)
class Bodies:
    """What a knob may reshape: bodies that float her, tanks, and marks by name."""

    solids: Mapping[str, Solid]
    tanks: tuple[Tank, ...]
    marks: Mapping[str, np.ndarray]  # (3,) m


@dataclass(frozen=True, eq=False)
class Knob:
    """A knob that does nothing; `label` names it, `quantity` is the kind of its values, `now` her present value."""

    label: str
    quantity: str  # "length", "volume", "fraction" or "mass"
    now: float
    with_it: tuple[str, ...] = ()  # names of things that move with it
    shapes: bool = False

    def loads(self, values: np.ndarray) -> np.ndarray:
        """Added load at each value (n,), shape (n, 4)."""
        return np.zeros((len(values), 4))

    def fills(self, values: np.ndarray) -> dict[str, np.ndarray]:
        """Fractions of tanks at each value, by name."""
        return {}

    def shape(self, bodies: Bodies, value: float) -> Bodies:
        """Bodies and marks at one value."""
        return bodies

    def check(self, values: np.ndarray) -> None:
        """Raise an InputError for a value that cannot be."""
        require(np.isfinite(values), self.label, values, "", "must be a finite number", "check the limits and the step")


@dataclass(frozen=True, eq=False)
class Setback(Knob):
    """How far aft of the transom the engine hangs: all between transom and engine is drawn out or pushed together.

    What hangs at the setback or farther aft moves as far as the setback; what stands at the transom stays.
    """

    pod: str = ""  # name of the body of the bracket; "" where it has none
    things: tuple[Thing, ...] = ()
    rake: float = 0.0  # of the transom [rad]
    openings: tuple[str, ...] = ()  # marks on the pod

    def share(self, points: np.ndarray) -> np.ndarray:
        """Which share of a change each point (..., 3) moves aft: 0 at the transom, 1 at the present setback."""
        aft = -points[..., 0] - points[..., 2] * np.tan(self.rake)
        return np.clip(aft / self.now, 0.0, 1.0)

    def loads(self, values: np.ndarray) -> np.ndarray:
        moment = sum(float(t.item.mass) * float(self.share(t.place)) for t in self.things)
        loads = np.zeros((len(values), 4))
        loads[:, 1] = -moment * (values - self.now)
        return loads

    def shape(self, bodies: Bodies, value: float) -> Bodies:
        if not self.pod:
            return bodies
        pod = bodies.solids[self.pod]
        drawn = Solid(self._drawn(pod.vertices, value), pod.faces)
        marks = {n: self._drawn(p, value) if n in self.openings else p for n, p in bodies.marks.items()}
        return Bodies({**bodies.solids, self.pod: drawn}, bodies.tanks, marks)

    def _drawn(self, points: np.ndarray, value: float) -> np.ndarray:
        moved = np.array(points, dtype=float)
        moved[..., 0] -= (value - self.now) * self.share(moved)
        return moved

    def check(self, values: np.ndarray) -> None:
        super().check(values)
        require(values > 0, self.label, values, "m", "must be positive", "setbacks count aft from the transom")


@dataclass(frozen=True, eq=False)
class Place(Knob):
    """Where a thing or a tank stands along the boat [m]; what is `with_it` moves as far."""

    things: tuple[Thing, ...] = ()
    tank: str = ""  # name of the tank's body

    def loads(self, values: np.ndarray) -> np.ndarray:
        loads = np.zeros((len(values), 4))
        loads[:, 1] = sum(float(thing.item.mass) for thing in self.things) * (values - self.now)
        return loads

    def shape(self, bodies: Bodies, value: float) -> Bodies:
        way = np.array([value - self.now, 0.0, 0.0])

        def moved(tank: Tank) -> Tank:
            if tank.name != self.tank:
                return tank
            lip = None if tank.level_at is None else np.asarray(tank.level_at) + way
            return replace(tank, solid=Solid(tank.solid.vertices + way, tank.solid.faces), level_at=lip)

        return replace(bodies, tanks=tuple(map(moved, bodies.tanks)))


@dataclass(frozen=True, eq=False)
class Litres(Knob):
    """Gross volume of a tank [m3]: its length changes about its middle, its section and its fill stay."""

    tank: str = ""

    def shape(self, bodies: Bodies, value: float) -> Bodies:
        def stretched(tank: Tank) -> Tank:
            if tank.name != self.tank:
                return tank
            vertices = np.array(tank.solid.vertices)
            middle = tank.solid.bounds[:, 0].mean()
            vertices[:, 0] = middle + (vertices[:, 0] - middle) * value / tank.solid.volume
            return replace(tank, solid=Solid(vertices, tank.solid.faces))

        return replace(bodies, tanks=tuple(map(stretched, bodies.tanks)))

    def check(self, values: np.ndarray) -> None:
        super().check(values)
        require(values > 0, self.label, values, "m3", "must be positive", "take the tank out of the plan for none")


@dataclass(frozen=True, eq=False)
class Fill(Knob):
    """How full one tank, or all of one use, are: a fraction of the gross volume."""

    tanks: tuple[str, ...] = ()

    def fills(self, values: np.ndarray) -> dict[str, np.ndarray]:
        return dict.fromkeys(self.tanks, values)

    def check(self, values: np.ndarray) -> None:
        super().check(values)
        require_fill(values, self.label)


@dataclass(frozen=True, eq=False)
class Added(Knob):
    """A weight added at a place [kg]."""

    place: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def loads(self, values: np.ndarray) -> np.ndarray:
        return values[:, None] * np.append(1.0, self.place)


def setback(boat: Boat, plan: AnyPlan, now: float) -> Setback:
    """The setback of the bracket of a plan, which is `now` m from the transom to where the engine is clamped.

    Drawn with it are the body aft of the transom, its openings, and all things of the ledger that hang there.
    """
    require(now > 0, "setback now", now, "m", "must be positive", "the way from the transom to the engine's clamp")
    rake = boat.hull.transom_rake
    pods = {
        n: s for n, s in boat.solids_in(plan).items() if n != HULL and s.centroid[0] < -s.centroid[2] * np.tan(rake)
    }
    if len(pods) > 1:
        raise InputError(f"several bodies stand aft of the transom: {', '.join(pods)}; their setbacks differ")
    aft = [t for t in _aboard(boat, plan).values() if -t.place[0] - t.place[2] * np.tan(rake) > AT_TRANSOM * now]
    if not pods and not aft:
        raise InputError(
            "nothing hangs aft of the transom in this plan, so it has no setback; choose a plan with a bracket"
        )
    pod = next(iter(pods), "")
    body = present(boat.solids, boat.packages_on(plan)).get(pod)
    openings = body.openings if body is not None else ()
    names = tuple(t.name for t in aft)
    return Setback("setback", "length", now, names, bool(pods), pod, tuple(aft), rake, openings)


def place_of(boat: Boat, plan: AnyPlan, name: str, companions: Sequence[str] | None = None) -> Place:
    """The place along the boat of a thing or a tank, by a name or a part of it that only one has.

    A tank takes along the things named in `companions`; where none are said, those of the packages that bring it whose
    place is within 0.1 m of its middle. A thing takes along only what is named.
    """
    aboard, tanks = _aboard(boat, plan), present(boat.tanks, boat.packages_on(plan))
    what = _one(name, [*tanks, *aboard], "thing or tank")
    if what in tanks:
        tank = tanks[what]
        now = float(tank.solid.centroid[0])
        beside = _beside(boat, plan, tank.presence.brought_by, now) if companions is None else companions
    else:
        now, beside = float(aboard[what].place[0]), companions or ()
    with_it = [_one(companion, aboard, "thing") for companion in beside]
    things = [aboard[n] for n in dict.fromkeys([*([] if what in tanks else [what]), *with_it])]
    tank_name = what if what in tanks else ""
    return Place(f"place of {what}", "length", now, tuple(with_it), bool(tank_name), tuple(things), tank_name)


def litres_of(boat: Boat, plan: AnyPlan, name: str) -> Litres:
    """The gross volume of a tank; the mass of its shell stays as the ledger has it."""
    tanks = present(boat.tanks, boat.packages_on(plan))
    tank = tanks[_one(name, tanks, "tank")]
    return Litres(f"litres of {tank.name}", "volume", float(tank.solid.volume), (), True, tank.name)


def fill_of(boat: Boat, plan: AnyPlan, name: str, now: float) -> Fill:
    """The fill of a tank, or of all tanks of a use ("fuel"); `now` is what the condition has."""
    tanks = present(boat.tanks, boat.packages_on(plan))
    uses = {tank.use for tank in tanks.values()}
    what = name if name in uses else _one(name, [*tanks, *uses], "tank or use")
    chosen = tuple(tank.name for tank in tanks.values() if what in (tank.name, tank.use))
    return Fill(f"fill of {what}", "fraction", now, (), False, chosen)


def added_at(place: Sequence[float], label: str = "weight") -> Added:
    """A weight at (x, y, z) m."""
    x, y, z = (float(v) for v in place)
    return Added(label, "mass", 0.0, place=(x, y, z))


def _aboard(boat: Boat, plan: AnyPlan) -> dict[str, Thing]:
    return boat.ledger.apply(boat.packages_on(plan))[1]


def _beside(boat: Boat, plan: AnyPlan, packages: Collection[str], x: float) -> list[str]:
    """Things that the packages bring and that stand within reach of x along the boat."""
    brought = {row.item for row in boat.ledger.rows if row.package in packages}
    aboard = _aboard(boat, plan)
    return [name for name in aboard if name in brought and abs(float(aboard[name].place[0]) - x) <= BESIDE]


def _one(name: str, among: Iterable[str], what: str) -> str:
    """The one name meant: it whole, or the only one that holds it; capital letters do not matter."""
    folded = {one.casefold(): one for one in among}
    if name.casefold() in folded:
        return folded[name.casefold()]
    holding = [one for key, one in folded.items() if name.strip() and name.casefold() in key]
    if len(holding) == 1:
        return holding[0]
    near = holding or [folded[key] for key in difflib.get_close_matches(name.casefold(), folded, n=3)]
    near = near or [one for key, one in folded.items() if difflib.get_close_matches(name.casefold(), key.split())]
    hint = f"did you mean {' or '.join(map(repr, near))}?" if near else f"there are: {', '.join(folded.values())}"
    raise InputError(f"no one {what} of this plan is called {name!r}; {hint}")
