"""Laminates, wood, foam, chain, cable and people against what public texts print; the source stands beside each.

Status of a source: seen, or from memory. Where a printed figure is rounded or stands apart, the deviation is said.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats

from hullcalc.units import factor
from hullcalc.weights.parts.cables import COPPER, cable_mass_per_length, gauge_area
from hullcalc.weights.parts.foam import foam_in_bounds, new_foam
from hullcalc.weights.parts.gear import chain_mass_per_length, rope_mass_per_length
from hullcalc.weights.parts.laminate import Stack, ply
from hullcalc.weights.parts.people import centre_above
from hullcalc.weights.parts.samples import mean_of, student_factor
from hullcalc.weights.parts.sums import middle
from hullcalc.weights.parts.wood import dry_wood, soaked_limit
from hullcalc.weights.reference import figure, look_up, reference_table

LB, FT, INCH = factor("lb", "mass"), factor("ft", "length"), factor("in", "length")
AT = (0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("kind", "glass", "fraction", "mass", "thickness_mm", "density"),
    # Rule of mixtures with E-glass 2550 and polyester 1200 kg/m³ (from memory), a second working to three figures.
    [
        ("mat", 300, 0.30, 1.00, 0.70, 1427),
        ("mat", 450, 0.30, 1.50, 1.05, 1427),
        ("mat", 600, 0.30, 2.00, 1.40, 1427),
        ("woven roving", 600, 0.50, 1.20, 0.74, 1632),
        ("woven roving", 815, 0.50, 1.63, 1.00, 1632),
        ("biaxial and mat", 805, 0.45, 1.79, 1.14, 1575),
        ("biaxial", 610, 0.50, 1.22, 0.75, 1632),
        ("biaxial", 610, 0.65, 0.94, 0.51, 1830),
    ],
)
def test_usual_layers(kind, glass, fraction, mass, thickness_mm, density):
    layer = ply(kind, glass / 1000, fraction)
    assert_allclose(layer.mass_per_area.value, mass, atol=0.005)
    assert_allclose(layer.thickness * 1000, thickness_mm, atol=0.006)  # 1.40 is 1.402: half a digit and a little
    assert_allclose(Stack((layer,)).density, density, atol=0.6)


def test_density_by_glass_fraction():
    # 30 to 60 % of glass: 1427, 1473, 1522, 1632, 1759 kg/m³ (as above)
    found = [Stack((ply("mat", 0.45, w),)).density for w in (0.30, 0.35, 0.40, 0.50, 0.60)]
    assert_allclose(found, [1427, 1473, 1522, 1632, 1759], atol=0.6)


def test_a_working_rule_of_thickness_stands_a_tenth_apart():
    # A public boat-building forum: 0.7 mm for 1000 g/m² of glass and epoxy together at 1:1. The rule of mixtures with
    # epoxy 1150 kg/m³ gives 0.63 mm, 10 % under the rule, which allows for voids and is rounded.
    layer = ply("biaxial", 0.5, 0.5, resin="epoxy")
    assert_allclose(layer.mass_per_area.value, 1.0, rtol=1e-12)
    assert_allclose(layer.thickness * 1000, 0.7, rtol=0.11)
    assert layer.thickness * 1000 < 0.7


def test_laminates_under_water():
    # A boat builders' flotation form: fibreglass weighs about a third under water (factor 0.33): 1 - 1000 / 1500.
    hand_lay_up = Stack((ply("mat", 0.45), ply("woven roving", 0.6))).density
    assert_allclose(1 - 1000 / hand_lay_up, 0.33, atol=0.02)


@pytest.mark.parametrize(("inches", "lb_ft2", "kg_m2"), [
    # A plans supplier's "comparative weights of plywood, aluminum, steel" (seen); kg/m² converted.
    (0.25, 0.80, 3.91), (0.375, 1.13, 5.52), (0.5, 1.53, 7.47), (0.75, 2.23, 10.89), (1, 3.23, 15.77),
])  # fmt: skip
def test_plywood_sheets(inches, lb_ft2, kg_m2):
    row = look_up("plywood_sheets", thickness_in=inches)
    assert figure(row, "mass_lb_ft2") == lb_ft2
    assert_allclose(lb_ft2 * LB / FT**2, kg_m2, atol=0.006)
    # by the table of woods, 570 to 625 kg/m³: within 6 % of every sheet of the supplier's
    sheet = dry_wood("sheet", "marine plywood", inches * INCH, 1.0, AT)
    assert_allclose(sheet.item.mass, kg_m2, rtol=0.06)


def test_plywood_of_public_forums():
    # hoop pine, 6 mm sheet of 1.2 x 2.4 m: 10.5 kg; okoume 500 ± 50 kg/m³
    assert_allclose(dry_wood("sheet", "hoop pine plywood", 0.006, 1.2 * 2.4, AT).item.mass, 10.5, rtol=0.01)
    assert middle(look_up("woods", wood="okoume plywood"), "kg_m3").value == 500


def test_soaked_plywood():
    # cell wall 1500 kg/m³ (from memory): 1167 kg/m³ at 500 dry, 1200 at 600
    assert_allclose([soaked_limit(500), soaked_limit(600)], [1167, 1200], atol=0.5)


def test_two_pound_foam_lifts_sixty_pounds_a_cubic_foot():
    # A public boating forum: "2 lb" foam, about 60 lb of buoyancy a cubic foot; 33 CFR 183.105: water 62.4 lb/ft³.
    part = new_foam("foam", FT**3, AT, density=2 * LB / FT**3, water=62.4 * LB / FT**3)
    facts = {fact.what: fact.value for fact in part.facts}
    assert_allclose(part.item.mass / LB, 2.0, rtol=1e-12)
    assert_allclose(facts["net lift where its space floods"] / LB, 60.4, rtol=1e-12)
    # 33 CFR 183.114: at most 5 % of the buoyancy is lost in each soak
    assert_allclose(facts["net lift where its space floods, 5 % lost in a soak"] / LB, 0.95 * 62.4 - 2, rtol=1e-12)
    assert_allclose(middle(look_up("foams", foam="poured polyurethane 2 lb"), "kg_m3").value, 32, rtol=0.01)
    assert_allclose(middle(look_up("foams", foam="poured polyurethane 4 lb"), "kg_m3").value, 64, rtol=0.01)


@pytest.mark.parametrize(
    ("wire_in", "kg_m"),
    # Public chain notes: about 10 d² lb/ft, d in inches (seen). Nominal sizes, then wires of calibrated chain (memory).
    [(3 / 16, 0.52), (1 / 4, 0.93), (5 / 16, 1.45), (3 / 8, 2.09), (0.281, 1.18), (0.331, 1.63), (0.394, 2.31)],
)
def test_chain(wire_in, kg_m):
    assert_allclose(chain_mass_per_length(wire_in * INCH), kg_m, atol=0.006)


def test_chain_is_its_wire():
    # Other road: a link of inner length 3 d and inner width 1.3 d (usual for short-link chain, from memory) has
    # 2 pi (1.3 + 1) d / 2 + 2 (3 - 1.3) d of wire for each 3 d of chain; steel 7850 kg/m³. The rule is within 10 %.
    wire = 0.008
    of_wire = (np.pi * 2.3 + 2 * 1.7) * wire
    by_links = of_wire * np.pi / 4 * wire**2 * 7850 / (3 * wire)
    assert_allclose(chain_mass_per_length(wire), by_links, rtol=0.10)


def test_rope():
    # nylon three-strand 12 and 14 mm: 0.09 and 0.12 kg/m (from memory, two digits)
    assert_allclose([rope_mass_per_length(0.012), rope_mass_per_length(0.014)], [0.09, 0.12], rtol=0.015)


@pytest.mark.parametrize(("section", "kg_m"), [(35, 0.40), (50, 0.55), (70, 0.75)])
def test_battery_cable(section, kg_m):
    # "about", from memory and rounded to a twentieth; by copper and insulation it is 6 to 10 % lighter, since battery
    # cable has thicker insulation than the table's single cores. Copper alone is the floor.
    found = cable_mass_per_length(section * 1e-6)
    assert COPPER * section * 1e-6 < found < kg_m
    assert_allclose(found, kg_m, rtol=0.10)


@pytest.mark.parametrize(
    ("gauge", "mm2"), [("4/0", 107.2), ("2/0", 67.4), ("1/0", 53.5), ("2", 33.6), ("6", 13.3), ("10", 5.26)]
)
def test_wire_gauges(gauge, mm2):
    # ASTM B258 (from memory): areas as tables print them
    assert_allclose(gauge_area(gauge) * 1e6, mm2, rtol=0.003)


def test_student_factors():
    # GUM, JCGM 100:2008, Table G.2, column 68.27 % (from memory)
    printed = {1: 1.84, 2: 1.32, 3: 1.20, 4: 1.14, 5: 1.11, 6: 1.09, 7: 1.08, 8: 1.07, 9: 1.06, 10: 1.05, 20: 1.03}
    for degrees, factor_printed in printed.items():
        assert_allclose(student_factor(degrees), factor_printed, atol=0.006)


def test_mean_of_five_readings():
    # GUM H.2, Table H.2: five readings of V (observations from memory), V = 4.9990 V with u = 0.0032 V. Ours is wider
    # by the Student factor of four degrees of freedom, 1.14, which the GUM keeps for expanded uncertainties (G.3).
    found = mean_of([5.007, 4.994, 5.005, 4.990, 4.999], 0.0, "V", "V")
    assert_allclose(found.value, 4.9990, atol=5e-5)
    assert_allclose(found.u / student_factor(4), 0.0032, atol=5e-5)


def test_a_range_of_a_table_is_even_between_its_ends():
    # GUM 4.3.7: u² = (a+ - a-)² / 12. Other road: scipy.stats.uniform.
    found = middle({"low_kg": 30.0, "high_kg": 35.0}, "kg")
    assert_allclose([found.value, found.u], [stats.uniform(30, 5).mean(), stats.uniform(30, 5).std()], rtol=1e-12)


def test_one_sided_foam_against_draws():
    # As JCGM 101 does: 20,000 draws; the mean's standard error is 0.107 kg, that of u under 0.5 %: four of each.
    draws = 0.34 * np.random.default_rng(3).triangular(180, 240, 390, 20_000)
    found = foam_in_bounds("foam", 0.34, 180.0, 240.0, 390.0, AT, u_volume=0.0).item
    assert_allclose(found.mass + found.shift[0], draws.mean(), atol=4 * 0.107)
    assert_allclose(found.u_mass, draws.std(), rtol=4 * 0.005)


def test_people_of_the_rules():
    # ISO 14946:2021 and ISO 12217: 75 kg, child half; 46 CFR 170.090: 185 lb; 178.330: 160 lb, 2.5 ft above the deck
    mass = {row["person"]: figure(row, "mass_kg") for row in reference_table("people")}
    assert mass["ISO crew"] == 2 * mass["ISO child"] == 75
    assert_allclose(mass["US inspected vessels"], 185 * LB, atol=0.05)
    assert_allclose(mass["US inspected vessels before 2011"], 160 * LB, atol=0.05)
    assert_allclose(mass["US label"], 141 * LB, atol=0.05)
    assert_allclose(mass["diving gear"], 80 * LB, atol=0.05)
    assert_allclose(centre_above("regulation"), 2.5 * FT, atol=0.003)
