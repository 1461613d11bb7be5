"""Where uncertainty comes from: a default for each basis, and named causes that are added up only at the end.

A cause ("outboard: mass", "all soaked wood") is kept as the vector of changes that one standard uncertainty of it makes
in the quantities of interest. Vectors of one cause add with their signs, so what a removal brings in twice cancels and
what many items share adds linearly; only different causes add in squares [1]_.

Default uncertainties: common practice in refit work, no source; a weighing or a protocol of your own replaces them.

References
----------
.. [1] JCGM 100:2008, Guide to the expression of uncertainty in measurement (GUM), 5.1.2 and 5.2.2.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, require

Sources = Mapping[str, np.ndarray]

Z_EXTRA = 0.010  # heights are measured less well than lengths [m]


@dataclass(frozen=True)
class Basis:
    """Default standard uncertainties of a figure, by where the figure comes from; None: its protocol must say."""

    mass_fraction: float | None
    place: float | None  # of x and y [m]; z has Z_EXTRA more


BASES: Mapping[str, Basis] = {
    "weighed": Basis(0.01, 0.010),
    "measured afloat": Basis(None, None),
    "data sheet": Basis(0.03, 0.020),
    "calculated": Basis(0.08, 0.030),
    "table": Basis(0.15, 0.050),
    "estimated": Basis(0.15, 0.050),
    "guess": Basis(0.30, 0.100),
}


def find_basis(basis: str) -> Basis:
    """The Basis of that name; an InputError that lists the names otherwise."""
    try:
        return BASES[basis]
    except KeyError:
        raise InputError(f"basis {basis!r} is not known; write one of: {', '.join(BASES)}") from None


def standard_uncertainties(basis: str, mass: ArrayLike) -> tuple[np.ndarray | None, np.ndarray | None]:
    """Default standard uncertainties of a mass and of its place.

    Parameters
    ----------
    basis : str
        A name in BASES.
    mass : array_like, shape (...)
        Mass [kg]; only its size counts.

    Returns
    -------
    u_mass : ndarray, shape (...), or None
        [kg]; None where the basis has no default.
    u_place : ndarray, shape (3,), or None
        Of x, y, z [m]; None where the basis has no default.
    """
    found = find_basis(basis)
    u_mass = None if found.mass_fraction is None else found.mass_fraction * abs(np.asarray(mass, dtype=float))
    u_place = None if found.place is None else found.place + np.array([0.0, 0.0, Z_EXTRA])
    return u_mass, u_place


@dataclass(frozen=True, eq=False)
class OneSided:
    """A figure given as low, likely, high: sums use `likely`; `shift` says how far the mean lies from it."""

    likely: np.ndarray
    u: np.ndarray  # standard uncertainty, about the mean
    shift: np.ndarray  # mean minus likely
    bounds: np.ndarray  # (..., 2) low and high less likely, in standard uncertainties; zero where all three are one


def triangular(low: ArrayLike, likely: ArrayLike, high: ArrayLike) -> OneSided:
    """A triangular distribution from `low` over its peak at `likely` to `high`, shapes (...) alike, any unit.

    Mean (a + b + c) / 3, variance (a² + b² + c² - ab - ac - bc) / 18, here from the two sides so that nothing cancels.
    Raises InputError unless low <= likely <= high. Source: standard result of probability; for a = -c it is GUM 4.3.9.
    """
    low, likely, high = np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in (low, likely, high)))
    require(np.isfinite(likely), "likely value", likely, "", "must be a finite number", "give the value you expect")
    finite = "give low <= likely <= high; where one side is tight repeat the likely value"
    require((low <= likely) & np.isfinite(low), "low value", low, "", "must not exceed the likely value", finite)
    require((high >= likely) & np.isfinite(high), "high value", high, "", "must not be under the likely value", finite)
    under, over = likely - low, high - likely
    u = np.sqrt((under**2 + under * over + over**2) / 18)
    bounds = np.stack([-under, over], axis=-1) / np.where(u > 0, u, 1.0)[..., None]
    return OneSided(likely.copy(), u, (over - under) / 3, bounds)


def add_sources(many: Iterable[Sources]) -> dict[str, np.ndarray]:
    """One set of causes for many: vectors (..., k) of one cause add; a cause that cancels everywhere is left out."""
    total: dict[str, np.ndarray] = {}
    for sources in many:
        for name, change in sources.items():
            total[name] = total[name] + change if name in total else change
    return {name: change for name, change in total.items() if np.any(change)}


def add_bounds(many: Iterable[tuple[Sources, Sources]]) -> dict[str, np.ndarray]:
    """Bounds of the one-sided among the causes of many: pairs of (sources, bounds), see `OneSided.bounds`.

    Where those who share a cause do not agree on its bounds it is taken as normal: its standard uncertainty and the
    shift of the mean stay as they are.
    """
    found: dict[str, np.ndarray | None] = {}
    for sources, bounds in many:
        for name in sources:
            own = bounds.get(name)
            if name not in found:
                found[name] = own
            elif (one := found[name]) is not None and not (own is not None and _alike(one, own)):
                found[name] = None
    return {name: bounds for name, bounds in found.items() if bounds is not None}


def _alike(one: np.ndarray, other: np.ndarray) -> bool:
    return one.shape == other.shape and np.allclose(one, other, rtol=1e-9, atol=0)


def effects(sources: Sources, gradient: ArrayLike) -> dict[str, np.ndarray]:
    """What one standard uncertainty of each cause does to a quantity.

    Parameters
    ----------
    sources : mapping of str to ndarray, shape (..., k)
        Changes of k quantities per standard uncertainty.
    gradient : array_like, shape (..., k)
        Derivative of the quantity to those k, as `state.response` gives it for a height.

    Returns
    -------
    dict of str to ndarray, shape (...)
        Signed, in the unit of the quantity.
    """
    gradient = np.asarray(gradient, dtype=float)
    return {name: np.sum(change * gradient, axis=-1) for name, change in sources.items()}


def standard_uncertainty(sources: Sources, gradient: ArrayLike) -> np.ndarray:
    """Standard uncertainty of a quantity with that gradient (see `effects`), shape (...); causes are independent."""
    squares = [effect**2 for effect in effects(sources, gradient).values()]
    return np.sqrt(np.asarray(sum(squares, start=np.zeros(np.shape(gradient)[:-1]))))


def covariance(sources: Sources, shape: tuple[int, ...]) -> np.ndarray:
    """Covariance matrix, shape `shape` + (k,) where `shape` ends in k: the sum of v vᵀ over the causes' vectors v."""
    total = np.zeros((*shape, shape[-1]))
    for change in sources.values():
        total += change[..., :, None] * change[..., None, :]
    return total
