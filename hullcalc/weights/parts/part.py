"""A part of a refit and the written sum it comes from.

Boat frame, SI. A part is made of lines; each line says what it is and how its mass was reckoned, in words and figures
that a reader can follow with a calculator, and is a MassItem with named causes of uncertainty. The part's mass and
centre are the sum of its lines. A part may have a body that floats her and a body that holds a liquid.
"""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike

from hullcalc.errors import InputError
from hullcalc.geometry.solid import Solid
from hullcalc.weights.items import AXES, MassItem, combine, item


@dataclass(frozen=True, eq=False)
class Line:
    """One line of the written sum: "side plates", "2 x 0.31 m² x 13.3 kg/m²", and what comes of it."""

    what: str
    how: str
    item: MassItem


@dataclass(frozen=True)
class Fact:
    """A figure of a part beside its mass: "to the standpipe", 0.142, "volume"; SI.

    `kind` is that of its unit as in `units.names.KINDS`, or "area" [m²].
    """

    what: str
    value: float
    kind: str


@dataclass(frozen=True, eq=False)
class Part:
    """A thing of the refit, made from what is known of it.

    `says` are sentences on what was taken for granted and what is worth a look, for the reader of the sum; `facts` are
    its other figures.
    """

    name: str
    lines: tuple[Line, ...]
    basis: str  # of the whole: weighed, data sheet, calculated, table, estimated or guess
    body: Solid | None = None  # floats her, or is open to the sea
    holds: Solid | None = None  # a liquid lies in it
    u_volume: float = 0.0  # standard uncertainty of the body's volume [m³]
    says: tuple[str, ...] = ()
    facts: tuple[Fact, ...] = ()

    @property
    def item(self) -> MassItem:
        """Mass, moment and causes of uncertainty of the whole."""
        return combine([line.item for line in self.lines], self.name, self.basis)

    @property
    def room(self) -> Solid:
        """The room of what holds a liquid; InputError where it holds none."""
        if self.holds is None:
            raise InputError(f"{self.name}: holds nothing")
        return self.holds


def line(
    part: str,
    what: str,
    how: str,
    mass: ArrayLike,
    centre: ArrayLike,
    basis: str,
    *,
    u_mass: float | None = None,
    u_place: ArrayLike | None = None,
    placed_by: str = "",
    shared: str = "",
    low: float | None = None,
    high: float | None = None,
) -> Line:
    """One line of the sum of the part named `part`; its causes of uncertainty are called "PART, WHAT: mass" and so on.

    Lines of one part that were placed by one measurement (`placed_by`, such as "bracket") share its error: their causes
    of place are called "PLACED_BY: x". Lines whose mass errs alike (`shared`, such as "bracket: plates") share that
    cause. The other arguments are those of `weights.items.item`.
    """
    name = f"{part}, {what}"
    made = item(name, mass, centre, basis, u_mass, u_place, shared or None, low, high)
    if placed_by:
        renamed = {f"{name}: {axis}": f"{placed_by}: {axis}" for axis in AXES}
        causes = {renamed.get(cause, cause): change for cause, change in made.sources.items()}
        made = MassItem(made.name, made.mass, made.moment, made.basis, causes, made.shift, made.bounds)
    return Line(what, how, made)
