"""Numbers as people write them: read right or refused with a reason, never misread; and figures said in their words."""

import math
import re
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from hullcalc.errors import InputError
from hullcalc.units import (
    NotUnderstood,
    factor,
    parse_position,
    parse_quantity,
    read_quantity,
    say_heel,
    say_height,
    say_in,
    say_length_mm,
    say_mass,
    say_position,
    say_trim,
    say_volume,
)
from hullcalc.units.grammar import decimal_comma_of
from hullcalc.units.names import KINDS, lookup

steady = settings(deadline=None, derandomize=True, database=None, max_examples=400)
INCH = Fraction(254, 10000)  # m, exact
POUND = Fraction(45359237, 100000000)  # kg, exact

READ = [  # text, kind, unit of the head, SI value as a fraction of exact definitions
    ("214", "mass", "kg", 214),
    ("0", "mass", "kg", 0),
    ("-0", "mass", "kg", 0),
    ("+3.5", "mass", "kg", Fraction(7, 2)),
    ("− 12", "length", "mm", Fraction(-12, 1000)),  # the minus of typesetters
    ("–12", "length", "mm", Fraction(-12, 1000)),  # a dash that a word processor made of it
    ("12.", "mass", "kg", 12),
    (".5", "mass", "kg", Fraction(1, 2)),
    ("1.5E+03", "mass", "kg", 1500),  # as spreadsheets write large figures
    ("214", "mass", "lb", 214 * POUND),
    ("472 lb", "mass", "kg", 472 * POUND),  # the cell wins over the head
    ("472LBS.", "mass", "kg", 472 * POUND),
    ("12 lb 4 oz", "mass", None, Fraction(49, 4) * POUND),
    ("0.2 t", "mass", None, 200),
    ("1 long ton", "mass", None, 2240 * POUND),
    ("28 ft 4 1/2 in", "length", None, Fraction(681, 2) * INCH),
    ("28' 4 1/2\"", "length", None, Fraction(681, 2) * INCH),
    ("28’ 4½″", "length", "m", Fraction(681, 2) * INCH),
    ("28'-4 1/2\"", "length", None, Fraction(681, 2) * INCH),
    ("28' 4-1/2''", "length", None, Fraction(681, 2) * INCH),
    ("28-4-4", "length", "m", Fraction(681, 2) * INCH),
    ("-0-4-3", "length", "m", Fraction(-35, 8) * INCH),
    ("6'4", "length", None, 76 * INCH),
    ("28.5 ft", "length", None, 342 * INCH),
    ("4 1/2", "length", "in", Fraction(9, 2) * INCH),
    ("½ in", "length", None, INCH / 2),
    ("4 ⅝ in", "length", None, Fraction(37, 8) * INCH),
    ("-⅜", "length", "in", Fraction(-3, 8) * INCH),
    ("1 11/16 in", "length", None, Fraction(27, 16) * INCH),
    ("347 mm", "length", "m", Fraction(347, 1000)),
    ("92 US gal", "volume", None, 92 * 231 * INCH**3),
    ("92 U.S. gal", "volume", "l", 92 * 231 * INCH**3),
    ("92", "volume", "us_gal", 92 * 231 * INCH**3),
    ("10 imp. gal.", "volume", None, Fraction(4546090, 10**8)),
    ("144 litres", "volume", None, Fraction(144, 1000)),
    ("0.144 m³", "volume", None, Fraction(144, 1000)),
    ("1025", "density", "kg_m3", 1025),
    ("0.74 kg/L", "density", None, 740),
    ("95 %", "fraction", None, Fraction(95, 100)),
    ("95%", "fraction", None, Fraction(95, 100)),
    ("95", "fraction", "percent", Fraction(95, 100)),
    ("0.95", "fraction", None, Fraction(95, 100)),
    ("7/8", "fraction", None, Fraction(7, 8)),
    ("1", "fraction", None, 1),
    ("3", "number", None, 3),
]


@pytest.mark.parametrize(("text", "kind", "unit", "expected"), READ)
def test_read_right(text, kind, unit, expected):
    value = parse_quantity(text, kind, unit)
    assert value == pytest.approx(float(expected), rel=1e-15, abs=0)
    assert math.copysign(1, value) == 1 or value < 0  # never -0


