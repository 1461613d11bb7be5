"""What mending takes: hours and cost of packages, and the freedoms of a plan: what may be moved, raised or resized.

A freedom is one thing that may still be chosen, with the limits in which it fits. Boat frame, SI; money is a plain
number in the currency of the boat. What was not said is None and is never taken for nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

PLACE, RAISE, WIDEN, RESIZE = "place", "raise", "widen", "resize"


@dataclass(frozen=True)
class Work:
    """What a change takes: hours of work in the build, hours once the sole is down (None: the same), and cost."""

    hours: float | None = None
    hours_later: float | None = None
    cost: float | None = None
    note: str = ""

    def hours_when(self, later: bool) -> float | None:
        """The hours in the build, or later on."""
        return self.hours if not later or self.hours_later is None else self.hours_later


@dataclass(frozen=True, eq=False)
class Freedom:
    """What may still be chosen of one thing, and between which limits.

    `kind` and its limits `low` and `high`:
    "place": where the middle of a thing, tank, person or store may stand, (x, y) m; y is nan where it keeps its own.
    `z` is the height of its middle there (None: it keeps its own). "raise": by how much marks go up, (1,) m; `name` is
    a mark or a kind of mark, or several joined by " + ". "widen": by how much a solid gets wider in all, (1,) m.
    "resize": the gross volume of a tank, (1,) m³, made longer or shorter about its middle.

    `goes_with` are things that move along, each with the share of the way it goes.
    """

    name: str
    kind: str
    low: np.ndarray
    high: np.ndarray
    z: float | None = None
    work: Work = field(default_factory=Work)
    goes_with: tuple[tuple[str, float], ...] = ()
    row: int = 0  # as a spreadsheet shows it

    def __post_init__(self) -> None:
        for name in ("low", "high"):
            array = np.array(getattr(self, name), dtype=float)
            array.flags.writeable = False
            object.__setattr__(self, name, array)

    @property
    def names(self) -> tuple[str, ...]:
        """The marks or kinds of mark of a raise; else the one thing."""
        return tuple(part.strip() for part in self.name.split(" + ")) if self.kind == RAISE else (self.name,)


@dataclass(frozen=True, eq=False)
class Setting:
    """A freedom used: (x, y) of the new place, or the one figure of the other kinds, SI."""

    freedom: Freedom
    value: np.ndarray

    def __post_init__(self) -> None:
        value = np.atleast_1d(np.array(self.value, dtype=float))
        value.flags.writeable = False
        object.__setattr__(self, "value", value)


def total(works: Iterable[Work], later: bool = False) -> tuple[float, float, int, int]:
    """Hours and cost of many changes, and of how many of them the hours and the cost are not known."""
    works = list(works)
    hours, costs = [w.hours_when(later) for w in works], [w.cost for w in works]
    return (
        float(sum(h for h in hours if h is not None)),
        float(sum(c for c in costs if c is not None)),
        hours.count(None),
        costs.count(None),
    )
