"""Where the x of a file is measured from, and which way: one line such as "stem, aft", turned into boat axes.

The boat's own origin is the lower end of the transom on the centreline ("transom keel"), x forward.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass

from hullcalc.units import NotUnderstood

KEEL_AT_TRANSOM = "transom keel"
_DIRECTIONS = {"forward": 1, "fwd": 1, "aft": -1}


@dataclass(frozen=True)
class Datum:
    """x of a file's own origin in the boat [m], and the direction its figures grow: 1 forward, -1 aft."""

    origin_x: float = 0.0
    direction: int = 1
    origin: str = KEEL_AT_TRANSOM

    def to_boat(self, x: float) -> float:
        """Boat x [m] of a figure of the file [m]."""
        return self.origin_x + self.direction * x + 0.0

    def from_boat(self, x: float) -> float:
        """The figure [m] that the file gives for boat x [m]."""
        return self.direction * (x - self.origin_x) + 0.0

    def say(self) -> str:
        """The line as people write it."""
        return f"{self.origin}, {'forward' if self.direction > 0 else 'aft'}"


def parse_datum(text: str, lengths: Mapping[str, float]) -> Datum:
    """The datum of a line "ORIGIN, forward" or "ORIGIN, aft".

    Parameters
    ----------
    text : str
        Such as "transom keel, forward", "stem, aft", "transom top, aft", "helm, forward".
    lengths : mapping
        Boat x [m] of each origin that the boat declares, by name: {"stem": 6.7, "transom top": -0.239, "helm": 2.35}.

    Raises
    ------
    NotUnderstood
        Without a direction, with an origin that is not declared, or with "transom" alone, whose top and keel lie apart
        by the rake.
    """
    known = {KEEL_AT_TRANSOM: 0.0} | {_plain(name): x for name, x in lengths.items()}
    origin, _, way = (_plain(part) for part in text.rpartition(","))
    example = f'Write it as in "{KEEL_AT_TRANSOM}, forward" or "stem, aft"'
    if way not in _DIRECTIONS or not origin:
        raise NotUnderstood("expected where x is measured from, a comma, and forward or aft", example)
    if origin in known:
        return Datum(float(known[origin]), _DIRECTIONS[way], origin)
    if origin == "transom":
        raise NotUnderstood(
            "expected which end of the transom: its top and its keel lie apart by the rake",
            'Write "transom keel" or "transom top"',
        )
    near = difflib.get_close_matches(origin, [*known, "stem", "transom top"], n=1, cutoff=0.7)
    if near and near[0] in known:
        raise NotUnderstood("expected a place this boat declares", f'Did you mean "{near[0]}"?')
    raise NotUnderstood(
        f"expected a place this boat declares: {', '.join(known)}",
        f'Declare how far forward of the transom at the keel it lies, such as "{near[0] if near else origin}_m = 2.35"',
    )


def _plain(text: str) -> str:
    return " ".join(text.replace("_", " ").casefold().split())
