"""Lines that tube follows: straight pieces joined by bends; length, centre and shadow.

A tube is taken as thin along its middle line, so a bend's centre is that of its arc: r sin(a) / a from the middle of
the circle for a half angle a (centroid tables of any handbook). Lengths in m.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from hullcalc.errors import InputError, as_number, require

CHORDS = 90  # into which a bend is cut for its shadow: 90 chords of a quarter circle are 1.3e-5 short


@dataclass(frozen=True, eq=False)
class Path:
    """A line with rounded corners: straight pieces (k, 2, 3) and bends as (centre, start arm, end arm, angle)."""

    straight: np.ndarray
    bends: tuple[tuple[np.ndarray, np.ndarray, np.ndarray, float], ...]

    @property
    def length(self) -> float:
        """Developed length [m]."""
        pieces = np.linalg.norm(self.straight[:, 1] - self.straight[:, 0], axis=1).sum()
        return float(pieces + sum(float(np.linalg.norm(start)) * angle for _, start, _, angle in self.bends))

    @property
    def bent_length(self) -> float:
        """Length of the bends alone [m]."""
        return float(sum(float(np.linalg.norm(start)) * angle for _, start, _, angle in self.bends))

    @property
    def centre(self) -> np.ndarray:
        """Centre of the line, (3,) m."""
        lengths = np.linalg.norm(self.straight[:, 1] - self.straight[:, 0], axis=1)
        moment = lengths @ self.straight.mean(axis=1)
        for centre, start, end, angle in self.bends:
            radius, half = float(np.linalg.norm(start)), angle / 2
            middle = start + end
            reach = radius * np.sin(half) / half
            moment = moment + radius * angle * (centre + reach * middle / np.linalg.norm(middle))
        return moment / self.length

    def pieces(self) -> np.ndarray:
        """The line as short straight pieces, (n, 2, 3) m, for its shadow."""
        found = [self.straight]
        for centre, start, end, angle in self.bends:
            turn = np.linspace(0, angle, CHORDS + 1)[:, None]
            arms = (start * np.sin(angle - turn) + end * np.sin(turn)) / np.sin(angle)
            points = centre + arms
            found.append(np.stack([points[:-1], points[1:]], axis=1))
        return np.concatenate(found)


def tube_path(points: ArrayLike, radius: float = 0.0) -> Path:
    """A line through corners, each inner one rounded to a radius.

    Parameters
    ----------
    points : array_like, shape (n, 3)
        Corners [m], two or more, as if the straights were drawn on until they meet.
    radius : float
        Of the middle line in every bend [m]; 0 leaves the corners sharp.

    Raises
    ------
    InputError
        For fewer than two points, two alike in a row, a line that turns back on itself, or bends that do not fit
        between the corners.
    """
    corners = np.asarray(points, dtype=float)
    if corners.ndim != 2 or corners.shape[1] != 3 or len(corners) < 2:
        raise InputError(f"a tube needs two or more points (x, y, z) in metres, not an array of shape {corners.shape}")
    require(np.isfinite(corners), "points of the tube", corners, "m", "must be finite numbers", "give x, y and z")
    radius = as_number(radius, "bend radius", "m")
    require(radius >= 0, "bend radius", radius, "m", "must not be negative", "give the radius of the middle line")
    runs = np.diff(corners, axis=0)
    lengths = np.linalg.norm(runs, axis=1)
    require(lengths > 0, "length between points of the tube", lengths, "m", "must be positive", "take one point out")
    along = runs / lengths[:, None]
    starts, ends, bends = corners[:-1].copy(), corners[1:].copy(), []
    for k in range(len(along) - 1):
        one, other = along[k], along[k + 1]
        angle = float(np.arctan2(np.linalg.norm(np.cross(one, other)), one @ other))
        if angle < 1e-9 or radius == 0:
            continue
        if np.pi - angle < 1e-6:
            raise InputError(f"point {k + 2} of the tube: it turns back on itself; give the two corners of the return")
        reach = radius * np.tan(angle / 2)
        ends[k], starts[k + 1] = corners[k + 1] - reach * one, corners[k + 1] + reach * other
        inward = (other - one) / np.linalg.norm(other - one)
        centre = corners[k + 1] + inward * radius / np.cos(angle / 2)
        bends.append((centre, ends[k] - centre, starts[k + 1] - centre, angle))
    left = np.sum((ends - starts) * along, axis=1)
    for k in map(int, np.flatnonzero(left < -1e-9)):
        raise InputError(
            f"points {k + 1} and {k + 2} of the tube lie {lengths[k]:.3f} m apart, too near for bends of radius "
            f"{radius:.3f} m; move them apart, or give a smaller bend radius"
        )
    return Path(np.stack([starts, ends], axis=1), tuple(bends))
