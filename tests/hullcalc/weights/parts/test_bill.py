"""Lists of things with an allowance: hand sums, causes, bad figures."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.items import item, remove
from hullcalc.weights.parts.bill import (
    Entry,
    allowance_on,
    bill,
    by_area,
    by_length,
    by_mass,
    by_table,
    by_table_length,
)  # fmt: skip

FORE, AFT = (4.0, 0.0, 0.5), (1.0, 0.3, 0.5)


def entries():
    return [Entry("lid", by_mass(6.0, 2, "weighed"), FORE), Entry("sole", by_area(2.0, 9.7), AFT)]


def test_a_list_by_hand():
    # 2 x 6 = 12 kg at x 4; 2 m² x 9.7 = 19.4 kg at x 1: 31.4 kg at (48 + 19.4) / 31.4
    part = bill("things", entries())
    assert_allclose(part.item.mass, 31.4, rtol=1e-12)
    assert_allclose(part.item.centre, [(12 * 4 + 19.4) / 31.4, 19.4 * 0.3 / 31.4, 0.5], rtol=1e-12)
    assert_allclose(part.item.u_mass, np.hypot(0.01 * 12, 0.08 * 19.4), rtol=1e-12)
    assert [line.how for line in part.lines] == ["2 x 6 kg", "2 m² x 9.7 kg/m²"]


def test_other_ways_to_reckon():
    assert_allclose(by_length(6.8, 0.55, 2).mass.value, 7.48, rtol=1e-12)
    rod = by_table("rod holder", 4)  # 0.4 to 0.8 kg each, common practice; all of one make
    assert_allclose([rod.mass.value, rod.mass.u], [2.4, 4 * 0.4 / np.sqrt(12)], rtol=1e-12)
    rail = by_table_length("rub rail PVC", 10.0)
    assert_allclose([rail.mass.value, rail.mass.u], [11.0, 10 * 0.6 / np.sqrt(12)], rtol=1e-12)


def test_a_figure_of_ones_own_goes_before_the_tables_range():
    ranged, own = (Entry("rods", by_table("rod holder", 4), AFT, u) for u in (None, 0.1))
    assert_allclose(bill("l", [ranged]).item.u_mass, 4 * 0.4 / np.sqrt(12), rtol=1e-12)
    assert_allclose(bill("l", [own]).item.u_mass, 0.1, rtol=1e-12)


def test_things_placed_together_err_together():
    apart = bill("l", [Entry(w, by_mass(10.0), AFT) for w in "ab"]).item
    together = bill("l", [Entry(w, by_mass(10.0), AFT, placed_by="locker") for w in "ab"]).item
    assert_allclose(apart.u_centre[0], 0.050 / np.sqrt(2), rtol=1e-9)
    assert_allclose(together.u_centre[0], 0.050, rtol=1e-9)


def test_an_allowance_by_hand():
    # 10 % of 31.4 kg at the centre of the list; its own cause 4 % of 31.4 kg; totals with and without
    plain, more = bill("things", entries()), bill("things", entries(), allowance=0.10, u_allowance=0.04)
    assert_allclose(more.item.mass, 1.1 * plain.item.mass, rtol=1e-12)
    assert_allclose(more.item.centre, plain.item.centre, rtol=1e-12)
    assert_allclose(more.item.sources["things: allowance"][0], 0.04 * 31.4, rtol=1e-12)
    # the list's own errors are scaled with it, and stay theirs
    assert_allclose(more.item.sources["things, sole: mass"], 1.1 * plain.item.sources["things, sole: mass"], rtol=1e-12)
    assert_allclose(more.item.u_mass, np.hypot(1.1 * plain.item.u_mass, 0.04 * 31.4), rtol=1e-12)
    assert more.lines[-1].how == "10 % of 31.4 kg (within 4 %)"


def test_an_allowance_that_says_no_doubt_of_its_own_is_doubted_by_half():
    made = allowance_on("wiring", [item("loom", 20.0, AFT, "weighed")], 0.05)
    assert_allclose(made.item.sources["wiring: allowance"][0], 0.5, rtol=1e-12)


def test_a_one_sided_thing_keeps_its_shift_under_an_allowance():
    wet = item("wet", 100.0, AFT, "estimated", low=80.0, high=150.0)
    made = allowance_on("l", [wet], 0.10).item
    assert_allclose(made.shift, 0.10 * wet.shift, rtol=1e-12)
    assert_allclose(made.bounds["wet: mass"], wet.bounds["wet: mass"], rtol=1e-12)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: bill("l", []), "l: nothing is listed; give one thing or more"),
        (lambda: bill("l", [*entries(), *entries()]), 'l: "lid" is listed 2 times'),
        (
            lambda: bill("l", entries(), allowance=1.5),
            "allowance of l = 1.5 must lie between 0 and 1; write 0.05 or 5 %",
        ),
        (lambda: bill("l", entries(), allowance=-0.1), "allowance of l = -0.1 must lie between 0 and 1"),
        (
            lambda: bill("l", entries(), allowance=0.1, u_allowance=-1),
            "uncertainty of the allowance of l = -1 must lie",
        ),
        (lambda: allowance_on("l", [remove(item("a", 5.0, AFT, "weighed"))], 0.1), "on = -5 kg must be positive"),
        (lambda: allowance_on("l", [], 0.1), "mass that an allowance of l is on = 0 kg must be positive"),
        (lambda: by_mass(-3.0), "mass = -3 kg must be more than 0"),
        (lambda: by_mass(3.0, 0), "number = 0 must be a whole number"),
        (lambda: by_area(-2.0, 9.7), "area = -2 m2 must be more than 0"),
        (lambda: by_area(2.0, 9700), "mass per area = 9700 kg/m2 .* at most 500"),
        (lambda: by_length(0.0, 0.5), "length = 0 m must be more than 0"),
        (lambda: by_table("rod holders"), "no item 'rod holders'; did you mean: rod holder"),
        (lambda: by_table_length("rub rail", 2.0), "no item 'rub rail'; did you mean: rub rail PVC"),
    ],
)
def test_figures_that_cannot_be(make, words):
    with pytest.raises(InputError, match=words):
        make()
