"""Do the files of a boat folder fit each other: names, packages, plans, and things that may not be there twice."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Sequence

from hullcalc.boats.conditions import Condition
from hullcalc.boats.marks import Mark
from hullcalc.boats.presence import Presence, can_meet, present
from hullcalc.boats.read_ledger import ABOARD, FILE, LedgerReading
from hullcalc.boats.read_parts import Parts, stowage_of
from hullcalc.boats.settings import FILE as SETTINGS
from hullcalc.boats.settings import Settings
from hullcalc.boats.spaces import Pod, Space
from hullcalc.boats.tables import Row, Table
from hullcalc.errors import LOOK, Problem, Problems

Names = Collection[str] | None  # None: the file that would say could not be read, so nothing is said of names
BROUGHT, TAKEN = "brought_by", "taken_by"


def check_plans(settings: Settings, packages: Names, problems: Problems) -> None:
    """Plans and exclusive groups name packages of the ledger, and no plan holds two that exclude each other."""
    for name, plan in settings.plans.items():
        column = f'[plans] "{name}"'
        for package in plan:
            _check_name(package, packages, "package of the ledger", SETTINGS, None, column, problems)
        for group in settings.exclusive:
            both = [package for package in plan if package in group]
            if len(both) > 1:
                problems.append(
                    Problem(
                        SETTINGS, None, column, f"{both[0]}, {both[1]}", "these packages exclude each other",
                        "Take one of them out of the plan, or both out of the exclusive group",
                    )
                )  # fmt: skip
    for group in settings.exclusive:
        for package in group:
            _check_name(package, packages, "package of the ledger", SETTINGS, None, "exclusive", problems)


def check_presence(parts: Parts, packages: Names, settings: Settings, problems: Problems) -> None:
    """Packages that bring and take are known; none does both; no plan holds two parts of one name."""
    if parts.table is None:
        return
    seen: list[tuple[Row, str, Presence]] = []
    for row, part in parts.made:
        presence: Presence = part.presence  # type: ignore[attr-defined]
        name = part.name  # type: ignore[attr-defined]
        _check_packages(parts.table, row, name, presence, packages, problems)
        for first, other, there in seen:
            if other == name and (on := can_meet(there, presence, settings.exclusive)) is not None:
                when = f"with {' and '.join(sorted(on))} on" if on else "in the boat as found"
                problems.append(
                    parts.table.problem(
                        row, _name_column(parts.table),
                        f"{name} stands in row {first.number} too, and {when} both are there",
                        "Give each its own name, or say in taken_by which package takes the first off",
                    )
                )  # fmt: skip
        seen.append((row, name, presence))


def check_stowage(people: Parts, packages: Names, problems: Problems) -> None:
    """Packages that bring people and stores, or take them, are known; none does both."""
    stowage = stowage_of(people)
    for row, person in people.made:
        name = getattr(person, "name", "")
        if people.table is not None and name in stowage:
            _check_packages(people.table, row, name, stowage[name], packages, problems)


def _check_packages(table: Table, row: Row, name: str, presence: Presence, packages: Names, problems: Problems) -> None:
    for column, named in ((BROUGHT, presence.brought_by), (TAKEN, presence.taken_by)):
        for package in sorted(named):
            _check_name(package, packages, "package of the ledger", table, row, column, problems)
    if not presence.possible:
        both = sorted(presence.brought_by & presence.taken_by)[0]
        problems.append(
            table.problem(
                row, TAKEN, f'"{both}" both brings {name} and takes it off, so it is never there', "Take one out"
            )
        )


def check_names_once(parts: Parts, problems: Problems) -> None:
    """Each person, store and condition is there once."""
    first: dict[str, Row] = {}
    for (row, _), name in zip(parts.made, parts.names, strict=True):
        if name in first and parts.table is not None:
            problems.append(
                parts.table.problem(
                    row, _name_column(parts.table), f"{name} stands in row {first[name].number} too",
                    "Give each its own name, or take one out",
                )
            )  # fmt: skip
        first.setdefault(name, row)


def check_openings(bodies: Parts, marks: Names, problems: Problems) -> None:
    """Openings of spaces and pods are marks of the boat."""
    for row, part in bodies.made:
        if bodies.table is not None and isinstance(part, Space | Pod):
            for opening in part.openings:
                _check_name(opening, marks, "mark", bodies.table, row, "openings", problems)


def check_conditions(conditions: Parts, people: Names, bodies: Names, lips: Names, problems: Problems) -> None:
    """Conditions name people and stores, bodies to hold open, and tanks with a standpipe, that the boat has."""
    for row, part in conditions.made:
        if conditions.table is None or not isinstance(part, Condition):
            continue
        for column, named, known, what in (
            ("aboard", part.aboard, people, "person or store of people.csv"),
            ("open", part.open, bodies, "space, solid or tank"),
            ("at_lip", part.at_lip, lips, "tank or use with a standpipe's lip in tanks.csv"),
        ):
            for name in named:
                _check_name(name, known, what, conditions.table, row, column, problems)
            twice = sorted({name for name in named if named.count(name) > 1})
            if twice:
                problems.append(
                    conditions.table.problem(
                        row, column, f"{twice[0]} is named twice", "Name each once; give a second one its own name"
                    )
                )


def check_ledger(reading: LedgerReading, tanks: Names, exclusive: Sequence[Collection[str]],
                 problems: Problems) -> None:  # fmt: skip
    """Nothing is added twice under one name, a package adds only what can be there, and tanks aboard are known."""
    table = reading.table
    if table is None:
        return
    first: dict[tuple[str, str], Row] = {}
    for row in table.rows:
        act, name, package = row["act"], row["item"], row["pkg"]
        if not name or not package:
            continue
        told = [("bring", row["to_item"])] if act == "replace" and row["to_item"] not in (None, name) else []
        told += [("bring", name)] if act == "add" else [("take", name)] if act in ("remove", "replace") else []
        for does, thing in told:
            other = first.setdefault((does, thing), row)
            if other is row or _exclude(package, other["pkg"], exclusive):
                continue
            if {act, other["act"]} == {"remove"} and package != other["pkg"]:
                continue  # either package may take it off; with both on it is taken once
            doing = act if act == other["act"] else does
            problems.append(
                table.problem(
                    row, "to_item" if thing != name else "item",
                    f"rows {other.number} and {row.number} both {doing} {thing}",
                    "Delete one, or give the second its own name", weight=25.0,
                )
            )  # fmt: skip
    for thing, tank in reading.aboard:
        if tank:
            _check_name(tank, tanks, "tank of tanks.csv", ABOARD, None, f"tank of {thing.name}", problems)


def _exclude(one: str, other: str, exclusive: Sequence[Collection[str]]) -> bool:
    return one != other and any({one, other} <= set(group) for group in exclusive)


def check_package_names(reading: LedgerReading, settings: Settings, problems: Problems) -> None:
    """A package whose name is nearly that of another is a slip: its rows would be left out of every plan."""
    if reading.table is None:
        return
    planned = {package for plan in settings.plans.values() for package in plan}
    first: dict[str, Row] = {}
    for row in reading.table.rows:
        name = row["pkg"]
        if not name or name in first:
            continue
        for other, there in first.items():
            odd, right, at = (other, name, there) if name in planned and other not in planned else (name, other, row)
            if odd not in planned and _nearly(name, other):
                problems.append(
                    reading.table.problem(
                        at, "pkg", f'package "{odd}" is nearly "{right}", and no plan has it',
                        f'Write "{right}", or give it a name that differs more', weight=25.0,
                    )
                )  # fmt: skip
        first[name] = row


def _nearly(one: str, other: str) -> bool:
    """Alike but for case, spaces or a slip of the pen; names that differ in a figure are meant to."""
    a, b = (" ".join(name.casefold().split()) for name in (one, other))
    figures = [[c for c in name if c.isdigit()] for name in (a, b)]
    return figures[0] == figures[1] and difflib.SequenceMatcher(None, a, b).ratio() >= 0.85


def check_body_names(groups: Iterable[Parts], problems: Problems) -> None:
    """A space, a solid and a tank do not share a name, for a condition that holds one open would mean both."""
    first: dict[str, str] = {}
    for parts in groups:
        for (row, _), name in zip(parts.made, parts.names, strict=True):
            if parts.table is None:
                continue
            if first.get(name, parts.table.file) != parts.table.file:
                problems.append(
                    parts.table.problem(
                        row, _name_column(parts.table), f"{first[name]} has something called {name} too",
                        "Give each its own name",
                    )
                )  # fmt: skip
            first.setdefault(name, parts.table.file)


def check_hull_name(groups: Iterable[Parts], problems: Problems) -> None:
    """Nothing but the hull is called that: it would take the hull's place among the bodies that float her."""
    for parts in groups:
        for (row, _), name in zip(parts.made, parts.names, strict=True):
            if parts.table is not None and name.casefold() == "hull":
                problems.append(
                    parts.table.problem(row, _name_column(parts.table), "the hull itself has that name", "Give another")
                )


