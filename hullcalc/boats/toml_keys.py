"""Keys of a TOML table with their units: `mass_kg = 1612`, `mass = "3554 lb"`, `lcg_m`, `tcg = "0.004 P"`.

Nothing is raised: what cannot be read becomes a Problem, and keys that nobody asked for are pointed out at the end.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from typing import Any

from hullcalc.errors import LOOK, MEND, Problem, Problems
from hullcalc.units import NotUnderstood, find_unit, read_position, read_quantity


class Keys:
    """Reads one table of a TOML file, `section` being its name ("" for the top of the file)."""

    def __init__(self, table: Mapping[str, Any], file: str, section: str, problems: Problems) -> None:
        self.table, self.file, self.section, self.problems = table, file, section, problems
        self.asked: list[str] = []

    def report(self, key: str, read: object, expected: str, mend: str, level: str = MEND, weight: float = 0.0) -> None:
        """Add a Problem at `key`."""
        column = f"[{self.section}] {key}" if self.section else key
        self.problems.append(Problem(self.file, None, column, _shown(read), expected, mend, level, weight))

    def quantity(self, name: str, kind: str, required: bool = False, example: str = "") -> float | None:
        """SI value of `name`, `name_UNIT`; None where it is missing or cannot be read."""
        return self._read(name, kind, required, example, lambda text, unit: read_quantity(text, kind, unit).value)

    def position(self, name: str, axis: str, required: bool = False, example: str = "") -> float | None:
        """Coordinate [m] of `name`, `name_UNIT` along an axis of the boat."""
        return self._read(name, "length", required, example, lambda text, unit: read_position(text, axis, unit).value)

    def text(self, name: str, required: bool = False, choices: tuple[str, ...] = (), default: str = "") -> str:
        """A text, one of `choices` where given."""
        value = self._take(name)
        listed = f"one of: {', '.join(choices)}" if choices else "a text in quotes"
        if value is None:
            if required:
                self.report(name, "", f"{name} is missing", f'Write {name} = "..."')
            return default
        if not isinstance(value, str) or (choices and value not in choices):
            near = difflib.get_close_matches(str(value), choices, n=1)
            hint = f' Did you mean "{near[0]}"?' if near else ""
            self.report(
                name, value, f"expected {listed}", f'Write {name} = "{choices[0] if choices else "..."}".{hint}'
            )
            return default
        self.problems.fine += 1
        return value

    def flag(self, name: str, default: bool = False) -> bool:
        """true or false."""
        value = self._take(name)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.report(name, value, "expected true or false", f"Write {name} = true, without quotes")
            return default
        self.problems.fine += 1
        return value

    def names(self, name: str) -> tuple[str, ...] | None:
        """A list of texts; None where it is missing or is none."""
        value = self._take(name)
        return None if value is None else self.checked_names(name, value)

    def checked_names(self, key: str, value: Any) -> tuple[str, ...] | None:
        """`value` as a tuple of texts, or None with a Problem."""
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            self.report(key, value, "expected a list of names", 'Write it as ["first name", "second name"]')
            return None
        self.problems.fine += 1
        return tuple(value)

    def sub(self, name: str) -> Keys:
        """The table `name` inside this one; an empty one where it is missing."""
        value = self._take(name)
        if value is not None and not isinstance(value, Mapping):
            self.report(name, value, "expected a table", f"Begin it with a line [{name}]")
        section = f"{self.section}.{name}" if self.section else name
        return Keys(value if isinstance(value, Mapping) else {}, self.file, section, self.problems)

    def raw(self, name: str) -> Any:
        """The value of `name` as TOML has it; None where it is missing."""
        return self._take(name)

    def finish(self, strict: bool = False) -> None:
        """Point out each key that nobody asked for: to mend where it is near a known one, or all count."""
        for key in self.table:
            if key in self.asked:
                continue
            known = [name for name in self.asked if name not in self.table]
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.75)
            if near:
                self.report(key, key, f"expected {near[0]}?", f"Write {near[0]}, or take the line out")
            elif strict:
                known_here = ", ".join(dict.fromkeys(self.asked))
                self.report(key, key, "not known here", f"Known here: {known_here}, with a unit. Take the line out")
            else:
                self.report(key, key, "not known here; kept, not used", "Take it out if it is a slip", LOOK)

    def _take(self, name: str) -> Any:
        self.asked.append(name)
        return self.table.get(name)

    def _read(
        self, name: str, kind: str, required: bool, example: str, parse: Callable[[str, str | None], float]
    ) -> float | None:
        found = [key for key in self.table if key == name or _unit_of(key, name, kind) is not None]
        self.asked += found or [name]
        shown = example or f"{name} = ..."
        if not found:
            if required:
                self.report(name, "", f"{name} is missing", f"Write {shown}")
            return None
        if len(found) > 1:
            self.report(found[1], self.table[found[1]], f"{name} is given twice", f"Keep one of {' and '.join(found)}")
            return None
        key = found[0]
        value = self.table[key]
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            self.report(key, value, "expected a figure", f"Write {shown}")
            return None
        text = value if isinstance(value, str) else f"{value:.15g}"
        try:
            result = parse(text, _unit_of(key, name, kind))
        except NotUnderstood as problem:
            self.report(key, text, problem.expected, problem.mend)
            return None
        self.problems.fine += 1
        return result


def _unit_of(key: str, name: str, kind: str) -> str | None:
    """The unit in a key such as mass_kg; None where the key is not `name` with a unit."""
    if not key.startswith(f"{name}_"):
        return None
    unit = key[len(name) + 1 :]
    try:
        find_unit(unit, kind)
    except NotUnderstood:
        return None
    return unit


def _shown(read: object) -> str:
    text = str(read)
    return text if len(text) <= 60 else f"{text[:60]}…"
