"""Mass items and their algebra: what is aboard, what comes off, goes on, moves or is replaced, for many loads at once.

Boat frame: x forward from the lower end of the transom, y to port, z up [m]. An item is a mass and a moment, so a
removal is the item negated and a move has a moment without a mass; a centre is asked only of a positive total. Leading
axes (...) are load conditions; they broadcast.

Each item carries its named causes of uncertainty (see `sources`). Causes follow the item's name: give two different
things two names, or their errors count as one. A thing taken off again takes its causes off with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, require
from hullcalc.weights import sources as src

AXES = "xyz"


@dataclass(frozen=True, eq=False)  # eq=False: "equal" is not one question for arrays
class MassItem:
    """A thing aboard, or a change of what is aboard.

    `sources` maps the name of a cause to the change of (mass, mx, my, mz) [kg, kg m] that one standard uncertainty of
    it makes, an array that broadcasts to (..., 4). `shift` is what must be added to (mass, mx, my, mz) to come from the
    likely value to the mean where figures are one-sided, shape (..., 4). `bounds` has the ends of the triangle of each
    one-sided cause, (..., 2), counted from its peak in standard uncertainties; causes it does not name are normal.
    """

    name: str
    mass: np.ndarray  # [kg], shape (...), one entry per load condition; 0 for a move
    moment: np.ndarray  # [kg m], shape (..., 3): mass times x, y, z; a move has one without mass
    basis: str
    sources: Mapping[str, np.ndarray] = field(default_factory=dict)
    shift: np.ndarray = field(default_factory=lambda: np.zeros(4))
    bounds: Mapping[str, np.ndarray] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _check_basis(self.name, self.basis)
        mass, moment, shift = (np.array(a, dtype=float) for a in (self.mass, self.moment, self.shift))
        sources = {cause: np.array(change, dtype=float) for cause, change in self.sources.items()}
        try:
            if (moment.shape[-1:], shift.shape[-1:]) != ((3,), (4,)):
                raise ValueError
            shape = np.broadcast_shapes(mass.shape, moment.shape[:-1], shift.shape[:-1])
            mass, moment, shift = (
                np.broadcast_to(mass, shape),
                np.broadcast_to(moment, (*shape, 3)),
                np.broadcast_to(shift, (*shape, 4)),
            )
            for change in sources.values():
                np.broadcast_to(change, (*shape, 4))
        except ValueError:
            raise InputError(
                f"{self.name}: mass {np.shape(self.mass)}, moment {np.shape(self.moment)} and sources "
                f"{sorted({c.shape for c in sources.values()})} do not fit together; "
                "expected shapes (...), (..., 3) and (..., 4) with the same load conditions in front"
            ) from None
        look = "look for an empty cell, or for a figure with too many digits"
        require(np.isfinite(mass), f"mass of {self.name}", mass, "kg", "must be a finite number", look)
        require(np.isfinite(moment), f"moment of {self.name}", moment, "kg m", "must be a finite number", look)
        require(np.isfinite(shift), f"shift of {self.name}", shift, "", "must be a finite number", look)
        for cause, change in sources.items():
            require(np.isfinite(change), f"uncertainty of {cause}", change, "", "must be a finite number", look)
            change.flags.writeable = False
        bounds = {cause: np.array(ends, dtype=float) for cause, ends in self.bounds.items() if cause in sources}
        for cause, ends in bounds.items():
            require(np.isfinite(ends), f"bounds of {cause}", ends, "", "must be a finite number", look)
            ends.flags.writeable = False
        object.__setattr__(self, "bounds", MappingProxyType(bounds))
        for name, value in (("mass", mass), ("moment", moment), ("shift", shift)):
            object.__setattr__(self, name, value)  # broadcast views of our own copies are read-only
        object.__setattr__(self, "sources", MappingProxyType(sources))

    def __reduce__(self) -> tuple:
        return MassItem, (
            self.name,
            self.mass,
            self.moment,
            self.basis,
            dict(self.sources),
            self.shift,
            dict(self.bounds),
        )

    @property
    def centre(self) -> np.ndarray:
        """Where the moments balance [m], shape (..., 3); asked only of a positive mass."""
        mend = "do the removals outweigh the boat, or is nothing aboard?"
        require(self.mass > 0, f"mass of {self.name}", self.mass, "kg", "must be positive to have a centre", mend)
        return self.moment / self.mass[..., None]

    @property
    def load(self) -> np.ndarray:
        """(mass, mx, my, mz), shape (..., 4) [kg, kg m]."""
        return np.concatenate([self.mass[..., None], self.moment], axis=-1)

    @property
    def covariance(self) -> np.ndarray:
        """Covariance of (mass, mx, my, mz), shape (..., 4, 4) [kg², kg² m, kg² m²]."""
        return src.covariance(self.sources, (*self.mass.shape, 4))

    @property
    def u_mass(self) -> np.ndarray:
        """Standard uncertainty of the mass [kg], shape (...)."""
        return src.standard_uncertainty(self.sources, np.broadcast_to(np.eye(4)[0], (*self.mass.shape, 4)))

    @property
    def centre_gradient(self) -> np.ndarray:
        """Derivative of the centre's x, y, z to (mass, mx, my, mz), shape (..., 3, 4) [m/kg, 1/kg]."""
        by_moment = np.broadcast_to(np.eye(3), (*self.mass.shape, 3, 3))
        return np.concatenate([-self.centre[..., None], by_moment], axis=-1) / self.mass[..., None, None]

    @property
    def u_centre(self) -> np.ndarray:
        """Standard uncertainty of the centre's x, y, z [m], shape (..., 3), to first order."""
        gradient = self.centre_gradient
        return np.stack([src.standard_uncertainty(self.sources, gradient[..., axis, :]) for axis in range(3)], axis=-1)


