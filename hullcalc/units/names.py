"""Units by the names people give them, their kinds and their factors to SI.

Pint supplies the factors only, asked once a unit; its registry is built on first use and never sees
what a person typed.
"""

from __future__ import annotations

import difflib
import functools
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from hullcalc.units.grammar import NotUnderstood


@dataclass(frozen=True)
class Unit:
    """One unit: the `label` we write, the `expression` Pint knows it by, and all the names it answers to."""

    label: str
    expression: str
    names: str


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: its `title` in a sentence, an `example`, the SI unit, a `limit` no boat reaches (SI)."""

    title: str
    example: str
    si: str
    limit: float
    units: tuple[Unit, ...]


_LENGTHS = (
    Unit("m", "meter", "m metre metres meter meters"),
    Unit("mm", "millimeter", "mm millimetre millimetres millimeter millimeters"),
    Unit("cm", "centimeter", "cm centimetre centimetres centimeter centimeters"),
    Unit("in", "inch", 'in ins inch inches "'),
    Unit("ft", "foot", "ft foot feet '"),
    Unit("yd", "yard", "yd yds yard yards"),
)
KINDS: dict[str, Kind] = {
    "mass": Kind(
        "a mass",
        "214 kg",
        "kilogram",
        1e6,
        (
            Unit("kg", "kilogram", "kg kgs kilo kilos kilogram kilograms kgf"),
            Unit("g", "gram", "g gram grams"),
            Unit("t", "metric_ton", "t tonne tonnes metric_ton metric_tons"),
            Unit("lb", "pound", "lb lbs pound pounds lbf"),
            Unit("oz", "ounce", "oz ounce ounces"),
            Unit("short ton", "short_ton", "short_ton short_tons us_ton us_tons"),
            Unit("long ton", "long_ton", "long_ton long_tons imperial_ton imperial_tons"),
            Unit("slug", "slug", "slug slugs"),
        ),
    ),
    "length": Kind("a length", "0.35 m", "meter", 1e3, _LENGTHS),
    "volume": Kind(
        "a volume",
        "150 L",
        "meter ** 3",
        1e4,
        (
            Unit("L", "liter", "l litre litres liter liters ltr ltrs dm3"),
            Unit("mL", "milliliter", "ml cm3 cc"),
            Unit("m3", "meter ** 3", "m3 cu_m cubic_metre cubic_metres cubic_meter cubic_meters"),
            Unit("US gal", "gallon", "us_gal us_gals us_gallon us_gallons usgal gal_us gal_(us)"),
            Unit(
                "imp gal",
                "imperial_gallon",
                "imp_gal imp_gals imp_gallon imp_gallons imperial_gal imperial_gallon "
                "imperial_gallons uk_gal uk_gallon uk_gallons gal_imp gal_(imp)",
            ),
            Unit("ft3", "foot ** 3", "ft3 cu_ft cuft cubic_foot cubic_feet"),
            Unit("in3", "inch ** 3", "in3 cu_in cubic_inch cubic_inches"),
        ),
    ),
    "area": Kind(
        "an area",
        "1.62 m2",
        "meter ** 2",
        1e4,
        (
            Unit("m2", "meter ** 2", "m2 sq_m square_metre square_metres square_meter square_meters"),
            Unit("cm2", "centimeter ** 2", "cm2 sq_cm"),
            Unit("mm2", "millimeter ** 2", "mm2 sq_mm"),
            Unit("ft2", "foot ** 2", "ft2 sq_ft sqft square_foot square_feet"),
            Unit("in2", "inch ** 2", "in2 sq_in"),
            Unit("yd2", "yard ** 2", "yd2 sq_yd"),
        ),
    ),
    "mass per area": Kind(
        "a mass per area",
        "9.7 kg/m2",
        "kilogram / meter ** 2",
        1e4,
        (
            Unit("kg/m2", "kilogram / meter ** 2", "kg/m2 kg_m2 kg_per_m2"),
            Unit("g/m2", "gram / meter ** 2", "g/m2 g_m2 gsm g_per_m2"),
            Unit("lb/ft2", "pound / foot ** 2", "lb/ft2 lb_ft2 lbs/ft2 psf lb_per_ft2"),
            Unit("oz/ft2", "ounce / foot ** 2", "oz/ft2 oz_ft2 oz_per_ft2"),
            Unit("oz/yd2", "ounce / yard ** 2", "oz/yd2 oz_yd2 oz_per_yd2"),
        ),
    ),
    "mass per length": Kind(
        "a mass per length",
        "1.28 kg/m",
        "kilogram / meter",
        1e4,
        (
            Unit("kg/m", "kilogram / meter", "kg/m kg_per_m"),
            Unit("g/m", "gram / meter", "g/m g_per_m"),
            Unit("lb/ft", "pound / foot", "lb/ft lbs/ft lb_per_ft"),
        ),
    ),
    "density": Kind(
        "a density",
        "1025 kg/m3",
        "kilogram / meter ** 3",
        2.5e4,
        (
            Unit("kg/m3", "kilogram / meter ** 3", "kg/m3 kg_m3 kg_per_m3"),
            Unit("kg/L", "kilogram / liter", "kg/l kg_l kg/litre kg/liter t/m3 t_m3 g/cm3 g_cm3 g/ml g_ml"),
            Unit("lb/ft3", "pound / foot ** 3", "lb/ft3 lb_ft3 lb/cu_ft lbs/ft3 pcf"),
            Unit("lb/US gal", "pound / gallon", "lb/us_gal lb_us_gal lbs/us_gal"),
            Unit("lb/imp gal", "pound / imperial_gallon", "lb/imp_gal lb_imp_gal lbs/imp_gal"),
            Unit("slug/ft3", "slug / foot ** 3", "slug/ft3 slug_ft3 slugs/ft3"),
        ),
    ),
    "mass moment": Kind(
        "a mass times a length",
        "120 kg m",
        "kilogram * meter",
        1e7,
        (
            Unit("kg m", "kilogram * meter", "kg_m kgm"),
            Unit("lb ft", "pound * foot", "lb_ft ft_lb"),
            Unit("lb in", "pound * inch", "lb_in in_lb"),
        ),
    ),
    "inertia": Kind(
        "a mass times a length squared",
        "900 kg m2",
        "kilogram * meter ** 2",
        1e9,
        (
            Unit("kg m2", "kilogram * meter ** 2", "kg_m2 kgm2"),
            Unit("lb ft2", "pound * foot ** 2", "lb_ft2"),
        ),
    ),
    "angle": Kind(
        "an angle",
        "14 deg",
        "radian",
        6.3,
        (
            Unit("deg", "degree", "deg degs degree degrees °"),
            Unit("rad", "radian", "rad radian radians"),
        ),
    ),
    "fraction": Kind(
        "a share",
        "95 %",
        "dimensionless",
        100.0,
        (
            Unit("%", "percent", "% pct percent per_cent"),
            Unit("", "dimensionless", "fraction per_unit"),
        ),
    ),
    "number": Kind("a plain number without a unit", "3", "dimensionless", 1e12, ()),
    "force": Kind(
        "a force",
        "900 N",
        "newton",
        1e7,
        (
            Unit("N", "newton", "n newton newtons"),
            Unit("kN", "kilonewton", "kn kilonewton kilonewtons"),
            Unit("kgf", "kilogram_force", "kgf"),
            Unit("lbf", "pound_force", "lbf"),
        ),
    ),
    "torque": Kind(
        "a torque",
        "40 N m",
        "newton * meter",
        1e7,
        (
            Unit("N m", "newton * meter", "n_m nm"),
            Unit("lbf ft", "pound_force * foot", "lbf_ft ft_lbf"),
            Unit("lbf in", "pound_force * inch", "lbf_in in_lbf"),
        ),
    ),
    "pressure": Kind(
        "a pressure",
        "200 kPa",
        "pascal",
        1e9,
        (
            Unit("Pa", "pascal", "pa"),
            Unit("kPa", "kilopascal", "kpa"),
            Unit("bar", "bar", "bar"),
            Unit("psi", "psi", "psi lbf/in2"),
        ),
    ),
    "power": Kind(
        "a power",
        "184 kW",
        "watt",
        1e8,
        (
            Unit("kW", "kilowatt", "kw"),
            Unit("W", "watt", "w watt watts"),
            Unit("hp", "horsepower", "hp bhp"),
        ),
    ),
    "speed": Kind(
        "a speed",
        "24 kn",
        "meter / second",
        1e3,
        (
            Unit("kn", "knot", "kn kt kts knot knots"),
            Unit("m/s", "meter / second", "m/s m_s"),
            Unit("km/h", "kilometer / hour", "km/h km_h kmh"),
            Unit("mph", "mile / hour", "mph"),
        ),
    ),
}
VAGUE = {  # names that mean two things: what to say instead
    **dict.fromkeys(("gal", "gals", "gallon", "gallons"), ("US gal", "imp gal")),
    **dict.fromkeys(("lb/gal", "lbs/gal", "lb_gal"), ("lb/US gal", "lb/imp gal")),
    **dict.fromkeys(("ton", "tons"), ("t (1000 kg)", "short ton", "long ton")),
}


@functools.lru_cache(maxsize=4096)
def unit_key(text: str) -> str:
    """The form in which names are compared: small letters, raised figures flat, words joined by one underscore."""
    flat = text.casefold().replace("³", "3").replace("²", "2").replace("^", "").replace("º", "°").replace("u.s", "us")
    flat = re.sub(r"(?<=[a-z])\.(?=[\s_]|$)", "", flat.strip(" _"))  # lbs. and imp. gal
    flat = re.sub(r"\s*/\s*", "/", flat)
    return re.sub(r"[\s_]+", "_", flat)


@functools.cache
def _by_name(kind: str) -> dict[str, Unit]:
    return {name: unit for unit in KINDS[kind].units for name in unit.names.split()}


def lookup(text: str, kind: str) -> Unit | None:
    """The unit of that kind with that name, or None."""
    return _by_name(kind).get(unit_key(text))


def find_unit(text: str, kind: str) -> Unit:
    """The unit of that kind with that name; NotUnderstood says which there are, or that the name means two things."""
    unit, key = lookup(text, kind), unit_key(text)
    if unit is not None:
        return unit
    shown = text if len(text) <= 30 else text[:30] + "…"
    if key in VAGUE and any(lookup(option.split(" (")[0], kind) for option in VAGUE[key]):
        options = VAGUE[key]
        raise NotUnderstood(
            f'expected a unit with one meaning: "{shown}" may be {" or ".join(options)}',
            f"Say which: {' or '.join(options)}",
        )
    if not KINDS[kind].units:
        raise NotUnderstood(f'expected {KINDS[kind].title}, not "{shown}" after it', "Write the number alone")
    for other, its in KINDS.items():
        if other != kind and lookup(text, other):
            raise NotUnderstood(f'expected {KINDS[kind].title}, but "{shown}" is {its.title}', f"Use {say_units(kind)}")
    near = difflib.get_close_matches(key, _by_name(kind), n=1, cutoff=0.7) if len(key) <= 30 else []
    hint = f"Did you mean {_by_name(kind)[near[0]].label}? " if near else ""
    raise NotUnderstood(f'expected {KINDS[kind].title}; "{shown}" is no unit of it', f"{hint}Use {say_units(kind)}")


def say_units(kind: str) -> str:
    """The units of a kind as a list in words: "kg, g, t, lb or oz"."""
    labels = [unit.label for unit in KINDS[kind].units if unit.label]
    return labels[0] if len(labels) == 1 else f"{', '.join(labels[:-1])} or {labels[-1]}"


@functools.cache
def _registry() -> Any:
    import pint  # half a second: paid by those who read units only

    return pint.UnitRegistry(non_int_type=Fraction)


@functools.cache
def exact_factor(unit: str, kind: str) -> Fraction:
    """How many SI units of `kind` one `unit` holds, as a fraction: exact where the unit is defined exactly."""
    expression = find_unit(unit, kind).expression if unit else "dimensionless"
    return Fraction(_registry().Quantity(Fraction(1), expression).to(KINDS[kind].si).magnitude)


def factor(unit: str, kind: str) -> float:
    """How many SI units of `kind` one `unit` holds: factor("lb", "mass") is 0.45359237."""
    return float(exact_factor(unit, kind))


def to_si(number: float, unit: str, kind: str) -> float:
    """The SI value of `number` units, rounded once: 347 mm is 0.347 m, not 0.34700000000000003."""
    return float(Fraction(number) * exact_factor(unit, kind))
