"""The boot stripe: plane geometry on a wall-sided box, and the figures of an independent program."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shoe_box import DEPTH, DRAUGHT, LENGTH, write_box

import hullcalc as hc
from analysis.report.stripe import against_section, drill_section, stripe_section
from analysis.studies.floats import float_case
from analysis.studies.stripe import NO_STRIPE, dry_scuppers, over_stripe, stripe_of
from hullcalc.boats.many import float_added

T, MARGIN = 0.02, 0.03


@pytest.fixture
def box(tmp_path):
    return hc.read_boat(write_box(tmp_path / "box", t=T))


def test_stripe_of_a_box(box):
    # By hand: water at x stands DRAUGHT + T (x - 3) over the keel; the margin is square to the water.
    found = stripe_of(box, "as found", "light", MARGIN)
    up = MARGIN * np.sqrt(1 + T * T)
    for (_, row), x in zip(found.table.iterrows(), (0.0, 5.0), strict=True):
        water = DRAUGHT + T * (x - LENGTH / 2)
        assert row["water_mm"] == pytest.approx(1000 * water, abs=1e-3)
        assert row["paint_mm"] == pytest.approx(1000 * (water + up), abs=1e-3)
        assert row["over_old_mm"] == pytest.approx(1000 * (water - 0.2), abs=1e-3)
        assert row["port_mm"] == pytest.approx(row["starboard_mm"], abs=1e-4)
    for _, row in found.drill.iterrows():  # a wall side: as far along the skin as plumb
        assert row["plumb_mm"] == pytest.approx(1000 * DEPTH - row["paint_mm"], abs=1e-6)
        assert row["skin_mm"] == pytest.approx(row["plumb_mm"], abs=1e-6)


def test_heel_is_taken_out_and_said(tmp_path):
    # On a wall side at y = 1 the heel puts the water tan(heel) higher on the low side and as much lower on the other.
    boat = hc.read_boat(write_box(tmp_path / "box", tcg=-0.02))
    found = stripe_of(boat, "as found", "light", 0.0)
    row = found.table.iloc[0]
    tan = np.tan(np.radians(float(found.cases["light"].shut.heel)))
    assert tan > 0.01
    assert row["starboard_mm"] - row["port_mm"] == pytest.approx(2000 * tan, rel=1e-3)
    assert row["water_mm"] == pytest.approx((row["starboard_mm"] + row["port_mm"]) / 2, abs=1e-6)


def test_the_demonstration_boat_as_an_independent_program_has_her(demo):
    # Lower edge 469 mm at the transom and 467 at x 5.2: 20 over the family departure line; 49 and 12 above the old one.
    # Family departure: water 29 mm over the old stripe aft, 8 below it forward; as found 1 over and 58 below.
    found = stripe_of(demo, "mended plan", margin=0.020)
    assert found.departure == "family"
    assert_allclose(found.table["paint_mm"].round(), [469, 467])
    assert_allclose(found.table["above_old_mm"].round(), [49, 12])
    assert_allclose(np.round(over_stripe(found.cases["family"], found.places)), [29, -8])
    assert_allclose(over_stripe(float_case(demo, "as found", "family"), found.places), [1, -58], atol=1.0)


def test_the_new_edge_is_the_margin_over_the_water(demo):
    found = stripe_of(demo, "mended plan")
    state = found.cases["family"].shut
    level = state.height_above_water(np.array([[2.0, 0.0, 0.0]]))[0]
    normal, offset = found.lower_edge
    z = (offset - normal[0] * 2.0) / normal[2]
    above = float(state.height_above_water(np.array([2.0, 0.0, z])))
    assert above == pytest.approx(0.020, abs=1e-5)  # the heel, taken out, tilts the margin by its cosine
    assert level < 0


def test_a_scupper_drilled_where_it_says_floats_dry_by_the_margin(demo):
    # Other road: the mark is put there and the boats are floated again.
    found = stripe_of(demo, "mended plan")
    needs = dry_scuppers(list(found.cases.values()), 0.015).set_index("mark")
    row = needs.loc["scupper starboard"]
    point = np.array([row["x_m"], row["y_m"], row["needs_mm"] / 1000])
    heights = [float(case.shut.height_above_water(point)) for case in found.cases.values()]
    assert min(heights) == pytest.approx(0.015, abs=1e-9)
    again = float_added(demo.loading("mended plan", row["worst"]), np.zeros((1, 4)))
    assert float(again.states.height_above_water(point[None])[0, 0]) == pytest.approx(0.015, abs=1e-6)
    said = " ".join(drill_section(found, dry_scuppers(list(found.cases.values()))).after)
    assert "would have to stand above the lowest corner of the sole (530 mm)" in said


def test_without_a_stripe_it_still_says_where_to_paint(demo):
    bare = replace(demo, all_marks=tuple(m for m in demo.all_marks if m.kind != "boot stripe"))
    found = stripe_of(bare, "mended plan")
    assert found.table["old_mm"].isna().all() and found.table["paint_mm"].notna().all()
    assert found.table["paint_mm"][0] == pytest.approx(469, abs=1)
    assert NO_STRIPE in stripe_section(found).before
    assert against_section({}, found) is None
    one = replace(demo, all_marks=tuple(m for m in demo.all_marks if m.name != "boot stripe lower edge forward"))
    assert "second mark" in " ".join(stripe_section(stripe_of(one, "mended plan")).before)


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"margin": -0.01}, "margin = -10 mm is not from 0 to 300"),
        ({"margin": float("nan")}, "margin"),
        ({"departure": "fmily"}, "did you mean 'family'"),
        ({"conditions": []}, "has no load condition"),
    ],
)
def test_what_cannot_be_asked(demo, how, words):
    with pytest.raises(hc.InputError, match=words):
        stripe_of(demo, "mended plan", **how)
