"""A hull from stations: half-breadths and heights of the knuckle lines, read by tape or from a printed table.

Boat axes (x forward, y to port, z up), m; the origin is the lower end of the transom on the centreline. Knuckles are
joined by straight lines in each section. Along the boat each line is joined straight (a printed table of offsets *is*
its hull) or by a monotone cubic that neither overshoots nor rounds a kink away (few stations, read by tape). The two
differ where stations are sparse, so the volume both ways is kept as a measure of how well the shape is known.

References
----------
F. N. Fritsch and R. E. Carlson, Monotone piecewise cubic interpolation, SIAM J. Numer. Anal. 17 (1980), 238-246.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hullcalc.errors import InputError, Problem, Problems, as_number, require
from hullcalc.geometry.makers import loft as lofted
from hullcalc.geometry.solid import Solid

Floats = NDArray[np.float64]
Loft = Literal["straight", "smooth"]

LOFTS: tuple[Loft, Loft] = ("straight", "smooth")
STATION_SLIP = 0.02  # m: the first station this near to x = 0 is the transom
KEEL_SLIP = 0.02  # m: the keel this near to z = 0 there starts at the origin (it may have been measured, too)
LEAN = 1 / 3  # the sheer may lie inside the chine by this share of the height between them (tumblehome); no source
LONGEST = 200.0  # m: more is a slip of the unit in any boat of this kind
ROUNDING = 1e-9  # m
FLAT_DROP = 1.0  # a chine flat may drop outward by this share of its width (45 degrees); no source


@dataclass(frozen=True, eq=False)
class StationTable:
    """Half-breadths and heights of the knuckle lines at stations, checked when built.

    Parameters
    ----------
    x : array_like, shape (n,)
        Stations [m], from the transom (x = 0) forward, two or more.
    lines : mapping of name to array_like, shape (n, 2)
        For each line, in order from keel to sheer, half-breadth and height [m] at each station. The first is the keel
        on the centreline, the last the sheer, where the deck is closed.
    file : str
        Where the table comes from, for messages.
    rows : sequence of int, shape (n,), optional
        Row of each station as a spreadsheet shows it, for messages.

    Raises
    ------
    InputError
        With every problem of the table in `problems`: values missing, stations out of order, first station not at the
        transom, negative half-breadths, lines that cross or fall from keel to sheer (a chine flat may drop a little).
    """

    x: Floats
    lines: dict[str, Floats]
    file: str = "stations"
    rows: tuple[int, ...] | None = None

    def __post_init__(self) -> None:
        x = _own(self.x, "x")
        lines = {name: _own(line, name) for name, line in self.lines.items()}
        if x.ndim != 1 or len(x) < 2:
            raise InputError(
                f"{self.file}: {x.size} station(s); a hull takes two or more, from the transom to the stem"
            )
        if len(lines) < 2:
            raise InputError(f"{self.file}: line(s) {', '.join(lines) or 'none'}; a hull takes at least keel and sheer")
        for name, line in lines.items():
            if line.shape != (len(x), 2):
                raise InputError(
                    f"{self.file}: {name} has shape {line.shape}, expected {(len(x), 2)}: "
                    "half-breadth and height at each station"
                )
        if self.rows is not None and len(self.rows) != len(x):
            raise InputError(f"{self.file}: {len(self.rows)} row numbers for {len(x)} stations")
        object.__setattr__(self, "x", x)
        object.__setattr__(self, "lines", lines)
        object.__setattr__(self, "rows", None if self.rows is None else tuple(int(row) for row in self.rows))
        _Checker(self).check()

    def at(self, x: ArrayLike, loft: Loft) -> Floats:
        """Points of all lines [m] at the given x, shape (len(x), lines, 3); InputError for an x beyond the stations."""
        x = np.atleast_1d(np.asarray(x, dtype=float))
        within = (x >= self.x[0]) & (x <= self.x[-1])
        require(within, "x", x, "m", f"lies beyond the stations, {self.x[0]:g} to {self.x[-1]:g} m", "ask within them")
        table = np.stack(list(self.lines.values()), axis=1)  # (n, lines, 2)
        if loft == "straight":
            flat = table.reshape(len(self.x), -1)
            offsets = np.stack([np.interp(x, self.x, column) for column in flat.T], axis=1)
        else:
            from scipy.interpolate import PchipInterpolator  # here, as importing it takes a while

            offsets = PchipInterpolator(self.x, table, axis=0)(x)
            offsets[..., 0] = np.maximum(offsets[..., 0], 0.0)  # monotone, so negative by rounding only
        offsets = offsets.reshape(len(x), -1, 2)
        return np.concatenate([np.broadcast_to(x[:, None, None], (*offsets.shape[:2], 1)), offsets], axis=2)


@dataclass(frozen=True, eq=False)
class Hull:
    """A lofted hull: the body, its lines for drawing, and how much the way of joining stations matters."""

    solid: Solid
    lines: dict[str, Floats]  # name: (k, 3) m, port side, from the raked transom to the stem
    loft: Loft
    transom_rake: float  # [rad], top aft
    table: StationTable
    slices_per_bay: int
    gap_level: float  # [m]: `volumes` are those under z = gap_level, boat level

    @property
    def other_loft(self) -> Loft:
        """The way of joining stations that was not used."""
        return LOFTS[1 - LOFTS.index(self.loft)]

    @cached_property
    def volumes(self) -> dict[str, float]:
        """Volume [m3] under `gap_level` with either loft, "straight" and "smooth"."""
        other = lofted(_sections(self.table, self.transom_rake, self.other_loft, self.slices_per_bay))
        solids = {self.loft: self.solid, self.other_loft: other}
        return {way: solids[way].cut((0.0, 0.0, 1.0), self.gap_level).volume for way in LOFTS}

    @property
    def shape_gap(self) -> float:
        """Volume of the other loft less that of this one, as a share of this one, under `gap_level`.

        No error bar: what the hull does between stations nobody measured. Where it is large, take more stations.
        """
        return self.volumes[self.other_loft] / self.volumes[self.loft] - 1

    @property
    def profile(self) -> Floats:
        """Outline in the centre plane for a side view: keel from transom to stem, sheer back; (k, 3) m, y = 0."""
        first, *_, last = self.lines.values()
        return np.concatenate([first, last[::-1], first[:1]]) * [1.0, 0.0, 1.0]


def hull_from_stations(
    table: StationTable,
    transom_rake: float,
    loft: Loft = "straight",
    slices_per_bay: int = 16,
    gap_level: float | None = None,
) -> Hull:
    """Loft a hull through the stations, port mirrored to starboard to the bit.

    The section of the first station is continued aft unchanged and cut by the plane through the origin that leans aft
    by `transom_rake`. Deck and stem end are closed flat. Patches are split as `geometry.makers.loft` says.

    Parameters
    ----------
    table : StationTable
        Stations and lines.
    transom_rake : float
        Rake of the transom, top aft [rad], 0 to under pi/3.
    loft : "straight" or "smooth"
        How each line is joined from station to station: straight, or by a monotone cubic.
    slices_per_bay : int
        Slices between neighbouring stations; twisted patches come out the better the more there are (error as 1/n).
    gap_level : float, optional
        Height [m] under which the two lofts are compared. Unless said, the lowest point of the line next below the
        sheer (the outer chine), which is under water in any ordinary load; of a flat bottom, or where there is no such
        line, half the lowest height of the sheer.

    Returns
    -------
    Hull

    Raises
    ------
    InputError
        For a rake out of range, another loft, less than one slice, a level under the keel, or a first station that
        the raked transom cuts off.
    GeometryError
        If the lofted surface crosses itself.
    """
    transom_rake = as_number(transom_rake, "transom_rake", "rad")
    require(
        0 <= transom_rake < np.pi / 3, "transom_rake", transom_rake, "rad", "is not from 0 to 60 degrees, top aft",
        "given in degrees? use np.radians",
    )  # fmt: skip
    if loft not in LOFTS:
        raise InputError(f'loft = {loft!r} is neither "straight" nor "smooth"')
    slices = as_number(slices_per_bay, "slices_per_bay", "")
    whole = slices >= 1 and slices == int(slices)
    require(whole, "slices_per_bay", slices, "", "must be a whole number, 1 or more", "16 is common")
    sections = _sections(table, transom_rake, loft, int(slices))
    lowest = sections[..., 2].min()
    if gap_level is None:
        *_, chine, sheer = (line[:, 1].min() for line in table.lines.values())
        gap_level = chine if chine > lowest else (lowest + sheer) / 2
    require(
        gap_level > lowest, "gap_level", gap_level, "m", f"does not lie above the keel ({lowest:g} m)",
        "give the height of the chine",
    )  # fmt: skip
    lines = {name: _fixed(sections[:, k]) for k, name in enumerate(table.lines)}
    return Hull(lofted(sections), lines, loft, transom_rake, table, int(slices), float(gap_level))


def _sections(table: StationTable, rake: float, loft: Loft, slices: int) -> Floats:
    """Half sections from the raked transom to the stem, (slices, lines, 3) m."""
    bays = [np.linspace(a, b, slices, endpoint=False) for a, b in pairwise(table.x)]
    x = np.concatenate([*bays, table.x[-1:]])
    sections = table.at(x, loft)
    transom = sections[0].copy()
    transom[:, 0] = 0.0 - transom[:, 2] * np.tan(rake)
    ahead = np.flatnonzero(transom[:, 0] > sections[0, :, 0])
    if len(ahead):
        raise InputError(
            f"{table.file}: at the first station the {list(table.lines)[ahead[0]]} lies at {transom[ahead[0], 2]:g} m, "
            "under the lower end of the transom, so that the raked transom would cut into the boat; measure it again, "
            "or count heights from the lowest point of the transom"
        )
    if (transom[:, 0] == sections[0, :, 0]).all():
        return sections
    return np.concatenate([transom[None], sections])


def _fixed(array: Floats) -> Floats:
    array = array.copy()
    array.flags.writeable = False
    return array


def _own(values: ArrayLike, name: str) -> Floats:
    try:
        return _fixed(np.array(values, dtype=float))
    except (TypeError, ValueError) as error:
        raise InputError(f"{name} holds something that is no number ({error}); give metres") from error


class _Checker:
    """Gathers all that is wrong with a table. What is no length breaks that rule alone, being nan to the others."""

    def __init__(self, table: StationTable) -> None:
        self.table, self.problems = table, Problems()
        self.x = _lengths(table.x)
        self.lines = {name: _lengths(line) for name, line in table.lines.items()}

    def check(self) -> None:
        keel, *_, sheer = self.lines
        self.stations()
        for name, line in self.table.lines.items():
            self.one_line(name, line)
        self.keel_line(keel)
        for inner, outer in pairwise(self.lines):
            self.neighbours(inner, outer, first=inner == keel, last=outer == sheer)
        for i in np.flatnonzero(self.lines[sheer][:-1, 1] == self.lines[keel][:-1, 1]):  # at the stem they may meet
            rule = f"the {sheer} lies above the {keel}"
            self.report(i, f"{sheer} height", self.lines[sheer][i, 1], rule, "measure it again")
        self.problems.raise_if_any()

    def stations(self) -> None:
        for i in np.flatnonzero(np.isnan(self.x)):
            rule = f"a station has a place in metres, {LONGEST:g} at most"
            self.report(i, "x", self.table.x[i], rule, "measure it from the transom forward; is it in millimetres?")
        for i in np.flatnonzero(np.diff(self.x) <= 0) + 1:
            rule = f"stations go forward, but the one before stands at {self.x[i - 1]:g} m"
            self.report(i, "x", self.x[i], rule, "put the rows in order, and give each station once")
        if self.x[0] < 0 or self.x[0] > STATION_SLIP:
            rule = "the first station is the transom, x = 0 at its lower end"
            self.report(0, "x", self.x[0], rule, "add the section there, or count x from there")

    def one_line(self, name: str, typed: Floats) -> None:
        line = self.lines[name]
        for k, what in enumerate(("half-breadth", "height")):
            for i in np.flatnonzero(np.isnan(line[:, k])):
                rule = f"every line has a length in metres at every station, {LONGEST:g} at most"
                mend = "measure it, or leave the station out; is it in millimetres?"
                self.report(i, f"{name} {what}", typed[i, k], rule, mend)
        for i in np.flatnonzero(line[:, 0] < 0):
            rule = "half-breadths count from the centreline outward, 0 or more"
            self.report(i, f"{name} half-breadth", line[i, 0], rule, "drop the minus sign")

    def keel_line(self, keel: str) -> None:
        line = self.lines[keel]
        for i in np.flatnonzero(line[:, 0] > 0):
            self.report(i, f"{keel} half-breadth", line[i, 0], "the keel lies on the centreline", "write 0")
        start = line[0, 1]
        if start < 0 or start > KEEL_SLIP:
            rule = "heights count from the lower end of the transom, 0 there"
            self.report(0, f"{keel} height", start, rule, f"take {start:g} m off all heights")

    def neighbours(self, inner: str, outer: str, first: bool, last: bool) -> None:
        """The rules between a line and the next one outward or upward; outside the keel lies what is not negative."""
        flat = not first and not last
        (y0, z0), (y1, z1) = self.lines[inner].T, self.lines[outer].T
        drop, widening = z0 - z1, y1 - y0
        allowed = np.where(widening < 0, np.inf, FLAT_DROP * widening) if flat else 0.0  # crossed lines: said below
        for i in np.flatnonzero(drop > allowed + ROUNDING):
            rule = f"the {outer} lies no lower than the {inner} ({z0[i]:g} m)"
            rule += ", or drops by less than it goes outward" if flat else ""
            self.report(i, f"{outer} height", z1[i], rule, "measure both again; are two lines swapped?")
        narrowing = LEAN * np.maximum(-drop, 0) if last else 0.0
        for i in np.flatnonzero((-widening > narrowing + ROUNDING) & (y1 >= 0) & (not first)):
            rule = f"the {outer} lies outside the {inner} ({y0[i]:g} m)"
            rule += ", or leans inward by a third of the height between them at most" if last else ""
            self.report(i, f"{outer} half-breadth", y1[i], rule, "measure both again; are two lines swapped?")

    def report(self, station: int | np.integer, column: str, read: float, expected: str, mend: str) -> None:
        rows = self.table.rows
        where = column if rows is not None else f"station {station + 1} (x = {self.table.x[station]:g} m) {column}"
        row = None if rows is None else rows[int(station)]
        self.problems.append(Problem(self.table.file, row, where, f"{read:g}", expected, mend))


def _lengths(values: Floats) -> Floats:
    return np.where(np.abs(values) <= LONGEST, values, np.nan)
