"""Batteries by group, cables and anchor gear by the metre: hand sums, other roads, bad figures."""

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.parts.batteries import batteries
from hullcalc.weights.parts.cables import cable_mass_per_length, gauge_area, insulation_wall
from hullcalc.weights.parts.gear import chain_mass_per_length, rope_mass_per_length

AT = (0.36, 0.5, 0.54)
MM2, MM = 1e-6, 1e-3


def test_three_batteries_by_hand():
    # group 31 AGM 30 to 35 kg (from memory): 3 x 32.5 = 97.5 ± 3 x 5 / sqrt 12, one make; boxes 1.5 to 3 kg each
    part = batteries("new batteries", "31", "AGM", 3, AT)
    assert_allclose([line.item.mass for line in part.lines], [97.5, 6.75], rtol=1e-12)
    assert_allclose(part.item.u_mass, np.hypot(3 * 5 / np.sqrt(12), 3 * 1.5 / np.sqrt(12)), rtol=1e-12)
    # all in one place: its error is that of the whole mass
    assert_allclose(part.item.sources["new batteries: x"][1], 104.25 * 0.050, rtol=1e-12)
    assert_allclose(part.item.centre, AT, rtol=1e-12)


def test_the_swap_to_lithium():
    part = batteries("b", "31", "AGM", 3, AT, boxes=0)
    assert [(fact.what, fact.value) for fact in part.facts] == [
        ("lighter with LFP in the same case", 3 * (32.5 - 13.0))
    ]
    assert batteries("b", "31", "LFP", 1, AT).facts == ()
    assert batteries("b", "34M", "AGM", 1, AT).facts == ()  # no such case with LFP in the table


def test_a_sheet_goes_first_and_is_questioned_when_far_off():
    part = batteries("b", "31", "AGM", 3, AT, boxes=0, each=33.0)
    assert_allclose([part.item.mass, part.item.u_mass], [99.0, 0.03 * 99.0], rtol=1e-12)
    assert part.says == ()
    pounds = batteries("b", "31", "AGM", 3, AT, boxes=0, each=72.0)
    assert "72 kg is far from the 30 to 35 kg of a group 31 AGM battery" in pounds.says[0]


@pytest.mark.parametrize(("section", "wall"), [(35, 1.2), (50, 1.4), (70, 1.4)])
def test_cable_by_its_circles(section, wall):
    # Other road: circles. Copper 8960 kg/m³, strands filling 70 % of their round, PVC 1400 kg/m³ between two circles.
    inner = math.sqrt(section / 0.7 * 4 / math.pi)
    ring = math.pi / 4 * ((inner + 2 * wall) ** 2 - inner**2)
    assert_allclose(cable_mass_per_length(section * MM2), (8960 * section + 1400 * ring) * MM2, rtol=1e-12)
    assert_allclose(insulation_wall(section * MM2), wall * MM, rtol=1e-12)


def test_a_wall_given_and_one_between_the_sections():
    assert cable_mass_per_length(50 * MM2, 2.0 * MM) > cable_mass_per_length(50 * MM2)
    assert_allclose(insulation_wall(gauge_area("2/0")), 1.4 * MM)  # 67.4 mm², as for 70


def test_rope_goes_as_its_diameter_squared():
    assert_allclose(rope_mass_per_length(0.024), 4 * rope_mass_per_length(0.012), rtol=1e-12)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: batteries("b", "31", "gel", 1, AT), "no kind 'gel'; there are: flooded, AGM, LFP"),
        (lambda: batteries("b", "32", "AGM", 1, AT), "no group '32'"),
        (lambda: batteries("b", "31", "AGM", 0, AT), "number of batteries of b = 0 must be a whole number, 1 to 20"),
        (lambda: batteries("b", "31", "AGM", 1.5, AT), "number of batteries of b = 1.5 must be a whole number"),
        (lambda: batteries("b", "31", "AGM", 1, AT, boxes=-1), "boxes of b = -1 must be a whole number, 0 to 20"),
        (lambda: batteries("b", "31", "AGM", 1, AT, each=-30), "mass of one battery of b = -30 kg must be more than 0"),
        (lambda: gauge_area("00"), "gauge '00' is not known; write"),
        (lambda: gauge_area("50 mm2"), "gauge '50 mm2' is not known; write"),
        (lambda: gauge_area("5/0"), "gauge '5/0' is not known"),
        (lambda: cable_mass_per_length(50), "section of the cable = 50 m2 .* 50e-6"),
        (lambda: cable_mass_per_length(-50 * MM2), "section of the cable = -5e-05 m2 must be more than 0"),
        (
            lambda: cable_mass_per_length(300 * MM2),
            "300 mm2 is larger than the table's largest, 120 mm2; give the wall",
        ),
        (lambda: chain_mass_per_length(8.0), "diameter of the chain's wire = 8 m .* 0.008"),
        (lambda: rope_mass_per_length(0.0), "diameter of the rope = 0 m must be more than 0"),
    ],
)
def test_figures_that_cannot_be(make, words):
    with pytest.raises(InputError, match=words):
        make()