def item(
    name: str,
    mass: ArrayLike,
    centre: ArrayLike,
    basis: str,
    u_mass: ArrayLike | None = None,
    u_place: ArrayLike | None = None,
    shared: str | None = None,
    low: ArrayLike | None = None,
    high: ArrayLike | None = None,
) -> MassItem:
    """A thing with its mass, place and uncertainty.

    Parameters
    ----------
    name : str
        Its own name; the causes are called "NAME: mass", "NAME: x", "NAME: y", "NAME: z".
    mass : array_like, shape (...)
        Mass [kg], not negative; the likely value where `low` and `high` are given.
    centre : array_like, shape (..., 3)
        x, y, z [m].
    basis : str
        Where the figures come from, a name in `sources.BASES`; it gives the default uncertainties.
    u_mass : array_like, shape (...), optional
        Standard uncertainty of the mass [kg].
    u_place : array_like, shape () or (..., 3), optional
        Standard uncertainty of x, y, z [m]; one number stands for all three.
    shared : str, optional
        Name of the cause of the mass's error that several items share ("all soaked wood"): there their errors add.
    low, high : array_like, shape (...), optional
        Bounds of a one-sided mass [kg]; they give `u_mass`, the shift of the mean and the shape (triangular).

    Raises
    ------
    InputError
        Names the item; where a mass is negative or no number, where only one of `low`, `high` is given, or where the
        basis has no default and none is given.
    """
    _check_basis(name, basis)
    mass, centre = np.asarray(mass, dtype=float), np.asarray(centre, dtype=float)
    mend = "give a plain mass; to take it off use remove(item)"
    require((mass >= 0) & np.isfinite(mass), f"mass of {name}", mass, "kg", "must be a number, zero or more", mend)
    if centre.shape[-1:] != (3,):
        raise InputError(f"{name}: place has shape {centre.shape}, expected (..., 3): give x, y, z in metres")
    require(np.isfinite(centre), f"place of {name}", centre, "m", "must be a finite number", "give x, y and z")
    u_mass, mean_shift, ends = _mass_uncertainty(name, mass, basis, u_mass, low, high)
    place_u = _place_uncertainty(name, basis, u_place)
    try:
        np.broadcast_shapes(mass.shape, u_mass.shape, centre.shape[:-1], place_u.shape[:-1])
    except ValueError:
        raise InputError(
            f"{name}: mass {mass.shape}, place {centre.shape} and uncertainties {u_mass.shape}, {place_u.shape} do not "
            "fit together; expected shapes (...), (..., 3), (...) and (..., 3) with the same load conditions in front"
        ) from None
    per_mass = _with_mass(centre)
    with np.errstate(over="ignore"):  # an overflow is told by MassItem as the moment it spoils
        cause = shared or f"{name}: mass"
        sources = {cause: u_mass[..., None] * per_mass}
        sources |= _place_sources(name, mass, place_u)
        moment, shift = mass[..., None] * centre, mean_shift[..., None] * per_mass
    bounds = {} if ends is None else {cause: ends}
    return MassItem(name, mass, moment, basis, src.add_sources([sources]), shift, bounds)


def combine(items: Iterable[MassItem], name: str = "all aboard", basis: str = "calculated") -> MassItem:
    """One MassItem for many: masses, moments and the vectors of each cause add. Of no items: a mass of zero."""
    items = tuple(items)
    return MassItem(
        name,
        sum((i.mass for i in items), start=np.zeros(())),
        sum((i.moment for i in items), start=np.zeros(3)),
        basis,
        src.add_sources(i.sources for i in items),
        sum((i.shift for i in items), start=np.zeros(4)),
        src.add_bounds((i.sources, i.bounds) for i in items),
    )


def remove(taken: MassItem, name: str | None = None) -> MassItem:
    """The change made by taking an item off: mass, moment and causes negated; added to the item it leaves nothing."""
    sources = {cause: -change for cause, change in taken.sources.items()}
    return MassItem(name or taken.name, -taken.mass, -taken.moment, taken.basis, sources, -taken.shift, taken.bounds)


