"""Load conditions: who and what is aboard, how full the tanks are, which spaces are held open to the sea."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, eq=False)
class Condition:
    """One way of loading the boat, said without regard to a plan: it sets the tanks that a plan has.

    `fills` maps a tank's name or a use ("fuel") to the fraction of gross volume; a name goes before a use, and a tank
    of which nothing is said is empty. `at_lip` names tanks or uses whose liquid stands at the lip of their standpipe.
    `open` names spaces, solids and tanks held open to the sea from the start.
    """

    name: str
    fills: Mapping[str, float] = field(default_factory=dict)
    aboard: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    at_lip: tuple[str, ...] = ()
    note: str = ""

    def fill_of(self, tank: str, use: str) -> float | None:
        """Fraction of gross volume in a tank; None where the condition says nothing of it."""
        return self.fills.get(tank, self.fills.get(use))

    def stands_at_lip(self, tank: str, use: str) -> bool:
        """Is the liquid of this tank level with the lip of its standpipe?"""
        return tank in self.at_lip or use in self.at_lip

    def sets(self, tank: str, use: str) -> bool:
        """Does the condition say how full this tank is?"""
        return self.stands_at_lip(tank, use) or self.fill_of(tank, use) is not None
