"""State: what the reader of a refit panel chose, and only that. No widget, no figure, no sum.

A choice of packages always respects the exclusive groups of the boat when it is made by `switch`: putting one on takes
the others of its group off.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import traitlets as tl

from hullcalc.boats.boat import Boat
from hullcalc.errors import InputError

FULL = 95  # percent of the gross volume: what is called a full tank
SYSTEMS = ("metric", "us")


@dataclass(frozen=True)
class Crew:
    """Who is aboard, by the boat's names of people and stores.

    `helm` are the people at the helm in the order they come; `stern[k]` are those who stand there when k people are at
    the stern, as they stand otherwise when they are many; `stores` come with the first person.
    """

    helm: tuple[str, ...]
    stern: tuple[tuple[str, ...], ...]
    stores: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for count, people in enumerate(self.stern):
            if len(people) != count:
                raise InputError(
                    f"crew: entry {count} of the stern names {len(people)} people ({', '.join(people)}); "
                    f"name {count}, starting with none"
                )

    def aboard(self, at_helm: int, at_stern: int) -> tuple[str, ...]:
        """Names of all who are aboard, and of the stores; nothing where nobody is."""
        if not (0 <= at_helm <= len(self.helm) and 0 <= at_stern < len(self.stern)):
            raise InputError(
                f"{at_helm} at the helm and {at_stern} at the stern; there are places for {len(self.helm)} and "
                f"{len(self.stern) - 1}: choose fewer"
            )
        people = (*self.helm[:at_helm], *self.stern[at_stern])
        return (*people, *self.stores) if people else ()


class Choice(tl.HasTraits):
    """What the reader chose: packages and load; it starts at the boat as found, her tanks full, two and two aboard."""

    packages = tl.Instance(frozenset, ())
    fuel = tl.Int(FULL, min=0, max=FULL)  # percent of the gross volume
    livewell = tl.Int(FULL, min=0, max=FULL)  # percent of the gross volume
    at_helm = tl.Int(2, min=0)
    at_stern = tl.Int(2, min=0)
    system = tl.Enum(SYSTEMS, default_value="metric")

    def __init__(self, exclusive: Iterable[Iterable[str]] = (), **chosen: object) -> None:
        self.exclusive = tuple(tuple(group) for group in exclusive)
        super().__init__(**chosen)

    @classmethod
    def of(cls, boat: Boat, plan: str | Iterable[str] = "as found", **chosen: object) -> Choice:
        """A choice for a boat: the packages of a plan, and what else is given."""
        return cls(boat.exclusive, packages=boat.packages_on(plan), **chosen)

    def switch(self, package: str, on: bool) -> None:
        """Put a package on or take it off; what excludes it goes off."""
        if on:
            rivals = {other for group in self.exclusive if package in group for other in group}
            self.packages = (self.packages - rivals) | {package}
        else:
            self.packages = self.packages - {package}
