"""Rain on the sole of a box: slopes, puddles, trapped water and its free surface in closed form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shoe_box import BEAM, DRAUGHT, FLOOR, FLOOR_AREA, FLOOR_BREADTH, LENGTH, MASS, write_box

import hullcalc as hc
from analysis.report.drain import drain_section, on_sole_section
from analysis.studies.drain import sole_drainage, water_on_sole
from analysis.studies.drain_words import drain_finding
from hullcalc.boats.conditions import Condition
from hullcalc.weights.items import item

WATERPLANE = LENGTH * BEAM
T = 0.02


@pytest.fixture
def box(tmp_path):
    def make(**how):
        return hc.read_boat(write_box(tmp_path / "box", **how))

    return make


def test_a_level_sole_with_a_raised_drain_keeps_a_level_sheet(box):
    found = sole_drainage(box(drain=(0.3, FLOOR + 0.03)), "as found", "light")
    assert found.words == "nowhere: the sole is level"
    assert_allclose(found.table["depth_mm"], 30, rtol=0, atol=1e-6)
    assert found.standing == pytest.approx(0.03 * FLOOR_AREA, abs=1e-8)
    assert_allclose(found.table["height_mm"], 1000 * (FLOOR - DRAUGHT), rtol=0, atol=1e-5)


def test_by_the_bow_water_runs_forward_and_stands_in_a_wedge(box):
    # By hand: the floor sinks T a metre forward, the drain is flush with it at x = 0.3. Depth at x: T (x - 0.3), along
    # the water's normal a factor 1 / sqrt(1 + T^2) less; mean depth over the floor, plumb: T (3 - 0.3).
    found = sole_drainage(box(t=T), "as found", "light")
    assert found.rise_forward == pytest.approx(-T, abs=1e-9) and found.forward
    assert found.words == "forward"
    depth = found.table.set_index("corner")["depth_mm"]
    along = 1000 * T / np.sqrt(1 + T * T)
    for corner, x in (("aft port", 0.5), ("forward starboard", 5.5)):
        assert depth[corner] == pytest.approx(along * (x - 0.3), abs=1e-4)
    assert found.standing == pytest.approx(T * 2.7 * FLOOR_AREA, rel=1e-6)
    assert drain_finding(found).split(": ")[1].startswith("the sole drains forward, away from drain ")
    assert any("The sole drains forward" in text for text in drain_section(found).before)


def test_by_the_stern_it_drains_aft(box):
    found = sole_drainage(box(t=-T), "as found", "light")
    assert found.words == "aft" and not found.forward
    assert found.rise_forward == pytest.approx(T, abs=1e-9)
    assert_allclose(found.table["depth_mm"], 0, atol=1e-9)
    assert found.standing == pytest.approx(0, abs=1e-12)
    assert "rain runs aft and leaves by drain" in drain_finding(found)


def test_no_water_drains_below_the_sea(box):
    # drains 0.10 m over the keel are 0.15 m under the sea, which stands 0.15 m below the floor: nothing stands on it
    found = sole_drainage(box(drain=(0.3, 0.10)), "as found", "light")
    assert found.level == 0 and found.standing == 0
    assert "under water at rest the sea comes in" in " ".join(drain_section(found).before)


@pytest.mark.parametrize("litres", [0.0, 50.0, 100.0, 400.0])
def test_trapped_water_on_a_level_floor(box, litres):
    # By hand: she sinks by the water's mass over density times waterplane; its free surface takes rho i / m of GM.
    found = water_on_sole(box(), "as found", "light", [litres / 1000])
    ((_, row),) = found.table.iterrows()
    assert row["kg"] == pytest.approx(litres)  # rain, 1000 kg/m3
    assert row["lower_mm"] == pytest.approx(1000 * litres / (1025 * WATERPLANE), abs=1e-6)
    inertia = 5.0 * FLOOR_BREADTH**3 / 12
    lost = 1e6 * inertia / (MASS + litres) if litres else 0.0
    assert row["gm_lost_mm"] == pytest.approx(lost, rel=1e-6)


def test_what_brings_the_sole_down_to_the_sea(box):
    # 0.15 m of waterplane, in rain: 0.15 x 12 x 1.025 m3 = 1.845 m3 is more than is tried; a floor 0.03 m over the sea
    # is down after 0.03 x 12 x 1.025 = 0.369 m3
    boat = box()
    assert np.isnan(water_on_sole(boat, "as found", "light").under_at["sole forward"])
    low = replace(boat, all_marks=tuple(
        replace(m, point=m.point - [0, 0, 0.12]) if m.kind == "sole" else m for m in boat.all_marks
    ))  # fmt: skip
    assert water_on_sole(low, "as found", "light").under_at["sole forward"] == pytest.approx(0.369, abs=1e-6)


def test_the_demonstration_boat_kept_on_a_mooring(demo):
    # Independent program, four adults aboard: 100 L on the sole, 17 mm lower; 400 L bring the higher corner under too.
    found = water_on_sole(demo, "mended plan", "4 adults full", [0.0, 0.1, 0.4])
    port = found.table["sole aft port"]
    assert port[0] - port[1] == pytest.approx(17, abs=1.5)
    assert port[2] < 0
    assert 0.2 < found.under_at["sole aft port"] < 0.4
    section = on_sole_section(found)
    assert any("bring sole aft port down to the sea" in text for text in section.before)
    assert "naval architect" in section.after[0]


@pytest.mark.parametrize(
    ("volumes", "words"),
    [([-0.1], "-100 L is not from 0 to the"), ([1e9], "is not from 0 to the")],
)
def test_water_that_cannot_be(demo, volumes, words):
    with pytest.raises(hc.InputError, match=words):
        water_on_sole(demo, "mended plan", "4 adults full", volumes)


def test_water_that_takes_what_holds_her_upright(demo):
    heavy = replace(demo, people=dict(demo.people) | {"mast": item("mast", 500, (2.2, 0.0, 3.0), "weighed")})
    with pytest.raises(hc.InputError, match="with 200 L on the sole she no longer floats upright"):
        water_on_sole(heavy, "mended plan", Condition("top-heavy", aboard=("mast",)), [0.0, 0.2])


def test_without_a_cockpit_one_sentence_says_which_file(demo):
    bare = replace(demo, spaces=())
    assert sole_drainage(bare, "mended plan", "light").standing is None
    with pytest.raises(hc.InputError, match=r"no cockpit is drawn .* spaces\.csv"):
        water_on_sole(bare, "mended plan", "light")
