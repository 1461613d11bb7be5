"""Trips: one CSV file each in the folder trips, and what the engine burns, from [burn] in boat.toml.

Nothing is raised; what cannot be used becomes a Problem, so that all problems are seen at once.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import replace
from pathlib import Path

from hullcalc.boats.conditions import Condition
from hullcalc.boats.read_parts import Parts
from hullcalc.boats.spaces import BoatTank
from hullcalc.boats.tables import Column, Row, Table, read_table
from hullcalc.boats.toml_keys import Keys
from hullcalc.boats.trips import NO_BURN, Burn, Step, Trip, replay
from hullcalc.errors import LOOK, Problems
from hullcalc.units import NotUnderstood, read_quantity
from hullcalc.weights.items import MassItem

FOLDER = "trips"
MOST_NM, MOST_HOURS = 2000.0, 240.0  # more is a slip
COLUMNS = (
    Column("step", required=True),
    Column("condition", default=""),
    Column("nm", "number", low=0.0, high=MOST_NM),
    Column("hours", "number", low=0.0, high=MOST_HOURS),
    Column("burn_per_nm", "volume", low=0.0),
    Column("burn_per_hour", "volume", low=0.0),
    Column("burn_from", default=""),
    *(Column(name, "list") for name in ("aboard", "ashore", "moves", "changes")),
    Column("note", default=""),
)


def read_burn(keys: Keys) -> Burn:
    """[burn] of boat.toml; each figure must be positive, what is kept back zero or more."""
    found = {name: keys.quantity(name, "volume") for name in ("per_nm", "per_hour", "unusable", "reserve")}
    for name, figure in found.items():
        if figure is None:
            continue
        shown = f"{1000 * figure:g} L"
        if name in ("per_nm", "per_hour") and not figure > 0:
            keys.report(name, shown, "she burns something: expected a positive figure", f"Write {name}_l = 1.5")
        elif figure < 0:
            keys.report(name, shown, "expected zero or more", f"Write {name}_l = 0")
    head_sea = keys.quantity("head_sea", "number", example="head_sea = 1.2")
    if head_sea is not None and not 1 <= head_sea <= 5:
        keys.report(
            "head_sea",
            f"{head_sea:g}",
            "expected the fuel of a mile against the sea over that of a calm one, 1 to 5",
            "Write head_sea = 1.2",
        )
        head_sea = None
    usual = Burn()
    return Burn(
        found["per_nm"],
        found["per_hour"],
        found["unusable"] or 0.0,
        found["reserve"] or 0.0,
        usual.head_sea if head_sea is None else head_sea,
    )


def read_trips(
    folder: Path, tanks: Parts, people: Parts, conditions: Parts, burn: Burn, problems: Problems
) -> dict[str, Trip]:
    """All trips of a boat by the names of their files; each is checked from its first step to its last."""
    made = [tank for _, tank in tanks.made if isinstance(tank, BoatTank)]
    words = {column.name for column in COLUMNS}
    fills = [n for n in dict.fromkeys(n for t in made for n in (t.use, t.name)) if n not in words]
    columns = (*COLUMNS, *(Column(name, "fraction", low=0.0, high=1.0) for name in fills))
    crew = {person.name: person for _, person in people.made if isinstance(person, MassItem)}
    loads = {load.name: load for _, load in conditions.made if isinstance(load, Condition)}
    # where people or conditions are to mend themselves, nothing is said of who is aboard
    sound = all(
        len(p.made) == len(read) and p.known is not None and set(p.known) == set(read)
        for p, read in ((people, crew), (conditions, loads))
    )
    names = people.known
    trips = {}
    for path in sorted((folder / FOLDER).glob("*.csv")):
        table = read_table(path, columns, problems)
        if table is None:
            continue
        before = len(problems.to_mend)
        steps = tuple(_step(table, row, fills, names, made, burn, problems) for row in table.rows)
        rows = {row.number: row for row in table.rows}
        for slip in replay(steps, crew, loads)[1] if sound else ():
            problem = table.problem(rows[slip.row], slip.column, slip.expected, slip.mend)
            problems.append(replace(problem, read=slip.read))
        silent = next((step for step in steps if math.isnan(step.burnt)), None)
        if silent is not None:
            expected = (
                f"nothing says what she burns {'a mile' if silent.nm else 'an hour'}, so this trip cannot be told"
            )
            problems.append(table.problem(rows[silent.row], "nm" if silent.nm else "hours", expected, NO_BURN, LOOK))
        if steps and len(problems.to_mend) == before:
            trips[path.stem] = Trip(path.stem, steps, f"{FOLDER}/{path.name}")
    return trips


def _step(
    table: Table,
    row: Row,
    fills: Sequence[str],
    names: Collection[str] | None,
    tanks: Sequence[BoatTank],
    burn: Burn,
    problems: Problems,
) -> Step:
    source = row["burn_from"] or ""
    if source and source not in {tank.name for tank in tanks}:
        names = ", ".join(dict.fromkeys(tank.name for tank in tanks)) or "none"
        problems.append(table.problem(row, "burn_from", "no tank is called so", f"There are: {names}"))
    lists = {name: row[name] or () for name in ("moves", "changes")}
    return Step(
        row["step"] or "",
        row.number,
        row["nm"] or 0.0,
        row["hours"] or 0.0,
        timed=not row["nm"] or bool(row["hours"]),
        burnt=_burnt(table, row, burn, problems),
        burn_from=source,
        aboard=row["aboard"] or (),
        ashore=row["ashore"] or (),
        moves=tuple(m for text in lists["moves"] if (m := _move(table, row, text, names, problems))),
        changes=tuple(c for text in lists["changes"] if (c := _change(table, row, text, names, problems))),
        fills={name: row[name] for name in fills if row.values.get(name) is not None},
        condition=row["condition"] or "",
    )


def _burnt(table: Table, row: Row, burn: Burn, problems: Problems) -> float:
    """Fuel of one row [m³]: by the mile or by the hour, as the row says, else as boat.toml does; nan where neither."""
    nm, hours, by_nm, by_hour = (row[name] for name in ("nm", "hours", "burn_per_nm", "burn_per_hour"))

    def wrong(column: str, expected: str, mend: str) -> float:
        problems.append(table.problem(row, column, expected, mend))
        return 0.0

    if by_nm is not None and by_hour is not None:
        return wrong("burn_per_hour", "the fuel of this row is given by the mile and by the hour", "Keep one of them")
    if by_nm is not None:
        if not nm:
            return wrong("burn_per_nm", "fuel by the mile needs the miles", "Fill in nm, or give burn_per_hour_l")
        if not by_nm > 0:
            return wrong("burn_per_nm", f"{nm:g} nm on no fuel", "Write what she burns a mile, or leave it empty")
        return float(nm * by_nm)
    if by_hour is not None:
        if not hours:
            return wrong("burn_per_hour", "fuel by the hour needs the hours", "Fill in hours, or give burn_per_nm_l")
        if nm and not by_hour > 0:
            return wrong("burn_per_hour", f"{nm:g} nm on no fuel", "Write what she burns an hour, or leave it empty")
        return float(hours * by_hour)
    if nm:
        return float("nan") if burn.per_nm is None else float(nm * burn.per_nm)
    if hours:
        return float("nan") if burn.per_hour is None else float(hours * burn.per_hour)
    return 0.0


def _move(
    table: Table, row: Row, text: str, names: Collection[str] | None, problems: Problems
) -> tuple[str, str] | None:
    """("mate standing", "stern crew 2") of "mate standing to stern crew 2"; names may hold the word "to" themselves."""
    words = text.split(" to ")
    ways = [(" to ".join(words[:k]).strip(), " to ".join(words[k:]).strip()) for k in range(1, len(words))]
    if not ways:
        problem = table.problem(
            row, "moves", "expected who moves to whose place", "Write it as mate standing to stern crew 2"
        )
        problems.append(replace(problem, read=text))
        return None
    return next((way for way in ways if {*way} <= set(names or ())), ways[0])


def _change(
    table: Table, row: Row, text: str, names: Collection[str] | None, problems: Problems
) -> tuple[str, float] | None:
    """("catch", 60.0) of "catch 60 kg": the thing named as in people.csv, then by how much it grows."""
    name = max((n for n in names or () if text.startswith(f"{n} ")), key=len, default=None)
    if names is None:
        return None
    figure = text[len(name) :].strip() if name else text
    try:
        if name is None:
            raise NotUnderstood(
                "expected a thing of people.csv and how much more of it there is then",
                "Write it as catch on ice 60 kg, or with a minus for what melts or is used",
            )
        return name, read_quantity(figure, "mass", None, False).value
    except NotUnderstood as problem:
        problems.append(replace(table.problem(row, "changes", problem.expected, problem.mend), read=text))
        return None
