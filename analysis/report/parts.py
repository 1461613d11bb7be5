"""The parts that a page and a screen are made of: sections, tables, and cells said in people's words.

`system` is "metric" or "us". Heights in tables have no unit: their heading says it. Directions are words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from analysis.studies.floats import Case, end_marks
from hullcalc.floating.state import FloatState
from hullcalc.units import say_heel, say_height, say_length_mm, say_position, say_trim


@dataclass(frozen=True)
class Grid:
    """A table: a head, rows of as many cells, the first column text; `groups` are names over columns, (name, span)."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    groups: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class Section:
    """One part of the story: a title, what it is about, words, a list, tables, words."""

    title: str
    about: str = ""
    before: tuple[str, ...] = ()
    listed: tuple[str, ...] = ()
    grids: tuple[Grid, ...] = ()
    after: tuple[str, ...] = ()


def height_cell(height: float, system: str) -> str:
    """A height for a table whose heading says the unit: "76 under", "2 5/8 above", "at water"."""
    return say_height(height, system).replace(" mm ", " ").replace(" in ", " ").replace("at the water", "at water")


def height_unit(system: str) -> str:
    """The unit of the heights in a table."""
    return "inches" if system == "us" else "millimetres"


def say_metres(length: float, system: str) -> str:
    """A length of some metres: "0.66 m", or feet and inches; "minus 0.05 m"."""
    said = say_position(abs(length), "x", system).removesuffix(" forward of the transom")
    said = said.replace("at the transom", "nothing")
    return f"minus {said}" if length < 0 and said != "nothing" else said


def side_by_side(cases: Mapping[str, Case], system: str, marks: Sequence[str] | None = None) -> Grid:
    """Some cases of one condition, a column each: what lets water in, attitude, marks with the lowest first.

    The heads are the keys of `cases`; `marks` are those shown (None: all that should be above water). Where the sea
    came in, the last rows say how she rests with it let in.
    """
    shown = list(cases.values())
    found = dict.fromkeys(name for case in shown for name in (case.watched() if marks is None else case.marks))
    names = [name for name in found if marks is None or name in marks]
    names.sort(key=lambda name: min(case.heights_shut[name] for case in shown if name in case.marks))
    rows = [
        ("water comes in at", *(_openings(case) for case in shown)),
        *_trims(shown, system),
        ("heel", *(_attitude(case, say_heel(float(case.shut.heel))) for case in shown)),
        ("GM, liquids free", *(_attitude(case, say_metres(_gm(case.shut), system)) for case in shown)),
    ]
    rows += [(name, *(mark_cell(case, name, system) for case in shown)) for name in names]
    if any(case.entered for case in shown):
        rows.append(("let in: lowest of the sole", *(_lowest_let_in(case, system) for case in shown)))
        rows.append(("let in: GM", *(say_metres(_gm(c.state), system) if c.entered else "" for c in shown)))
    return Grid(("", *cases), tuple(rows))


def mark_cell(case: Case, name: str, system: str, heights: Mapping[str, float] | None = None) -> str:
    """The height of a mark, openings shut unless other `heights` are given; a draught mark is deep where it belongs."""
    if name not in case.marks:
        return ""
    said = height_cell((case.heights_shut if heights is None else heights)[name], system)
    return said.replace(" under", " deep") if case.marks[name].kind == "draught" else said


def _openings(case: Case) -> str:
    if not case.under:
        return "none"
    return case.under[0] if len(case.under) == 1 else f"{len(case.under)} openings"


def _trims(cases: Sequence[Case], system: str) -> list[tuple[str, ...]]:
    """Trim between the draught marks where there are two, and the angle of the keel run."""
    rows = [("keel run", *(_attitude(case, say_trim(float(case.shut.trim))) for case in cases))]
    aft, forward = end_marks(cases[0].marks, "draught")
    if aft is None or forward is None or not all({aft, forward} <= set(case.marks) for case in cases):
        return rows
    trims = [case.heights_shut[forward] - case.heights_shut[aft] for case in cases]
    said = (f"{say_length_mm(abs(t), system)} {'by the stern' if t > 0 else 'by the bow'}" for t in trims)
    return [("trim between draught marks", *map(_attitude, cases, said)), *rows]


def _attitude(case: Case, words: str) -> str:
    """The words, or what she does instead of floating."""
    return words if case.shut.status == "floats" else str(case.shut.status)


def _gm(state: FloatState) -> float:
    return float(state.gm_transverse)


def _lowest_let_in(case: Case, system: str) -> str:
    if not case.entered:
        return ""
    names = case.watched(["sole"]) or case.watched()
    return height_cell(min(case.heights[name] for name in names), system)