def move(moved: MassItem, to: ArrayLike, u_place: ArrayLike | None = None) -> MassItem:
    """The change made by moving an item: a moment without mass.

    The item's mass is the same before and after, so its error leaves the total and keeps error times distance in the
    moment. The old place's error is taken off (it cancels where the total still carries it); the new place is a cause
    of its own, "NAME, new place: x" and so on, numbered where the item was moved before.

    Parameters
    ----------
    moved : MassItem
        The item where it is now.
    to : array_like, shape (..., 3)
        Its new place [m].
    u_place : array_like, shape () or (..., 3), optional
        Standard uncertainty of the new x, y, z [m]; the default is that of the item's basis.
    """
    to = np.asarray(to, dtype=float)
    if to.shape[-1:] != (3,):
        raise InputError(f"{moved.name}: new place has shape {to.shape}, expected (..., 3): give x, y, z in metres")
    require(np.isfinite(to), f"new place of {moved.name}", to, "m", "must be a finite number", "give x, y and z")
    per_mass = _with_mass(to)

    def carried(vector: np.ndarray) -> np.ndarray:
        change = vector[..., :1] * per_mass - vector
        change[..., 0] = 0.0
        return change

    place, times = f"{moved.name}, new place", 1
    while any(f"{place}: {axis}" in moved.sources for axis in AXES):
        times += 1
        place = f"{moved.name}, new place {times}"
    with np.errstate(over="ignore"):
        moment = moved.mass[..., None] * to - moved.moment
        sources = {cause: carried(change) for cause, change in moved.sources.items()}
        sources |= _place_sources(place, moved.mass, _place_uncertainty(moved.name, moved.basis, u_place))
        shift = carried(moved.shift)
    causes, still = src.add_sources([sources]), np.zeros(moment.shape[:-1])
    return MassItem(moved.name, still, moment, moved.basis, causes, shift, moved.bounds)


def replace(old: MassItem, new: MassItem) -> MassItem:
    """The change made by putting `new` in the place of `old`: with a total that holds `old`, old causes go out."""
    return combine([remove(old), new], new.name, new.basis)


def _check_basis(name: str, basis: str) -> None:
    try:
        src.find_basis(basis)
    except InputError as problem:
        raise InputError(f"{name}: {problem}") from None


def _with_mass(place: np.ndarray) -> np.ndarray:
    """(1, x, y, z): what one kilogram at `place` adds to (mass, mx, my, mz)."""
    return np.concatenate([np.ones((*place.shape[:-1], 1)), place], axis=-1)


def _place_sources(name: str, mass: np.ndarray, u_place: np.ndarray) -> dict[str, np.ndarray]:
    shape = np.broadcast_shapes(mass.shape, u_place.shape[:-1])
    causes = {}
    for k, axis in enumerate(AXES):
        change = np.zeros((*shape, 4))
        change[..., k + 1] = mass * u_place[..., k]
        causes[f"{name}: {axis}"] = change
    return causes


def _mass_uncertainty(
    name: str,
    mass: np.ndarray,
    basis: str,
    u_mass: ArrayLike | None,
    low: ArrayLike | None,
    high: ArrayLike | None,
) -> tuple[np.ndarray, np.ndarray, np.ndarray | None]:
    """Standard uncertainty of the mass and the shift of its mean [kg]; bounds where it is one-sided, else None."""
    if low is not None or high is not None:
        if low is None or high is None or u_mass is not None:
            raise InputError(f"{name}: a one-sided mass needs low and high, and no uncertainty beside them")
        try:
            one_sided = src.triangular(low, mass, high)
        except InputError as problem:
            raise InputError(f"{name}, mass [kg]: {problem}") from None
        return one_sided.u, one_sided.shift, one_sided.bounds
    default, _ = src.standard_uncertainties(basis, mass)
    given = default if u_mass is None else np.asarray(u_mass, dtype=float)
    if given is None:
        raise InputError(
            f"{name}: basis {basis!r} has no default uncertainty of the mass; give u_mass from its protocol"
        )
    mend = "give one standard uncertainty"
    require((given >= 0) & np.isfinite(given), f"u_mass of {name}", given, "kg", "must be a number, zero or more", mend)
    return given, np.zeros(()), None


def _place_uncertainty(name: str, basis: str, u_place: ArrayLike | None) -> np.ndarray:
    """Standard uncertainty of x, y, z [m], shape (..., 3)."""
    _, default = src.standard_uncertainties(basis, 0.0)
    if u_place is None:
        if default is None:
            raise InputError(
                f"{name}: basis {basis!r} has no default uncertainty of the place; give u_place from its protocol"
            )
        return default
    given = np.asarray(u_place, dtype=float)
    given = np.repeat(given[..., None], 3, axis=-1) if given.ndim == 0 else given
    if given.shape[-1] != 3:
        raise InputError(f"{name}: u_place has shape {given.shape}, expected one number or (..., 3) in metres")
    mend = "give one standard uncertainty"
    require((given >= 0) & np.isfinite(given), f"u_place of {name}", given, "m", "must be a number, zero or more", mend)
    return given