def test_angles_are_degrees_unless_said():
    assert parse_quantity("14", "angle") == pytest.approx(math.radians(14), rel=1e-15)
    assert parse_quantity("14°", "angle") == pytest.approx(math.radians(14), rel=1e-15)
    assert parse_quantity("0.25 rad", "angle") == 0.25
    assert parse_quantity("14 deg", "angle", "rad") == pytest.approx(math.radians(14), rel=1e-15)


REFUSED = [  # text, kind, unit of the head, what the words must hold
    ("5,5 kg", "mass", None, "decimal point, not a comma.*5.5"),
    ("1,612", "mass", "kg", "may mean 1612 or 1.612"),
    ("1 612", "mass", "kg", "spaces or marks between thousands"),
    ("1\u202f612", "mass", "kg", "spaces or marks between thousands"),
    ("1'612", "length", "m", "fewer than 12 in"),
    ("1'004", "length", "m", "fewer than 12 in"),
    ("1'612", "mass", "kg", "one number and its unit"),
    ("1,612,000", "mass", "kg", "thousands"),
    ("1.612,5", "mass", "kg", "thousands"),
    ("1.2.3", "mass", "kg", "thousands"),
    ("92 gal", "volume", None, "US gal or imp gal"),
    ("92", "volume", "gal", "US gal or imp gal"),
    ("6 lb/gal", "density", None, "lb/US gal or lb/imp gal"),
    ("3 tons", "mass", None, "short ton or long ton"),
    ("12", "mass", None, "with its unit"),
    ("12 ft", "mass", "kg", 'expected a mass, but "ft" is a length'),
    ("12 kg", "number", None, "without a unit"),
    ("7 N", "mass", None, "is a force"),
    ("12 furlongs", "length", None, "no unit of it"),
    ("12 kilogramm", "mass", None, "Did you mean kg"),
    ("3 m 20 cm", "length", None, "one number and its unit|no unit of it"),
    ("28 ft 14 in", "length", None, "fewer than 12 in"),
    ("28.5 ft 3 in", "length", None, "28 ft 4 1/2 in"),
    ("28 ft -4 in", "length", None, "no unit of it"),
    ("28 ft.5 in", "length", None, "no unit of it|28 ft 4"),
    ("28 ft 4 lb", "length", None, "ft and then in"),
    ("28-14-4", "length", None, "inches up to 11"),
    ("28-4-8", "length", None, "eighths up to 7"),
    ("2025-04-03", "length", "m", "may be a date"),
    ("28-04-04", "length", "m", "may be a date"),
    ("28-4-4", "mass", "kg", "not a range"),
    ("28-4", "length", "m", "not a range"),
    ("11/2 in", "length", None, "fraction such as"),
    ("2 3/8", "length", "m", "as the column is in m. Write 2 3/8 in if"),
    ("4 1/2", "mass", "kg", "as the column is in kg. Write 4.5"),
    ("3/4", "fraction", "percent", "per cent, not a fraction. Write 75"),
    ("10/12", "length", "m", "fraction such as"),
    ("3/4/25", "length", "m", "one number"),
    ("1/0", "mass", "kg", "fraction such as"),
    ("½5", "length", "m", "one number"),
    ("5³", "length", "m", "no unit of it"),
    ("5 m.m", "length", None, "no unit of it"),
    ("12 ± 1", "mass", "kg", "not a range"),
    ("10 to 12", "mass", "kg", "not a range"),
    ("10-12", "mass", "kg", "not a range"),
    ("3 x 35", "mass", "kg", "not a range or a sum"),
    ("12+4", "mass", "kg", "not a range or a sum"),
    ("~12", "mass", "kg", "nothing before it"),
    ("ca. 12", "mass", "kg", "nothing before it"),
    ("<5", "mass", "kg", "nothing before it"),
    ("(12)", "mass", "kg", "without brackets"),
    ("--5", "mass", "kg", "one sign"),
    ("12-", "mass", "kg", "not a range"),
    ("kg 12", "mass", "kg", "number first"),
    ("about 12", "mass", "kg", "nothing before it"),
    ("unknown", "mass", "kg", "number first"),
    ("-", "mass", "kg", "leave a cell empty"),
    ("", "mass", "kg", "expected a mass"),
    ("   ", "mass", "kg", "expected a mass"),
    ("nan", "mass", "kg", "expected a number"),
    ("NaN kg", "mass", "kg", "expected a number"),
    ("inf", "mass", "kg", "expected a number"),
    ("-Infinity", "mass", "kg", "number"),
    ("1e308", "mass", "kg", "small boat"),
    ("1e400", "mass", "kg", "ordinary size"),
    ("1e-400", "mass", "kg", "ordinary size"),
    ("9" * 70, "mass", "kg", "small boat"),
    ("9" * 5000, "mass", "kg", "expected a mass"),
    ("12/" + "9" * 50, "mass", "kg", "ordinary size"),
    ("=A1*2", "mass", "kg", "a formula"),
    ("#REF!", "mass", "kg", "error mark"),
    ("#N/A", "mass", "kg", "error mark"),
    ("#DIV/0!", "mass", "kg", "error mark"),
    ("Err:502", "mass", "kg", "error mark"),
    ("####", "mass", "kg", "too narrow"),
    ("95", "fraction", None, "percent.*95 %"),
    ("95 kg", "fraction", None, "is a mass"),
    ("١٢", "mass", "kg", "number first"),  # figures of another script
    ("__import__('os')", "mass", "kg", "number first"),
    ("2**9", "mass", "kg", "not a range or a sum"),
]


