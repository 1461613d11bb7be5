"""How many sail in her, where they sit and stand, and which stores they carry: what load conditions are made from.

Boat frame, SI. A place is the seat or the spot of the sole; a person's own centre stands above it by the posture.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

# Height of a person's centre above what carries it [m]: common practice, no source. (46 CFR 178.330 (a)(4)(iii),
# edition of 2004, asks for at least 0.76 m above the deck for people in its simplified test.)
POSTURES = {"standing": 0.95, "seated": 0.30}
# helm, crew and child: places assigned to people under way; crowd: where one may stand as well, at the sides and aft
USES = ("helm", "crew", "child", "crowd")
ASSIGNED = ("helm", "crew", "child")


@dataclass(frozen=True, eq=False)
class Place:
    """A seat or a spot of the sole that carries one person."""

    name: str
    point: np.ndarray  # (3,) m: of the seat or the sole
    posture: str
    use: str
    note: str = ""

    def __post_init__(self) -> None:
        point = np.array(self.point, dtype=float).reshape(3)
        point.flags.writeable = False
        object.__setattr__(self, "point", point)

    @property
    def centre(self) -> np.ndarray:
        """Of a person there [m], shape (3,)."""
        return self.point + np.array([0.0, 0.0, POSTURES[self.posture]])


@dataclass(frozen=True, eq=False)
class Crew:
    """What boat.toml says of those who sail in her; None where it does not.

    `effects` is what each brings along [kg]; `side_to_side` the largest distance across that is open to people [m];
    `departing` and `arriving` name the stores of people.csv aboard then.
    """

    number: int | None = None
    effects: float = 0.0
    side_to_side: float | None = None
    departing: tuple[str, ...] = ()
    arriving: tuple[str, ...] = ()
    places: tuple[Place, ...] = field(default_factory=tuple)  # in the order of seats.csv

    def places_for(self, *uses: str) -> list[Place]:
        """The places of these uses: use by use as named here, each in the order of the file."""
        return [place for use in uses for place in self.places if place.use == use]
