"""Laminates by area: hand sums, the rule of mixtures from the volumes, centres, causes, bad figures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.parts.laminate import Stack, coat, core, fraction_of_ratio, gelcoat, laminate, ply

AT = (2.0, 0.1, 0.475)


@given(st.floats(0.1, 2.0), st.floats(0.15, 0.8))
def test_a_ply_is_its_glass_and_its_resin(glass, fraction):
    # Other road: the volumes of one square metre. E-glass 2550, polyester 1200 kg/m³ (from memory).
    found = ply("mat", glass, fraction)
    resin = glass * (1 - fraction) / fraction
    assert_allclose(found.mass_per_area.value, glass + resin, rtol=1e-12)
    assert_allclose(found.thickness, glass / 2550 + resin / 1200, rtol=1e-12)


def test_resin_ratio_is_the_other_way_to_say_the_glass_fraction():
    assert_allclose(fraction_of_ratio(7 / 3), 0.30, rtol=1e-12)  # 0.7 kg of resin on 0.3 kg of glass
    with pytest.raises(InputError, match="resin ratio = -1 must be more than 0"):
        fraction_of_ratio(-1)


def test_a_sandwich_by_hand():
    # mat 450 / 0.30 = 1.5 kg/m²; core 0.025 x 80 = 2.0; resin into two faces 2 x 0.45 (0.3 to 0.6, the middle);
    # gelcoat 0.0006 x 1250 = 0.75; paint 0.3.
    layers = (gelcoat(0.0006), ply("mat", 0.45), *core("PVC foam", 0.025, 80.0), ply("mat", 0.45), coat("paint", 0.3))
    stack = Stack(layers)
    assert_allclose(stack.mass_per_area, 0.75 + 1.5 + 0.45 + 2.0 + 0.45 + 1.5 + 0.3, rtol=1e-12)
    thin = 0.45 / 2550 + 1.05 / 1200
    assert_allclose(stack.thickness, 0.0006 + 2 * thin + 0.025, rtol=1e-12)
    assert_allclose(stack.density, stack.mass_per_area / stack.thickness, rtol=1e-12)
    part = laminate("sole", layers, 5.7, AT)
    assert_allclose(part.item.mass, 5.7 * 6.95, rtol=1e-12)
    assert_allclose(part.item.centre, AT, rtol=1e-12)
    assert_allclose(sum(line.item.mass for line in part.lines), part.item.mass, rtol=1e-12)


def test_depth_of_the_mass_centre():
    # a sandwich that is alike on both faces balances in its middle; 1 kg/m² of gelcoat-thin skin alone at half of it
    even = Stack((ply("mat", 0.45), *core("PVC foam", 0.02, 80.0), ply("mat", 0.45)))
    assert_allclose(even.depth_of_centre, even.thickness / 2, rtol=1e-12)
    skin = ply("mat", 0.45)
    one_sided = Stack((skin, *core("PVC foam", 0.02, 80.0, take_up=0.0)))
    t, m = skin.thickness, skin.mass_per_area.value
    assert_allclose(one_sided.depth_of_centre, (m * t / 2 + 1.6 * (t + 0.01)) / (m + 1.6), rtol=1e-12)


def test_plies_alike_and_infused():
    assert_allclose(ply("biaxial", 0.61, number=3).mass_per_area.value, 3 * 1.22, rtol=1e-12)
    infused = ply("biaxial", 0.61, process="infused")
    assert_allclose(infused.mass_per_area.value, 0.61 / 0.65, rtol=1e-12)


def test_one_lay_up_errs_as_one():
    # 8 % of the whole ("calculated"), not of each layer in squares; the place as one. The resin into two faces has one
    # cause: 2 x 0.3 / sqrt 12 kg/m²; both together in squares (GUM 5.1.2).
    layers = (ply("mat", 0.45), *core("PVC foam", 0.025, 80.0), ply("mat", 0.45))
    found = laminate("sole", layers, 5.0, AT).item
    assert_allclose(found.mass, 5.0 * 5.9, rtol=1e-12)
    assert_allclose(found.u_mass, np.hypot(0.08 * 29.5, 5.0 * 2 * 0.3 / np.sqrt(12)), rtol=1e-9)
    assert_allclose(found.sources["sole: x"], [0, 29.5 * 0.030, 0, 0], rtol=1e-12)


def test_a_core_of_the_table_brings_the_tables_range():
    board = core("transom board", 0.038, take_up=0.0)[0]  # 300 to 600 kg/m³
    assert_allclose(board.mass_per_area.value, 0.038 * 450, rtol=1e-12)
    assert_allclose(board.mass_per_area.u, 0.038 * 300 / np.sqrt(12), rtol=1e-12)


def test_weighed_work_has_the_uncertainty_given():
    found = laminate("skin", (ply("mat", 0.45, 0.33),), 2.0, AT, "weighed", u_mass=0.2, u_place=0.01).item
    assert_allclose([found.u_mass, found.u_centre[0]], [0.2, 0.01], rtol=1e-9)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: ply("mat", -0.45), "glass of mat = -0.45 kg/m2 must be more than 0"),
        (lambda: ply("mat", 450), "glass of mat = 450 kg/m2 .* given in g/m2"),
        (lambda: ply("mat", 0.45, 1.2), "glass fraction of mat = 1.2 must lie between 0 and 1; write 0.30 or 30 %"),
        (lambda: ply("mat", 0.45, 30), "glass fraction of mat = 30 must lie between 0 and 1"),
        (lambda: ply("mat", 0.45, np.nan), "glass fraction of mat = nan must be one finite number"),
        (lambda: ply("matt", 0.45), "no ply 'matt'; did you mean: mat"),
        (lambda: ply("mat", 0.45, process="infused"), "no process 'infused'; there are: hand"),
        (lambda: ply("mat", 0.45, resin="poliester"), "did you mean: polyester"),
        (lambda: ply("mat", 0.45, number=0), "number of plies of mat = 0 must be a whole number"),
        (lambda: core("PVC foam", 20.0), "thickness of PVC foam = 20 m .* given in mm"),
        (lambda: core("cork", 0.02), "no core 'cork'; there are: PVC foam, end-grain balsa"),
        (lambda: core("PVC foam", 0.02, -80.0), "density of PVC foam = -80 kg/m3 must be more than 0"),
        (lambda: core("PVC foam", 0.02, 80.0, -0.1), "take-up of PVC foam = -0.1 kg/m2 must lie between 0 and 3"),
        (lambda: gelcoat(0.6), "thickness of gelcoat = 0.6 m must be more than 0 and at most 0.005"),
        (lambda: coat("paint", 0.0), "paint = 0 kg/m2 must be more than 0"),
        (lambda: laminate("sole", (), 5.0, AT), "a laminate without plies; give one or more plies"),
        (lambda: laminate("sole", (ply("mat", 0.45),), -5.0, AT), "area of sole = -5 m2 must be more than 0"),
        (lambda: laminate("sole", (ply("mat", 0.45),), 5.0, (0, 0)), "place has shape"),
        (lambda: laminate("sole", (ply("mat", 0.45),), 5.0, AT, "measured"), "basis 'measured' is not known"),
        (lambda: Stack((coat("paint", 0.3),)).density, "thickness = 0 m must be positive"),
    ],
)
def test_figures_that_cannot_be(make, words):
    with pytest.raises(InputError, match=words):
        make()
