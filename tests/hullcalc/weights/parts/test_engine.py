"""Outboards as hung: what a sheet leaves out is added, what it holds is not added twice, and slips are questioned."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.errors import InputError
from hullcalc.weights.parts import engine as e

CLAMP = (-0.94, 0.0, 0.72)


def hung(mass=255.0, includes=("dry",), power=250.0, leg="XL", sheet_leg="L", **more):
    sheet = e.Sheet(mass, tuple(includes), sheet_leg)
    return e.as_hung("outboard", power, CLAMP, sheet, leg=leg, **more)


def masses(made):
    return {one.what: float(one.item.mass) for one in made.lines}


def test_what_a_dry_sheet_leaves_out_is_added():
    made = hung()
    found = masses(made)
    # by hand: 5 % for one size of leg; 8.5 L of oil at 0.88; 5 to 9 kg of stainless; rigging 5 % of dry
    assert found == pytest.approx({"dry": 255, "longer leg": 12.75, "oil": 7.48, "propeller": 7, "rigging": 12.75})
    assert made.added == ("leg", "oil", "propeller", "rigging")
    assert float(made.item.mass) == pytest.approx(255 + 12.75 + 7.48 + 7 + 12.75)


@pytest.mark.parametrize(
    "includes", [("dry", "leg"), ("dry", "oil"), ("dry", "propeller"), ("dry", "rigging"), e.INCLUDES]
)
def test_what_a_sheet_includes_is_not_added_twice(includes):
    made = hung(includes=includes)
    names = {"leg": "longer leg"}
    for what in e.INCLUDES[1:]:
        assert (names.get(what, what) in masses(made)) == (what not in includes)
    if set(includes) == set(e.INCLUDES):
        assert float(made.item.mass) == 255


def test_known_parts_stand_in_for_rules():
    known = e.Known(leg=11.0, oil=0.0075, propeller=8.2, rigging=10.0, bases={"propeller": "weighed"},
                    rigging_at=np.array([0.15, -0.3, 0.6]), centre=np.array([-1.14, 0.0, 0.98]))  # fmt: skip
    made = hung(known=known)
    assert masses(made) == pytest.approx({"dry": 255, "leg kit": 11, "oil": 6.6, "propeller": 8.2, "rigging": 10})
    by_name = {one.what: one.item for one in made.lines}
    assert by_name["propeller"].basis == "weighed"
    assert_allclose(by_name["dry"].centre, [-1.14, 0, 0.98])
    assert_allclose(by_name["rigging"].centre, [0.15, -0.3, 0.6])


def test_centre_goes_with_transom_height_and_setback():
    rake = np.radians(14)
    near, far = (e.as_hung("o", 250.0, e.clamp_place(0.72, rake, setback), e.Sheet(255, ("dry",), "L"), leg="XL")
                 for setback in (0.51, 0.76))  # fmt: skip
    head = [one.lines[0].item.centre for one in (near, far)]
    assert_allclose(head[0] - head[1], [0.25, 0, 0], atol=1e-12)
    assert_allclose(e.clamp_place(0.72, rake, 0.76), [-0.72 * np.tan(rake) - 0.76, 0, 0.72], atol=1e-15)
    # common practice: 100 to 250 mm aft of the clamp and 200 to 350 mm above its top
    clamp = e.clamp_place(0.72, rake, 0.76)
    assert 0.10 <= clamp[0] - head[1][0] <= 0.25 and 0.20 <= head[1][2] - clamp[2] <= 0.35


def test_lines_of_the_head_share_the_error_of_its_place():
    made = hung()
    head = sum(m for what, m in masses(made).items() if what in ("dry", "longer leg", "oil"))
    assert made.item.sources["outboard: head: x"][1] == pytest.approx(0.045 * head)


def test_the_leg_under_water_by_hand():
    made = hung()
    low, high = made.leg.bounds
    along, across = high[0] - low[0], high[1] - low[1]
    under = made.leg_under((0, 0, 1), low[2] + 0.5, 1025.0)
    assert under.volume == pytest.approx(along * across * 0.5, rel=1e-12)
    assert under.lift == pytest.approx(1025 * along * across * 0.5, rel=1e-12)
    assert made.leg_under((0, 0, 1), low[2] - 0.1, 1025.0).volume == 0.0
    assert 0.005 < under.volume < 0.02  # of the order of 10 L: common practice, no source


def test_from_its_class_alone():
    low, high = e.mass_range(150.0, "four")
    assert (low, high) == (200, 225)  # a class of one power
    made = e.as_hung("o", 150.0, CLAMP, leg="L")
    assert masses(made)["dry"] == pytest.approx(212.5)
    assert any("200 to 225 kg, from memory" in says for says in made.says)
    between = e.mass_range(140.0, "four")  # straight between the classes 115-130 and 150
    assert between == pytest.approx((163 + 37 / 2, 190 + 35 / 2))
    heavy = e.as_hung("o", 9.9, CLAMP, leg="S")  # below the ranges: the published table, 105 lb dry
    assert masses(heavy)["dry + leg"] == pytest.approx(105 * 0.45359237)
    assert e.mass_range(9.9, "four") is None and e.published_class(400.0) is None


def test_a_two_stroke_carries_gear_oil_only():
    assert masses(hung(225, stroke="two"))["oil"] == pytest.approx(250 * 0.004e-3 * 880)


@pytest.mark.parametrize(
    ("mass", "words"),
    [(2680, r"2680 kg is 10 x what a 250 hp four-stroke .* weighs \(230-285\); missing decimal point\? Type 268"),
     (25.5, r"25.5 kg is 1/10 of what .* missing decimal point\? Type 255"),
     (900, r"900 kg is 3 x what .* check its unit"),
     (0, "must be positive"), (float("nan"), "must be one finite number")],
)  # fmt: skip
def test_masses_no_engine_has(mass, words):
    with pytest.raises(InputError, match=words):
        hung(mass)


@pytest.mark.parametrize(
    ("mass", "asked"), [(255, False), (300, False), (340, True), (562, True), (180, True), (210, False)]
)
def test_a_mass_far_from_its_class_is_questioned(mass, asked):
    said = [says for says in hung(mass).says if "lies outside" in says]
    assert bool(said) == asked
    if mass == 562:  # 255 kg typed in pounds
        assert "Typed in pounds? 562 lb is 255 kg." in said[0]


@pytest.mark.parametrize(
    ("wrong", "words"),
    [({"includes": ("dry", "battery")}, "includes: 'battery' is not known"),
     ({"includes": ("oil",)}, "includes: dry is missing"),
     ({"leg": "XXXL"}, "leg = 'XXXL' is not known; write one of: S, L, XL, XXL"),
     ({"leg": "L", "sheet_leg": "XL"}, "longer than the L asked for"),
     ({"power": 0.0}, "power = 0 hp must lie between 0 and 700 hp"),
     ({"stroke": "three"}, "stroke = 'three'"), ({"propeller": "bronze"}, "propeller = 'bronze'")],
)  # fmt: skip
def test_engines_that_are_none(wrong, words):
    with pytest.raises(InputError, match=words):
        hung(**wrong)


@pytest.mark.parametrize(
    ("height", "setback", "words"), [(72, 0, "height of the clamp = 72 m"), (0.7, 76, "setback = 76 m")]
)
def test_clamps_that_are_none(height, setback, words):
    with pytest.raises(InputError, match=words):
        e.clamp_place(height, 0.24, setback)


def test_beyond_all_tables_a_mass_is_asked_for():
    with pytest.raises(InputError, match="500 hp is beyond the tables of outboards; give the mass"):
        e.as_hung("o", 500.0, CLAMP, leg="XXL")
    assert (
        float(hung(400, power=500.0, leg="XXL", sheet_leg="XL").lines[0].item.mass) == 400
    )  # nothing to hold it against
