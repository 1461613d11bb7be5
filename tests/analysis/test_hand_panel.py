"""By hand and exactly, with controls: what is chosen is what is answered; what cannot be answered is said."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as ipw
import pytest

import hullcalc as hc
from analysis.controls.hand import HandChoice, HandPanel, solve_hand
from hullcalc.boats.conditions import Condition
from hullcalc.weights.items import item


@pytest.fixture(scope="module")
def boat(demo_folder):
    return hc.read_boat(demo_folder)


@pytest.fixture
def panel(boat):
    return HandPanel(boat)


def test_it_starts_with_the_first_refit_and_the_whole_change(panel):
    assert (panel.choice.plan, panel.choice.condition, panel.choice.share) == ("first plan", "light", 100)
    said = "The first plan, light: 331 kg added, bracket pod left out; by hand the worse end is 4 mm off."
    assert panel.words.startswith(said)
    assert "naval architect" in panel.words
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == panel.words
    assert bundle["image/png"]


def test_the_share_moves_picture_and_words(panel):
    slider = next(box for box in panel.children[2].children if isinstance(box, ipw.IntSlider))
    before = panel.picture.png
    slider.value = 30
    assert panel.choice.share == 30
    assert "30 % of the change, 99 kg added" in panel.words
    assert panel.picture.png != before


def test_the_answer_at_a_share_is_that_of_the_lines(boat):
    choice = HandChoice.of(boat)
    choice.share = 0
    answer = solve_hand(boat, choice)
    for end in answer.parting.exact:
        hand, exact = answer.at_share(end)
        assert (hand, exact) == pytest.approx((0.0, 0.0), abs=1e-9)
    choice.share = 100
    answer = solve_hand(boat, choice)
    off = [abs(hand - exact) for hand, exact in map(answer.at_share, answer.parting.exact)]
    assert max(off) == pytest.approx(answer.parting.error[20], rel=1e-12)


def test_plan_and_load_may_be_set_from_outside(panel):
    panel.choice.plan, panel.choice.condition = "mended plan", "4 adults full"
    assert panel.children[0].value == "mended plan"
    assert panel.words.startswith("The mended plan, 4 adults full: 519 kg added")
    panel.choice.system = "us"
    assert "lb added" in panel.words


def test_what_cannot_be_answered_is_said_and_nothing_else_shown(boat):
    people = dict(boat.people) | {"safe on the roof": item("safe on the roof", 1500, (2.0, 0.0, 4.5), "weighed")}
    loads = dict(boat.conditions) | {"top heavy": Condition("top heavy", aboard=("safe on the roof",))}
    panel = HandPanel(replace(boat, people=people, conditions=loads))
    panel.choice.condition = "top heavy"
    assert panel.answer is None
    assert "she capsizes, and a hand sum takes a boat that floats" in panel.words
    assert panel.picture.value == ""
    assert panel._repr_mimebundle_()["text/plain"] == panel.words
    panel.choice.condition = "light"
    assert panel.answer is not None


def test_a_fault_of_ours_is_said_on_the_page_too(panel, monkeypatch):
    def broken(answer):
        raise ZeroDivisionError("by nought")

    monkeypatch.setattr(panel, "figure", broken)
    with pytest.raises(ZeroDivisionError):
        panel.redraw()
    assert panel.answer is None and panel.words == "Unexpected: ZeroDivisionError: by nought"
    assert panel.picture.png == b"" and panel.reading.value == ""
