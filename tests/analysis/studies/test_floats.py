"""How she floats, in tables: against boats floated one by one, and against plane geometry."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from analysis.studies.floats import (
    end_marks,
    float_case,
    how_she_floats,
    least_forward_mark,
    meaning,
    sole_fall,
    stern_height,
)
from hullcalc import InputError
from hullcalc.boats.conditions import Condition
from hullcalc.boats.marks import Mark
from hullcalc.weights.items import item

FULL = "4 adults full"


@pytest.fixture(scope="module")
def study(demo):
    return how_she_floats(demo, conditions=("light", FULL))


def test_one_row_for_each_plan_condition_and_mark(demo, study):
    assert list(study.summary[["plan", "condition"]].itertuples(index=False, name=None)) == [
        (plan, condition) for plan in demo.plans for condition in ("light", FULL)
    ]
    for plan in demo.plans:
        rows = study.table[(study.table["plan"] == plan) & (study.table["condition"] == FULL)]
        assert list(rows["mark"]) == list(demo.marks_in(plan))


def test_rows_are_those_of_the_boat_floated_alone(demo, study):
    for plan in demo.plans:
        shut, rest = demo.float(plan, FULL, shut=True), demo.float(plan, FULL)
        rows = study.table[(study.table["plan"] == plan) & (study.table["condition"] == FULL)].set_index("mark")
        for name in demo.marks_in(plan):
            assert rows.loc[name, "shut_mm"] == 1000 * shut.marks[name]
            assert rows.loc[name, "rest_mm"] == 1000 * rest.marks[name]
        row = study.summary.set_index(["plan", "condition"]).loc[(plan, FULL)]
        assert (row["mass_kg"], row["lcg_m"], row["trim_deg"]) == (shut.mass, shut.cg[0], shut.trim)
        assert row["rest_trim_deg"] == rest.trim
        assert row["gm_liquids_frozen_m"] - row["gm_m"] == pytest.approx(shut.free_surface[0], rel=1e-12)


def test_water_over_the_x_axis_is_where_the_sea_crosses_the_z_axis(demo):
    case = float_case(demo, "first plan", FULL)
    height = case.shut.height_above_water([0.0, 0.0, stern_height(case.shut)])
    assert abs(height) < 1e-12


def test_draughts_and_trim_between_marks_are_depths_of_the_marks(demo, study):
    row = study.summary.set_index(["plan", "condition"]).loc[("mended plan", FULL)]
    marks = demo.marks_in("mended plan")
    state = demo.float("mended plan", FULL, shut=True)
    aft, forward = (state.height_above_water(marks[f"draught mark {end}"].point) for end in ("aft", "forward"))
    assert_allclose([row["draught_aft_mm"], row["draught_forward_mm"]], [-1000 * aft, -1000 * forward], rtol=1e-12)
    assert row["trim_between_marks_mm"] == pytest.approx(1000 * (forward - aft), rel=1e-12)
    # Other road: the marks are 5 m apart along the keel, so the angle gives the difference of their depths.
    rise = marks["draught mark forward"].point - marks["draught mark aft"].point
    along = np.radians(state.trim)
    assert row["trim_between_marks_mm"] == pytest.approx(
        1000 * (rise[0] * np.sin(along) + rise[2] * np.cos(along) * np.cos(np.radians(state.heel))), abs=1e-6
    )


def test_end_marks_of_a_kind():
    marks = {name: Mark(name, (x, 0, 0), "draught") for name, x in (("b", 5.0), ("a", 0.1), ("c", 2.0))}
    assert end_marks(marks, "draught") == ("a", "b")
    assert end_marks({"a": marks["a"]}, "draught") == ("a", None)
    assert end_marks(marks, "sole") == (None, None)


def test_which_way_the_sole_drains():
    marks = {
        "aft port": Mark("aft port", (0, 1, 0), "sole"),
        "aft starboard": Mark("aft starboard", (0, -1, 0), "sole"),
        "forward": Mark("forward", (4, 0, 0), "sole"),
    }
    # heel lowers one corner and lifts the other: it takes no part
    fall = sole_fall(marks, {"aft port": 0.02, "aft starboard": 0.06, "forward": 0.10})
    assert fall.fall == pytest.approx(0.06)
    assert (fall.length, fall.words) == (4.0, "the sole drains aft")
    over_mended = sole_fall(marks, {"aft port": 0.12, "aft starboard": 0.10, "forward": 0.09})
    assert (over_mended.fall, over_mended.words) == (pytest.approx(-0.02), "the sole drains forward")
    assert sole_fall({"forward": marks["forward"]}, {"forward": 0.1}) is None


def test_weight_far_forward_turns_the_sole(demo):
    people = dict(demo.people) | {"ballast": item("ballast", 500.0, (6.0, 0.0, 0.6), "weighed")}
    bow_heavy = replace(demo, people=people)
    case = float_case(bow_heavy, "mended plan", Condition("bow down", aboard=("ballast",)))
    assert sole_fall(case.marks, case.heights_shut).words == "the sole drains forward"
    assert case.shut.trim < 0
    least = least_forward_mark(case)
    forward = [name for name in case.watched() if case.marks[name].point[0] > 3.3]
    assert case.heights_shut[least] == min(case.heights_shut[name] for name in forward)


def test_meaning_in_words(demo):
    assert meaning(float_case(demo, "first plan", "light")) == "no opening under water, at rest in calm water"
    assert meaning(float_case(demo, "first plan", FULL)) == (
        "scupper port and scupper starboard under water: water enters the cockpit, floated again open to the sea"
    )
    assert meaning(float_case(demo, "mended plan", "light, bracket flooded")) == (
        "bracket pod held open to the sea, no opening under water, at rest in calm water"
    )


def test_a_case_that_sinks_keeps_its_row(demo):
    people = dict(demo.people) | {"anvil": item("anvil", 20000.0, (2.0, 0.0, 0.5), "weighed")}
    heavy = replace(demo, people=people, conditions={"anvil": Condition("anvil", aboard=("anvil",))})
    study = how_she_floats(heavy, plans=["as found"])
    (row,) = study.summary.to_dict("records")
    buoyancy = demo.water_density * demo.hull.solid.volume
    assert row["status"] == "sinks"
    assert row["short_by_kg"] == pytest.approx(20000 + 1612 - buoyancy, rel=1e-9)
    assert study.table.empty
    with pytest.raises(InputError, match="no floating case as found / anvil"):
        study.case("as found", "anvil")
