"""When a thing is there: which packages bring it and which take it off.

Marks, tanks, solids and spaces name the packages that bring or take them. A thing is there when every package that
brings it is on and none that takes it is. One name may stand for several places (a scupper before and after it was
raised) as long as no plan holds two of them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar


@dataclass(frozen=True)
class Presence:
    """The packages that must all be on (`brought_by`) and those of which none may be on (`taken_by`)."""

    brought_by: frozenset[str] = frozenset()
    taken_by: frozenset[str] = frozenset()

    def holds(self, on: Collection[str]) -> bool:
        """Is the thing there while the packages `on` are on?"""
        return all(p in on for p in self.brought_by) and not any(p in on for p in self.taken_by)

    @property
    def possible(self) -> bool:
        """False where a package that brings the thing also takes it off."""
        return not self.brought_by & self.taken_by


class Placed(Protocol):
    """Anything with a name and a Presence."""

    @property
    def name(self) -> str: ...
    @property
    def presence(self) -> Presence: ...


T = TypeVar("T", bound=Placed)


def present(things: Iterable[T], on: Collection[str]) -> dict[str, T]:
    """By name, those of `things` that are there while the packages `on` are on."""
    return {thing.name: thing for thing in things if thing.presence.holds(on)}


def can_meet(a: Presence, b: Presence, exclusive: Sequence[Collection[str]] = ()) -> frozenset[str] | None:
    """Packages that, switched on alone, bring both at once; None where no allowed choice does.

    `exclusive` are groups of packages of which at most one may be on.
    """
    on = a.brought_by | b.brought_by
    if any(len(on & frozenset(group)) > 1 for group in exclusive):
        return None
    return on if a.holds(on) and b.holds(on) else None
