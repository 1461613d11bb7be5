"""Units against NIST Special Publication 811, Guide for the Use of the International System of Units (2008), B.8.

The appendix prints factors to seven digits, exact ones in bold with all their digits. The pound and slug densities were
seen in a unit table of the same rounding, the other printed values are from memory. Beside each stands the figure
derived from exact definitions: 1 lb = 0.45359237 kg, 1 ft = 0.3048 m, 1 US gal = 231 in3, 1 imp gal = 4.54609 L,
g = 9.80665 m/s2, nautical mile = 1852 m, 1 hp = 550 ft lbf/s.
"""

from fractions import Fraction

import pytest

from hullcalc.units import factor, parse_quantity

LB, FT, INCH, G = Fraction(45359237, 10**8), Fraction(3048, 10**4), Fraction(254, 10**4), Fraction(980665, 10**5)
US_GAL, IMP_GAL = 231 * INCH**3, Fraction(454609, 10**8)
SLUG = LB * G / FT

EXACT = [
    ("lb", "mass", LB),
    ("oz", "mass", LB / 16),
    ("short ton", "mass", 2000 * LB),
    ("long ton", "mass", 2240 * LB),
    ("t", "mass", Fraction(1000)),
    ("ft", "length", FT),
    ("in", "length", INCH),
    ("yd", "length", 3 * FT),
    ("US gal", "volume", US_GAL),
    ("imp gal", "volume", IMP_GAL),
    ("ft3", "volume", FT**3),
    ("in3", "volume", INCH**3),
    ("L", "volume", Fraction(1, 1000)),
    ("kgf", "force", G),
    ("lbf", "force", LB * G),
    ("kn", "speed", Fraction(1852, 3600)),
    ("lb in", "mass moment", LB * INCH),
    ("bar", "pressure", Fraction(100000)),
]
PRINTED = [  # factor as printed, of the unit
    ("4.535924E-01", "lb", "mass"),
    ("1.459390E+01", "slug", "mass"),
    ("1.016047E+03", "long ton", "mass"),
    ("9.071847E+02", "short ton", "mass"),
    ("3.785412E-03", "US gal", "volume"),
    ("4.546090E-03", "imp gal", "volume"),
    ("2.831685E-02", "ft3", "volume"),
    ("4.448222E+00", "lbf", "force"),
    ("5.144444E-01", "kn", "speed"),
    ("1.198264E+02", "lb/US gal", "density"),
    ("1.601846E+01", "lb/ft3", "density"),
    ("5.153788E+02", "slug/ft3", "density"),
    ("1.355818E+00", "lbf ft", "torque"),
    ("1.129848E-01", "lbf in", "torque"),
    ("4.214011E-02", "lb ft2", "inertia"),
    ("6.894757E+03", "psi", "pressure"),
    ("7.456999E+02", "hp", "power"),
]
DERIVED = [
    ("slug", "mass", SLUG),
    ("lb/US gal", "density", LB / US_GAL),
    ("lb/imp gal", "density", LB / IMP_GAL),
    ("lb/ft3", "density", LB / FT**3),
    ("slug/ft3", "density", SLUG / FT**3),
    ("lbf ft", "torque", LB * G * FT),
    ("lbf in", "torque", LB * G * INCH),
    ("lb ft2", "inertia", LB * FT**2),
    ("psi", "pressure", LB * G / INCH**2),
    ("hp", "power", 550 * LB * G * FT),
]


@pytest.mark.parametrize(("printed", "unit", "kind"), PRINTED)
def test_to_half_a_unit_of_the_seventh_digit(printed, unit, kind):
    half = 0.5 * 10.0 ** (int(printed.split("E")[1]) - 6)
    assert abs(factor(unit, kind) - float(printed)) <= half * (1 + 1e-9)


@pytest.mark.parametrize(("unit", "kind", "expected"), EXACT + DERIVED)
def test_exact_definitions(unit, kind, expected):
    assert factor(unit, kind) == pytest.approx(float(expected), rel=1e-15, abs=0)
    assert parse_quantity(f"1 {unit}", kind) == factor(unit, kind)


def test_trade_weight_of_gasoline():
    # FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, ch. 10: gasoline 6 lb/US gal, water 8.35. Printed
    # short, they agree with 740 and 1000 kg/m3 to half a unit of their last digit only.
    assert abs(parse_quantity("6 lb/US gal", "density") - 740) < 0.5 * 119.8264
    assert abs(parse_quantity("8.35 lb/US gal", "density") - 1000) < 0.005 * 119.8264