@pytest.mark.parametrize(("text", "kind", "unit", "words"), REFUSED)
def test_refused_with_a_reason_and_a_mend(text, kind, unit, words):
    with pytest.raises(NotUnderstood) as caught:
        parse_quantity(text, kind, unit)
    assert isinstance(caught.value, InputError)
    assert re.search(words, str(caught.value))
    assert caught.value.mend


def test_decimal_comma_where_said():
    assert parse_quantity("0,35", "length", "m", decimal_comma=True) == 0.35
    assert parse_quantity("1,612 t", "mass", None, decimal_comma=True) == 1612
    assert parse_quantity("12,5 kg", "mass", decimal_comma=None) == 12.5
    assert parse_quantity("0.35", "length", "m", decimal_comma=True) == 0.35  # one meaning only
    for text, comma in (("1.612", True), ("1.612", None), ("1,612", None), ("1.612,5", True), ("1,612.5", None)):
        with pytest.raises(NotUnderstood, match=r"1612|thousands"):
            parse_quantity(text, "mass", "kg", decimal_comma=comma)


def test_what_cells_tell_about_the_decimal_mark():
    assert decimal_comma_of(["12", "0,35", "1,612", "2,075"]) is True
    assert decimal_comma_of(["12", "0.35 m S", "-0.118"]) is False
    assert decimal_comma_of(["1,612", "2,075"]) is None  # thousands or decimals
    assert decimal_comma_of(["0,35", "0.35"]) is None
    assert decimal_comma_of([]) is None


# ---- an independent reader of lengths: what it reads must be read so, what it does not know must be refused


def oracle(text):
    """A length [m] as a Fraction where the text has one of the shapes below, else None. Bare numbers are metres."""
    units = {
        "": Fraction(1),
        "m": Fraction(1),
        "mm": Fraction(1, 1000),
        "in": INCH,
        '"': INCH,
        "ft": 12 * INCH,
        "'": 12 * INCH,
    }
    part = r"(?:[0-9]+(?: +|-)[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.?[0-9]*(?:E[-+]?[0-9]+)?|\.[0-9]+(?:E[-+]?[0-9]+)?)"
    text = " ".join(text.replace("½", " 1/2 ").replace("''", '"').split())
    sign = -1 if text[:1] == "-" else 1
    text = text[1:].lstrip() if text[:1] in ("-", "+") else text
    if match := re.fullmatch(r"(0|[1-9][0-9]{0,2})-([0-9]|1[01])-([0-7])", text):
        feet, inches, eighths = map(int, match.groups())
        return sign * (12 * feet + inches + Fraction(eighths, 8)) * INCH
    if match := re.fullmatch(rf"({part}) ?(?:(mm|m|in|ft)\.?|(\"|'|))", text):
        if "/" in match[1] and not (match[2] or match[3]):
            return None  # read off an inch tape, under a head of metres
        value = amount(match[1])
        return None if value is None else sign * value * units[match[2] or match[3]]
    if match := re.fullmatch(rf"([0-9]+) ?(?:ft|ft\.(?= )|')(?:-| - | ?)(?!\.)({part}) ?(?:in\.?|\"|)", text):
        feet, inches = amount(match[1]), amount(match[2])
        if inches is None or inches >= 12:
            return None
        return None if re.match("[0-9]{3}", match[2]) else sign * (12 * feet + inches) * INCH
    return None


