"""What the pictures show is what was calculated; and text touches nothing, in every plan and condition."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.colors import to_rgb
from numpy.testing import assert_allclose
from touching import touches

from analysis.figures import pages
from analysis.figures.close_up import close_up, near_marks
from analysis.figures.ladder import ladder, ladder_marks
from analysis.figures.side_view import side_marks, side_view
from analysis.figures.stern_view import stern_view
from analysis.figures.style import DEEPER, LOOKS, UP, looks_of, new_figure, style
from analysis.figures.waterfall import waterfall
from analysis.studies.attribution import which_change
from analysis.studies.floats import float_case, how_she_floats
from analysis.studies.mends import what_mends
from analysis.studies.words import finding
from hullcalc import InputError
from hullcalc.boats.conditions import Condition
from hullcalc.weights.items import item

FULL = "4 adults full"
CONDITIONS = (
    "light", "light, bracket flooded", "two people", "family", FULL, "4 adults full, bracket flooded",
    "4 at the stern full",
)  # fmt: skip
UNITS = ("metric", "us")


@pytest.fixture(scope="module")
def study(demo):
    return how_she_floats(demo)


@pytest.fixture(scope="module")
def shares(demo):
    return which_change(demo, "first plan")


@pytest.fixture
def axes():
    with style():
        yield new_figure(811, 340).add_axes((0.02, 0.14, 0.96, 0.78))


def test_the_conditions_tested_are_all_there_are(demo):
    assert list(demo.conditions) == list(CONDITIONS)


def crossed(condition, other=0):
    """(units of one picture, units of its companion): they change from case to case; of the fullest load, both ways."""
    ways = [UNITS, UNITS[::-1]]
    return ways if condition == FULL else [ways[(CONDITIONS.index(condition) + other) % 2]]


PLANS = ("as found", "first plan", "mended plan")
VIEWS = [(plan, load, units) for i, plan in enumerate(PLANS) for load in CONDITIONS for units in crossed(load, i)]


@pytest.mark.parametrize(("plan", "condition", "units"), VIEWS)
def test_text_touches_nothing_in_the_views(demo, study, plan, condition, units):
    cases = [study.case(plan, condition), study.case("first plan" if plan == "as found" else "as found", condition)]
    moved = what_mends(demo, plan, "mended plan", condition).moved if plan == "first plan" else ()
    with style():
        assert touches(pages.side_figure(cases, moved=moved, system=units[0])) == []
        assert touches(pages.stern_figure(cases, system=units[1])) == []


@pytest.mark.parametrize(("condition", "units"), [(load, units) for load in CONDITIONS for units in crossed(load)])
def test_text_touches_nothing_in_the_ladder(demo, study, condition, units):
    cases = [study.case(plan, condition) for plan in demo.plans]
    bars = {(plan, mark): 18.0 for plan in demo.plans for mark in demo.marks}
    with style():
        assert touches(pages.ladder_figure(cases, system=units[0])) == []
        assert touches(pages.ladder_figure(cases, interval_mm=bars, system=units[1], width_px=430)) == []


@pytest.mark.parametrize("system", UNITS)
@pytest.mark.parametrize("width", [811, 1280])
def test_text_touches_nothing_on_the_whole_page(demo, study, shares, width, system):
    cases = {plan: study.case(plan, FULL) for plan in demo.plans}
    moved = what_mends(demo, "first plan", "mended plan", FULL).moved
    with style():
        figure = pages.answer_figure(
            [cases["first plan"], cases["as found"]], shares, moved=moved, compare=list(cases.values()), system=system,
            width_px=width,
        )  # fmt: skip
        assert touches(figure) == []
    assert figure.bbox.width == pytest.approx(width)


@pytest.mark.parametrize("system", UNITS)
@pytest.mark.parametrize("at", ["stern", "sole aft port"])
def test_text_touches_nothing_in_the_waterfall(demo, at, system):
    for plan, start, condition in (("first plan", "as found", "light"), ("mended plan", "first plan", FULL)):
        with style():
            figure = pages.waterfall_figure(which_change(demo, plan, condition, at, start), system=system, width_px=430)
            assert touches(figure) == []


def test_water_lines_lie_in_the_sea(axes, study):
    cases = [study.case("first plan", FULL), study.case("as found", FULL)]
    side_view(axes, cases)
    looks = looks_of(cases)
    for case in cases:
        (line,) = [
            line for line in axes.lines
            if line.get_color() == looks[case.plan].colour and line.get_linewidth() == looks[case.plan].width
        ]  # fmt: skip
        x, z = line.get_xdata(), line.get_ydata()
        assert_allclose(case.shut.height_above_water(np.stack([x, 0 * x, z], axis=-1)), 0, atol=1e-12)


def test_one_scale_for_both_directions(axes, study):
    for view in (side_view, stern_view, close_up):
        axes.clear()
        view(axes, [study.case("first plan", FULL)])
        per_unit = np.diff(axes.transData.transform([(0, 0), (1, 1)]), axis=0)[0]
        assert per_unit[0] == pytest.approx(per_unit[1], rel=1e-9)


def test_marks_stand_at_their_points_and_say_their_height(axes, study):
    case = study.case("first plan", FULL)
    drawn = side_view(axes, [case])
    texts = [place.label.text for place in drawn.places]
    circles = [
        (line.get_xdata()[0], line.get_ydata()[0], line.get_markerfacecolor())
        for line in axes.lines if line.get_marker() == "o"
    ]  # fmt: skip
    for name in side_marks(case):
        (circle,) = [c for c in circles if np.allclose(c[:2], case.marks[name].point[[0, 2]], atol=1e-12)]
        assert (circle[2] != "#ffffff") == (case.heights_shut[name] < 0)  # filled under water
    assert "scupper port\n76 mm under" in texts
    assert "sole aft port\n44 mm under" in texts


def test_the_lower_of_a_pair_is_shown_from_the_side(study):
    assert "scupper port" in side_marks(study.case("first plan", FULL))
    assert "scupper starboard" in side_marks(study.case("mended plan", FULL))
    assert set(near_marks(study.case("mended plan", FULL))) == {"scupper starboard", "sole aft starboard"}


def test_liquid_is_drawn_to_its_surface(axes, study):
    case = study.case("mended plan", "two people")
    side_view(axes, [case])
    (fuel,) = [patch for patch in axes.patches if patch.get_facecolor()[:3] == to_rgb("#e9c46a")]
    top = fuel.get_xy()[:, 1].max()
    tank, liquid = next(
        (t, s) for t, s in zip(case.state.loading.tanks, case.shut.liquids, strict=True) if "fuel" in t.name
    )
    low, high = tank.solid.vertices[:, 2].min(), tank.solid.vertices[:, 2].max()
    assert liquid.fill == pytest.approx(0.5)
    assert low < top < high
    assert (top - low) / (high - low) == pytest.approx(0.5, abs=0.05)  # half full, and nearly level


def test_astern_port_marks_are_on_the_left(axes, study):
    drawn = stern_view(axes, [study.case("first plan", FULL)])
    centres = {place.label.text.split("\n")[0]: place.label.at[0][0] for place in drawn.places}
    assert centres["scupper port"] < 0 < centres["scupper starboard"]


def test_heel_is_said_in_words(axes, study):
    drawn = stern_view(axes, [study.case("first plan", FULL), study.case("as found", FULL)])
    said = [artist.get_text().replace("\n", " ") for artist in drawn.artists if hasattr(artist, "get_text")]
    assert "From astern: first plan 0.9° to port; as found 1.1° to starboard" in said


def test_bars_are_the_shares_and_differ_by_hatch(axes, shares):
    waterfall(axes, shares)
    bars = [patch for patch in axes.patches if patch.get_width() != 0 or patch.get_hatch()]
    widths = [patch.get_width() for patch in bars]
    table = shares.table
    assert_allclose(widths[:-1], np.abs(table["mean_mm"]), rtol=1e-12)
    assert widths[-1] == pytest.approx(abs(shares.total_mm), rel=1e-12)
    assert [patch.get_hatch() is not None for patch in bars[:-1]] == list(table["mean_mm"] > 0)
    said = [text.get_text() for text in axes.texts]
    assert said == [
        "132 up", "7 up", "5 up", "137 deeper", "5 deeper", "16 deeper", "42 deeper", "6 up", "52 deeper",
    ]  # fmt: skip
    assert "mean over all orders" in axes.get_xlabel().replace("\n", " ")
    pairs = list(zip(bars[:-1], table["mean_mm"], strict=True))
    ends = [bar.get_x() if mm <= 0 else bar.get_x() + bar.get_width() for bar, mm in pairs]
    assert_allclose(ends, np.cumsum(table["mean_mm"]), rtol=0, atol=1e-9)  # each goes on where the one above ended


def test_the_ladder_is_least_first_with_one_shape_a_plan(axes, demo, study):
    cases = [study.case(plan, FULL) for plan in demo.plans]
    names = ladder_marks(cases)
    least = [min(c.heights_shut[name] for c in cases if name in c.marks) for name in names]
    assert least == sorted(least)
    ladder(axes, cases)
    drawn = {}
    for line in axes.lines:
        if line.get_marker() not in ("None", "|"):
            drawn.setdefault(line.get_marker(), []).append(line.get_xdata()[0])
    looks = looks_of(cases)
    for case in cases:
        expected = [1000 * case.heights_shut[name] for name in names if name in case.marks]
        assert_allclose(drawn[looks[case.plan].marker], expected, rtol=1e-12)


def test_no_two_plans_share_a_shape_or_a_dash():
    assert len({look.marker for look in LOOKS}) == len({str(look.dashes) for look in LOOKS}) == len(LOOKS)


def test_up_and_deeper_differ_in_grey():
    # Source: luma of ITU-R BT.601, the grey most printers and screens make of a colour.
    grey = [np.dot(to_rgb(colour), (0.299, 0.587, 0.114)) for colour in (UP, DEEPER)]
    assert abs(grey[0] - grey[1]) > 0.1


def test_titles_say_the_finding(demo, study):
    cases = [study.case(plan, FULL) for plan in ("first plan", "mended plan")]
    assert finding(cases) == (
        "4 adults full: the first plan puts water on the sole; "
        "the mended plan brings scupper starboard right to the water"
    )
    with style():
        figure = pages.side_figure(cases)
    title, foot = (text.get_text().replace("\n", " ") for text in figure.texts)
    assert title == finding(cases)
    assert foot.startswith("Shown with the cockpit shut, which holds only while scupper port and scupper starboard are")
    assert "ask a naval architect" in foot
    assert foot.endswith("Invented boat.")


def test_a_boat_without_marks_is_told_what_to_add(demo, axes):
    unmarked = replace(demo, all_marks=(), spaces=(), solids=())
    case = float_case(unmarked, "first plan", "light")
    side_view(axes, [case])  # the water lines need no marks
    for picture in (close_up, ladder):
        with pytest.raises(InputError, match=r"no mark that should be above water.*marks\.csv"):
            picture(axes, [case])


@pytest.mark.parametrize(
    ("mass", "place"), [(1500, (2.0, 0.0, 4.5)), (600, (6.0, 0.0, 0.6)), (500, (2.0, 1.0, 1.0))],
    ids=["turned over", "bow down", "on her side"],
)  # fmt: skip
def test_far_from_level_the_pictures_still_stand(demo, mass, place):
    loaded = replace(demo, people=dict(demo.people) | {"weight": item("weight", mass, place, "weighed")})
    cases = [float_case(loaded, plan, Condition("far off", aboard=("weight",))) for plan in ("first plan", "as found")]
    with style():
        for page in (pages.side_figure, pages.stern_figure, pages.ladder_figure):
            assert touches(page(cases)) == []


def test_importing_sets_no_style_and_needs_no_pyplot():
    code = (
        "import sys, matplotlib as mpl, analysis.figures.pages; assert 'matplotlib.pyplot' not in sys.modules;"
        "fresh = mpl.rc_params(); assert all(mpl.rcParams[k] == fresh[k] for k in fresh if k != 'backend')"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_the_style_ends_with_its_block():
    before = dict(mpl.rcParams)
    with style():
        assert mpl.rcParams["font.size"] == 11
    assert dict(mpl.rcParams) == before
