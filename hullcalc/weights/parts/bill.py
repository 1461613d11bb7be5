"""A bill of things: each so many kilograms, or so many square metres or metres of so much, and an allowance on top.

For a part of one's own, gear, cables, an anchor with its chain. Each line is a thing of its own, with its own causes of
error; the same thing several times over is one line, whose pieces are of one make.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, require
from hullcalc.weights.items import MassItem, combine
from hullcalc.weights.parts.part import Line, Part
from hullcalc.weights.parts.sums import Figure, default_u, middle, positive, say, whole, with_causes
from hullcalc.weights.reference import figure, look_up


@dataclass(frozen=True)
class Amount:
    """How much one line of a bill is [kg], the uncertainty of a table's range, the words of its sum, and its basis."""

    mass: Figure
    how: str
    basis: str
    from_table: bool = False


@dataclass(frozen=True, eq=False)
class Entry:
    """One line of a bill: what it is, how much, where (3,) m; uncertainties as in `items.item`."""

    what: str
    amount: Amount
    centre: ArrayLike
    u_mass: float | None = None
    u_place: ArrayLike | None = None
    placed_by: str = ""  # things placed by one measurement share its error, under this name


def by_mass(mass: float, number: int = 1, basis: str = "estimated") -> Amount:
    """So many things of a mass [kg] each."""
    mass = positive(mass, "mass", "kg", 5000, "a removal is an act of the ledger, not a mass under zero")
    number = whole(number, "number", 1, 10_000)
    how = f"{say(mass)} kg" if number == 1 else f"{number} x {say(mass)} kg"
    return Amount(Figure(number * mass), how, basis)


def by_area(area: float, mass_per_area: float, number: int = 1, basis: str = "calculated") -> Amount:
    """So many areas [m2] of a mass per area [kg/m2]."""
    area = positive(area, "area", "m2", 200, "give it in square metres, or with its unit")
    each = positive(mass_per_area, "mass per area", "kg/m2", 500, "sandwich soles are 8 to 20 kg/m2")
    number = whole(number, "number", 1, 10_000)
    times = "" if number == 1 else f"{number} x "
    return Amount(Figure(number * area * each), f"{times}{say(area)} m² x {say(each)} kg/m²", basis)


def by_length(length: float, mass_per_length: float, number: int = 1, basis: str = "calculated") -> Amount:
    """So many lengths [m] of a mass per length [kg/m]."""
    length = positive(length, "length", "m", 1000, "give it in metres, or with its unit")
    each = positive(mass_per_length, "mass per length", "kg/m", 500, "50 mm2 cable is about 0.5 kg/m")
    number = whole(number, "number", 1, 10_000)
    times = "" if number == 1 else f"{number} x "
    return Amount(Figure(number * length * each), f"{times}{say(length)} m x {say(each)} kg/m", basis)


def by_table(thing: str, number: int = 1) -> Amount:
    """So many of a thing of the table `gear`, at the middle of its range."""
    row, number = look_up("gear", item=thing), whole(number, "number", 1, 10_000)
    one = middle(row, "kg")
    times = "" if number == 1 else f"{number} x "
    bounds = f"{say(figure(row, 'low_kg'))} to {say(figure(row, 'high_kg'))} kg"
    how = f"{times}{say(one.value)} kg (table, {bounds})"
    return Amount(Figure(number * one.value, number * one.u), how, "table", from_table=True)


def by_table_length(thing: str, length: float) -> Amount:
    """A length [m] of a thing of the table `gear_by_length`, at the middle of its range."""
    row = look_up("gear_by_length", item=thing)
    each, length = middle(row, "kg_m"), positive(length, "length", "m", 1000, "give it in metres, or with its unit")
    how = f"{say(length)} m x {say(each.value)} kg/m (table)"
    return Amount(Figure(length * each.value, length * each.u), how, "table", from_table=True)


def bill(
    name: str,
    entries: Sequence[Entry],
    basis: str = "calculated",
    allowance: float = 0.0,
    u_allowance: float | None = None,
) -> Part:
    """A part of several things.

    Parameters
    ----------
    name : str
    entries : sequence of Entry
        One or more, each with a name of its own.
    basis : str
        Of the whole, for the reader.
    allowance, u_allowance : float
        On top of their sum, as fractions (see `allowance_on`).

    Raises
    ------
    InputError
        For no entries, two of one name, or a figure out of range.
    """
    if not entries:
        raise InputError(f"{name}: nothing is listed; give one thing or more")
    names = [entry.what for entry in entries]
    for what in names:
        if names.count(what) > 1:
            raise InputError(f'{name}: "{what}" is listed {names.count(what)} times; give each thing a name of its own')
    lines = [Line(entry.what, entry.amount.how, _item(f"{name}, {entry.what}", entry)) for entry in entries]
    if allowance or u_allowance:
        lines.append(allowance_on(name, [line.item for line in lines], allowance, u_allowance))
    return Part(name, tuple(lines), basis)


def allowance_on(
    name: str, items: Sequence[MassItem], fraction: float, u_fraction: float | None = None, what: str = "allowance"
) -> Line:
    """What is always forgotten (fastenings, sealant, resin), as a fraction of the mass of things, at their centre.

    Parameters
    ----------
    name : str
        Of the list; the allowance's own cause of error is called "NAME: allowance".
    items : sequence of MassItem
        Their masses add up to more than zero: an allowance on what is taken out is made on that list alone.
    fraction : float
        0.05 for 5 %.
    u_fraction : float, optional
        Standard uncertainty of the fraction; half of it unless given (common practice, no source).

    Returns
    -------
    Line
        Its item also carries the errors of the things themselves, times the fraction, under their own names.
    """
    of = combine(items, name)
    require(
        of.mass > 0, f"mass that an allowance of {name} is on", of.mass, "kg", "must be positive", "list the things"
    )
    share = as_number(fraction, f"allowance of {name}", "")
    require(0 <= share <= 1, f"allowance of {name}", share, "", "must lie between 0 and 1", "write 0.05 or 5 %")
    u = as_number(share / 2 if u_fraction is None else u_fraction, f"uncertainty of the allowance of {name}", "")
    at = f"uncertainty of the allowance of {name}"
    require(0 <= u <= 1, at, u, "", "must lie between 0 and 1", "write 0.02 or 2 %")
    vector = np.concatenate([of.mass[None], of.moment])
    sources = {cause: share * change for cause, change in of.sources.items()} | {f"{name}: {what}": u * vector}
    thing = MassItem(
        f"{name}: {what}", share * of.mass, share * of.moment, "estimated", sources, share * of.shift, of.bounds
    )
    return Line(what, f"{say(100 * share)} % of {say(float(of.mass))} kg (within {say(100 * u)} %)", thing)


def _item(name: str, entry: Entry) -> MassItem:
    amount = entry.amount
    from_table = amount.from_table and entry.u_mass is None
    u = amount.mass.u if from_table else default_u(amount.basis, amount.mass.value, entry.u_mass)
    causes = {f"{name}: mass": u}
    return with_causes(name, amount.mass.value, entry.centre, amount.basis, causes, entry.u_place, entry.placed_by)
