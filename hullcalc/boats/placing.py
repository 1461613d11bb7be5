"""Do the rows of a ledger stand where such things stand: the way x counts, brackets aft, nothing listed twice.

Words for a foreman. Nothing is raised; figures in messages are as typed.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from hullcalc.boats.bounds import check_on_boat
from hullcalc.boats.consequence import Consequence
from hullcalc.boats.datum import Datum
from hullcalc.boats.plausible import expected_mass, thing_itself
from hullcalc.boats.read_ledger import PLACE, LedgerReading
from hullcalc.boats.read_parts import Parts
from hullcalc.boats.settings import FILE as SETTINGS
from hullcalc.boats.settings import Settings
from hullcalc.boats.spaces import Pod
from hullcalc.boats.tables import Row, Table
from hullcalc.errors import LOOK, Problem, Problems
from hullcalc.measuring.stations import Hull
from hullcalc.units import say_in, say_volume

AT_THE_BOW = re.compile(r"\banchor\b|\bwindlass\b|\bbow (rail|cushions?|electric)|\bforepeak\b|\bchain\b")
AT_THE_STERN = re.compile(r"\boutboard\b|\bpropeller\b|^bracket\b|\btrim tabs?\b|\bswim platform\b|\btransom core\b")
ABAFT = re.compile(r"^bracket\b|\boutboard\b.*\bhp\b|\bhp\b.*\boutboard\b|\bjack plate\b")
AN_ENGINE_BRACKET = re.compile(r"^(aluminium |aluminum |engine |outboard )*bracket\b")
WELL_INSIDE = 0.3  # m forward of the transom: an outboard or bracket does not hang there
ALIKE_MASS, ALIKE_PLACE = 0.10, 0.1  # share of mass, m: nearer than this two entries look like one thing
POD_PER_SETBACK = 0.19  # m³ of closed pod for a metre of setback; common practice, no source
USUAL_SETBACK = 0.76  # m
POD_UNDER_WATER = (0.6, 0.85)  # share of a pod under water at rest, light to loaded; common practice, no source


@dataclass(frozen=True)
class Line:
    """One row of the ledger that has a mass and a place: position in boat axes [m]."""

    row: Row
    mass: float
    place: np.ndarray


def ledger_lines(table: Table) -> list[Line]:
    """Rows with a plain mass and x; y and z are 0 where not given."""
    lines = []
    for row in table.rows:
        if row["item"] and row["mass"] is not None and row["mass"] >= 0 and row["x"] is not None:
            lines.append(Line(row, row["mass"], np.array([row[axis] or 0.0 for axis in PLACE])))
    return lines


def check_direction(table: Table, problems: Problems) -> bool:
    """Does x grow the way the datum line says? False, with a Problem, where bow and stern gear stand swapped."""
    lines = [line for line in ledger_lines(table) if not line.row.values.get("keep")]
    bow = [line for line in lines if AT_THE_BOW.search(thing_itself(line.row["item"]) or "")]
    stern = [
        line for line in lines
        if AT_THE_STERN.search(thing_itself(line.row["item"]) or "")
        and not AT_THE_BOW.search(line.row["item"].casefold())
    ]  # fmt: skip
    if not bow or not stern:
        return True
    ahead = np.mean([line.place[0] for line in bow]) - np.mean([line.place[0] for line in stern])
    if ahead > 0:
        return True
    head = table.heads.get("x", "x")
    one, other = max(bow, key=lambda line: line.mass), max(stern, key=lambda line: line.mass)
    toward = "stern" if table.datum.direction > 0 else "bow"
    mend = "stem, aft" if table.datum.direction > 0 else "transom keel, forward"
    problems.append(
        table.problem(
            None, "x",
            f"{head} grows toward the {toward} in this file ({_word(one, AT_THE_BOW)} {one.row.read['x']}, "
            f'{_word(other, AT_THE_STERN)} {other.row.read["x"]}). datum says "{table.datum.say()}"',
            f'Change datum to "{mend}" and keep your numbers', weight=60.0,
        )
    )  # fmt: skip
    return False


def check_places(table: Table, hull: Hull | None, problems: Problems) -> None:
    """Brackets and outboards hang abaft the transom; everything stands on the boat."""
    for line in ledger_lines(table):
        row, name = line.row, line.row["item"]
        if row.values.get("keep"):
            continue
        x = line.place[0]
        if ABAFT.search(thing_itself(name) or "") and x > WELL_INSIDE:
            what, many = ("bracket", "Brackets sit") if "bracket" in name.casefold() else ("outboard", "Outboards hang")
            problems.append(
                table.problem(
                    row, "x", f"{what} placed {x:.2f} m forward of the transom, inside the boat",
                    _mend_side(table, row, x, many), weight=35.0,
                )
            )  # fmt: skip
        elif hull is not None:
            check_on_boat(hull, table, row, name, "", problems)


def _mend_side(table: Table, row: Row, x: float, many: str) -> str:
    """How to write the same distance abaft the transom, in the unit typed."""
    if table.datum != Datum():
        return f"{many} aft: check the figure and the datum line of this file"
    unit = row.units.get("x", "m")
    amount = f"{x:.2f}" if unit == "m" else say_in(x, "length", unit)
    return f'{many} aft: write "{amount} aft"' + (f" (or -{amount})" if unit == "m" else "")


def check_twice(
    table: Table, exclusive: Sequence[Collection[str]], consequence: Consequence, problems: Problems
) -> None:
    """The same kind of thing, of about the same mass, added twice at one place."""
    lines = [line for line in ledger_lines(table) if line.row["act"] == "add"]
    kinds = [expected_mass(line.row["item"]) for line in lines]
    for k, (line, kind) in enumerate(zip(lines, kinds, strict=True)):
        if kind is None or re.search(r"\bsecond\b", f"{line.row['item']} {line.row['note'] or ''}".casefold()):
            continue
        for other, its_kind in zip(lines[:k], kinds[:k], strict=True):
            alike = its_kind is not None and _sort(its_kind.what) == _sort(kind.what)
            if not alike or abs(line.mass - other.mass) > ALIKE_MASS * max(line.mass, other.mass):
                continue
            apart = float(np.max(abs(line.place - other.place)))
            packages = {line.row["pkg"], other.row["pkg"]}
            if apart > ALIKE_PLACE or any(len(packages & set(group)) > 1 for group in exclusive):
                continue
            what = _sort(kind.what)
            mark = "engine" if what == "outboard" else "one"
            sinks = consequence.stern_rise(line.row["pkg"], line.mass, line.place)
            too_far = "" if sinks is None else f"about {10 * round(sinks * 100)} mm too far"
            twice = f". Counted twice it sinks the stern {too_far}" if too_far else ""
            problems.append(
                table.problem(
                    line.row, "item",
                    f"rows {other.row.number} and {line.row.number}: both look like the new {what} ({other.mass:g} and "
                    f"{line.mass:g} kg within {ALIKE_PLACE:g} m){twice}",
                    f'Delete one or mark row {line.row.number} "second {mark}" in its note', weight=30.0,
                )
            )  # fmt: skip
            break


def check_pod_given(
    reading: LedgerReading, solids: Parts, consequence: Consequence, settings: Settings, problems: Problems
) -> None:
    """A bracket with neither a shape nor litres is taken as open, and that is said."""
    table = reading.table
    if table is None or settings.pod_volume is not None:
        return
    bringing = {p for _, pod in solids.made if isinstance(pod, Pod) for p in pod.presence.brought_by}
    for line in ledger_lines(table):
        row, name = line.row, line.row["item"]
        if row["act"] != "add" or not AN_ENGINE_BRACKET.search(thing_itself(name) or "") or row["pkg"] in bringing:
            continue
        if row["pod_litres"] is not None:
            continue
        setback = re.search(r"(\d+(?:\.\d+)?)\s*m\s+setback", name.casefold())
        usual = POD_PER_SETBACK * (float(setback[1]) if setback else USUAL_SETBACK)
        band = _pod_lifts(consequence, line, usual, settings.water_density)
        deeper = f": the stern floats {band[0]} to {band[1]} mm deeper than with {say_volume(usual)}" if band else ""
        problems.append(
            table.problem(
                row, "item", f"bracket: no pod shape and no litres given; taken as 0 L (open bracket){deeper}",
                "Measure length, width, depth of the box and give its corners in solids.csv, "
                "or write pod_litres = 0 if it is open", LOOK, weight=20.0,
            )
        )  # fmt: skip


def check_pod_litres(table: Table, settings: Settings, problems: Problems) -> None:
    """Litres without a shape cannot be floated: they say only that a bracket is open (0)."""
    words = "litres alone do not say where the pod floats her; taken as 0 L"
    mend = "Give the corners of the box in solids.csv; pod_litres = 0 says that the bracket is open"
    if settings.pod_volume:
        problems.append(Problem(SETTINGS, None, "pod_litres", f"{settings.pod_volume * 1000:g}", words, mend))
    for row in table.rows:
        if row["pod_litres"]:
            problems.append(table.problem(row, "pod_litres", words, mend))


def _pod_lifts(consequence: Consequence, line: Line, volume: float, density: float) -> tuple[int, int] | None:
    """Between what [mm, in fives] a pod of that volume at the bracket lifts the stern."""
    lifts = [density * volume * share for share in POD_UNDER_WATER]
    rises = [consequence.stern_rise(line.row["pkg"], lift, line.place) for lift in lifts]
    low, high = (None if rise is None else 5 * round(rise * 1000 / 5) for rise in rises)
    return None if low is None or high is None else (low, high)


def _sort(what: str) -> str:
    """The kind of thing without its power: "a 250 hp outboard" is an outboard."""
    return re.sub(r"^(a|an) |\b\d+ hp ", "", what)


def _word(line: Line, pattern: re.Pattern) -> str:
    match = pattern.search(line.row["item"].casefold())
    return match[0] if match else line.row["item"]
