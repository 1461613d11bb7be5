"""Findings and cautions are fitted to the case, and never say more than a calculation can."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from analysis.studies.attribution import which_change
from analysis.studies.floats import float_case, how_she_floats, meaning
from analysis.studies.words import (
    bare,
    caution,
    finding,
    say_change,
    shares_caution,
    side,
    small_unit,
    stem,
    the_plan,
    what_did_it,
)
from hullcalc.boats.conditions import Condition
from hullcalc.weights.items import item

FULL = "4 adults full"
TOO_MUCH = re.compile(r"\b(safe|safely|stable|passes|pass|guaranteed|certified)\b", re.IGNORECASE)


def with_weight(boat, mass, place):
    return replace(boat, people=dict(boat.people) | {"weight": item("weight", mass, place, "weighed")})


def test_names_of_marks():
    assert [stem("scupper port"), stem("sole aft starboard"), stem("stem head")] == ["scupper", "sole aft", "stem head"]
    assert [side("scupper port"), side("sole aft starboard"), side("stem head")] == ["port", "starboard", ""]
    assert stem("port") == "port"  # a mark may be called so: then it has no side


@pytest.mark.parametrize(
    ("mm", "metric", "us"),
    [
        (42.4, "42 mm deeper", "1 5/8 in deeper"),
        (-131.7, "132 mm up", "5 1/8 in up"),  # 131.7 / 25.4 = 5.185 in = 41.48 eighths
        (0.3, "no change", "no change"),
        (-0.3, "no change", "no change"),
    ],
)
def test_changes_have_a_word_for_their_sign(mm, metric, us):
    assert say_change(mm) == metric
    assert say_change(mm, "us") == us


def test_an_axis_gives_the_unit_once():
    assert bare("76 mm under") == "76 under"
    assert bare("2 5/8 in above") == "2 5/8 above"
    assert bare("at the water") == "at the water"
    assert small_unit("us") == (pytest.approx(25.4, rel=1e-12), "inches")


def test_plans_with_one_finding_share_a_clause(demo):
    cases = [float_case(demo, plan, "4 at the stern full") for plan in ("mended plan", "first plan")]
    assert finding(cases) == "4 at the stern full: the mended plan and the first plan put water on the sole"


def test_findings_tell_the_worst(demo):
    assert finding([float_case(demo, "mended plan", "light")]) == (
        "Light: the mended plan keeps scupper starboard 87 mm above water"
    )
    assert finding([float_case(demo, "mended plan", "light")], "us") == (
        "Light: the mended plan keeps scupper starboard 3 3/8 in above water"
    )
    bare_sole = replace(demo, all_marks=tuple(mark for mark in demo.all_marks if mark.kind != "sole"))
    assert finding([float_case(bare_sole, "first plan", FULL)]).endswith(
        "the first plan puts both scuppers under water"
    )
    top_heavy = with_weight(demo, 1500, (2.0, 0.0, 4.5))
    case = float_case(top_heavy, "first plan", Condition("a tower", aboard=("weight",)))
    assert finding([case]) == "A tower: the first plan comes to rest with the deck over 60° from level"
    assert the_plan("own choice of packages") == "this choice of packages"


def test_cautions_fit_the_case(demo):
    dry = caution([float_case(demo, "mended plan", "light")])
    assert dry.startswith("Openings shut; none of them is under water. Estimates for planning")
    wet = caution([float_case(demo, "first plan", FULL), float_case(demo, "as found", FULL)])
    assert wet.startswith(
        "Shown with the cockpit shut, which holds only while scupper port and scupper starboard are plugged. "
        "Open to the sea she rests: first plan with scupper port 90 mm under; as found with scupper starboard"
    )
    assert "stop and ask a naval architect" in wet
    held = caution([float_case(demo, "mended plan", "light, bracket flooded")])
    assert held.startswith("Bracket pod held open to the sea. Openings shut; none of them is under water.")
    no_spaces = replace(demo, spaces=(), solids=())
    assert "First plan: with scupper port" in caution([float_case(no_spaces, "first plan", FULL)])
    unmarked = replace(no_spaces, all_marks=())
    assert caution([float_case(unmarked, "first plan", FULL)]).startswith("No opening is known, so nothing is said")
    assert "Invented boat." not in caution([float_case(replace(demo, invented=False), "first plan", FULL)])


def test_nothing_says_too_much(demo):
    study, shares = how_she_floats(demo), which_change(demo, "first plan")
    said = [what_did_it(shares), shares_caution(shares)]
    for case in study.cases.values():
        said += [finding([case]), caution([case]), meaning(case), *case.state.limits]
    assert len(said) > 60
    assert [sentence for sentence in said if TOO_MUCH.search(sentence)] == []


def test_what_did_it_names_the_worst_and_the_best(demo):
    assert what_did_it(which_change(demo, "first plan")) == (
        "First plan, light: 52 mm deeper at the stern; engine 137 mm deeper against strip 132 mm up"
    )
    mended = which_change(demo, "mended plan", FULL, "sole aft port", "first plan")
    assert (
        what_did_it(mended)
        == "Mended plan, 4 adults full: 88 mm up at sole aft port; most of it batteries to the console 42 mm up"
    )
    assert what_did_it(which_change(demo, "as found")) == "As found, light: no change at the stern"
