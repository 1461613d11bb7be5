"""Where weight can still go, and how neutral points wander: against an independent program and boats floated again."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from analysis.studies.inputs import which_input
from analysis.studies.neutral import neutral_over_loads, neutral_points
from analysis.studies.plans import heaviest_condition
from analysis.studies.watching import say_watched, watched_marks
from analysis.studies.where import half_breadth, standing_height, where_to_put
from analysis.studies.where_words import room_finding, say_place
from hullcalc import InputError
from hullcalc.weights.items import item

FULL, PLAN = "4 adults full", "mended plan"
BRACKET = (-0.55, 0.0, 0.58)


def lowest_with(boat, condition, kg, place, kind="sole"):
    """Height of the lowest mark of a kind [mm] with a thing put aboard, by the boat's own road."""
    said = boat.condition(condition)
    loaded = replace(boat, people=dict(boat.people) | {"thing": item("thing", kg, place, "weighed")})
    state = loaded.float(PLAN, replace(said, aboard=(*said.aboard, "thing")), shut=True)
    return 1000 * min(state.marks[name] for name, mark in state.loading.marks.items() if mark.kind == kind)


def test_sixty_kilograms_more(demo):
    # Source: an independent program (exact integrals over the same mesh), to the kilogram: mended plan, four adults,
    # tanks full: 92 kg at the bracket, 117 at x 0.3, 262 at x 2 until the sole's corner is wet.
    found = where_to_put(demo, PLAN, FULL, {"bracket": BRACKET, "aft": (0.3,), "middle": (2.0,)}, deck=False)
    assert_allclose(found.places["may_add_kg"], [92, 117, 262], atol=1.5)
    assert (found.places["first_mark"] == "sole aft starboard").all()
    assert "60 kg can go at any of the places" in room_finding(found)
    assert len(found.deck) == 0


def test_more_than_is_usually_tried_is_tried(demo):
    """Two tonnes at two places: too much at both, as she floats with them or sinks; not "no limit up to 500 kg"."""
    found = where_to_put(demo, PLAN, FULL, {"aft": (0.3,), "amidships": (3.0,)}, kg=2000.0, deck=False)
    assert (found.places["may_add_kg"] < 2000).all()
    assert not (found.places["lowest_mm"] >= 0).any()
    assert "too much at 2 of 2 places" in room_finding(found)
    amidships = found.places["may_add_kg"].iloc[1]
    assert amidships > 500
    assert lowest_with(demo, FULL, amidships, (3.0, 0.0, found.places["z_m"].iloc[1])) == pytest.approx(0, abs=1e-3)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_what_is_called_enough_is_not_said_to_be_less(demo, system):
    # The finding compares figures as a reader would: those it prints, in the unit it prints them in.
    least = where_to_put(demo, PLAN, FULL, {"aft": (0.3,)}, deck=False).places["may_add_kg"].iloc[0]
    for kg in least + np.arange(-1.2, 1.3, 0.2):
        said = room_finding(where_to_put(demo, PLAN, FULL, {"aft": (0.3,)}, kg=kg, deck=False), system)
        asked, may = (int(figure) for figure in re.findall(r"(\d+) (?:kg|lb)", said))
        assert ("too much" in said) == (may < asked), said


def test_a_second_cooler(demo):
    # Source: the same program: 45 kg set the sole's corner 9 mm deeper at x 0.9, do nothing at 3.4, lift it 4 at 4.6.
    found = where_to_put(demo, PLAN, FULL, {"a": (0.9,), "b": (3.4,), "c": (4.6,)}, kg=45, deck=False)
    assert_allclose(found.places["change_mm"], [-9, 0, 4], atol=0.6)
    before = 1000 * min(found.case.heights_shut[name] for name in found.marks)
    for _, row in found.places.iterrows():
        lowest = lowest_with(demo, FULL, 45, (row["x_m"], row["y_m"], row["z_m"]))
        assert row["lowest_mm"] == pytest.approx(lowest, abs=1e-6)
        assert row["change_mm"] == pytest.approx(lowest - before, abs=1e-6)


