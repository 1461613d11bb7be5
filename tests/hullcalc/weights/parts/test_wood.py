"""Dry and wet wood: hand sums, the bound of what wood can hold, samples, bad figures."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.parts.wood import Square, dry_wood, soaked_limit, wet_wood

AT = (-0.09, 0.0, 0.48)


def facts(part):
    return {fact.what: fact.value for fact in part.facts}


def test_soaked_through():
    # Pores filled: rho + 1000 (1 - rho / 1500) = 1000 + rho / 3; the cell wall itself holds no pores.
    assert_allclose(
        [soaked_limit(500), soaked_limit(600), soaked_limit(1500)], [1000 + 500 / 3, 1200, 1500], rtol=1e-12
    )


def test_a_wet_transom_core_by_hand():
    # 1.566 kg on 0.2 x 0.2 m is 39.15 kg/m², at 38 mm 1030 kg/m³; 1.45 m² of it 56.77 kg; one square: 8 %.
    # Dry at 597.5 kg/m³ (570 to 625) it was 32.92 kg.
    part = wet_wood("core", [Square(1.566, 0.04)], 1.45, AT, 0.038, 597.5)
    assert_allclose(part.item.mass, 1.45 * 39.15, rtol=1e-12)
    assert_allclose(part.item.u_mass, 0.08 * 1.45 * 39.15, rtol=1e-12)
    found = facts(part)
    assert_allclose(found["density"], 39.15 / 0.038, rtol=1e-12)
    assert_allclose(found["water in it"], 1.45 * (39.15 - 0.038 * 597.5), rtol=1e-12)
    assert part.says == ()
    assert set(part.item.sources) == {"all soaked wood", "core: x", "core: y", "core: z"}


def test_two_squares():
    # 18.375 and 19.625: mean 19, s / sqrt 2 = 0.625, times 1.84 (GUM Table G.2)
    part = wet_wood("sole", [Square(0.735, 0.04), Square(0.785, 0.04)], 5.2, AT)
    assert_allclose(part.item.mass, 98.8, rtol=1e-12)
    assert_allclose(part.item.u_mass, 5.2 * 1.84 * 0.625, rtol=0.005)


def test_squares_too_heavy_or_too_light_are_asked_about():
    heavy = wet_wood("core", [Square(1.9, 0.04)], 1.45, AT, 0.038, 500.0)  # 1250 kg/m³ over the bound of 1167
    assert any("1250 kg/m³, more than such wood soaked through (1167" in said for said in heavy.says)
    light = wet_wood("core", [Square(0.6, 0.04)], 1.45, AT, 0.038, 500.0)
    assert any("less than dry" in said for said in light.says)


def test_what_soaked_things_share_adds_up():
    one = wet_wood("core", [Square(1.566, 0.04)], 1.0, AT).item
    other = wet_wood("sole", [Square(1.566, 0.04)], 2.0, AT).item
    total = one.sources["all soaked wood"] + other.sources["all soaked wood"]
    assert_allclose(total[0], one.u_mass + other.u_mass, rtol=1e-12)


def test_dry_plywood_by_hand():
    # okoume 450 to 550: 500 ± 100 / sqrt 12, and 8 % of the whole beside it
    part = dry_wood("bulkhead", "okoume plywood", 0.012, 1.5, AT)
    assert_allclose(part.item.mass, 9.0, rtol=1e-12)
    assert_allclose(part.item.u_mass, np.hypot(0.08 * 9.0, 1.5 * 0.012 * 100 / np.sqrt(12)), rtol=1e-12)
    assert_allclose(facts(part)["soaked through, at most"], 1.5 * 0.012 * (1000 + 500 / 3), rtol=1e-12)
    assert_allclose(dry_wood("b", "teak", 0.012, 1.5, AT, density=650.0).item.mass, 11.7, rtol=1e-12)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: wet_wood("core", [], 1.45, AT), "squares of core: there are no samples"),
        (
            lambda: wet_wood("core", [Square(0.0, 0.04)], 1.45, AT),
            r"squares of core\[0\] = 0 kg/m2 must be more than 0",
        ),
        (lambda: wet_wood("core", [Square(1.5, 0.0)], 1.45, AT), "area of a square of core = 0 m2 must be more than 0"),
        (lambda: wet_wood("core", [Square(1.5, 0.04)], -1.45, AT), "area of core = -1.45 m2 must be more than 0"),
        (lambda: wet_wood("core", [Square(1.5, 0.04)], 1.45, AT, 38), "thickness of core = 38 m .* given in mm"),
        (
            lambda: wet_wood("core", [Square(15.66, 0.04)], 1.45, AT, 0.038),
            r"density of a square of core = 10302\.6316 kg/m3 is more than soaked wood can weigh",
        ),
        (lambda: dry_wood("b", "okume", 0.012, 1.5, AT), "no wood 'okume'; did you mean: okoume plywood"),
        (lambda: dry_wood("b", "okoume plywood", -0.012, 1.5, AT), "thickness of b = -0.012 m must be more than 0"),
        (lambda: dry_wood("b", "oak", 0.012, 1.5, AT, density=7000), "density of oak = 7000 kg/m3 .* at most 1300"),
        (lambda: soaked_limit(1600), "dry density = 1600 kg/m3 must be more than 0 and at most 1500"),
    ],
)
def test_figures_that_cannot_be(make, words):
    with pytest.raises(InputError, match=words):
        make()
