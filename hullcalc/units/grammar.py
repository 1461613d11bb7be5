"""Numbers as people write them: signed decimals, fractions, feet-inches-eighths, with a decimal point or comma.

A number is read right or refused with a reason and a mend; nothing is guessed. Grouped thousands (1,612 or 1 612) are
refused always, for one grouping is another country's decimal. No unit is known here.
"""

from __future__ import annotations

import math
import re

from hullcalc.errors import InputError

VULGAR = {
    **{"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5"},
    **{"⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"},
}
DENOMINATORS = (2, 3, 4, 5, 6, 8, 16, 32, 64)  # what tapes and fuel gauges show; 10/12 is more likely a date
SPREADSHEET_ERRORS = re.compile(r"#(REF!|N/A|DIV/0!|VALUE!|NAME\?|NUM!|NULL!|SPILL!|CALC!)|ERR:\d+", re.IGNORECASE)

# A space on both sides keeps 4½ from becoming 41/2, and ½5 from becoming 1/25.
_LOOKALIKES = str.maketrans(
    {
        **{mark: f" {fraction} " for mark, fraction in VULGAR.items()},
        **dict.fromkeys("−–‐‑", "-"),
        **dict.fromkeys("’‘′", "'"),
        **dict.fromkeys("”“″", '"'),
        **dict.fromkeys("\u00a0\u2007\u2009\u202f\t\r\n", " "),
        "⁄": "/",
    }
)
_MIXED = re.compile(r"([0-9]+)(?: +|-)([0-9]+)/([0-9]+)")
_FRACTION = re.compile(r"([0-9]+)/([0-9]+)")
_DECIMAL = re.compile(r"(?:([0-9]+)(?:([.,])([0-9]*))?|()([.,])([0-9]+))([eE][+-]?[0-9]+)?")
_EIGHTHS = re.compile(r"([0-9]+)-([0-9]+)-([0-9]+)(?![0-9/.,-])")
_LOOKS_DECIMAL = re.compile(r"\s*[-+−–]?\s*([0-9]*)([.,])([0-9]+)(?:[^0-9.,][^.,]*)?")


class NotUnderstood(InputError):  # noqa: N818  it reads as what it says
    """A text that cannot be read as what was asked for: `expected` says what was looked for, `mend` what to type."""

    def __init__(self, expected: str, mend: str) -> None:
        super().__init__(f"{expected}. {mend}")
        self.expected, self.mend = expected, mend


def tidy(text: str) -> str:
    """The text with typographic marks replaced by plain ones, and spaces single."""
    return " ".join(text.translate(_LOOKALIKES).replace("''", '"').split())


def take_sign(text: str) -> tuple[int, str]:
    """(+1 or -1, rest) of a tidied text."""
    if text[:1] in ("-", "+"):
        return (-1 if text[0] == "-" else 1), text[1:].lstrip()
    return 1, text


def take_eighths(text: str) -> tuple[float, str] | None:
    """(inches, rest) of an unsigned feet-inches-eighths such as 28-4-4, or None where there is none."""
    match = _EIGHTHS.match(text)
    if not match:
        return None
    feet, inches, eighths = (int(group) for group in match.groups())
    padded = any(len(group) > 1 and group[0] == "0" for group in match.groups())
    if padded or feet > 999 or inches > 11 or eighths > 7:
        raise NotUnderstood(
            "expected feet-inches-eighths such as 28-4-4, with inches up to 11 and eighths up to 7; this may be a date",
            "Write 28-4-4 without leading zeros, or with units: 28 ft 4 1/2 in",
        )
    return 12.0 * feet + inches + eighths / 8, text[match.end() :].lstrip()


def take_number(text: str, decimal_comma: bool | None = False) -> tuple[float, str]:
    """(value, rest) of the unsigned number that a tidied text begins with.

    `decimal_comma` False refuses a comma; True reads it as decimal mark; None reads either mark where only one meaning
    is possible. In the last two 1.612 or 1,612 with the doubtful mark is refused: sixteen hundred and twelve?
    """
    if match := _MIXED.match(text):
        ones, top, bottom = (_integer(group) for group in match.groups())
        return ones + _proper(top, bottom), text[match.end() :].lstrip()
    if match := _FRACTION.match(text):
        return _proper(*(_integer(group) for group in match.groups())), text[match.end() :].lstrip()
    match = _DECIMAL.match(text)
    if not match:
        raise _no_number(text)
    whole, mark, decimals = match[1] or match[4] or "", match[2] or match[5] or "", match[3] or match[6] or ""
    rest = text[match.end() :]
    _check_mark(whole, mark, decimals, rest, decimal_comma)
    value = float(f"{whole or 0}.{decimals or 0}{match[7] or ''}")
    if not math.isfinite(value) or (value == 0 and re.search("[1-9]", whole + decimals)):
        raise NotUnderstood("expected a number of ordinary size", "Write it out in full, without an exponent")
    return value, rest.lstrip()


