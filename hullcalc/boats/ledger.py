"""The refit ledger: what is removed, added, moved and replaced, in packages that are switched on and off.

Boat frame, SI. A ledger answers for any set of packages what each of its rows changes in mass and moment, and what is
aboard in the end. A row that names a thing brought by another row acts only while that thing is there: a move of the
batteries does nothing while the package that brings them is off.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

import numpy as np

from hullcalc.weights.items import MassItem, combine, move, remove, replace

ACTIONS = ("remove", "add", "move", "replace")


@dataclass(frozen=True, eq=False)
class Thing:
    """A mass at a place. `estimate` is the figure that a weighing took the place of, kept for the record."""

    item: MassItem
    place: np.ndarray  # (3,) m; kept beside the item, as a thing of no mass has no centre
    estimate: MassItem | None = None

    @property
    def name(self) -> str:
        return self.item.name


@dataclass(frozen=True, eq=False)
class LedgerRow:
    """One row of the ledger.

    `item` names the thing; `new` is what an "add" or a "replace" brings; `to` is where a "move" ends, an entry of None
    keeping the old one, with `u_to` the standard uncertainty of that place (None: by the item's basis).
    """

    number: int  # as a spreadsheet shows it, the head being row 1
    package: str
    action: str
    item: str
    new: Thing | None = None
    to: tuple[float | None, ...] = (None, None, None)  # m
    u_to: np.ndarray | None = None  # (3,) m
    note: str = ""
    record: str = ""  # when, by whom and why a weighing took an estimate's place


@dataclass(frozen=True, eq=False)
class Change:
    """What one row changes: `item` in mass and moment; `went` and `came` are the things it took and brought."""

    row: LedgerRow
    item: MassItem
    went: Thing | None = None
    came: Thing | None = None


@dataclass(frozen=True)
class Tally:
    """Sums over the rows that act [kg]: a move counts in none of them."""

    removed: float
    added: float
    surprise: float  # weighed less estimated, of what was weighed: how much heavier the refit grew by it

    @property
    def net(self) -> float:
        return self.added - self.removed

    @property
    def absolute(self) -> float:
        return self.added + self.removed


@dataclass(frozen=True, eq=False)
class Ledger:
    """All rows in the order of the file; `found` are the things of the boat as found that rows refer to, by name."""

    rows: tuple[LedgerRow, ...]
    found: Mapping[str, Thing] = field(default_factory=dict)
    # Changes made already, by row and the thing it acted on: sweeps over sets of packages meet the same ones again.
    _made: dict[tuple[int, int], Change] = field(default_factory=dict, init=False, repr=False)

    @property
    def packages(self) -> tuple[str, ...]:
        """Names of the packages in the order of the file."""
        return tuple(dict.fromkeys(row.package for row in self.rows))

    def apply(self, on: Collection[str]) -> tuple[tuple[Change, ...], dict[str, Thing]]:
        """What the rows of the packages `on` change, in the order of the file, and the things aboard afterwards.

        The things aboard are those of `found` and of "add" and "replace" rows that are still there.
        """
        rows = [row for row in self.rows if row.package in on]
        aboard = dict(self.found) | {row.item: _brought(row) for row in rows if row.action == "add"}
        changes = [change for row in rows if (change := self._act(row, aboard)) is not None]
        return tuple(changes), aboard

    def _act(self, row: LedgerRow, aboard: dict[str, Thing]) -> Change | None:
        """Carry out one row on the things aboard; None where its thing is not there."""
        old = None if row.action == "add" else aboard.pop(row.item, None)
        if old is None and row.action != "add":
            return None
        key = (id(row), id(old))  # the Change made keeps both alive, so their ids stay theirs
        if key not in self._made:
            self._made[key] = _change(row, old)
        change = self._made[key]
        if change.came is not None and row.action != "add":  # what is added is aboard from the start
            aboard[change.came.name] = change.came
        return change

    def tally(self, on: Collection[str]) -> Tally:
        """Removed, added and surprise of the packages `on`."""
        changes, _ = self.apply(on)
        went = [c.went for c in changes if c.went is not None and c.row.action != "move"]
        came = [c.came for c in changes if c.came is not None and c.row.action != "move"]
        return Tally(
            sum(float(thing.item.mass) for thing in went),
            sum(float(thing.item.mass) for thing in came),
            sum(_surprise(thing) for thing in came) - sum(_surprise(thing) for thing in went),
        )


def _change(row: LedgerRow, old: Thing | None) -> Change:
    """What a row does with the thing it acts on; None for a row that adds one."""
    if old is None:
        return Change(row, _brought(row).item, came=row.new)
    if row.action == "remove":
        return Change(row, remove(old.item), went=old)
    if row.action == "replace":
        return Change(row, replace(old.item, _brought(row).item), went=old, came=row.new)
    place = np.array([was if to is None else to for was, to in zip(old.place, row.to, strict=True)])
    change = move(old.item, place, row.u_to)
    moved = Thing(combine([old.item, change], old.name, old.item.basis), place, old.estimate)
    return Change(row, change, went=old, came=moved)


def _brought(row: LedgerRow) -> Thing:
    if row.new is None:
        raise ValueError(f"ledger row {row.number}: {row.action} {row.item} brings nothing")  # the reader sees to it
    return row.new


def _surprise(thing: Thing) -> float:
    return 0.0 if thing.estimate is None else float(thing.item.mass - thing.estimate.mass)
