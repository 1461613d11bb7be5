"""What the written sums of parts share: figures from a table's range, and lines whose mass has several causes of error.

A table that gives two bounds and nothing between them is taken as even between them: the middle, with a standard
uncertainty of half the width over sqrt 3 (JCGM 100:2008, GUM, 4.3.7).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, require
from hullcalc.weights.items import MassItem, combine, item
from hullcalc.weights.reference import Row, figure


@dataclass(frozen=True)
class Figure:
    """A figure and its standard uncertainty, both in one unit."""

    value: float
    u: float = 0.0


def middle(row: Row, unit: str) -> Figure:
    """The middle of the bounds low_UNIT and high_UNIT of a reference row, in that unit."""
    low, high = figure(row, f"low_{unit}"), figure(row, f"high_{unit}")
    require(low <= high, f"low_{unit} of a reference row", low, "", f"exceeds high_{unit}", "mend the table")
    return Figure((low + high) / 2, (high - low) / np.sqrt(12))


def with_causes(
    name: str,
    mass: float,
    centre: ArrayLike,
    basis: str,
    causes: Mapping[str, float],
    u_place: ArrayLike | None = None,
    placed_by: str = "",
) -> MassItem:
    """An item whose mass has several causes of error, each with its standard uncertainty [kg], by their full names.

    Its place has the causes "NAME: x" and so on, from `u_place` [m] or the basis, as with `items.item`; things placed
    by one measurement share its error under the name `placed_by`.
    """
    at = item(placed_by or name, mass, centre, basis, u_mass=0.0, u_place=u_place)
    return combine([at, only_causes(name, centre, basis, causes)], name, basis)


def only_causes(name: str, centre: ArrayLike, basis: str, causes: Mapping[str, float]) -> MassItem:
    """Causes of error of a mass at `centre` without the mass itself, to be added to an item that has it."""
    vector = np.concatenate([[1.0], np.asarray(centre, dtype=float)])
    return MassItem(name, np.zeros(()), np.zeros(3), basis, {cause: u * vector for cause, u in causes.items() if u})


def default_u(basis: str, mass: float, u_mass: float | None) -> float:
    """Standard uncertainty of a mass [kg]: `u_mass`, or the default of its basis."""
    if u_mass is not None:
        return u_mass
    from_basis = item("it", mass, np.zeros(3), basis)
    return float(from_basis.u_mass)


def positive(value: object, name: str, unit: str, high: float, mend: str) -> float:
    """One figure more than zero and at most `high`; an InputError with the mend otherwise."""
    number = as_number(value, name, unit)
    require(0 < number <= high, name, number, unit, f"must be more than 0 and at most {high:g} {unit}".strip(), mend)
    return number


def whole(value: object, name: str, low: int, high: int) -> int:
    """A whole number between two bounds; an InputError that says them otherwise."""
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise InputError(f"{name} = {value!r} must be a whole number, {low} to {high}")
    return value


def say(value: float) -> str:
    """A figure to four digits, as a written sum shows it: 0.038, 5.7, 1030."""
    return np.format_float_positional(value, 4, unique=False, fractional=False, trim="-")
