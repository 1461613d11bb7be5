"""The curve of chances and the ranked bars show what was sampled; text touches nothing."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from numpy.testing import assert_allclose
from touching import touches

import hullcalc as hc
from analysis import data_folder
from analysis.figures.bars import ranked_bars
from analysis.figures.chance import chance_curve, chance_figure
from analysis.figures.style import DEEPER, UP, new_figure, style
from analysis.studies.plans import heaviest_condition
from analysis.studies.sure import LOWEST, how_sure
from hullcalc.boats.conditions import Condition
from hullcalc.weights.items import item

SAMPLES = 500


@pytest.fixture(scope="module")
def sure(demo):
    return how_sure(demo, "mended plan", "4 adults full", samples=SAMPLES)


@pytest.fixture
def axes():
    with style():
        yield new_figure(811, 320).add_axes((0.05, 0.2, 0.9, 0.75))


@pytest.mark.parametrize(
    ("plan", "condition", "system"),
    [
        ("as found", "light", "metric"), ("first plan", "light, bracket flooded", "metric"),
        ("first plan", "4 adults full", "metric"), ("first plan", "4 adults full", "us"),
        ("mended plan", "family", "us"), ("mended plan", "4 at the stern full", "metric"),
    ],
)  # fmt: skip
def test_text_touches_nothing(demo, plan, condition, system):
    told = how_sure(demo, plan, condition, samples=SAMPLES)
    with style():
        assert touches(chance_figure(told, system=system)) == []


@pytest.mark.parametrize("name", ["demo-sterndrive-24", "demo-skiff-18"])
def test_text_touches_nothing_of_other_boats_and_on_a_phone(name):
    boat = hc.read_boat(data_folder() / "boats" / name)
    plan = list(boat.plans)[-1]
    told = how_sure(boat, plan, heaviest_condition(boat, plan), ["every mark"], samples=SAMPLES)
    with style():
        assert touches(chance_figure(told)) == []
        assert touches(chance_figure(told, width_px=430)) == []


def test_the_curves_are_the_draws(axes, sure):
    chance_curve(axes, sure)
    full, level = (line for line in axes.lines if len(line.get_xdata()) > 100)
    for line, drawn in ((full, sure.draws_of(LOWEST)), (level, sure.draws_of(LOWEST, level=True))):
        x, density = line.get_xdata(), line.get_ydata()
        assert np.trapezoid(density, x) == pytest.approx(1, abs=0.02)  # a density
        mean = np.trapezoid(x * density, x)
        assert mean == pytest.approx(drawn.mean(), abs=0.1 * drawn.std())
    assert full.get_linestyle() != level.get_linestyle()  # told apart without colour


def test_the_region_under_water_ends_at_zero_and_is_hatched(axes, sure):
    chance_curve(axes, sure)
    (wet,) = axes.collections
    assert wet.get_hatch()
    assert wet.get_paths()[0].vertices[:, 0].max() == pytest.approx(0.0)
    said = [text.get_text() for text in axes.texts]
    assert "under water" in said and "above" in said
    assert any(" ".join(text.split()).startswith("with her level: ") for text in said)


def test_inches_are_inches(axes, sure):
    chance_curve(axes, sure)
    metric = axes.get_xlim()
    axes.clear()
    chance_curve(axes, sure, system="us")
    assert_allclose(np.array(axes.get_xlim()) * 25.4, metric, rtol=1e-6)


def test_one_mark_that_stays_dry_and_one_that_hardly_scatters(demo, axes):
    high = how_sure(demo, "mended plan", "light", ["stem head"], samples=SAMPLES)
    drawn = chance_curve(axes, high)
    said = [" ".join(place.label.text.split()) for place in drawn.places]
    assert "with her level: less than 1 in 100 under water" in said
    still = dataclasses.replace(
        demo, u_hull=0.0, solids=(), as_found=item("as found", 1612.0, (2.075, 0.004, 0.6), "weighed", 0.0, 0.0),
        all_marks=tuple(dataclasses.replace(mark, u_z=1e-9) for mark in demo.all_marks),
    )  # fmt: skip
    one = how_sure(still, "as found", Condition("bare"), ["sole aft port"], samples=SAMPLES)
    with style():
        assert touches(chance_figure(one)) == []


def test_bars_are_the_figures(axes):
    values = [3.0, 2.0, 0.5]
    ranked_bars(axes, ["first", "second\nof two lines", "third"], values, ["3", "2", "0.5"], "mm", [True, False, False])
    bars = [patch for patch in axes.patches if patch.get_width() in values]
    assert [bar.get_width() for bar in bars] == values
    assert [bool(bar.get_hatch()) for bar in bars] == [True, False, False]
    assert [bar.get_facecolor()[:3] for bar in bars] == [to_rgb(DEEPER), to_rgb(UP), to_rgb(UP)]
    middles = [bar.get_y() + bar.get_height() / 2 for bar in bars]
    assert middles == sorted(middles)  # the y axis points down: the first on top
