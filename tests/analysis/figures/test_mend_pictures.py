"""Pictures of mends, alternatives and the rehearsal: text touches nothing, and bars and symbols are what was found."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from numpy.testing import assert_allclose
from touching import touches

import hullcalc as hc
from analysis.figures.alternatives import alternatives_figure, alternatives_rungs
from analysis.figures.mend_bars import mend_figure
from analysis.figures.rehearsal import rehearsal_figure
from analysis.figures.style import new_figure, style
from analysis.studies.alternatives import Alternative, side_by_side
from analysis.studies.rehearsal import rehearse
from analysis.studies.searched import search_mends
from hullcalc.boats.moves import RESIZE, Setting

BOATS = Path(__file__).parents[3] / "data" / "boats"
HEAVIEST = {"demo-outboard-22": "4 adults full", "demo-sterndrive-24": "4 at the stern full", "demo-skiff-18": "family"}


@pytest.fixture(scope="module", params=HEAVIEST)
def boat(request):
    return hc.read_boat(BOATS / request.param)


@pytest.fixture(scope="module")
def searched(boat):
    return search_mends(boat, "first plan", HEAVIEST[boat.name], "sole")


@pytest.mark.parametrize(("system", "width", "by"), [("metric", 811, "hours"), ("us", 420, "cost")])
def test_bars(searched, system, width, by):
    with style():
        assert touches(mend_figure(searched, by=by, system=system, width_px=width)) == []


def test_bars_are_as_long_as_what_they_buy(searched):
    with style():
        figure = mend_figure(searched)
    bars = [patch for patch in figure.axes[0].patches if patch.get_width() > 0]
    assert_allclose([bar.get_width() for bar in bars], [mend.mm for mend in searched.mends[:12]])
    assert [bool(bar.get_hatch()) for bar in bars] == [any(f.grave for f in m.flags) for m in searched.mends[:12]]


@pytest.mark.parametrize(("system", "width"), [("metric", 811), ("us", 420)])
def test_alternatives(boat, system, width):
    found = side_by_side(boat, [Alternative(name, boat.packages_on(name)) for name in boat.plans])
    with style():
        assert touches(alternatives_figure(found, system=system, width_px=width)) == []


def test_six_alternatives_of_long_names(demo):
    size = next(f for f in demo.freedoms if f.kind == RESIZE)
    many = [Alternative(name, demo.packages_on(name)) for name in demo.plans]
    for litres in (310, 350, 400):
        setting = Setting(size, [litres / 1000])
        many.append(Alternative(f"mended plan + fuel tank new {litres} L", demo.packages_on("mended plan"), (setting,)))
    found = side_by_side(demo, many, ["light", "4 adults full"])
    with style():
        assert touches(alternatives_figure(found)) == []
        ax = new_figure(811, 300).add_axes((0.2, 0.2, 0.7, 0.7))
        alternatives_rungs(ax, found)
    drawn = sorted(line.get_xdata()[0] for line in ax.lines if line.get_marker() not in ("None", None, ""))
    assert_allclose(drawn, sorted(found.table["at_mm"]))


@pytest.mark.parametrize(("condition", "system"), [("first", "metric"), ("heaviest", "us")])
def test_rehearsal(boat, condition, system):
    name = next(iter(boat.conditions)) if condition == "first" else HEAVIEST[boat.name]
    found = rehearse(boat, "first plan", name)
    with style():
        figure = rehearsal_figure(found, system=system)
        assert touches(figure) == []
    squares = [line for line in figure.axes[0].lines if line.get_marker() == "s"]
    assert len(squares) == len(found.cans)


def test_the_same_bytes_each_time(demo):
    found = rehearse(demo, "first plan", "light")

    def drawn():
        buffer = io.BytesIO()
        with style():
            rehearsal_figure(found).savefig(buffer, format="svg", metadata={"Date": None})
        return buffer.getvalue()

    assert drawn() == drawn()
