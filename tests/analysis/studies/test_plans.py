"""Names of plans and packages, and the steps that lead from one plan to another."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.studies.plans import name_of, short_package, way_between
from hullcalc import InputError

MENDS = ("9 mend: batteries to the console", "9 mend: tank moved forward", "9 mend: sole raised 30 mm")


def test_number_and_group_of_a_package_are_only_its_place():
    assert short_package("4 engine") == "engine"
    assert short_package("9 mend: sole raised 30 mm") == "sole raised 30 mm"
    assert short_package("10 bracket 0.51 m instead") == "bracket 0.51 m instead"
    assert short_package("12 V system") == "V system"  # a number first is always taken for the order
    assert short_package("12") == "12"
    assert short_package("deck gear") == "deck gear"


def test_a_choice_of_packages_is_called_by_its_plan(demo):
    assert name_of(demo, "first plan") == "first plan"
    assert name_of(demo, reversed(demo.plans["first plan"].packages)) == "first plan"
    assert name_of(demo, ()) == "as found"
    assert name_of(demo, ["1 strip"]) == "own choice of packages"


def test_steps_between_two_plans(demo):
    way = way_between(demo, "first plan", "mended plan")
    assert [step.name for step in way.steps] == list(MENDS)
    assert way.packages(0) == demo.packages_on("first plan")
    assert way.packages(0b111) == demo.packages_on("mended plan")
    assert way.packages(0b010) == demo.packages_on("first plan") | {MENDS[1]}


def test_steps_back_take_packages_off(demo):
    way = way_between(demo, "mended plan", "first plan")
    assert [step.name for step in way.steps] == [f"without {mend}" for mend in MENDS]
    assert way.packages(0b111) == demo.packages_on("first plan")


def test_a_swap_inside_an_exclusive_group_is_one_step(demo):
    choice = replace(demo, exclusive=(("3 bracket", "10 bracket 0.51 m instead"),))
    way = way_between(choice, ["3 bracket", "4 engine"], ["10 bracket 0.51 m instead", "5 fuel"])
    assert [step.name for step in way.steps] == [
        "10 bracket 0.51 m instead in place of 3 bracket",
        "without 4 engine",
        "5 fuel",
    ]
    for mask in range(8):
        assert choice.packages_on(way.packages(mask)) == way.packages(mask)  # never both of the group, never an error


def test_an_unknown_name_is_named(demo):
    with pytest.raises(InputError, match="no plan is called 'frist plan'; did you mean 'first plan'"):
        way_between(demo, "as found", "frist plan")
