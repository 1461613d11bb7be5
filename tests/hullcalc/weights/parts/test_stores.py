"""Coolers through a day: mass is kept, melt by its heat, ends by hand, bad figures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.parts.stores import cooler_through_the_day, melt_rate, packed_cooler

AT = (3.4, 0.0, 0.75)
HOURS = np.linspace(0, 12, 25)


@given(st.floats(0, 80), st.floats(1, 30), st.floats(0, 30))
def test_a_cooler_with_its_plug_in_keeps_its_mass(ice, lasts, drinks):
    day = cooler_through_the_day(HOURS, ice, lasts, drinks, box=5.0)
    assert_allclose(day.mass, 5.0 + ice + drinks, rtol=1e-12)
    assert_allclose(day.ice + day.melt_water, ice, rtol=1e-12, atol=1e-12)


@given(st.floats(0, 80), st.floats(1, 30))
def test_what_is_drained_has_left(ice, lasts):
    day = cooler_through_the_day(HOURS, ice, lasts, drained=True)
    assert_allclose(day.mass + day.drained, ice, rtol=1e-12, atol=1e-12)
    assert np.all(np.diff(day.mass) <= 1e-12)


def test_a_day_by_hand():
    # 20 kg of ice that lasts 10 h, plug out; 12 kg of drinks gone by hour 8; 60 kg of fish from hour 2 to hour 6.
    # At hour 4: ice 12, drinks 6, fish 30, box 6.
    day = cooler_through_the_day([0, 4, 12], 20.0, 10.0, 12.0, 8.0, 60.0, 2.0, 6.0, box=6.0, drained=True)
    assert_allclose(day.ice, [20, 12, 0], rtol=1e-12)
    assert_allclose(day.drinks, [12, 6, 0], rtol=1e-12)
    assert_allclose(day.catch, [0, 30, 60], rtol=1e-12)
    assert_allclose(day.drained, [0, 8, 20], rtol=1e-12)
    assert_allclose(day.mass, [38, 54, 66], rtol=1e-12)


def test_one_kilogram_an_hour_takes_its_latent_heat():
    # 333.55 kJ/kg (standard value, from memory): 92.65 W melt 1 kg/h
    assert_allclose(melt_rate(1.0, 1.0, 333.55e3 / 3600 / 2) * 2, 1.0, rtol=1e-12)
    assert_allclose(melt_rate(1.0, 1.2, 20.0), 24.0 * 3600 / 333.55e3, rtol=1e-12)
    assert melt_rate(1.0, 1.2, 0.0) == 0.0


def test_a_packed_cooler_by_hand():
    # 60 L: box 0.0975 kg/L, packed 0.75 kg/L of 80 % (common practice, no source)
    part = packed_cooler("cooler", 0.060, AT, 0.8)
    assert_allclose([line.item.mass for line in part.lines], [5.85, 36.0], rtol=1e-12)
    u = np.hypot(60 * 0.045, 0.8 * 60 * 0.1) / np.sqrt(12)
    assert_allclose(part.item.u_mass, u, rtol=1e-12)
    assert len(packed_cooler("cooler", 0.060, AT, 0.0).lines) == 1


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: cooler_through_the_day([-1.0], 20, 10), r"hours\[0\] = -1 h must not be negative"),
        (lambda: cooler_through_the_day(HOURS, -20, 10), "mass of ice = -20 kg must lie between 0 and 1000"),
        (lambda: cooler_through_the_day(HOURS, np.nan, 10), "mass of ice = nan must be one finite number"),
        (lambda: cooler_through_the_day(HOURS, 20, 0), "hours that the ice lasts = 0 h must be after hour 0"),
        (lambda: cooler_through_the_day(HOURS, 20, 10, catch=60), "catch_until is missing"),
        (
            lambda: cooler_through_the_day(HOURS, 20, 10, catch=60, catch_from=6, catch_until=2),
            "catch_until = 2 h must be after hour 6",
        ),
        (lambda: cooler_through_the_day(HOURS, 20, 10, 12, -2), "last drink is gone = -2 h must be after hour 0"),
        (lambda: melt_rate(-1, 1, 20), "area of the cooler's walls = -1 m2 must be more than 0"),
        (lambda: melt_rate(1, 1, 90), "temperature over the ice = 90 K must lie between 0 and 60"),
        (lambda: packed_cooler("c", 60, AT), "volume of c = 60 m3 .* 60 L is 0.060"),
        (lambda: packed_cooler("c", 0.06, AT, 1.2), "filling of c = 1.2 must lie between 0 and 1"),
        (lambda: packed_cooler("c", 0.06, AT, wall="thick"), "no cooler 'empty thick'; did you mean: empty thin wall"),
    ],
)
def test_figures_that_cannot_be(make, words):
    with pytest.raises(InputError, match=words):
        make()