def decimal_comma_of(cells: list[str]) -> bool | None:
    """Which mark a list of cells uses for decimals: True the comma, False the point, None where they do not tell.

    Only cells with one possible meaning count: 0,5 and 12,25 show a comma at work, 1,612 shows nothing.
    """
    seen = set()
    for cell in cells:
        match = _LOOKS_DECIMAL.fullmatch(cell)
        if match and not _may_be_thousands(match[1], match[3]):
            seen.add(match[2])
    return seen == {","} if len(seen) == 1 else None


def refuse_spreadsheet_leftovers(text: str) -> None:
    """Raise NotUnderstood for a cell that holds what a spreadsheet left instead of a value."""
    if SPREADSHEET_ERRORS.match(text):
        raise NotUnderstood(
            "this is a spreadsheet's error mark, not a value", "Mend the formula in the spreadsheet and export again"
        )
    if re.fullmatch("#+", text):
        raise NotUnderstood(
            "this is what a spreadsheet shows where a column is too narrow", "Widen the column there and export again"
        )
    if re.match(r"=\S", text):
        raise NotUnderstood(
            "this is a formula, not its result", "In the spreadsheet paste the values only, or type the value"
        )


def _may_be_thousands(whole: str, decimals: str) -> bool:
    return len(decimals) == 3 and 1 <= len(whole) <= 3 and whole[0] != "0"


def _check_mark(whole: str, mark: str, decimals: str, rest: str, decimal_comma: bool | None) -> None:
    if re.match(r"[.,' ]?[0-9]" if mark else r" [0-9]", rest):
        raise NotUnderstood(
            "expected one number without spaces or marks between thousands", "Write its digits together, such as 1612"
        )
    if not mark:
        return
    doubtful = _may_be_thousands(whole, decimals)
    known = decimal_comma is not None and mark == (",", ".")[not decimal_comma]
    if doubtful and not known:
        other = "." if not decimal_comma else ","
        raise NotUnderstood(
            f"expected a plain number: this may mean {whole}{decimals} or {whole}{other}{decimals}",
            f"Write {whole}{decimals}, or {whole}{other}{decimals}0 for the small one",
        )
    if mark == "," and decimal_comma is False:
        raise NotUnderstood("expected a decimal point, not a comma", f"Write {whole or 0}.{decimals or 0}")


def _integer(digits: str) -> int:
    if len(digits) > 9:
        raise NotUnderstood("expected a number of ordinary size", "Write fewer digits")
    return int(digits)


def _proper(top: int, bottom: int) -> float:
    if bottom not in DENOMINATORS or not 0 < top < bottom:
        raise NotUnderstood(
            f"expected a fraction such as 3/8 or 4 1/2, not {top}/{bottom}",
            "Write a whole number, a space and a fraction below one (4 1/2), or decimals (4.5)",
        )
    return top / bottom


def _no_number(text: str) -> NotUnderstood:
    """Why a text that begins with no number is none, in words that mend it."""
    refuse_spreadsheet_leftovers(text)
    if re.fullmatch(r"(nan|inf|infinity|n/?a|null|none)\b.*", text, re.IGNORECASE):
        return NotUnderstood("expected a number", "Type the number, or leave the cell empty if it is not known")
    if text[:1] == "(":
        return NotUnderstood(
            "expected a number without brackets", "Write a plain number, with a minus if it is negative"
        )
    if text.startswith(tuple("~<>≈±")) or re.match(r"(ca|approx|about|abt|circa)\b", text, re.IGNORECASE):
        return NotUnderstood(
            "expected one number and nothing before it", "Type the best figure alone; say how sure it is in its basis"
        )
    if text[:1] in ("-", "+") and re.search("[0-9]", text):
        return NotUnderstood("expected one number with at most one sign", "Type one sign, or none")
    return NotUnderstood(
        "expected a number first", "Type the number, then its unit; leave a cell empty where it is not known"
    )