def check_ways_in(spaces: Parts, solids: Parts, marks: Parts, settings: Settings, problems: Problems) -> None:
    """In every plan a space with openings has one of them: else water never enters it, and nobody is told."""
    openings = [part for _, part in marks.made if isinstance(part, Mark)]
    for bodies in (spaces, solids):
        for row, part in bodies.made:
            if bodies.table is None or not isinstance(part, Space | Pod) or not part.openings:
                continue
            for plan, packages in settings.plans.items():
                there = present(openings, packages)
                if part.presence.holds(packages) and not any(name in there for name in part.openings):
                    problems.append(
                        bodies.table.problem(
                            row, "openings", f'in "{plan}" no opening of {part.name} is there: water never enters it',
                            "See brought_by and taken_by of those marks, if it can", LOOK,
                        )
                    )  # fmt: skip
                    break


def check_inside(solids: Parts, spaces: Names, problems: Problems) -> None:
    """A tight solid stands inside a space of the boat."""
    for row, part in solids.made:
        if isinstance(part, Pod) and part.inside and solids.table is not None:
            _check_name(part.inside, spaces, "space of spaces.csv", solids.table, row, "inside", problems)


def check_marks_of_readings(settings: Settings, marks: Names, problems: Problems) -> None:
    """Readings were taped at marks of the boat."""
    for column, mark in settings.readings.items():
        _check_name(mark, marks, "mark", SETTINGS, None, f"[readings] {column}", problems)


def check_unused(settings: Settings, packages: Names, problems: Problems) -> None:
    """A ledger without any plan that uses it is worth a look."""
    if packages and not any(settings.plans.values()):
        problems.append(
            Problem(
                SETTINGS, None, "[plans]", "", f"no plan uses the {len(packages)} packages of {FILE}",
                'Write under [plans] "first plan" = ["...", "..."]', LOOK,
            )
        )  # fmt: skip


def _check_name(
    name: str, known: Names, what: str, where: Table | str, row: Row | None, column: str, problems: Problems
) -> None:
    """A Problem where `name` is not among `known`, with the nearest that is."""
    if known is None or name in known:
        return
    near = difflib.get_close_matches(name, list(known), n=1)
    listed = ", ".join(list(known)[:8]) + (", ..." if len(known) > 8 else "")
    hint = f'Did you mean "{near[0]}"?' if near else f"There are: {listed}" if known else "There is none"
    expected = f'there is no {what} called "{name}"'
    if isinstance(where, Table):
        problems.append(where.problem(row, column, expected, hint))
    else:
        problems.append(Problem(where, row.number if row else None, column, name, expected, hint))


def _name_column(table: Table) -> str:
    return next(iter(table.heads))
