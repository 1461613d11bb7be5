"""Hydrostatic table and righting arms of a boat: the table meets her float, arms end at the first opening."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hand_box import BOX, BREADTH, DRAUGHT, LENGTH, RHO, VCG
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis.report.curves import curve_sections
from analysis.studies.curves import curves
from hullcalc.errors import InputError


@pytest.fixture(scope="module")
def box_curves(tmp_path_factory):
    folder: Path = tmp_path_factory.mktemp("box")
    for name, text in BOX.items():
        (folder / name).write_text(text, encoding="utf-8")
    return curves(hc.read_boat(folder), "as found", "light")


def test_the_table_of_a_box(box_curves):
    # Closed forms: ρ L B T, KB = T / 2, KM = KB + B² / 12 T, TPC = ρ L B, MCT = W GM_L / L.
    table = box_curves.table
    t = table["draught_m"].to_numpy()
    assert DRAUGHT in np.round(t, 9)
    assert_allclose(table["displacement_kg"], RHO * LENGTH * BREADTH * t, rtol=1e-9)
    assert_allclose(table["kb_m"], t / 2, rtol=1e-9)
    assert_allclose(table["km_m"], t / 2 + BREADTH**2 / (12 * t), rtol=1e-9)
    assert_allclose(table[["lcb_m", "lcf_m"]], LENGTH / 2, rtol=1e-9)
    assert_allclose(table["tpc_kg_per_mm"], RHO * LENGTH * BREADTH / 1000, rtol=1e-9)
    gm_l = LENGTH**2 / (12 * t) + t / 2 - VCG
    assert_allclose(table["mct_kgm_per_cm"], RHO * BREADTH * t * gm_l / 100, rtol=1e-9)


def test_arms_of_a_box_end_where_the_scupper_goes_under(box_curves):
    # The scupper is 0.3 m above the water and 0.9 m to starboard: under from tan(heel) = 1/3 on; nothing to port.
    assert box_curves.righting.starboard.downflooding == pytest.approx(np.degrees(np.arctan(1 / 3)), abs=1e-6)
    assert box_curves.righting.port.downflooding is None
    arms = box_curves.arms.set_index("heel_deg")
    assert arms.loc[15, "valid"]
    assert not arms.loc[20, "valid"]
    assert arms.loc[-60, "valid"]
    righting = curve_sections(box_curves)[1]
    said = {row[0]: row for row in righting.grids[0].rows}
    assert said["20°"][1] == "not valid"
    assert said["20°"][3].endswith(" m")
    assert righting.before[0].startswith("Not valid beyond 18.4° to starboard: scupper")


def test_where_an_opening_is_under_from_the_start_there_is_no_arm(demo):
    found = curves(demo, "first plan", "4 adults full")
    assert not found.valid.any()
    righting = curve_sections(found)[1]
    assert righting.before[0].startswith("Not valid from the start: scupper port is under water")
    assert [row[1] for row in righting.grids[0].rows] == ["not valid"]
    assert righting.after == ()


@pytest.mark.parametrize("plan", ["as found", "mended plan"])
def test_the_table_meets_the_float(demo, plan):
    found = curves(demo, plan, "light")
    drawn = np.interp(float(found.state.mass), found.table["displacement_kg"], found.table["draught_m"])
    assert drawn == pytest.approx(found.draught, abs=0.002)  # heeled half a degree, and a chord 20 mm long
    assert found.mark == "draught mark aft"


def test_bad_input_is_told(demo):
    with pytest.raises(InputError, match="no mark is called 'bow' in this plan; draught marks: draught mark aft"):
        curves(demo, "first plan", "light", "bow")
    with pytest.raises(InputError, match="no plan is called 'second'"):
        curves(demo, "second", "light")