def amount(text):
    match = re.fullmatch(r"(?:([0-9]+)(?: +|-))?([0-9]+)/([0-9]+)", text)
    if not match:
        return Fraction(text) if "E" not in text or abs(int(text.split("E")[1])) < 5000 else None
    top, bottom = int(match[2]), int(match[3])
    if bottom not in (2, 3, 4, 5, 6, 8, 16, 32, 64) or not 0 < top < bottom:
        return None
    return int(match[1] or 0) + Fraction(top, bottom)


figures = st.from_regex(r"\A(0|[1-9][0-9]{0,3})(\.[0-9]{0,4})?\Z")
fractions = st.builds(lambda d, n: f"{n % d or 1}/{d}", st.sampled_from([2, 4, 8, 16]), st.integers(1, 15))
pieces = st.sampled_from([*"0123456789.,-+/' \"½E", "ft", "in", "m", " "])
shapes = st.one_of(
    st.lists(pieces, max_size=10).map("".join),
    st.tuples(figures, st.sampled_from(["", " ", "-"]), fractions, st.sampled_from(["", " in", '"', "ft", " m"])).map(
        "".join
    ),
    st.tuples(
        figures, st.sampled_from([" ft ", "' ", "'", "'-", "ft"]), figures, st.sampled_from(["", " in", '"', "''"])
    ).map("".join),
    st.tuples(st.integers(0, 30), st.integers(0, 12), st.integers(0, 9)).map(lambda t: "{}-{}-{}".format(*t)),
)


@steady
@given(shapes)
@example("28 ft 4 1/2 in")
@example("0'1/2\"")
@example("1E1")
@example("1E1 ft")
@example("5 1/2/3")
def test_lengths_are_read_as_an_independent_reader_does_or_refused(text):
    expected = oracle(text)
    if expected is not None and (abs(expected) > 1000 or 0 < abs(expected) < 1e-300):
        expected = None  # no small boat
    try:
        value = parse_quantity(text, "length", "m")
    except NotUnderstood:
        assert expected is None, f"{text!r} refused, could be read as {float(expected)} m"
    else:
        assert expected is not None, f"{text!r} read as {value} m"
        assert value == pytest.approx(float(expected), rel=1e-15, abs=1e-300)


@steady
@given(st.decimals(-900, 900, places=4), st.sampled_from(sorted(u.label for u in KINDS["mass"].units)))
def test_decimals_with_any_unit_of_mass(number, unit):
    text = f"{number:f} {unit}"
    expected = float(Fraction(number)) * factor(unit, "mass")
    assert parse_quantity(text, "mass", "kg") == pytest.approx(expected, rel=1e-15)
    assert parse_quantity(text.replace(".", ",", 1), "mass", "kg", decimal_comma=True) == pytest.approx(
        expected, rel=1e-15
    )


@steady
@given(st.text(max_size=100), st.sampled_from(sorted(KINDS)), st.sampled_from([True, False, None]))
def test_any_text_at_all_is_a_finite_number_or_a_reason(text, kind, decimal_comma):
    try:
        value = parse_quantity(text, kind, decimal_comma=decimal_comma)
    except NotUnderstood as problem:
        assert problem.expected and problem.mend
    else:
        assert math.isfinite(value)


