"""Reading a boat folder: every file, every check, and then either a Boat or one InputError with all that is to mend.

    boat = read_boat("data/boats/demo-outboard-22")

Nothing is written. The folder holds boat.toml (said once: names, water, datum lines, hull, as found, plans) and tables:
stations, marks, aboard, ledger, tanks, spaces, solids, people, conditions, readings, packages and
moves, each a CSV file.
"""

from __future__ import annotations

from collections.abc import Mapping
from os import PathLike
from pathlib import Path
from typing import Any

import numpy as np

from hullcalc.boats import bounds, checks, fit, placing
from hullcalc.boats.boat import AboardAtWeighing, Boat, Plan
from hullcalc.boats.check_crew import check_crew
from hullcalc.boats.consequence import Consequence
from hullcalc.boats.datum import Datum, parse_datum
from hullcalc.boats.plausible import check_mass
from hullcalc.boats.read_crew import FILE as SEATS
from hullcalc.boats.read_crew import crew_of, read_places
from hullcalc.boats.read_hull import STATIONS, read_hull
from hullcalc.boats.read_ledger import ABOARD, LedgerReading, read_ledger
from hullcalc.boats.read_ledger import FILE as LEDGER
from hullcalc.boats.read_moves import MOVES, names_known, read_moves, read_packages
from hullcalc.boats.read_parts import (
    MARKS,
    PEOPLE,
    SOLIDS,
    SPACES,
    TANKS,
    Parts,
    read_conditions,
    read_marks,
    read_people,
    read_readings,
    read_solids,
    read_spaces,
    read_tanks,
    stowage_of,
)
from hullcalc.boats.read_trips import read_trips
from hullcalc.boats.scan import check_scan
from hullcalc.boats.settings import FILE as SETTINGS
from hullcalc.boats.settings import Settings, read_settings
from hullcalc.errors import InputError, Problem, Problems
from hullcalc.measuring.stations import Hull
from hullcalc.units import NotUnderstood

# files that a datum line may speak of
MEASURED_FROM = (STATIONS, MARKS, LEDGER, ABOARD, TANKS, SPACES, SOLIDS, PEOPLE, SEATS, MOVES)


def read_boat(folder: str | PathLike[str]) -> Boat:
    """Read a boat folder.

    Parameters
    ----------
    folder : path
        The folder of one boat.

    Returns
    -------
    Boat
        With `remarks`: what is worth a look but no fault.

    Raises
    ------
    InputError
        If anything is to mend; `.problems` holds all of it and what is to look at, worst first.
    """
    folder = Path(folder)
    problems = Problems()
    if not folder.is_dir():
        there = "there is a file of that name" if folder.exists() else "there is no such folder"
        problems.append(
            Problem(
                folder.name or str(folder),
                None,
                None,
                str(folder),
                there,
                "Name the folder of a boat, with boat.toml in it",
            )
        )
        problems.raise_if_any()
    settings = read_settings(folder, problems)
    if settings is None:
        problems.raise_if_any()
        raise InputError(f"{SETTINGS}: cannot be read")  # not reached: a missing boat.toml is always a problem
    reading = _Reading(folder, settings, problems)
    reading.check()
    problems.raise_if_any()
    return reading.boat()


