"""Part files: one small TOML file a part, its kind and what is known of it, with units in the keys.

    kind = "fuel tank"
    name = "new fuel tank 416 L"
    length_m = 2.10

All problems of a file are gathered before one InputError is raised. Kinds are listed in `part_kinds.KINDS`.
"""

from __future__ import annotations

from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from hullcalc.boats.part_kinds import KINDS
from hullcalc.boats.toml_files import read_toml
from hullcalc.boats.toml_keys import Keys
from hullcalc.errors import GeometryError, InputError, Problem, Problems
from hullcalc.weights.parts.part import Part


@dataclass(frozen=True, eq=False)
class PartFile:
    """A part as read: the file, its kind, a note of its owner's, and what is worth a look but no fault.

    `stands_for` are the things of a boat's ledger whose place it takes, beside one of its own name.
    """

    path: Path
    kind: str
    part: Part
    note: str
    stands_for: tuple[str, ...]
    remarks: tuple[Problem, ...]


def read_part(path: str | PathLike[str]) -> PartFile:
    """Read one part file.

    Raises
    ------
    InputError
        If anything is to mend; `.problems` holds all of it.
    """
    path, problems = Path(path), Problems()
    doc = read_toml(path, problems)
    problems.raise_if_any()
    keys = Keys(doc, path.name, "", problems)
    kind = keys.text("kind", required=True, choices=tuple(KINDS))
    name, note = keys.text("name", default=path.stem.replace("-", " ")), keys.text("note")
    stands_for = keys.names("stands_for") or ()
    part = None
    if kind:
        try:
            part = KINDS[kind](keys, name)
        except (InputError, GeometryError) as error:
            problems.append(Problem(path.name, None, None, "", *_said(str(error))))
        keys.finish(strict=True)
    problems.raise_if_any()
    if part is None:
        raise InputError(f"{path.name}: this {kind} could not be made")  # not reached: None comes with a problem
    return PartFile(path, kind, part, note, stands_for, tuple(problems.to_look_at))


def _said(error: str) -> tuple[str, str]:
    """What is wrong and how to mend it, of an error's message."""
    expected, _, mend = error.partition("; ")
    return expected, f"{mend[:1].upper()}{mend[1:]}" if mend else "Check the figures and their units"