def test_each_name_of_a_unit_means_one_unit_and_each_label_finds_itself():
    for kind, about in KINDS.items():
        names = [name for unit in about.units for name in unit.names.split()]
        assert len(names) == len(set(names))
        for unit in about.units:
            assert lookup(unit.label or "fraction", kind) is unit
            assert factor(unit.label, kind) > 0
        assert about.example and parse_quantity(about.example, kind) > 0  # what we tell people to type can be read


# ---- positions


@pytest.mark.parametrize(
    ("text", "axis", "expected"),
    [
        ("0.35 S", "y", -0.35),
        ("0.35P", "y", 0.35),
        ("0.35 stbd", "y", -0.35),
        ("0.35 starboard", "y", -0.35),
        ("0.35 m port", "y", 0.35),
        ('14" S', "y", -0.3556),
        ("CL", "y", 0.0),
        ("centreline", "y", 0.0),
        ("0 S", "y", 0.0),
        ("-0.35", "y", -0.35),
        ("0.55 aft", "x", -0.55),
        ("0.55 fwd", "x", 0.55),
        ("550 mm aft", "x", -0.55),
        ("2' 6\" aft", "x", -0.762),
        ("2-6-0 aft", "x", -0.762),
        ("2 ft aft", "x", -0.6096),
        ("2ft", "x", 0.6096),
        ("-0.55", "x", -0.55),
        ("0.10 below", "z", -0.10),
        ("0.10 above", "z", 0.10),
        ("0.10 up", "z", 0.10),
        ("0.10 down", "z", -0.10),
    ],
)
def test_positions(text, axis, expected):
    value = parse_position(text, axis, "m")
    assert value == pytest.approx(expected, rel=1e-15)
    assert not (value == 0 and math.copysign(1, value) < 0)


@pytest.mark.parametrize(
    ("text", "axis", "words"),
    [
        ("-0.35 S", "y", "a sign or .*not both"),
        ("-0.55 aft", "x", "a sign or .*not both"),
        ("0.35 S", "x", "belongs to y"),
        ("0.55 aft", "z", "belongs to x"),
        ("S 0.35", "y", "one word"),
        ("aft", "x", "number first"),
        ("0.55 m aft of the transom", "x", "the datum line says from where"),
        ("0.35 S P", "y", "no unit of it"),
        ("1,5 S", "y", "decimal point"),
        ("0.35 kg S", "y", "is a mass"),
        ("0.35", "y", "with its unit"),
        ("x" * 10_000, "x", "expected a length"),
    ],
)
def test_positions_refused(text, axis, words):
    with pytest.raises(NotUnderstood, match=words):
        parse_position(text, axis, None if text == "0.35" else "m")


def test_a_file_that_counts_aft_turns_bare_figures_only():
    assert parse_position("0.6", "x", "m", direction=-1) == -0.6
    assert parse_position("0.6 aft", "x", "m", direction=-1) == -0.6
    assert parse_position("0.6 fwd", "x", "m", direction=-1) == 0.6


