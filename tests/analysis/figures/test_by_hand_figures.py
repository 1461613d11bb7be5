"""Pictures of the hand sums and the curves: text touches nothing, and what is drawn is what was reckoned."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from numpy.testing import assert_allclose
from touching import touches

import hullcalc as hc
from analysis.figures.by_hand import DRAWN, hand_figure
from analysis.figures.curves import curves_figure, righting_arms
from analysis.figures.lever import beam_loads
from analysis.figures.metacentre import gm_bars
from analysis.figures.parting import parting_figure, parting_finding, parting_lines
from analysis.figures.style import DEEPER, FUEL, UP, new_figure, style
from analysis.studies.by_hand.study import ByHand
from analysis.studies.curves import curves
from hullcalc.errors import InputError

BOATS = Path(__file__).parents[3] / "data" / "boats"
NAMES = sorted(folder.name for folder in BOATS.iterdir() if (folder / "boat.toml").is_file())


@pytest.fixture(scope="module")
def boats():
    return {name: hc.read_boat(BOATS / name) for name in NAMES}


@pytest.fixture
def axes():
    with style():
        yield new_figure(811, 300).add_axes((0.08, 0.16, 0.72, 0.74))


def cases_of(boat):
    """Two conditions of a boat, light and loaded, with a plan and a system of units each."""
    plans = [name for name in boat.plans if boat.packages_on(name)]
    ordinary = [name for name in boat.conditions if not boat.conditions[name].open]
    return [(plans[0], ordinary[0], "metric"), (plans[-1], ordinary[-1], "us")]


@pytest.mark.parametrize("name", NAMES)
def test_text_touches_nothing(boats, name):
    boat, drawn = boats[name], set()
    for plan, condition, system in cases_of(boat):
        study = ByHand(boat, plan, condition)
        with style():
            for topic in DRAWN:
                try:
                    figure = hand_figure(study, topic, system)
                except InputError:  # no tank is part full, or the boat has no space
                    continue
                assert touches(figure) == [], (plan, condition, topic)
                drawn.add(topic)
            assert touches(curves_figure(curves(boat, plan, condition), system=system)) == []
    assert drawn >= {"change", "weights", "gm", "surface"}
    assert "space" in drawn or not boat.spaces


@pytest.fixture(scope="module")
def refit(boats):
    return ByHand(boats["demo-outboard-22"], "first plan", "light")


@pytest.mark.parametrize("share", [0.45, 1.2])
def test_the_line_at_a_share_keeps_off_the_words(refit, share):
    with style():
        assert touches(parting_figure(refit.parting, at=share)) == []


def test_the_lines_are_those_reckoned(axes, refit):
    parting_lines(axes, refit.parting)
    drawn = [line.get_ydata() for line in axes.lines if len(line.get_ydata()) == len(refit.parting.shares)]
    expected = [v for name in refit.parting.exact for v in (refit.parting.exact[name], refit.parting.by_hand[name])]
    assert_allclose(drawn, 1000 * np.array(expected), rtol=1e-12)
    dashes = [line.get_linestyle() for line in axes.lines if len(line.get_ydata()) == len(refit.parting.shares)]
    assert dashes[1] == dashes[3] == "--"  # by hand, both ends
    assert dashes[0] != "--"


def test_both_bars_of_a_case_end_at_km(axes, refit):
    cases = {"as found": refit.gm.before, "first plan": refit.gm.after}
    gm_bars(axes, cases)
    ends = {}
    for bar in axes.patches:
        row = round(bar.get_y() + bar.get_height() / 2)
        ends[row] = max(ends.get(row, 0.0), bar.get_x() + bar.get_width())
    assert_allclose([ends[0], ends[1], ends[3], ends[4]], np.repeat([c.km for c in cases.values()], 2), rtol=1e-12)


def test_neighbouring_bars_differ_in_grey():
    # Source: luma of ITU-R BT.601, the grey most printers and screens make of a colour.
    grey = [np.dot(to_rgb(colour), (0.299, 0.587, 0.114)) for colour in (FUEL, DEEPER, UP)]
    assert abs(np.diff(grey)).min() > 0.1


def test_the_beam_carries_the_whole_change(refit):
    loads = beam_loads(refit.change)
    lift = sum(lift for lift, _ in refit.change.lifts.values())
    assert sum(mass for _, mass, _ in loads) == pytest.approx(refit.change.mass - lift, abs=1e-9)
    moment = sum(mass * x for _, mass, x in loads) + sum(q * c[0] for q, c in refit.change.lifts.values())
    assert moment == pytest.approx(refit.change.moment[0], abs=1e-9)


def test_no_arm_is_drawn_past_the_first_opening(axes, boats):
    found = curves(boats["demo-outboard-22"], "mended plan", "light")
    righting_arms(axes, found)
    (line,) = [line for line in axes.lines if len(line.get_xdata()) > 2 and line.get_linestyle() == "-"]
    starboard, port = found.righting.starboard, found.righting.port
    assert line.get_xdata().max() == pytest.approx(starboard.downflooding)
    assert line.get_xdata().min() == pytest.approx(port.downflooding)
    said = " ".join(text.get_text() for text in axes.texts)
    assert "scupper starboard\nunder water" in said


def test_a_topic_without_a_picture_is_told(refit):
    with pytest.raises(InputError, match="no picture of 'tape'; there is one of change, weights"):
        hand_figure(refit, "tape")


def test_the_finding_names_the_bodies_left_out_of_any_choice_of_packages(boats):
    demo = boats["demo-outboard-22"]
    assert ", bracket pod left out; " in parting_finding(ByHand(demo, "first plan", "light").parting)
    assert "left out" not in parting_finding(ByHand(demo, ["1 strip"], "light").parting)


def test_a_space_the_sea_does_not_reach_is_not_called_two_gm(refit):
    # Source: trade rule, that lost buoyancy and added weight differ by the weight of the water, which is none here.
    assert refit.space.water == 0
    assert refit.space.lost.gm == pytest.approx(refit.space.added.gm, abs=1e-12)
    title = hand_figure(refit, "space").texts[0].get_text()
    assert " ".join(title.split()).startswith("The sea does not reach into the cockpit as she floats here")
