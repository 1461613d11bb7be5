"""How sure, with switches: what is chosen is what is answered; what cannot be answered is said."""

from __future__ import annotations

import ipywidgets as ipw
import pytest

import hullcalc as hc
from analysis import data_folder
from analysis.controls.sure import SureChoice, SurePanel, offered_first, say_sure, solve_sure, sure_panel

STEP = "step a metre to the side and read her heel"


@pytest.fixture(scope="module")
def boat():
    return hc.read_boat(data_folder() / "boats" / "demo-outboard-22")


@pytest.fixture(scope="module")
def panel(boat):
    choice = SureChoice.of(boat)
    return SurePanel(boat, choice, offered_first(boat, choice), samples=500)


def boxes(panel):
    return {box.description: box for box in panel.children if isinstance(box, ipw.Checkbox)}


def test_it_starts_at_the_last_plan_in_its_heaviest_load(panel):
    assert (panel.choice.plan, panel.choice.condition, panel.choice.marks) == ("mended plan", "4 adults full", "sole")
    assert panel.words.startswith(
        "4 adults full, the mended plan: sole aft starboard 29 mm above water, give or take 14"
    )
    assert panel.picture.png.startswith(b"\x89PNG")
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == panel.words and bundle["image/png"]


def test_a_measurement_taken_as_done_leaves_less_doubt(panel, boat):
    before = panel.answer.row("sole aft starboard")["u_mm"]
    boxes(panel)[STEP].value = True
    assert panel.choice.measured == {STEP}
    assert panel.answer.row("sole aft starboard")["u_mm"] < before - 1
    assert f"Taken as done: {STEP}." in panel.words
    panel.choice.measured = frozenset()  # from outside: the switch follows
    assert boxes(panel)[STEP].value is False
    assert panel.answer.row("sole aft starboard")["u_mm"] == before


def test_a_measurement_of_what_is_not_there_counts_for_nothing(boat):
    choice = SureChoice.of(boat, "as found", "two people")
    choice.measured = frozenset({"tape the pod before it is hung: bracket pod", STEP})
    assert solve_sure(boat, choice, 500).measured == (STEP,)


def test_marks_that_are_not_there_are_said_in_place_of_a_picture(panel):
    panel.choice.marks = "electrical"  # the old battery box: gone in this plan
    assert panel.answer is None and panel.picture.png == b"" and panel.reading.value == ""
    assert "is called 'electrical' in this plan" in panel.words
    assert "image/png" not in panel._repr_mimebundle_()
    panel.choice.marks = "sole"
    assert panel.answer is not None


def test_inches_and_all_marks(panel):
    panel.choice.set_trait("system", "us")
    assert "sole aft starboard 1 1/8 in above water" in panel.words
    panel.choice.marks = "every mark"
    assert "chance that a mark is under water" in panel.words
    assert "The lowest of all: " in panel.words


def test_the_words_end_with_the_caution(boat):
    sure = solve_sure(boat, SureChoice.of(boat, "first plan", "family"), 500)
    assert "naval architect" in say_sure(sure, "metric")[-1]
    assert sure_panel(boat, SureChoice.of(boat, "as found", "light")).answer.plan == "as found"
