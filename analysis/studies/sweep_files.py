"""A sweep as a file: a table for a spreadsheet, or arrays that a stopped sweep can be gone on with from."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

import numpy as np

from analysis.studies.sweeps import Sweep
from hullcalc.boats.sweeping import Swept, sweep_states
from hullcalc.errors import InputError

COLUMNS = [f.name for f in fields(Swept)]
SAME = 1e-9  # m: rounding is far less, a change of the boat that anyone could see far more
CHECKED = 3  # done states that are floated again before a file is trusted


def as_csv(swept: Sweep) -> bytes:
    """A row a state that is done, with what it is about in the first lines."""
    head = (
        f"# {swept.boat.name}: {swept.plan}, {swept.condition}; {swept.done} of {swept.states} states; openings shut\n"
    )
    text: str = swept.table().to_csv(index=False, lineterminator="\n", na_rep="")
    return (head + text).encode("utf-8")


def as_npz(swept: Sweep) -> bytes:
    """All arrays, SI, and the names that tell what they are."""
    buffer = io.BytesIO()
    arrays: dict[str, Any] = {name: getattr(swept.swept, name) for name in COLUMNS}
    np.savez(buffer, **arrays, **_names(swept), values=swept.values)
    return buffer.getvalue()


def take_up(asked: Sweep, data: bytes, name: str) -> Sweep:
    """The sweep asked for with what a file of `as_npz` holds of it.

    Raises
    ------
    InputError
        If the file is none, is of another sweep, or the boat has changed since: a few of its states are floated again
        and must come out the same.
    """
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as read:
            held = {key: read[key] for key in read.files}
    except (ValueError, OSError, EOFError, zipfile.BadZipFile) as problem:
        raise InputError(f"{name}: is no file of a sweep ({problem}); name one written by --out FILE.npz") from None
    missing = [key for key in ("values", *COLUMNS, *_names(asked)) if key not in held]
    if missing:
        raise InputError(f"{name}: is no file of a sweep: it holds no {missing[0]}; name one written by --out FILE.npz")
    for key, wanted in _names(asked).items():
        if not np.array_equal(held[key], wanted):
            raise InputError(
                f"{name}: is of another sweep: its {key} are {', '.join(map(str, held[key]))}, and "
                f"{', '.join(map(str, wanted))} are asked for. Ask for the same, or begin a new file"
            )
    if not np.array_equal(held["values"], asked.values):
        raise InputError(f"{name}: is of another sweep: its states have other values. Ask for the same, or begin anew")
    before = Swept(*(np.array(held[column]) for column in COLUMNS))
    _check_still_true(asked, before, name)
    return replace(asked, swept=before)


def _check_still_true(asked: Sweep, before: Swept, name: str) -> None:
    rows = np.flatnonzero(before.done)
    rows = rows[np.linspace(0, len(rows) - 1, min(CHECKED, len(rows))).astype(int)]
    if not len(rows):
        return
    again = sweep_states(asked.boat.hull, asked.loading, asked.knobs, asked.values[rows], asked.marks)
    if not np.allclose(again.heights, before.heights[rows], rtol=0, atol=SAME, equal_nan=True):
        raise InputError(f"{name}: the boat's folder has changed since it was written. Begin anew")


def _names(swept: Sweep) -> Mapping[str, Any]:
    return {
        "boat": np.array([swept.boat.name]),
        "packages": np.array(sorted(swept.packages), dtype=str),
        "condition": np.array([swept.condition]),
        "knobs": np.array([knob.label for knob in swept.knobs]),
        "marks": np.array(swept.marks),
        "watched": np.array(swept.watched),
    }