def test_where_the_children_sit(demo):
    # Source: the same program: 70 kg on the forward seat lift the sole's corner 22 mm against the stern, 12 against the
    # helm (whole millimetres, places not printed: taken at 4.6, 0.6 and 2.35 m, seated).
    children = ("child 12 seated forward", "child 9 seated forward")
    at = {"forward": (4.6, 0, 1.15), "stern": (0.6, 0, 1.15), "helm": (2.35, 0, 1.15)}
    found = where_to_put(demo, PLAN, "family", at, 70, ["sole aft starboard"], without=children, deck=False)
    forward, stern, helm = found.places["change_mm"]
    assert forward - stern == pytest.approx(22, abs=1.0)
    assert forward - helm == pytest.approx(12, abs=1.0)
    assert "without child 12" in found.case.condition


def test_the_straight_line_is_near_for_small_weights(demo):
    close = where_to_put(demo, "first plan", "family", {"aft": (0.3,)}, deck=False).places.iloc[0]
    assert close["may_add_kg"] < 10
    assert close["linear_kg"] == pytest.approx(close["may_add_kg"], rel=0.01)


def test_a_margin_and_a_chance(demo):
    place = {"aft": (0.3,)}
    plain, kept = (where_to_put(demo, PLAN, FULL, place, margin_mm=mm, deck=False) for mm in (0.0, 9.0))
    # 9 mm of 29 mm spare: about 9/29 of the weight, as millimetres and kilograms run nearly straight
    assert plain.places["may_add_kg"][0] - kept.places["may_add_kg"][0] == pytest.approx(117 * 9 / 29, rel=0.02)
    sure = where_to_put(demo, PLAN, FULL, place, chance=0.95, deck=False)
    for name, mm in sure.margin_mm.items():  # 1.645 standard uncertainties: 95 % of a normal spread, one-sided
        u = np.hypot.reduce(which_input(demo, PLAN, FULL, name)["mm"])
        assert mm == pytest.approx(1.6449 * u, rel=1e-3)
    assert sure.places["may_add_kg"][0] < kept.places["may_add_kg"][0]


def test_where_a_mark_is_wet_already(demo):
    found = where_to_put(demo, "first plan", FULL, {"forward": (4.6,), "aft": (0.3,)}, deck=False)
    assert found.short == ["sole aft port", "sole aft starboard"]
    assert (found.places["may_add_kg"] == 0).all()
    assert room_finding(found).startswith("nothing may be added anywhere: sole aft port is 44 mm under with")


def test_the_deck_map_lies_on_deck_and_agrees_with_the_places(demo):
    found = where_to_put(demo, PLAN, FULL)
    deck = found.deck
    assert (np.abs(deck["y_m"]) <= half_breadth(found.case, deck["x_m"].to_numpy()) - 0.149).all()
    assert_allclose(deck["z_m"], standing_height(found.case), atol=0)
    assert deck["z_m"].iloc[0] == pytest.approx(0.53 + 0.30)  # over the sole's lowest corner, raised in this plan
    some = deck[np.isfinite(deck["may_add_kg"])].iloc[::60]
    for _, row in some.iterrows():
        place = (row["x_m"], row["y_m"], row["z_m"])
        assert lowest_with(demo, FULL, row["may_add_kg"], place) == pytest.approx(0.0, abs=1e-4)
    free = deck[np.isinf(deck["may_add_kg"])]
    assert len(free) and (free["first_mark"] == "").all()
    row = free.iloc[0]
    assert lowest_with(demo, FULL, found.most_kg, (row["x_m"], row["y_m"], row["z_m"])) > 0


