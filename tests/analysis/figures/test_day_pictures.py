"""Pictures of the day out, the boot stripe and rain on the sole: text touches nothing, lines are where figures are."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from shoe_box import write_box
from touching import texts_of, touches

import hullcalc as hc
from analysis.figures.day_out import day_figure
from analysis.figures.puddle import puddle_figure
from analysis.figures.stripe import stripe_figure
from analysis.figures.style import looks_of_plans, style
from analysis.studies.drain import sole_drainage
from analysis.studies.plans import heaviest_condition
from analysis.studies.stripe import stripe_of
from analysis.studies.trip import day_out
from hullcalc.boats.trips import Step, Trip

BOATS = Path(__file__).parents[3] / "data" / "boats"
DAYS = [
    ("demo-outboard-22", "bank"),
    ("demo-outboard-22", "across"),
    ("demo-sterndrive-24", "canyon"),
    ("demo-skiff-18", "bay"),
]
UNITS = ("metric", "us")


@pytest.fixture(scope="module")
def boats():
    return {name: hc.read_boat(BOATS / name) for name in {name for name, _ in DAYS}}


@pytest.fixture(scope="module")
def days(boats):
    return {
        (name, trip): [day_out(boats[name], plan, trip) for plan in ("first plan", "mended plan")]
        for name, trip in DAYS
    }


@pytest.mark.parametrize("system", UNITS)
@pytest.mark.parametrize("which", DAYS, ids=lambda which: which[1])
def test_text_touches_nothing_along_the_day(days, which, system):
    first, mended = days[which]
    for shown in ([mended if system == "metric" else first], [first, mended]):
        with style():
            assert touches(day_figure(shown, system=system)) == []


@pytest.mark.parametrize(("system", "plan"), [("metric", "mended plan"), ("us", "first plan")])
@pytest.mark.parametrize("name", ["demo-outboard-22", "demo-sterndrive-24", "demo-skiff-18"])
def test_text_touches_nothing_at_the_stripe(boats, name, plan, system):
    with style():
        assert touches(stripe_figure(stripe_of(boats[name], plan), system=system)) == []


@pytest.mark.parametrize(("system", "plan"), [("metric", "first plan"), ("us", "mended plan")])
def test_text_touches_nothing_on_the_sole(boats, plan, system):
    boat = boats["demo-outboard-22"]
    full = heaviest_condition(boat, plan)
    for condition in {full: None} | dict.fromkeys(list(boat.conditions)[UNITS.index(system) :: 2]):  # the rest by turns
        with style():
            assert touches(puddle_figure(sole_drainage(boat, plan, condition), system=system)) == []


@pytest.mark.parametrize("t", [0.03, -0.03])
def test_a_boat_by_the_bow_and_by_the_stern(tmp_path, t):
    boat = hc.read_boat(write_box(tmp_path / "box", t=t))
    with style():
        figure = puddle_figure(sole_drainage(boat, "as found", "light"))
        assert touches(figure) == []
        assert touches(stripe_figure(stripe_of(boat, "as found"))) == []
    (ax,) = figure.axes
    hatched = [patch for patch in ax.patches if patch.get_hatch()]
    assert bool(hatched) == (t > 0)  # by the bow water stands forward of the drain
    if hatched:
        assert hatched[0].get_xy()[:, 0].max() == pytest.approx(5.5)
    (arrow,) = [line for line in ax.lines if line.get_linewidth() == 2.4]
    assert np.sign(np.diff(arrow.get_xdata())[0]) == np.sign(t)


def test_the_line_is_the_lowest_mark_and_the_band_its_interval(days):
    day = days["demo-outboard-22", "bank"][1]
    with style():
        figure = day_figure([day])
    chart, strip = figure.axes
    look = looks_of_plans(day.boat, [day.plan])[day.plan]
    (line,) = [line for line in chart.lines if line.get_linestyle() != "None" and line.get_color() == look.colour
               and len(line.get_xdata()) == len(day.table)]  # fmt: skip
    assert_allclose(line.get_ydata(), day.table["least_mm"], rtol=1e-12)
    assert_allclose(line.get_xdata(), day.table["hours"], rtol=1e-12)
    (band,) = [patch for patch in chart.patches if patch.get_alpha() == 0.18]
    corners = band.get_xy()[: len(day.table)]
    assert_allclose(corners[:, 1], day.table["least_mm"] + 1960 * day.u_least, rtol=1e-9)
    words = [text.get_text() for text in strip.texts]
    assert words == [step.name for step in day.trip.steps]


def test_the_worst_moment_is_named_in_the_picture_and_its_title(days):
    with style():
        figure = day_figure([days["demo-outboard-22", "bank"][1]])
        said = [" ".join(text.get_text().split()) for text, _ in texts_of(figure)]
    assert any(
        text.startswith("End of fish on, after 5 h 12 min scupper starboard 54 mm under, give or") for text in said
    )
    assert any(text.startswith("Bank: the mended plan puts scupper starboard 54 mm under water") for text in said)
    assert any("naval architect" in text and text.endswith("Invented boat.") for text in said)


@pytest.mark.parametrize(
    "steps",
    [
        (Step("off", fills={"fuel": 0.95}), Step("run", nm=40.0, timed=False, burnt=0.06)),
        (Step("off", fills={"fuel": 0.95}), Step("fill", fills={"livewell": 0.95})),
        (Step("a very long name of a step that nobody would write into a table", hours=3.0), Step("end", hours=0.1)),
    ],
    ids=["miles only", "no leg at all", "a long name"],
)
def test_other_days_stand_too(boats, steps):
    day = day_out(boats["demo-outboard-22"], "mended plan", Trip("other", steps))
    with style():
        assert touches(day_figure([day])) == []


def test_no_day_and_two_trips_are_no_picture(days):
    with pytest.raises(hc.InputError, match="no day to draw"):
        day_figure([])
    with pytest.raises(hc.InputError, match="one trip"):
        day_figure([days["demo-outboard-22", "bank"][0], days["demo-outboard-22", "across"][0]])
