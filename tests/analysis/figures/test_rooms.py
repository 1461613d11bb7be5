"""Deck map and contour: what is drawn is what was calculated; text touches nothing, in every plan, condition, unit."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from numpy.testing import assert_allclose
from touching import touches

import hullcalc as hc
from analysis.figures.contour import contour, contour_figure
from analysis.figures.deck_view import FREE, deck_figure, deck_outline, deck_view, deck_view_height
from analysis.figures.style import INK, MOVED, WATER_EDGE, new_figure, style
from analysis.studies import where
from analysis.studies.sweeps import here, sweep
from analysis.studies.where import where_to_put
from hullcalc import InputError
from hullcalc.boats.knobs import added_at, fill_of, litres_of, place_of, setback

FULL, PLAN, TANK = "4 adults full", "mended plan", "fuel tank new"
BOATS = Path(__file__).parents[3] / "data" / "boats"


@pytest.fixture
def axes():
    with style():
        yield new_figure(811, 420).add_axes((0.08, 0.14, 0.9, 0.84))


@pytest.fixture
def few(monkeypatch):
    """A coarser deck map: where the text goes hardly depends on it."""
    monkeypatch.setattr(where, "STEP", 0.5)


CASES = [
    ("demo-outboard-22", "first plan", "family", "metric"),
    ("demo-outboard-22", PLAN, FULL, "us"),
    ("demo-sterndrive-24", PLAN, FULL, "metric"),
    ("demo-skiff-18", PLAN, "family", "us"),
]  # every plan and condition of the three boats was looked at once; these are the fullest


@pytest.mark.parametrize(("name", "plan", "condition", "system"), CASES)
def test_text_touches_nothing_on_the_deck(few, name, plan, condition, system):
    found = where.where_to_put(hc.read_boat(BOATS / name), plan, condition)
    with style():
        assert touches(deck_figure(found, system=system)) == []


def test_a_deck_map_of_other_marks_places_and_margins(demo, few):
    at = {"a": (0.3, 0.6), "b": (0.3, -0.6), "c": (2.0,)}
    found = where_to_put(demo, PLAN, "family", at, 100, ["every mark"], margin_mm=20)
    with style():
        assert touches(deck_figure(found)) == []


def test_the_deck_is_the_sheer_from_above_port_up(demo):
    case = where_to_put(demo, PLAN, "light", deck=False).case
    outline = deck_outline(case)
    vertices = demo.hull.solid.vertices
    assert_allclose(outline.min(axis=0), vertices.min(axis=0)[:2], atol=1e-12)
    assert_allclose(outline.max(axis=0), vertices.max(axis=0)[:2], atol=1e-12)
    assert_allclose(outline[0], outline[-1], atol=0)


@pytest.fixture(scope="module")
def mended(demo):
    return where_to_put(demo, PLAN, FULL)


def test_lines_of_the_deck_map_hold_their_weight(demo, mended, axes):
    """On the line drawn for 60 kg the boat floated with 60 kg has its lowest sole corner at the water."""
    found = mended
    deck_view(axes, found)
    per_unit = np.diff(axes.transData.transform([(0, 0), (1, 1)]), axis=0)[0]
    assert per_unit[0] == pytest.approx(per_unit[1], rel=1e-9)
    thick = [line for line in axes.lines if line.get_color() == WATER_EDGE and line.get_linewidth() > 2]
    assert thick
    (x, y), z = thick[0].get_xydata()[len(thick[0].get_xydata()) // 2], float(found.deck["z_m"].iloc[0])
    again = where_to_put(demo, PLAN, FULL, {"there": (x, y, z)}, kg=60, deck=False).places.iloc[0]
    assert again["lowest_mm"] == pytest.approx(0, abs=0.5)
    assert again["may_add_kg"] == pytest.approx(60, abs=2)


def test_no_harm_is_drawn_where_weight_leaves_the_mark(mended, axes):
    found = mended
    deck_view(axes, found)
    line = next(line for line in axes.lines if line.get_color() == MOVED)
    x, y = line.get_xydata()[20]
    state, mark = found.case.shut, found.case.marks["sole aft starboard"].point  # the lowest
    response = state.response(mark) @ [1, x, y, float(found.deck["z_m"].iloc[0])]
    assert abs(response) < 1e-9


def test_nothing_may_be_added_is_not_drawn_as_free(demo, axes):
    found = where_to_put(demo, "first plan", FULL)
    deck_view(axes, found)
    assert not any(np.allclose(patch.get_facecolor()[:3], to_rgb(FREE)) for patch in axes.patches)
    assert any(text.get_text() == "nothing" for text in axes.texts)
    assert deck_view_height(axes.figure, found.case, 700) > 250


def grid_of(demo, plan, make, axes, condition=FULL, watch=None):
    return sweep(demo, plan, condition, make(demo, plan), axes, watch=watch)


def tank_and_litres(boat, plan):
    return [place_of(boat, plan, TANK), litres_of(boat, plan, TANK)]


def batteries_and_setback(boat, plan):
    return [place_of(boat, plan, "batteries"), setback(boat, plan, 0.76)]


def batteries_and_fuel(boat, plan):
    return [place_of(boat, plan, "batteries"), fill_of(boat, plan, "fuel", 0.95)]


def weight_and_tank(boat, plan):
    return [added_at((0.3, 0, 0.8), "weight at 0.3, 0, 0.8"), place_of(boat, plan, TANK)]


GRIDS = [
    (tank_and_litres, (np.linspace(1.4, 3.4, 6), np.linspace(0.2, 0.5, 4)), PLAN, None, "metric"),
    (batteries_and_setback, (np.linspace(0, 4, 9), np.linspace(0.4, 0.9, 3)), PLAN, None, "us"),
    (batteries_and_fuel, (np.linspace(0, 4, 9), np.linspace(0.1, 0.95, 6)), "first plan", ["scupper"], "us"),
    (weight_and_tank, (np.linspace(0, 200, 9), np.linspace(1, 3, 6)), PLAN, ["scupper"], "metric"),
]


@pytest.mark.parametrize(("make", "over", "plan", "watch", "system"), GRIDS)
def test_text_touches_nothing_on_the_contour(demo, make, over, plan, watch, system):
    found = grid_of(demo, plan, make, over, watch=watch)
    with style():
        assert touches(contour_figure(found, here(found), system=system)) == []


def test_text_touches_nothing_where_plans_cross(demo):
    short = [*demo.plans["first plan"].packages, "10 bracket 0.51 m instead"]

    def make(boat, plan):
        return [fill_of(boat, plan, "fuel", 0.5), added_at((6.0, 0, 1.0), "weight at 6, 0, 1")]

    over = np.linspace(0.1, 0.95, 6), np.linspace(0.0, 400.0, 9)
    one, other = (grid_of(demo, plan, make, over, "two people") for plan in ("first plan", short))
    with style():
        figure = contour_figure(one, here(one), other)
        assert touches(figure) == []
    dashed = [line for line in figure.axes[0].lines if line.get_color() == MOVED]
    assert dashed


def test_the_waters_own_line_is_thick_and_at_the_water(demo, axes):
    """Another road: between two states of the grid the thick line lies where the least mark is at the water."""
    found = grid_of(demo, PLAN, weight_and_tank, (np.linspace(0, 200, 9), np.linspace(1, 3, 6)))
    drawn = contour(axes, found)
    (thick,) = [line for line in axes.lines if line.get_color() == WATER_EDGE and line.get_linewidth() > 2]
    points = thick.get_xydata()[:: max(1, len(thick.get_xydata()) // 4)]
    again = sweep(demo, PLAN, FULL, weight_and_tank(demo, PLAN), states=points)
    assert_allclose(again.least_mm, 0, atol=0.3)
    assert "at the water" in [place.label.text for place in drawn.places]
    (present,) = [line for line in axes.lines if line.get_marker() == "D"]
    assert present.get_markeredgecolor() == INK
    assert_allclose(present.get_xydata()[0], [0.0, 2.6], atol=1e-9)


def test_hatching_lies_under_water_only(demo, axes):
    found = grid_of(demo, PLAN, weight_and_tank, (np.linspace(0, 200, 9), np.linspace(1, 2.8, 6)))
    contour(axes, found)
    (hatch,) = [line for line in axes.lines if line.get_linewidth() == 0.6]
    points = hatch.get_xydata()
    points = points[np.isfinite(points).all(axis=1)][::900]
    again = sweep(demo, PLAN, FULL, weight_and_tank(demo, PLAN), states=points)
    assert len(points) > 5 and (again.least_mm < 0.3).all()


def test_a_contour_takes_two_knobs(demo, axes):
    one = sweep(demo, PLAN, FULL, [place_of(demo, PLAN, TANK)], [[2.0, 2.6]])
    with pytest.raises(InputError, match="takes two knobs"):
        contour(axes, one)
    thin = grid_of(demo, PLAN, weight_and_tank, ([0.0], [2.0, 2.6]))
    with pytest.raises(InputError, match="at least two values each"):
        contour(axes, thin)
