"""People: heights by hand, surfaces, spread of many, bad figures."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.parts.people import Person, centre_above, people, surface_height

SOLE = [(0.06, 0.85, 0.500), (0.06, -0.85, 0.500), (3.80, 0.0, 0.540)]


def test_heights_above_what_is_stood_and_sat_on():
    # 0.95 standing, 0.30 seated (from memory); a child of an eighth of the mass is half as tall
    assert centre_above("standing") == centre_above("standing", 110.0) == 0.95
    assert centre_above("seated") == 0.30
    assert_allclose(centre_above("seated", 75.0 / 8), 0.15, rtol=1e-12)
    assert centre_above("regulation", 40.0) == 0.76  # 46 CFR 178.330: 2.5 ft


def test_surfaces():
    assert surface_height([(0, 0, 0.5)], 3.0, 1.0) == 0.5
    assert_allclose(surface_height([(0, 0, 0.5), (4, 0, 0.54)], 2.0, 0.7), 0.52, rtol=1e-12)  # level across
    assert_allclose(surface_height(SOLE, 0.06, 0.3), 0.500, rtol=1e-12)
    assert_allclose(surface_height(SOLE, 3.80, 0.0), 0.540, rtol=1e-12)
    # Other road: the plane by hand, z = 0.5 + (x - 0.06) 0.04 / 3.74
    assert_allclose(surface_height(SOLE, 2.35, -0.35), 0.5 + 2.29 * 0.04 / 3.74, rtol=1e-12)


def test_a_helmsman_by_hand():
    part = people("crew", [Person("helmsman", 85.0, "standing", 2.35, 0.35, 0.50)])
    assert_allclose(part.item.mass, 85.0)
    assert_allclose(part.item.centre, [2.35, 0.35, 1.45], rtol=1e-12)
    assert_allclose(part.item.u_mass, 8.0, rtol=1e-12)
    assert_allclose(part.item.u_centre, [0.15, 0.15, 0.05], rtol=1e-12)


def test_four_alike_err_each_for_themselves():
    # Other road: four persons of one each at the same place
    four = people("crew", [Person("guests", 85.0, "standing", 2.0, 0.0, 0.5, number=4)]).item
    ones = people("crew", [Person(str(k), 85.0, "standing", 2.0, 0.0, 0.5) for k in range(4)]).item
    assert_allclose(four.mass, ones.mass, rtol=1e-12)
    assert_allclose(four.covariance, ones.covariance, rtol=1e-12)


def test_a_child_and_a_spread_of_ones_own():
    child = Person("child", 30.0, "seated", 4.6, -0.25, 0.88, u_place=(0.3, 0.3, 0.05))
    found = people("crew", [child]).item
    assert_allclose(found.centre[2], 0.88 + 0.30 * 0.4 ** (1 / 3), rtol=1e-12)
    assert_allclose([found.u_mass, found.u_centre[0]], [4.5, 0.3], rtol=1e-12)


def person(**other):
    return people(
        "crew",
        [Person(**{"who": "a", "mass": 85.0, "posture": "standing", "x": 2.0, "y": 0.0, "surface": 0.5} | other)],
    )


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: people("crew", []), "crew: nobody is listed; give one person or more"),
        (lambda: people("crew", [Person("a", 85.0, "seated", 2.0, 0.0, 0.5)] * 2), '"a" is listed 2 times'),
        (lambda: person(mass=-85.0), "mass of a person = -85 kg must be more than 0"),
        (lambda: person(mass=850.0), "mass of a person = 850 kg .* at most 250"),
        (lambda: person(posture="sitting"), "no posture 'sitting'; did you mean"),
        (lambda: person(number=0), "number of crew, a = 0 must be a whole number, 1 to 100"),
        (lambda: person(surface=500.0), "surface under crew, a = 500 m is not in the boat"),
        (lambda: person(surface=np.nan), "surface under crew, a = nan must be one finite number"),
        (lambda: person(x=np.inf), "x of crew, a = inf must be one finite number"),
        (lambda: person(u_mass=-1.0), "uncertainty of the mass of crew, a = -1 kg must not be negative"),
        (lambda: surface_height([], 1.0, 0.0), "surface stood on: shape"),
        (lambda: surface_height([(0, 0, np.nan)], 1.0, 0.0), r"surface stood on\[0, 2\] = nan m must be finite"),
    ],
)
def test_figures_that_cannot_be(make, words):
    with pytest.raises(InputError, match=words):
        make()
