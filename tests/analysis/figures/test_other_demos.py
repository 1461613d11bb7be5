"""Text touches nothing in the pictures of the two other boats either: a cuddy with few marks, a skiff with long names.

Ladders are narrow, in every condition: by turns in mm and in inches, the heaviest in both. The views are those of the
last condition, the page is that of the heaviest.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from touching import touches

import hullcalc as hc
from analysis.figures import pages
from analysis.figures.labels import LONG_NAME, in_lines
from analysis.figures.style import style
from analysis.studies.attribution import which_change
from analysis.studies.floats import how_she_floats
from analysis.studies.mends import what_mends
from analysis.studies.plans import heaviest_condition

BOATS = Path(__file__).parents[3] / "data" / "boats"
UNITS = ("metric", "us")


@pytest.fixture(scope="module", params=("demo-sterndrive-24", "demo-skiff-18"))
def other(request):
    return hc.read_boat(BOATS / request.param)


@pytest.fixture(scope="module")
def study(other):
    return how_she_floats(other)


@pytest.mark.parametrize("system", UNITS)
def test_text_touches_nothing_in_the_ladder(other, study, system):
    bars = {(plan, mark): 18.0 for plan in other.plans for mark in other.marks}
    full = heaviest_condition(other, "first plan")
    for condition in {full: None} | dict.fromkeys(list(other.conditions)[UNITS.index(system) :: 2]):
        cases = [study.case(plan, condition) for plan in other.plans]
        with style():
            assert touches(pages.ladder_figure(cases, interval_mm=bars, system=system, width_px=430)) == []


@pytest.mark.parametrize("system", UNITS)
def test_text_touches_nothing_on_the_whole_page(other, study, system):
    condition = heaviest_condition(other, "first plan")
    cases = [study.case(plan, condition) for plan in other.plans]
    moved = what_mends(other, "first plan", "mended plan", condition).moved
    shares = which_change(other, "first plan")
    with style():
        figure = pages.answer_figure([cases[1], cases[0]], shares, moved=moved, compare=cases, system=system)
        assert touches(figure) == []


@pytest.mark.parametrize("plan", ["as found", "mended plan"])
def test_text_touches_nothing_in_the_views_of_the_last_condition(other, study, plan):
    condition = list(other.conditions)[-1]
    cases = [study.case(plan, condition), study.case("first plan", condition)]
    with style():
        assert touches(pages.side_figure(cases)) == []
        assert touches(pages.stern_figure(cases, system="us")) == []


def test_long_names_take_lines_and_short_ones_none():
    assert in_lines("sole aft starboard") == "sole aft starboard"
    long = "transom notch as found (20 in engine)"
    lines = in_lines(long).split("\n")
    assert len(lines) == 2 and " ".join(lines) == long
    assert max(map(len, lines)) <= LONG_NAME
    assert in_lines("a-name-that-has-no-blank-in-it-at-all") == "a-name-that-has-no-blank-in-it-at-all"
