"""Foam: plugs by hand, bounds against a library's triangular distribution, lift by Archimedes, bad figures."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats

import hullcalc as hc
from hullcalc.errors import InputError
from hullcalc.geometry.makers import box
from hullcalc.weights.items import combine, remove
from hullcalc.weights.parts.foam import Plug, density_of_plugs, foam_in_bounds, foam_of_plugs, new_foam, plug_volume

AT = (1.75, 0.0, 0.24)
LITRE = 1e-3


def plugs(*densities):
    return [Plug(rho * LITRE, LITRE) for rho in densities]


def facts(part):
    return {fact.what: fact.value for fact in part.facts}


def test_volume_of_a_plug():
    assert_allclose(plug_volume(0.050, 0.150), np.pi * 0.025**2 * 0.150, rtol=1e-12)


def test_soaked_foam_from_three_plugs_by_hand():
    # 180, 270, 390 kg/m³: mean 280, u = 1.32 sqrt(11100 / 3) = 80.3 (29 %); of 0.34 m³ 95.2 kg, 27.3 kg of it; the
    # volume within 10 % adds 9.5 kg in squares: 28.9 kg, 30 %.
    part = foam_of_plugs("foam", 0.34, plugs(180, 270, 390), AT)
    assert_allclose(part.item.mass, 95.2, rtol=1e-12)
    assert_allclose(part.item.u_mass, np.hypot(0.34 * 1.32 * np.sqrt(3700), 9.52), rtol=0.005)
    assert set(part.item.sources) == {"all soaked foam", "foam: volume", "foam: x", "foam: y", "foam: z"}
    assert "3 plugs, 180 to 390" in part.lines[0].how


def test_more_plugs_tell_more():
    # same scatter, more plugs: the uncertainty falls; five plugs lie within 15 to 25 % (common practice, no source)
    spread = np.array([-90.0, -30, 0, 30, 90])
    five = density_of_plugs(plugs(*(280 + spread)))
    two = density_of_plugs(plugs(190, 370))
    assert 0.15 <= five.u / five.value <= 0.25 < two.u / two.value
    assert_allclose(density_of_plugs(plugs(280)).u, 0.35 * 280, rtol=1e-12)


def test_what_five_plugs_would_tell():
    # s = sqrt 11100 as of three; five: 1.14 s / sqrt 5 = 53.7 kg/m³, of 0.34 m³ 18.3 kg, with the volume's 9.5: 20.6
    three = foam_of_plugs("foam", 0.34, plugs(180, 270, 390), AT)
    assert "Cut more: 5 plugs that scatter alike tell its mass to ± 21 kg, not ± 29 kg." in three.says
    five = foam_of_plugs("foam", 0.34, plugs(180, 270, 390, 200, 300), AT)
    assert not any("Cut more" in said for said in five.says)


def test_bounds_are_a_triangular_distribution():
    # Other road: scipy.stats.triang. The volume is taken as known, so that the density is the only cause.
    low, likely, high, volume = 180.0, 280.0, 390.0, 0.34
    found = foam_in_bounds("foam", volume, low, likely, high, AT, u_volume=0.0).item
    shape = stats.triang((likely - low) / (high - low), loc=low, scale=high - low)
    assert_allclose(found.mass, volume * likely, rtol=1e-12)
    assert_allclose(found.mass + found.shift[0], volume * shape.mean(), rtol=1e-12)
    assert_allclose(found.u_mass, volume * shape.std(), rtol=1e-12)
    assert_allclose(found.shift[1], found.shift[0] * AT[0], rtol=1e-12)


def test_the_volume_is_a_cause_of_its_own_beside_bounds():
    found = foam_in_bounds("foam", 0.34, 280.0, 280.0, 280.0, AT, u_volume=0.1).item
    assert_allclose(found.u_mass, 9.52, rtol=1e-12)


def test_foam_out_and_in_again_leaves_nothing():
    foam = foam_of_plugs("foam", 0.34, plugs(180, 270, 390), AT).item
    left = combine([foam, remove(foam)])
    assert_allclose(np.append(left.moment, left.mass), 0, atol=1e-12)
    assert dict(left.sources) == {}


def test_new_foam_by_hand():
    # 0.38 m³ x 34 kg/m³ = 12.92 kg; flooded it lifts 0.38 (1025 - 34) = 376.58 kg, 5 % lost in a soak 357.1 kg
    part = new_foam("foam", 0.38, AT, density=34.0)
    assert_allclose(part.item.mass, 12.92, rtol=1e-12)
    found = facts(part)
    assert_allclose(found["net lift where its space floods"], 376.58, rtol=1e-12)
    assert_allclose(found["net lift where its space floods, 5 % lost in a soak"], 0.38 * (0.95 * 1025 - 34), rtol=1e-12)


def test_the_net_lift_is_what_floating_says():
    # Other road: a block of the foam alone, loaded with its net lift, floats with all of it just under water.
    part = new_foam("foam", 1.0, (0, 0, 0.25), density=32.0, water=1000.0)
    lift = facts(part)["net lift where its space floods"]
    block = box((0, 2), (-0.5, 0.5), (0, 0.5))
    just_under = hc.float_at_rest([block], float(part.item.mass) + lift - 1.0, (1, 0, 0.1), density=1000.0)
    assert_allclose(just_under.height_above_water((1, 0, 0.5)), 0.0005, atol=1e-9)  # 1 kg on 2 m² is 0.5 mm
    with pytest.raises(hc.NoEquilibriumError):
        hc.float_at_rest([block], float(part.item.mass) + lift + 1.0, (1, 0, 0.1), density=1000.0)


def test_foam_as_heavy_as_water_is_said():
    assert any("next to nothing" in said for said in foam_of_plugs("foam", 0.1, plugs(960), AT).says)
    assert not any("next to nothing" in said for said in foam_of_plugs("foam", 0.1, plugs(280), AT).says)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: foam_of_plugs("foam", 0.34, [], AT), "density of the plugs of foam: there are no samples"),
        (lambda: foam_of_plugs("foam", 0.34, plugs(280, 1150), AT), r"foam\[1\] = 1150 kg/m3 cannot be foam; .* grams"),
        (lambda: foam_of_plugs("foam", 0.34, plugs(0), AT), r"foam\[0\] = 0 kg/m3 must be more than 0"),
        (
            lambda: foam_of_plugs("foam", 0.34, [Plug(0.05, 0.0)], AT),
            "volume of a plug of foam = 0 m3 must be more than 0",
        ),
        (lambda: foam_of_plugs("foam", 0.34, [Plug(np.nan, LITRE)], AT), r"foam\[0\] = nan kg/m3 cannot be foam"),
        (lambda: foam_of_plugs("foam", -0.34, plugs(280), AT), "volume of foam = -0.34 m3 must be more than 0"),
        (lambda: foam_of_plugs("foam", 340, plugs(280), AT), "volume of foam = 340 m3 .* 340 L is 0.340 m3"),
        (
            lambda: foam_of_plugs("foam", 0.34, plugs(280), AT, u_volume=10),
            "volume of foam = 10 must lie between 0 and 1",
        ),
        (lambda: foam_in_bounds("foam", 0.34, 300, 280, 390, AT), "low value = .* must not exceed the likely value"),
        (
            lambda: foam_in_bounds("foam", 0.34, 180, 280, 1390, AT),
            r"density of foam\[2\] = 1390 kg/m3 must lie between",
        ),
        (lambda: foam_in_bounds("foam", 0.34, -5, 280, 390, AT), r"density of foam\[0\] = -5 kg/m3 must lie between"),
        (lambda: new_foam("foam", 0.38, AT, "poured"), "no foam 'poured'; did you mean: poured polyurethane 2 lb"),
        (lambda: new_foam("foam", 0.38, AT, density=3400), "density of foam = 3400 kg/m3 .* at most 300"),
        (lambda: plug_volume(50, 0.15), "diameter of the plug = 50 m .* given in mm"),
    ],
)
def test_figures_that_cannot_be(make, words):
    with pytest.raises(InputError, match=words):
        make()
