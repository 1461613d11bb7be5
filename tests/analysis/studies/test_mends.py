"""What mends it: against an independent program and against boats floated one by one."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from analysis.studies.mends import TOGETHER, what_mends
from hullcalc import InputError

FULL = "4 adults full"
BATTERIES, TANK, SOLE = "9 mend: batteries to the console", "9 mend: tank moved forward", "9 mend: sole raised 30 mm"


@pytest.fixture(scope="module")
def mends(demo):
    return what_mends(demo, "first plan", "mended plan", FULL, at="sole")


def test_as_an_independent_program_finds(mends):
    # Source: an independent program, 4 adults aboard, tanks full, at the lowest sole corner: batteries to the console
    # +27 mm, sole raised +30, tank forward +16, each +-2; all together the corner stands 29 mm above water.
    table = mends.table.set_index("mend")
    assert_allclose(table.loc[[BATTERIES, SOLE, TANK], "alone_mm"], [27, 30, 16], rtol=0, atol=2)
    assert table.loc[TOGETHER, "at_mm"] == pytest.approx(29, abs=0.5)


def test_each_is_floated_again(demo, mends):
    table = mends.table.set_index("mend")
    first, corners = demo.packages_on("first plan"), ("sole aft port", "sole aft starboard")

    def lowest(packages):
        marks = demo.float(packages, FULL, shut=True).marks
        return 1000 * min(marks[corner] for corner in corners)

    everything = lowest("mended plan")
    for mend in (BATTERIES, TANK, SOLE):
        others = demo.packages_on("mended plan") - {mend}
        assert table.loc[mend, "alone_mm"] == pytest.approx(lowest(first | {mend}) - lowest(first), abs=1e-9)
        assert table.loc[mend, "left_out_mm"] == pytest.approx(everything - lowest(others), abs=1e-9)
    assert mends.together_mm == pytest.approx(everything - lowest(first), abs=1e-9)


def test_without_a_choice_all_packages_left_are_tried_at_the_worst_kind(demo):
    mends = what_mends(demo, "first plan", condition=FULL)
    assert mends.at == "scupper"
    assert list(mends.table["mend"]) == [BATTERIES, TANK, SOLE, "10 bracket 0.51 m instead", TOGETHER]
    # Source: an independent program: the shorter bracket with its smaller pod sets the stern 5 mm deeper
    assert mends.table.set_index("mend").loc["10 bracket 0.51 m instead", "alone_mm"] == pytest.approx(-5, abs=1)


def test_both_ends_are_watched(mends):
    table = mends.table.set_index("mend")
    assert set(table["forward_mark"]) == {"sole forward"}
    assert table.loc[TOGETHER, "sole_fall_mm"] > 0
    # weight moved forward takes from the bow what it gives to the stern
    assert table.loc[BATTERIES, "forward_mm"] < 1000 * mends.before.heights_shut["sole forward"]


def test_what_moves_and_how_much(demo, mends):
    moved = {move.name: move for move in mends.moved}
    assert list(moved) == ["batteries to the console", "tank moved forward"]  # the best first; the sole moves nothing
    batteries, tank = moved.values()
    assert batteries.mass == pytest.approx(105 + 13)  # batteries and their switches
    assert_allclose(batteries.start[[0, 2]], [0.36, 0.54])
    assert_allclose(batteries.end, [2.72, 0.0, 0.60])
    assert tank.mass == pytest.approx(51 + 12 + 5 + 0.95 * 2.10 * 0.73 * 0.271 * 740, rel=1e-9)  # with its fuel


def test_a_single_mark_may_be_watched(demo):
    at_port = what_mends(demo, "first plan", [SOLE], FULL, at="sole aft port")
    assert at_port.together_mm == pytest.approx(30, abs=0.1)
    assert np.array_equal(at_port.table["alone_mm"].iloc[0], at_port.table["alone_mm"].iloc[1])


def test_what_cannot_be_asked(demo):
    with pytest.raises(InputError, match="nothing to mend mended plan with"):
        what_mends(demo, "mended plan", "mended plan", FULL)
    with pytest.raises(InputError, match=r"'transom notch' is no mark or kind of mark .* watch one of: scupper"):
        what_mends(demo, "first plan", "mended plan", FULL, at="transom notch")
