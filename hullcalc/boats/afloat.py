"""Floating a boat whose openings may go under: round by round, until no further space opens.

First she floats with every space shut but those held open. Openings that are then under let the sea into their space:
she floats again with it open, and so on, each space opened once. Water that has come in is lost buoyancy: the part of
the space below the outside level no longer floats her. What stays tight inside (tanks, seat boxes) does. Trapped air
is not counted. If she rises with a space open until its openings are dry again, she rests between the two positions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import combinations

from hullcalc.boats.limits import say_limits, say_list
from hullcalc.boats.rounds import Loading, Round
from hullcalc.boats.spaces import common_part
from hullcalc.errors import NoEquilibriumError
from hullcalc.floating.equilibrium import float_at_rest
from hullcalc.floating.state import FloatState
from hullcalc.geometry.solid import Solid
from hullcalc.units import say_height


@dataclass(frozen=True, eq=False, kw_only=True)
class BoatState(FloatState):
    """The last round's FloatState, with all the rounds and what they mean at the marks."""

    rounds: tuple[Round, ...]
    loading: Loading
    shut: bool

    @property
    def marks(self) -> dict[str, float]:
        """Height of each mark above the water [m], negative when under."""
        return dict(self.rounds[-1].heights)

    @property
    def openings_under(self) -> tuple[str, ...]:
        """The openings, of a space or of none, that are under water in the end."""
        return self.rounds[-1].under

    @property
    def rests_between(self) -> tuple[str, ...]:
        """Spaces that went under while shut and whose openings are dry now they are open: she rests between rounds."""
        return tuple(
            name
            for name in self.rounds[-1].opened
            if name not in self.loading.held_open
            and not any(opening in self.openings_under for opening in self.loading.spaces[name].openings)
        )

    @property
    def limits(self) -> tuple[str, ...]:
        """Sentences: what the result is not valid beyond, and whom to ask; figures in metric units."""
        return self.limits_in("metric")

    def limits_in(self, system: str) -> tuple[str, ...]:
        """As `limits`, with figures in "metric" or "us" units."""
        return say_limits(self.loading, self.rounds, self.rests_between, self.shut, system)


def float_loading(loading: Loading, shut: bool = False) -> BoatState:
    """Float her, round by round; with `shut` only the first.

    Raises NoEquilibriumError where she sinks; from the second round on the message says what let the sea in.
    """
    opened = loading.held_open
    rounds: list[Round] = []
    while True:
        state = _float(loading, opened, rounds)
        heights = loading.heights(state)
        under = tuple(name for name in loading.openings if heights[name] < 0)
        rounds.append(Round(state, opened, heights, under))
        opening = [n for n, s in loading.spaces.items() if n not in opened and any(o in under for o in s.openings)]
        if shut or not opening:
            break
        opened = (*opened, *opening)
    of_state = {f.name: getattr(state, f.name) for f in fields(FloatState)}
    return BoatState(**of_state, rounds=tuple(rounds), loading=loading, shut=shut)


def bodies_open(loading: Loading, opened: tuple[str, ...]) -> tuple[list[Solid], list[Solid]]:
    """What floats her with the spaces `opened` open to the sea, and what is taken off below the sea.

    What stays tight inside an open space is among the bodies that float her.
    """
    within_open = {name for name, (space, _) in loading.tight_inside.items() if space in opened}
    flooded = [loading.spaces[name].solid for name in opened if name not in within_open]
    tight = [loading.tight_inside[name][1] for name in sorted(within_open) if name not in opened]
    # The part of a tank inside an open space: tight, it floats her; open itself, it would be taken off twice.
    tight += [
        part for space in flooded for tank in loading.tight_tanks
        if tank is not space and (part := common_part(space, tank)) is not None
    ]  # fmt: skip
    # A tank inside a tight box floats her once: what two tight bodies share is taken off again.
    flooded += [part for a, b in combinations(tight, 2) if (part := common_part(a, b)) is not None]
    return [*loading.solids.values(), *tight], flooded


def _float(loading: Loading, opened: tuple[str, ...], before: Sequence[Round]) -> FloatState:
    """Float her with the spaces `opened` open to the sea."""
    bodies, flooded = bodies_open(loading, opened)
    try:
        return float_at_rest(bodies, loading.mass, loading.cg, loading.density, loading.tanks, flooded)
    except NoEquilibriumError as sinks:
        if not before:
            raise
        last = before[-1]
        where = say_list([f"{name} is {say_height(last.heights[name])}" for name in last.under])
        raise NoEquilibriumError(
            f"with {say_list(opened)} open to the sea {sinks}. (Kept shut she floats, but {where})", sinks.short_by_kg
        ) from None
