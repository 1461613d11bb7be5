"""What a person typed becomes SI: quantities and positions, by kind, with the unit of the cell or of its column head.

Positions are in boat axes: x forward, y to port, z up; words (aft, S, below) carry the sign, and win over it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from hullcalc.units.grammar import NotUnderstood, take_eighths, take_number, take_sign, tidy
from hullcalc.units.names import KINDS, find_unit, lookup, say_units, to_si

_COMPOUND = {"ft": ("in", 12), "lb": ("oz", 16)}  # the smaller unit must stay below one of the larger
_TWO_UNITS = re.compile(r"""([0-9]{1,9}) ?([A-Za-z]+|[A-Za-z]+\.(?= )|')(?:-| - | ?)([0-9].*)""")
_DECIMAL_UNITS = ("m", "mm", "cm", "kg", "g", "t", "L", "%")
_TEXT_LIMIT = 80  # a number longer than this is none, and no pattern should chew on it

_WORDS = {
    "x": ({"forward": 1, "fwd": 1, "aft": -1}, "0.55 aft or 0.55 fwd"),
    "y": (
        {"port": 1, "p": 1, "starboard": -1, "stbd": -1, "stb": -1, "s": -1},
        "0.35 P (port), 0.35 S (starboard) or CL (centreline)",
    ),
    "z": ({"above": 1, "up": 1, "below": -1, "down": -1}, "0.10 above or 0.10 below"),
}
_CENTRELINE = re.compile(r"(on )?(the )?(cl|c/l|centre|center|centreline|centerline)", re.IGNORECASE)


@dataclass(frozen=True)
class Reading:
    """A quantity as read: `value` in SI, and the `unit` it was given in ("" for none), to say figures back in it.

    `from_cell` is true where the text itself named the unit; `worded` where a word such as "aft" gave the direction.
    """

    value: float
    unit: str
    from_cell: bool
    worded: bool = False


def parse_quantity(text: str, kind: str, unit: str | None = None, decimal_comma: bool | None = False) -> float:
    """The SI value of a quantity as typed.

    Parameters
    ----------
    text : str
        Such as "214", "472 lb", "28 ft 4 1/2 in", "28-4-4", "½ in".
    kind : str
        "mass" (kg), "length" (m), "volume" (m3), "density" (kg/m3), "angle" (rad; bare numbers are degrees),
        "fraction" (95 % or 0.95 -> 0.95), "number", or another key of `names.KINDS`.
    unit : str, optional
        Unit of a bare number, as in the column head. A unit in `text` wins.
    decimal_comma : bool or None
        See `grammar.take_number`.

    Raises
    ------
    NotUnderstood
        With what was expected and how to mend it; never a guess, never a NaN or infinity.
    """
    return read_quantity(text, kind, unit, decimal_comma).value


def parse_position(
    text: str, axis: str, unit: str | None = None, decimal_comma: bool | None = False, direction: int = 1
) -> float:
    """The coordinate [m] of a position as typed on `axis` "x" (forward), "y" (port) or "z" (up).

    "0.35 S", "0.55 aft", "0.10 below" take their sign from the word. A bare number counts along `direction` (-1 where
    the file counts aft); a word says its own direction from the same origin.
    """
    return read_position(text, axis, unit, decimal_comma, direction).value


def read_quantity(text: str, kind: str, unit: str | None = None, decimal_comma: bool | None = False) -> Reading:
    """As `parse_quantity`, with the unit that was used."""
    about = KINDS[kind]
    plain = tidy(text) if len(text) <= _TEXT_LIMIT else ""
    if not plain:
        raise NotUnderstood(f"expected {about.title}", f"Type it as in {about.example}")
    sign, body = take_sign(plain)
    try:
        reading = _eighths(body, kind) or _two_units(body, kind, decimal_comma)
        if reading is None:
            number, rest = take_number(body, decimal_comma)
            if not rest:
                _refuse_metric_fraction(body, number, kind, unit)
            reading = _with_unit(number, rest, kind, unit)
    except NotUnderstood as problem:
        raise _with_direction(problem, "-" if sign < 0 else "", "") from None
    value = sign * reading.value + 0.0  # no -0
    if not abs(value) <= about.limit:
        raise NotUnderstood(
            f"expected {about.title} of a size a small boat can have",
            f"Too many digits, or another unit? Write as {about.example}",
        )
    return Reading(value, reading.unit, reading.from_cell)


def read_position(
    text: str, axis: str, unit: str | None = None, decimal_comma: bool | None = False, direction: int = 1
) -> Reading:
    """As `parse_position`, with the unit that was used."""
    words, example = _WORDS[axis]
    plain = tidy(text) if len(text) <= _TEXT_LIMIT else ""
    if axis == "y" and _CENTRELINE.fullmatch(plain):
        return Reading(0.0, unit or "", False, worded=True)
    match = re.fullmatch(r"(.*[^A-Za-z])([A-Za-z]+)\.?", plain)
    word = match[2].casefold() if match else ""
    if match and word in words:
        amount = match[1].rstrip()
        if axis == "y":
            amount = re.sub(r"\s+to$", "", amount)
        try:
            reading = read_quantity(amount, "length", unit, decimal_comma)
        except NotUnderstood as problem:
            raise _with_direction(problem, "", f" {match[2]}") from None
        sign, plain_amount = take_sign(tidy(amount))
        if sign < 0 and reading.value != 0:
            raise NotUnderstood(f'expected a sign or "{match[2]}", not both', f"Write {plain_amount} {match[2]}")
        return Reading(words[word] * reading.value + 0.0, reading.unit, reading.from_cell, worded=True)
    if axis == "y" and word[-1:] == "s" and lookup(word, "length") and lookup(word[:-1], "length"):
        one = word[:-1]
        raise NotUnderstood(
            f'expected a side: the s of "{match[2]}" may stand for starboard',  # type: ignore[index]
            f"Write {match[1].strip()} {one} S, or {match[1].strip()} {one} P",  # type: ignore[index]
        )
    for other, (its_words, _) in _WORDS.items():
        if other != axis and word in its_words:
            raise NotUnderstood(f'expected a place along {axis}; "{match[2]}" belongs to {other}', f"Write {example}")  # type: ignore[index]
    if re.search(r"[A-Za-z] of |^[A-Za-z]+ [0-9]", plain):
        raise NotUnderstood(
            "expected a figure, a unit and one word", f"Write {example}; the datum line says from where"
        )
    reading = read_quantity(text, "length", unit, decimal_comma)
    return Reading(direction * reading.value + 0.0, reading.unit, reading.from_cell)


def _eighths(body: str, kind: str) -> Reading | None:
    """A length such as 28-4-4, or None where there is none."""
    eighths = take_eighths(body) if kind == "length" else None
    if eighths is None:
        return None
    inches, rest = eighths
    if rest:
        raise NotUnderstood("expected nothing after feet-inches-eighths", "Write 28-4-4 alone")
    return Reading(to_si(inches, "in", kind), "ft", True)


def _two_units(body: str, kind: str, decimal_comma: bool | None) -> Reading | None:
    """28 ft 4 1/2 in, 28' 4 1/2", 12 lb 4 oz, or None; the mark of the smaller unit may be left out."""
    match = _TWO_UNITS.fullmatch(body)
    large = lookup(match[2], kind) if match else None
    if match is None or large is None or large.label not in _COMPOUND:
        return None
    small, count = _COMPOUND[large.label]
    more, tail = take_number(match[3], decimal_comma)
    if tail and (lookup(tail, kind) is None or find_unit(tail, kind).label != small):
        raise NotUnderstood(
            f"expected {large.label} and then {small}", f"Write it as in 28 {large.label} 4 1/2 {small}"
        )
    if more >= count or re.match("[0-9]{3}", match[3]):
        raise NotUnderstood(
            f"expected fewer than {count} {small} after the {large.label}",
            f"Write it as in 28 {large.label} 4 1/2 {small}",
        )
    return Reading(to_si(int(match[1]) * count + more, small, kind), large.label, True)


def _with_direction(problem: NotUnderstood, sign: str, word: str) -> NotUnderstood:
    """The same, with the sign or the word of direction that was typed put back into the figures it says to write."""

    def whole(match: re.Match[str]) -> str:
        unit = match[3] or ""
        told = f" {unit}{word}" if unit and lookup(unit, "length") else f"{word} {unit}".rstrip()
        return f"{match[1]} {sign}{match[2]}{told}"

    mend = re.sub(r"\b(Write|or) ([0-9]+(?:\.[0-9]+)?)(?: ([A-Za-z%]+))?(?![0-9/-])", whole, problem.mend)
    return NotUnderstood(problem.expected, mend)


def _refuse_metric_fraction(body: str, number: float, kind: str, unit: str | None) -> None:
    """Fractions are read off inch tapes and gauges: under a metric or per cent head one would be misread."""
    if not unit or "/" not in body or find_unit(unit, kind).label not in _DECIMAL_UNITS:
        return
    if kind == "fraction":
        raise NotUnderstood("expected per cent, not a fraction", f"Write {100 * number:g}")
    inches = f"{body} in if it was read off an inch tape, or " if kind == "length" else ""
    raise NotUnderstood(
        f"expected decimals, as the column is in {find_unit(unit, kind).label}", f"Write {inches}{number:g}"
    )


def _with_unit(number: float, rest: str, kind: str, unit: str | None) -> Reading:
    """The magnitude of a number followed by `rest`: a unit or nothing."""
    if not rest:
        return _bare(number, kind, unit)
    if re.match(r"[-–]|(to|or)\b|±|\+|\*|x\b", rest):
        raise NotUnderstood(
            "expected one number, not a range or a sum", "Type the best single figure; say how sure it is in its basis"
        )
    if re.match(r"[0-9./,:'?]|.* [0-9]", rest) and not lookup(rest, kind):
        both = " or 28 ft 4 1/2 in" if kind == "length" else ""
        raise NotUnderstood("expected one number and its unit", f"Write it as in {KINDS[kind].example}{both}")
    found = find_unit(rest, kind)
    return Reading(to_si(number, found.label, kind), found.label, True)


def _bare(number: float, kind: str, unit: str | None) -> Reading:
    if kind == "number":
        return Reading(number, "", False)
    if unit:
        found = find_unit(unit, kind)
        return Reading(to_si(number, found.label, kind), found.label, False)
    if kind == "angle":
        return Reading(to_si(number, "deg", kind), "deg", False)
    if kind == "fraction":
        if number <= 1:
            return Reading(number, "", False)
        raise NotUnderstood(
            "expected a share: percent with its mark, or 0 to 1", f"Write {number:g} % if that is meant"
        )
    raise NotUnderstood(
        f"expected {KINDS[kind].title} with its unit",
        f"Write {number:g} {KINDS[kind].units[0].label}, or name the unit in the column head: {say_units(kind)}",
    )
