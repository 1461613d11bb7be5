"""One cell of a table: its text becomes a value of its column's kind, within the column's bounds, or NotUnderstood."""

from __future__ import annotations

import difflib
import re
from typing import Any

from hullcalc.boats.datum import Datum
from hullcalc.boats.heads import Column
from hullcalc.units import NotUnderstood, Reading, read_position, read_quantity, say_in, say_position
from hullcalc.units.grammar import refuse_spreadsheet_leftovers

LONGEST_TEXT = 2000
_FLAGS = {
    **dict.fromkeys(("yes", "y", "true", "on", "x", "1"), True),
    **dict.fromkeys(("no", "n", "false", "off", "0"), False),
}


def read_figure(column: Column, text: str, unit: str | None, decimal_comma: bool | None, datum: Datum) -> Reading:
    """A quantity in SI or a position in boat axes; `unit` is that of the head, `datum` where and which way x counts."""
    if column.kind == "x":
        reading = read_position(text, "x", unit, decimal_comma, datum.direction)
        # a word counts from the file's origin too, but says its own direction
        reading = Reading(datum.origin_x + reading.value, reading.unit, reading.from_cell, reading.worded)
    elif column.kind in ("y", "z"):
        reading = read_position(text, column.kind, unit, decimal_comma)
    else:
        reading = read_quantity(text, column.kind, unit, decimal_comma)
    _check_bounds(column, reading)
    return reading


def read_word(column: Column, text: str) -> Any:
    """The value of a text, flag, choice or list."""
    refuse_spreadsheet_leftovers(text)
    if len(text) > LONGEST_TEXT:
        raise NotUnderstood(f"expected a text of at most {LONGEST_TEXT} characters, this has {len(text)}", "Shorten it")
    if column.kind == "flag":
        if text.casefold() not in _FLAGS:
            raise NotUnderstood("expected yes or no", "Write yes or no")
        return _FLAGS[text.casefold()]
    if column.kind == "choice":
        return _choice(column, text)
    if column.kind == "list":
        items = [item.strip() for item in re.split(r"(?:^|\s)\+(?:\s|$)", text)]
        if not all(items):
            raise NotUnderstood("expected names joined by +, none of them empty", 'Write it as in "first + second"')
        return tuple(_choice(column, item) if column.choices else item for item in items)
    return text


def _choice(column: Column, text: str) -> str:
    plain = {re.sub(r"[\s_-]+", " ", choice).casefold(): choice for choice in column.choices}
    key = re.sub(r"[\s_-]+", " ", text).casefold()
    if key in plain:
        return plain[key]
    near = difflib.get_close_matches(key[:60], plain, n=1)
    hint = f'Did you mean "{plain[near[0]]}"?' if near else f'Write one of them, such as "{column.choices[0]}"'
    raise NotUnderstood(f"expected one of: {', '.join(column.choices)}", hint)


def _check_bounds(column: Column, reading: Reading) -> None:
    """Refuse a figure outside the column's bounds, in the unit it was typed in."""
    low, high = column.low, column.high
    if (low is None or reading.value >= low) and (high is None or reading.value <= high):
        return
    if column.kind in ("x", "y", "z"):
        system = "us" if reading.unit in ("ft", "in", "yd") else "metric"
        low_said, high_said = (None if v is None else say_position(v, column.kind, system) for v in (low, high))
    else:
        low_said, high_said = (None if v is None else say_in(v, column.kind, reading.unit) for v in (low, high))
    if low_said and high_said:
        expected = f"expected between {low_said} and {high_said}"
    else:
        expected = f"expected at least {low_said}" if low_said else f"expected at most {high_said}"
    raise NotUnderstood(expected, "Check the figure and its unit; a decimal point may be missing")


def wanted(column: Column) -> str:
    return f"one of: {', '.join(column.choices)}" if column.choices else f"the {column.name}"