# ---- saying


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (say_length_mm(0.3474), "347 mm"),
        (say_length_mm(-0.003), "minus 3 mm"),
        (say_length_mm(-0.0004), "0 mm"),
        (say_length_mm(13.625 * 0.0254, "us"), "13 5/8 in"),
        (say_length_mm(0.25 * 0.0254, "us"), "1/4 in"),
        (say_length_mm(0.0, "us"), "0 in"),
        (say_length_mm(3 * 0.0254, "us"), "3 in"),
        (say_height(0.012), "12 mm above"),
        (say_height(-0.076), "76 mm under"),
        (say_height(0.0004), "at the water"),
        (say_height(-0.0004), "at the water"),
        (say_height(2.625 * 0.0254, "us"), "2 5/8 in above"),
        (say_height(-3 * 0.0254, "us"), "3 in under"),
        (say_height(-0.001, "us"), "at the water"),  # less than a sixteenth
        (say_heel(1.12), "1.1° to starboard"),
        (say_heel(-0.94), "0.9° to port"),
        (say_heel(-0.04), "upright"),
        (say_trim(1.33), "1.3° bow up"),
        (say_trim(-0.4), "0.4° bow down"),
        (say_trim(-0.0), "level"),
        (say_mass(1612.4), "1612 kg"),
        (say_mass(-214), "minus 214 kg"),
        (say_mass(-0.2), "0 kg"),
        (say_mass(100 * 0.45359237, "us"), "100 lb"),
        (say_volume(0.416), "416 L"),
        (say_volume(0.003785411784 * 110, "us"), "110 US gal"),
        (say_position(-0.55, "x"), "0.55 m aft of the transom"),
        (say_position(2.349, "x"), "2.35 m forward of the transom"),
        (say_position(0.001, "x"), "at the transom"),
        (say_position(-0.35, "y"), "0.35 m to starboard"),
        (say_position(0.35, "y"), "0.35 m to port"),
        (say_position(-0.0, "y"), "on the centreline"),
        (say_position(0.6, "z"), "0.60 m above the keel line"),
        (say_position(-0.1, "z"), "0.10 m below the keel line"),
        (say_position(-33 * 0.0254, "x", "us"), "2 ft 9 in aft of the transom"),
        (say_position(24 * 0.0254, "y", "us"), "2 ft to port"),
        (say_position(4.5 * 0.0254, "y", "us"), "4 1/2 in to port"),
        (say_in(2680.0, "mass", "kg"), "2680 kg"),
        (say_in(100 * 0.45359237, "mass", "lb"), "100 lb"),
        (say_in(0.95, "fraction", "%"), "95 %"),
        (say_in(0.95, "fraction", ""), "0.95"),
        (say_in(-0.0, "mass", "kg"), "0 kg"),
        (say_in(1234567.0, "number", ""), "1235000"),
    ],
)
def test_said(said, expected):
    assert said == expected


@steady
@given(st.floats(-30, 30), st.sampled_from(["metric", "us"]))
def test_no_saying_has_a_bare_sign_and_none_is_further_off_than_its_rounding(value, system):
    sayings = [say_length_mm(value, system), say_height(value, system), say_heel(value), say_trim(value)]
    sayings += [say_mass(value, system), say_volume(value, system), *(say_position(value, a, system) for a in "xyz")]
    assert not any("-" in said or "+" in said or "nan" in said for said in sayings)
    smallest = 0.0005 if system == "metric" else 0.0254 / 16
    text = say_length_mm(value, system).replace("minus ", "-")
    assert parse_quantity(text, "length") == pytest.approx(value, abs=smallest * 1.0001)
    height = say_height(value, system)
    assert ("under" in height, "above" in height) == (value < -smallest, value > smallest) or abs(
        value
    ) < 1.01 * smallest
    place = say_position(value, "y", system)
    assert parse_position(place, "y") == pytest.approx(value, abs=0.00501 if system == "metric" else 0.0254 / 15)


def test_nan_is_never_said():
    for say in (say_length_mm, say_height, say_heel, say_trim, say_mass, say_volume):
        with pytest.raises(InputError, match="finite"):
            say(math.nan)
    with pytest.raises(InputError, match="finite"):
        say_position(math.inf, "x")


def test_a_reading_keeps_the_unit_to_say_figures_back_in():
    assert read_quantity("472 lbs", "mass", "kg").unit == "lb"
    assert read_quantity("28' 4\"", "length", "m").unit == "ft"
    assert not read_quantity("214", "mass", "kg").from_cell


@pytest.mark.parametrize(
    ("text", "axis", "unit", "mend"),
    [
        ("-0.37", "x", None, "Write -0.37 m, or"),
        ("-0,70", "y", "m", "Write -0.70"),
        ("0,70 S", "y", "m", "Write 0.70 S"),
        ("0.239 aft", "x", None, "Write 0.239 m aft, or"),
        ("1,612 S", "y", "m", "Write 1612 S, or 1.6120 S for"),
        ("27 inS", "y", "m", "Write 27 in S, or 27 in P"),
        ("27 ins", "y", "m", "Write 27 in S, or 27 in P"),
    ],
)
def test_what_to_write_keeps_the_side_that_was_typed(text, axis, unit, mend):
    with pytest.raises(NotUnderstood) as caught:
        parse_position(text, axis, unit)
    assert caught.value.mend.startswith(mend)
