"""A number opened to its sum: lines of a written reckoning that a reader can follow with a calculator.

Figures are SI. The `kind` of a figure says what it is and so how it is shown: "mass", "length", "small" (a length
shown in millimetres), "moment" (kg m), "angle" (rad), "area", "volume", "fourth" (m⁴), "density", "per length" (kg/m),
"trim moment" (kg m/m), "number". A line's `how` is plain arithmetic with {0}, {1}, ... for the figures in `of`: ×, /,
+, −, ², ³, brackets, and tan, atan, sin and cos of an angle. A line without `how` is taken from elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

KINDS = (
    "mass", "length", "small", "moment", "angle", "area", "volume", "fourth", "density", "per length",
    "trim moment", "number",
)  # fmt: skip


class Figure(NamedTuple):
    """A value in SI and what it is of."""

    value: float
    kind: str


@dataclass(frozen=True)
class Line:
    """One line of a sum: what it is, its figure, and the arithmetic that gives it."""

    what: str
    figure: Figure
    how: str = ""
    of: tuple[Figure, ...] = ()


@dataclass(frozen=True)
class Sum:
    """Lines that lead to a figure, under one title, and what to read in them."""

    title: str
    lines: tuple[Line, ...]
    reading: str = ""

    def __getitem__(self, what: str) -> float:
        """The figure of a line by its name."""
        for line in self.lines:
            if line.what == what:
                return line.figure.value
        raise KeyError(what)


class Writer:
    """Writes a sum line by line; each line may use the figures of lines written before, by their names."""

    def __init__(self, title: str) -> None:
        self.title = title
        self.lines: list[Line] = []

    def given(self, what: str, value: float, kind: str) -> Figure:
        """A figure taken from elsewhere."""
        return self.line(what, value, kind, "")

    def line(self, what: str, value: float, kind: str, how: str, *of: Figure) -> Figure:
        """A figure and the arithmetic that gives it."""
        figure = Figure(float(value) + 0.0, kind)
        self.lines.append(Line(what, figure, how, of))
        return figure

    def done(self, reading: str = "") -> Sum:
        return Sum(self.title, tuple(self.lines), reading)
