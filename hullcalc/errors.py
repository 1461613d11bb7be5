"""What goes wrong, said once and well: the errors of hullcalc and the collector that gathers a file's problems.

Every message says what is wrong, where, what was expected and how to mend it. Readers of files never stop at the first
problem: they append to a `Problems` and raise once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

MEND, LOOK = "mend", "look"


@dataclass(frozen=True)
class Problem:
    """One thing a person should see in a file: where it stands, what was read, what was expected, how to mend it.

    `level` is "mend" (the boat cannot be floated until it is mended) or "look" (used as said, worth a look).
    `row` is the row as a spreadsheet shows it, the head being row 1; None where no single row is meant.
    `weight` orders the worst first among problems of one level.
    """

    file: str
    row: int | None
    column: str | None
    read: str
    expected: str
    mend: str
    level: str = MEND
    weight: float = 0.0

    @property
    def where(self) -> str:
        parts = [self.file]
        if self.row is not None:
            parts.append(f"row {self.row}")
        if self.column:
            parts.append(self.column)
        return " ".join(parts)

    def __str__(self) -> str:
        # "2680 kg is ...", "removing -214 kg would ..." say it already
        begins_with_it = self.expected.startswith(self.read) or self.read in self.expected.split()[:3]
        read = f"read {self.read!r}, " if self.read and not begins_with_it else ""
        return f"{self.where}: {read}{self.expected}. {self.mend}"


class Problems(list[Problem]):
    """Gathers problems while a folder is read; `fine` counts what was read without any."""

    def __init__(self) -> None:
        super().__init__()
        self.fine = 0

    @property
    def to_mend(self) -> list[Problem]:
        return sorted((p for p in self if p.level == MEND), key=lambda p: -p.weight)

    @property
    def to_look_at(self) -> list[Problem]:
        return sorted((p for p in self if p.level == LOOK), key=lambda p: -p.weight)

    def summary(self) -> str:
        """The closing line, such as "3 to mend, 2 to look at, 57 fine"."""
        return f"{len(self.to_mend)} to mend, {len(self.to_look_at)} to look at, {self.fine} fine"

    def raise_if_any(self) -> None:
        """Raise one InputError for all that is to mend; what is only to look at never stops a reading."""
        if self.to_mend:
            worst_first = self.to_mend + self.to_look_at
            raise InputError("\n".join([*map(str, worst_first), self.summary()]), worst_first)


class HullcalcError(Exception):
    """The parent of every error that hullcalc raises on purpose."""


class InputError(HullcalcError):
    """An input that cannot be used; `problems` lists each one where a file was read."""

    def __init__(self, message: str, problems: list[Problem] | tuple[Problem, ...] = ()) -> None:
        super().__init__(message)
        self.problems = tuple(problems)


class GeometryError(HullcalcError):
    """A surface that bounds no body; `edges` holds the offending edges, (n, 2, 3) m, where edges are at fault."""

    def __init__(self, message: str, edges: ArrayLike = ()) -> None:
        super().__init__(message)
        self.edges = np.array(edges, dtype=float).reshape(-1, 2, 3)


class NoEquilibriumError(HullcalcError):
    """She sinks: weight with liquids reaches all the buoyancy there is; `short_by_kg` says by how much."""

    def __init__(self, message: str, short_by_kg: float) -> None:
        super().__init__(message)
        self.short_by_kg = short_by_kg


def as_number(value: Any, name: str, unit: str) -> float:
    """One finite figure; raises an InputError that shows what was given."""
    try:
        number = float(value) if np.ndim(value) == 0 else np.nan
    except (TypeError, ValueError):
        number = np.nan
    if not np.isfinite(number):
        raise InputError(f"{name} = {value!r} must be one finite number{f' in {unit}' if unit else ''}")
    return number


def as_array(value: Any, name: str, unit: str) -> np.ndarray:
    """Figures as a float array, finite or not; raises an InputError where they are no figures at all."""
    try:
        return np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise InputError(f"{name} = {value!r} must be numbers{f' in {unit}' if unit else ''}") from None


def as_vector(value: Any, name: str, rule: str = "must be three finite numbers (x, y, z) in metres") -> np.ndarray:
    """Three finite figures as a new array (3,); raises an InputError that shows what was given."""
    try:
        vector = np.array(value, dtype=float)
    except (TypeError, ValueError):
        vector = np.zeros(0)
    if vector.shape != (3,) or not np.all(np.isfinite(vector)):
        raise InputError(f"{name} = {value!r} {rule}")
    return vector


def require(ok: ArrayLike, name: str, value: ArrayLike, unit: str, rule: str, mend: str) -> None:
    """Raise an InputError that shows the first entry of `value` where `ok` is false.

    State the rule so that NaN breaks it: `require(mass > 0, ...)`, not `require(~(mass <= 0), ...)`.
    """
    if np.all(ok):
        return
    at = tuple(int(i) for i in np.argwhere(~np.asarray(ok))[0])
    shown = np.broadcast_to(np.asarray(value), np.shape(ok))[at]
    raise InputError(f"{name}{list(at) if at else ''} = {shown:.9g}{' ' if unit else ''}{unit} {rule}; {mend}")