def test_neutral_points_from_light_to_loaded(demo):
    # Source: the same program: the waterplane's centre is at x 2.23 as found, light, and drifts to 2.30 loaded; the
    # stern marks' own neutral point is at 3.4.
    found = neutral_over_loads(demo, "as found", ["light"], []).iloc[0]
    assert found["lcf_m"] == pytest.approx(2.23, abs=0.005)
    assert found["trim_m"] == pytest.approx(found["lcf_m"], abs=0.01)
    loads = neutral_over_loads(demo, PLAN, [FULL, "light", "two people"], ["sole aft port", "transom notch"])
    assert list(loads["condition"]) == ["light", "two people", FULL]  # by weight
    assert loads["lcf_m"].iloc[-1] == pytest.approx(2.30, abs=0.005)
    assert loads["sole aft port"].iloc[-1] == pytest.approx(3.4, abs=0.05)
    assert loads["transom notch"].isna().all()  # closed by the refit
    one = neutral_points(demo, PLAN, FULL).set_index("mark")
    assert loads["sole aft port"].iloc[-1] == pytest.approx(one.loc["sole aft port", "neutral_x_m"], abs=1e-12)


def test_weight_where_it_leaves_the_trim_leaves_it(demo):
    x = neutral_over_loads(demo, PLAN, [FULL], []).iloc[0]["trim_m"]
    z = float(demo.float(PLAN, FULL, shut=True).cg[2])
    found = where_to_put(demo, PLAN, FULL, {"there": (x, 0, z), "ahead": (x + 1, 0, z)}, kg=1.0, deck=False)
    still = found.case.shut.trim
    there, ahead = found.places["trim_deg"]
    assert abs(there - still) < 2e-3 * abs(ahead - still)


def test_marks_to_watch(demo):
    marks = demo.marks_in(PLAN)
    sole = ["sole aft port", "sole aft starboard", "sole forward"]
    every = [name for name, mark in marks.items() if mark.kind not in ("draught", "boot stripe")]
    assert watched_marks(marks) == sole
    assert watched_marks(marks, ["Scupper", "sole forward"]) == [
        n for n in marks if "scupper" in n or n == "sole forward"
    ]
    assert watched_marks(marks, ["every mark"]) == every
    assert watched_marks({n: m for n, m in marks.items() if m.kind != "sole"}) == [n for n in every if n not in sole]
    assert say_watched(sole, marks) == "sole"
    assert say_watched(every, marks) == "every mark"
    assert say_watched(sole[:1], marks) == "sole aft port"
    with pytest.raises(
        InputError, match="no mark or kind of mark is called 'scuper' in this plan; did you mean 'scupper"
    ):
        watched_marks(marks, ["scuper"])
    with pytest.raises(InputError, match="no mark is left to watch"):
        watched_marks({})


def test_the_heaviest_condition(demo):
    assert heaviest_condition(demo, PLAN) == FULL
    with pytest.raises(InputError, match=r"has no load condition .* conditions\.csv"):
        heaviest_condition(replace(demo, conditions={}), PLAN)


def test_places_in_words():
    assert say_place((0.3, None), "metric") == "0.30 m forward of the transom"
    assert say_place((-0.55, -0.35, 0.6), "metric") == "0.55 m aft of the transom, 0.35 m to starboard"


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"kg": 0}, "kg = 0 kg must be positive"),
        ({"at": {}}, "no place is named"),
        ({"at": {"far": (30.0,)}}, "x of place 'far' = 30 m is off the boat"),
        ({"at": {"high": (1.0, 0.0, 30.0)}}, "z of place 'high' = 30 m is off the boat"),
        ({"at": {"nowhere": (None, 0.2)}}, "place 'nowhere': say how far forward"),
        ({"marks": ["transom notch"]}, "no mark or kind of mark is called 'transom notch' in this plan"),
        ({"margin_mm": float("nan")}, "margin = nan must be one finite number"),
        ({"margin_mm": -5.0}, "margin.* must not be negative"),
        ({"chance": 1.0}, "chance = 1 must be from 0.5 to below 1"),
        ({"most_kg": -1}, "most = -1 kg must be positive"),
        ({"without": ["the dog"]}, "'the dog' is not aboard in 4 adults full"),
    ],
)
def test_what_cannot_be_asked(demo, asked, words):
    with pytest.raises(InputError, match=words):
        where_to_put(demo, PLAN, FULL, **{"deck": False, **asked})