class _Reading:
    """All files of one folder, read in the order in which they need each other."""

    def __init__(self, folder: Path, settings: Settings, problems: Problems) -> None:
        self.folder, self.settings, self.problems = folder, settings, problems
        said = _datums(settings, settings.lengths, (STATIONS,), problems)
        self.hull: Hull | None = read_hull(folder, settings, said.get(STATIONS), problems)
        lengths = _lengths_of(self.hull) | dict(settings.lengths)
        datums = _datums(settings, lengths, tuple(f for f in MEASURED_FROM if f != STATIONS), problems)
        water = settings.water_density
        self.ledger: LedgerReading = read_ledger(folder, datums, settings.accept_no_side, problems)
        self.marks = read_marks(folder, datums.get(MARKS), settings.u_mark, problems)
        self.tanks = read_tanks(folder, datums.get(TANKS), water, problems)
        self.solids = read_solids(folder, datums.get(SOLIDS), problems)
        self.spaces = read_spaces(folder, datums.get(SPACES), problems)
        self.people = read_people(folder, datums.get(PEOPLE), problems)
        self.places = read_places(folder, datums.get(SEATS), problems)
        self.conditions = read_conditions(folder, self.tanks, problems)
        self.readings = read_readings(folder, settings.readings, water, problems)
        self.trips = read_trips(folder, self.tanks, self.people, self.conditions, settings.burn, problems)
        self.works = read_packages(folder, self.ledger.packages, settings.currency, problems)
        known = names_known(self.ledger, self.people, self.tanks, self.solids, self.marks)
        self.freedoms = read_moves(folder, datums.get(MOVES), known, self.hull, settings.currency, problems)

    def check(self) -> None:
        """Everything that can be asked of the files together."""
        settings, problems = self.settings, self.problems
        packages, marks, tanks = self.ledger.packages, self.marks.known, self.tanks.known
        checks.check_plans(settings, packages, problems)
        checks.check_unused(settings, packages, problems)
        checks.check_package_names(self.ledger, settings, problems)
        for parts in (self.marks, self.tanks, self.solids, self.spaces):
            checks.check_presence(parts, packages, settings, problems)
        for parts in (self.people, self.places, self.conditions):
            checks.check_names_once(parts, problems)
        check_crew(settings.crew, self.places, self.people.known, self.hull, problems)
        checks.check_stowage(self.people, packages, problems)
        for parts in (self.solids, self.spaces):
            checks.check_openings(parts, marks, problems)
        checks.check_body_names((self.spaces, self.solids, self.tanks), problems)
        checks.check_hull_name((self.spaces, self.solids, self.tanks), problems)
        checks.check_ways_in(self.spaces, self.solids, self.marks, settings, problems)
        checks.check_inside(self.solids, self.spaces.known, problems)
        checks.check_ledger(self.ledger, tanks, settings.exclusive, problems)
        checks.check_marks_of_readings(settings, marks, problems)
        bodies = (self.spaces.known, self.solids.known, tanks, tuple(dict.fromkeys(t.use for t in _made(self.tanks))))
        may_open = None if None in bodies else [name for names in bodies for name in names or ()]
        lips = [name for t in _made(self.tanks) if t.lip is not None for name in (t.name, t.use)]
        checks.check_conditions(
            self.conditions, self.people.known, may_open, lips if tanks is not None else None, problems
        )
        self._check_figures()

    def _check_figures(self) -> None:
        """Masses and places against what such things weigh and where they stand."""
        hull, settings, problems = self.hull, self.settings, self.problems
        table = self.ledger.table
        consequence = Consequence(hull, settings, self.ledger.ledger, _made(self.solids))
        if table is not None:
            for row in table.rows:
                for column, name in (("mass", row["item"]), ("to_mass", row["to_item"]), ("weighed", row["item"])):
                    if name and row[column] is not None:
                        check_mass(table, row, name, row[column], column, problems)
            if placing.check_direction(table, problems):
                placing.check_places(table, hull, problems)
            placing.check_twice(table, settings.exclusive, consequence, problems)
            placing.check_pod_litres(table, settings, problems)
        placing.check_pod_given(self.ledger, self.solids, consequence, settings, problems)
        check_scan(self.folder, settings, hull, problems)
        if hull is not None:
            bounds.check_as_found(hull, settings, problems)
            bounds.check_stands(hull, self.ledger, self.people, self.solids, problems)
            for whole, name in ((table, "item"), (self.marks.table, "mark"), (self.people.table, "name")):
                bounds.check_scale(hull, whole, name, problems)
            fit.check_tanks(hull, self.tanks, problems)
            fit.check_spaces(hull, self.spaces, settings, problems)
            fit.check_pods(hull, self.solids, problems)
            fit.check_overlaps(self.tanks, self.solids, self.spaces, settings, problems)
            fit.check_marks(hull, self.marks, problems)

    def boat(self) -> Boat:
        """The boat; called only when nothing is to mend."""
        settings, problems = self.settings, self.problems
        if self.hull is None or settings.as_found is None:
            raise InputError(f"{self.folder.name}: the hull or the weight as found could not be read")
        return Boat(
            name=settings.name,
            title=settings.title,
            invented=settings.invented,
            folder=self.folder,
            water_density=settings.water_density,
            hull=self.hull,
            as_found=settings.as_found,
            ledger=self.ledger.ledger,
            solids=_made(self.solids),
            tanks=_made(self.tanks),
            spaces=_made(self.spaces),
            all_marks=_made(self.marks),
            people={person.name: person for person in _made(self.people)},
            stowage=stowage_of(self.people),
            plans={name: Plan(name, packages) for name, packages in settings.plans.items()},
            conditions={condition.name: condition for condition in _made(self.conditions)},
            exclusive=settings.exclusive,
            at_weighing=tuple(AboardAtWeighing(thing, tank) for thing, tank in self.ledger.aboard),
            readings=_made(self.readings),
            trips=self.trips,
            burn=settings.burn,
            works=self.works,
            freedoms=self.freedoms,
            currency=settings.currency,
            crew=crew_of(settings.crew, self.places),
            looks_level=settings.looks_level,
            u_hull=settings.u_hull,
            u_water=settings.u_water,
            measured=settings.measured,
            remarks=tuple(problems.to_look_at),
            checked=problems.summary(),
        )


def _made(parts: Parts) -> tuple[Any, ...]:
    return tuple(part for _, part in parts.made)


def datum_of(boat: Boat, file: str) -> Datum:
    """Where and which way the x of a file of this boat's folder counts."""
    problems = Problems()
    settings = read_settings(boat.folder, problems)
    problems.raise_if_any()
    if settings is None:
        raise InputError(f"{SETTINGS}: cannot be read")  # not reached: the boat was read from it
    lengths = _lengths_of(boat.hull) | dict(settings.lengths)
    return _datums(settings, lengths, (file,), problems).get(file, Datum())


def _lengths_of(hull: Hull | None) -> dict[str, float]:
    """Origins that the hull itself knows [m]: the stem and the top of the transom."""
    if hull is None:
        return {}
    sheer: np.ndarray = list(hull.lines.values())[-1]
    return {"stem": float(sheer[-1, 0]), "transom top": float(sheer[0, 0])}


def _datums(
    settings: Settings, lengths: Mapping[str, float], files: tuple[str, ...], problems: Problems
) -> dict[str, Datum]:
    """The datum of each of `files`, by its name; files without a line count from the transom at the keel, forward."""
    names = {Path(file).stem: file for file in MEASURED_FROM}
    found = {}
    for name, line in settings.datums.items():
        stem = Path(name).stem
        if stem not in names:
            if files == (STATIONS,):  # asked twice, said once
                problems.append(
                    Problem(
                        SETTINGS, None, f"[datum] {name}", line, "there is no such file with places along x",
                        f"Name one of: {', '.join(names)}",
                    )
                )  # fmt: skip
            continue
        if names[stem] not in files:
            continue
        try:
            found[names[stem]] = parse_datum(line, lengths)
        except NotUnderstood as problem:
            problems.append(
                Problem(SETTINGS, None, f"[datum] {name}", line, problem.expected, problem.mend, weight=10.0)
            )
    return found
