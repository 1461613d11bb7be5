"""Recording what a thing weighs once it hangs on the scale; the estimate is kept beside it for the record.

The ledger is changed in a copy of the folder first; only a ledger that reads without anything to mend takes the old
one's place.
"""

from __future__ import annotations

import difflib
import shutil
import tempfile
from os import PathLike
from pathlib import Path

from hullcalc.boats.boat import Boat
from hullcalc.boats.folder import read_boat
from hullcalc.boats.ledger import LedgerRow
from hullcalc.boats.read_ledger import FILE
from hullcalc.boats.rewrite import add_columns, replace_file, update_cells
from hullcalc.errors import InputError
from hullcalc.units import parse_quantity

COLUMNS = ("weighed_kg", "weighed_on", "weighed_by", "weighed_why")


def record_weighing(
    folder: str | PathLike[str], item: str, mass: str, on: str = "", by: str = "", why: str = ""
) -> tuple[float, float]:
    """Write a weighed mass beside the estimate of a thing that the ledger adds or removes.

    Parameters
    ----------
    folder : path
        The folder of one boat.
    item : str
        The thing, named as in the ledger.
    mass : str
        What the scale says, with its unit ("279 kg", "615 lb"); kilograms unless said.
    on, by, why : str
        When it was weighed, by whom, and anything worth keeping.

    Returns
    -------
    (float, float)
        The figure that stood before and the weighed one [kg].

    Raises
    ------
    InputError
        For a mass that cannot be understood, a thing that is not in the ledger or stands in several rows, or a folder
        with anything to mend before or after. Nothing has been written then.
    """
    folder = Path(folder)
    parse_quantity(mass, "mass", "kg")
    boat = read_boat(folder)
    row = _row(boat.ledger.rows, item)
    texts = (mass if any(c.isalpha() for c in mass) else f"{mass.strip()} kg", on, by, why)
    with tempfile.TemporaryDirectory() as place:
        trial = Path(place) / folder.resolve().name
        shutil.copytree(folder, trial)
        add_columns(trial / FILE, COLUMNS)
        update_cells(trial / FILE, {(row, column): text for column, text in zip(COLUMNS, texts, strict=True) if text})
        weighed = read_boat(trial)
        replace_file((folder / FILE).resolve(), (trial / FILE).read_bytes())
    return _mass(boat, item), _mass(weighed, item)


def _row(rows: tuple[LedgerRow, ...], item: str) -> int:
    """Number of the row of the ledger that holds the figures of a thing: the one that adds it, else that removes it."""
    names = [row.item for row in rows if row.action in ("add", "remove")]
    if item not in names:
        near = difflib.get_close_matches(item, names, n=3, cutoff=0.4)
        hint = f"did you mean {' or '.join(map(repr, near))}?" if near else "name it as the ledger does"
        raise InputError(f"no row of {FILE} adds or removes {item!r}; {hint}")
    added = [row for row in rows if row.item == item and row.action == "add"]
    figures = added or [row for row in rows if row.item == item and row.action == "remove"]
    if len(figures) > 1:
        numbers = " and ".join(str(row.number) for row in figures)
        raise InputError(f"rows {numbers} of {FILE} both {figures[0].action} {item}: fill in weighed_kg there")
    return figures[0].number


def _mass(boat: Boat, item: str) -> float:
    added = [row.new for row in boat.ledger.rows if row.item == item and row.action == "add" and row.new is not None]
    return float((added[0] if added else boat.ledger.found[item]).item.mass)
