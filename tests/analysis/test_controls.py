"""The refit panel without a browser: choice, answer, words, widgets.

Heights of the demo boat come from an independent program: exact integrals over the mesh with liquids level at the final
attitude, to the millimetre printed.
"""

from __future__ import annotations

import base64
import dataclasses
import html
import re

import ipywidgets as ipw
import pytest

import hullcalc as hc
from analysis import data_folder
from analysis.controls import Choice, Crew, refit_panel, say_all, say_finding, solve
from analysis.controls.answer import mark_table, say_reading, say_table
from analysis.controls.drawing import live_figure
from analysis.controls.page import caution_html, table_html
from analysis.controls.panel import RefitPanel
from hullcalc.weights.items import item

MARKS = ["scupper port", "scupper starboard", "sole aft port", "sole aft starboard"]
INDEPENDENT = [  # plan, at the helm, at the stern, kg, trim, heel, heights of MARKS in mm: 95 % fuel and livewell
    ("as found", 2, 2, 2247, 1.42, 1.12, [6, -22, 41, 8]),
    ("first plan", 2, 2, 2766, 1.92, -0.86, [-76, -55, -44, -19]),
    ("mended plan", 2, 2, 2766, 0.93, 0.49, [11, -1, 44, 29]),
    ("mended plan", 0, 4, 2766, 1.65, 1.54, [-6, -43, 31, -14]),
]
FIRST_TWO = ("3 bracket", "10 bracket 0.51 m instead")


@pytest.fixture(scope="module")
def boat():
    return hc.read_boat(data_folder() / "boats" / "demo-outboard-22")


@pytest.fixture(scope="module")
def crew():
    aft = ("adult aft port standing", "adult aft starboard standing")
    corner = tuple(f"stern crew {number}" for number in (1, 2, 3, 4))
    helm = ("helmsman standing", "mate standing")
    return Crew(helm, ((), aft[:1], aft, corner[:3], corner), ("cooler with ice and drinks",))


@pytest.fixture
def panel(boat, crew):
    return refit_panel(boat, crew)


def widgets(parent, kind):
    """All widgets of a kind inside another."""
    found = [parent] if isinstance(parent, kind) else []
    return found + [w for child in getattr(parent, "children", ()) for w in widgets(child, kind)]


def switch(panel, name):
    return next(box for box in widgets(panel, ipw.Checkbox) if box.description == name)


def box_and_slider(panel, name):
    row = next(
        row for row in widgets(panel, ipw.HBox) if any(getattr(w, "description", "") == name for w in row.children)
    )
    return row.children


# The state


def test_a_switch_takes_its_rivals_off_and_nothing_else():
    choice = Choice([("a", "b", "c"), ("d", "e")], packages=frozenset({"a", "d", "f"}))
    choice.switch("b", True)
    assert choice.packages == {"b", "d", "f"}
    choice.switch("e", True)
    choice.switch("f", False)
    assert choice.packages == {"b", "e"}
    choice.switch("e", True)
    assert choice.packages == {"b", "e"}  # on already: stays on


def test_a_choice_starts_at_the_boat_as_found(boat):
    choice = Choice.of(boat)
    assert choice.packages == frozenset()
    assert (choice.fuel, choice.livewell, choice.at_helm, choice.at_stern, choice.system) == (95, 95, 2, 2, "metric")


def test_nobody_aboard_brings_no_stores(crew):
    assert crew.aboard(0, 0) == ()
    assert crew.aboard(1, 0) == ("helmsman standing", "cooler with ice and drinks")
    assert len(crew.aboard(2, 4)) == 7


def test_a_crew_says_what_is_wrong_with_it(crew):
    with pytest.raises(hc.InputError, match=r"entry 1 of the stern names 2 people \(a, b\); name 1"):
        Crew((), ((), ("a", "b")))
    with pytest.raises(hc.InputError, match=r"3 at the helm .* places for 2 and 4: choose fewer"):
        crew.aboard(3, 0)


# The answer


@pytest.mark.parametrize(("plan", "helm", "stern", "mass", "trim", "heel", "heights"), INDEPENDENT)
def test_answers_agree_with_an_independent_program(boat, crew, plan, helm, stern, mass, trim, heel, heights):
    case = solve(boat, crew, Choice.of(boat, plan, at_helm=helm, at_stern=stern)).case
    assert [round(1000 * case.heights_shut[mark]) for mark in MARKS] == heights
    assert float(case.shut.mass) == pytest.approx(mass, abs=1)  # printed to the kilogram
    assert (round(float(case.shut.trim), 2), round(float(case.shut.heel), 2)) == (trim, heel)


def test_a_load_weighs_what_its_parts_weigh(boat, crew):
    # By hand: 1612 kg as found less 10 kg of fuel left in the tank, three adults of 85 kg and the cooler of 45 kg,
    # half of 265 L at 740 kg/m3 and a fifth of 76 L at 1025 kg/m3, in boxes of 1.56 x 0.72 x 0.236 and 0.40 x 0.38 x
    # 0.50 m.
    choice = Choice.of(boat, fuel=50, livewell=20, at_helm=1, at_stern=2)
    fuel, livewell = 0.5 * 1.56 * 0.72 * 0.236 * 740, 0.2 * 0.40 * 0.38 * 0.50 * 1025
    assert float(solve(boat, crew, choice).case.shut.mass) == pytest.approx(
        1612 - 10 + 3 * 85 + 45 + fuel + livewell, abs=1e-9
    )


def test_the_same_load_in_the_boat_as_found_stands_beside(boat, crew):
    answer = solve(boat, crew, Choice.of(boat, "first plan"))
    assert [round(1000 * answer.as_found.heights_shut[mark]) for mark in MARKS] == INDEPENDENT[0][-1]
    assert solve(boat, crew, Choice.of(boat)).as_found is None


def test_a_package_that_works_on_nothing_is_named(boat, crew):
    alone = solve(boat, crew, Choice.of(boat, ["9 mend: batteries to the console"]))
    assert "Packages: 9 mend: batteries to the console." in say_reading(alone)
    assert alone.idle == ("9 mend: batteries to the console",)
    assert any("batteries to the console changes nothing here" in line for line in say_reading(alone))
    assert solve(boat, crew, Choice.of(boat, "mended plan")).idle == ()


def test_what_holds_no_longer_is_said_before_any_figure(boat, crew):
    lines = say_reading(solve(boat, crew, Choice.of(boat, "first plan")))
    assert lines[0].startswith("Scupper port and scupper starboard under water: water enters the cockpit")
    assert not re.search(r"\d", lines[0])


def test_the_table_has_the_least_mark_first_and_leaves_out_what_a_boat_has_not(boat, crew):
    heads, rows = mark_table(solve(boat, crew, Choice.of(boat, "first plan")))
    assert heads == ("mark", "first plan", "cockpit open to the sea", "as found, same load")
    assert rows[0] == ("scupper port", "76 mm under", "90 mm under", "6 mm above")  # 90: cockpit open at the scuppers
    assert next(row for row in rows if row[0] == "bracket hatch")[-1] == ""
    heads, rows = mark_table(solve(boat, crew, Choice.of(boat, fuel=0, livewell=0, at_helm=0, at_stern=0)))
    assert heads == ("mark", "as found")
    assert rows[0][0] == "scupper port"


def test_words_carry_every_figure_in_the_units_asked_for(boat, crew):
    metric, us = (say_all(solve(boat, crew, Choice.of(boat, "first plan", system=s))) for s in ("metric", "us"))
    assert "2767 kg all told" in metric
    assert "6099 lb all told" in us  # 2766.5 kg / 0.45359237
    assert " lb" not in metric
    assert not re.search(r"\d (kg|mm|L)\b(?!/m³)", us)
    assert "kg/m³" in metric  # the densities are printed with the result


def test_words_never_praise(boat, crew):
    for plan in boat.plans:
        said = say_all(solve(boat, crew, Choice.of(boat, plan)))
        assert not re.search(r"\b(safe|stable|passes)\b", said)
        assert "naval architect" in said
        assert "Invented boat" in said


# The panel


def test_the_panel_starts_as_found_and_says_so(panel):
    assert panel.words.startswith("Two at the helm, two at the stern, fuel 95 %, livewell 95 %: the boat as found")
    assert widgets(panel, ipw.ToggleButtons)[0].value == "as found"
    assert not any(box.value for box in widgets(panel, ipw.Checkbox))


def test_every_control_is_named_or_stands_beside_one_that_is(panel):
    for kind in (ipw.Checkbox, ipw.BoundedIntText, ipw.ToggleButtons):
        assert all(w.description for w in widgets(panel, kind))
    sliders = widgets(panel, ipw.IntSlider)
    assert len(sliders) == len(widgets(panel, ipw.BoundedIntText)) == 4


def test_a_plan_button_sets_all_switches_and_they_set_it(boat, panel):
    buttons = widgets(panel, ipw.ToggleButtons)[0]
    buttons.value = "mended plan"
    assert {box.description for box in widgets(panel, ipw.Checkbox) if box.value} == set(
        boat.plans["mended plan"].packages
    )
    switch(panel, "9 mend: sole raised 30 mm").value = False
    assert buttons.value is None
    switch(panel, "9 mend: sole raised 30 mm").value = True
    assert buttons.value == "mended plan"


def test_each_control_changes_reading_and_picture(boat, panel):
    seen = {(panel.words, panel.picture.png)}

    def is_new():
        now = (panel.words, panel.picture.png)
        assert all(now[0] != words and now[1] != png for words, png in seen)
        seen.clear()
        seen.add(now)

    widgets(panel, ipw.ToggleButtons)[0].value = "mended plan"
    is_new()
    for package in boat.packages:
        box = switch(panel, package)
        for value in (not box.value, box.value):  # there and back
            box.value = value
            is_new()
    for name, value in (("fuel, %", 30), ("livewell, %", 10), ("at the stern", 4), ("at the helm", 1)):
        box, slider = box_and_slider(panel, name)
        box.value = value
        assert slider.value == value
        is_new()
        slider.value = value - 1
        assert box.value == value - 1
        is_new()
    switch(panel, "US units").value = True
    is_new()


def test_one_change_floats_her_once(boat, crew):
    asked = []

    def count(choice):
        asked.append(choice.packages)
        return solve(boat, crew, choice)

    panel = RefitPanel(boat, Choice.of(boat), crew, count)
    widgets(panel, ipw.ToggleButtons)[0].value = "mended plan"  # eleven switches follow
    assert asked == [frozenset(), boat.packages_on("mended plan")]


def test_rivals_switch_each_other_off(boat, crew):
    boat = dataclasses.replace(boat, exclusive=(FIRST_TWO,))
    panel = refit_panel(boat, crew)
    assert any(FIRST_TWO[1] in label.value for label in widgets(panel, ipw.Label))
    for package, rival in (FIRST_TWO, FIRST_TWO[::-1], FIRST_TWO):
        switch(panel, package).value = True
        assert not switch(panel, rival).value
        assert panel.choice.packages == {package}


def test_rivals_chosen_past_the_switches_are_refused_or_one_goes_off(boat, crew):
    boat = dataclasses.replace(boat, exclusive=(FIRST_TWO,))
    both = Choice(packages=frozenset(FIRST_TWO))
    with pytest.raises(hc.InputError, match="exclude each other"):
        solve(boat, crew, both)
    panel = refit_panel(boat, crew)
    panel.choice.packages = frozenset(FIRST_TWO)
    assert len(panel.choice.packages) == 1
    assert panel.answer.case.packages == panel.choice.packages


def test_a_choice_that_cannot_be_answered_becomes_words_and_leaves_no_picture(boat, crew):
    panel = refit_panel(boat, dataclasses.replace(crew, helm=("helmsman standing", "<mate> standing")))
    assert panel.words.startswith("no person or store is called '<mate> standing'; did you mean 'mate standing'?")
    assert html.escape("'<mate> standing'") in panel.finding.value
    assert (panel.picture.png, panel.picture.value) == (b"", "")
    assert panel.reading.value == panel.table.value == panel.caution.value == ""
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == panel.words
    assert "image/png" not in bundle
    panel.choice.at_helm = 1
    assert panel.words.startswith("One at the helm, two at the stern")
    assert panel.picture.png
    panel.choice.at_helm = 2
    assert panel.picture.value == ""


def test_a_boat_that_sinks_is_said_in_words(boat, crew):
    heavy = item("mate standing", 9000.0, (2.35, 0.0, 1.0), "guess")
    panel = refit_panel(dataclasses.replace(boat, people={**boat.people, heavy.name: heavy}), crew)
    assert re.search(r"short of \d+ kg of buoyancy", panel.words)
    assert panel.picture.value == ""


def test_a_fault_of_ours_is_shown_and_raised(boat, crew):
    def broken(choice):
        if choice.fuel < 50:
            raise ZeroDivisionError("by <zero>")
        return solve(boat, crew, choice)

    panel = RefitPanel(boat, Choice.of(boat), crew, broken)
    with pytest.raises(ZeroDivisionError):
        panel.choice.fuel = 40
    assert panel.words == "Unexpected: ZeroDivisionError: by <zero>"
    assert "by &lt;zero&gt;" in panel.finding.value
    assert panel.picture.value == ""


def test_on_paper_the_panel_is_its_picture_and_its_words(panel):
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == panel.words == say_all(panel.answer)
    assert base64.b64decode(bundle["image/png"]).startswith(b"\x89PNG")
    assert "application/vnd.jupyter.widget-view+json" in bundle


def test_the_picture_is_named_and_keeps_its_size(boat, crew, panel):
    assert html.escape(say_finding(panel.answer)) in panel.picture.value
    sizes = {
        tuple(live_figure(solve(boat, crew, Choice.of(boat, plan, at_stern=n))).get_size_inches())
        for plan in boat.plans
        for n in (0, 4)
    }
    assert len(sizes) == 1


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_picture_says_what_the_table_says(boat, crew, system):
    answer = solve(boat, crew, Choice.of(boat, "first plan", system=system))
    drawn = {text.get_text() for text in live_figure(answer).axes[0].texts}
    heights = {row[0]: row[1] for row in mark_table(answer)[1]}
    for mark in ("scupper port", "sole aft port", "bracket hatch", "sole forward"):  # of a pair the lower one is drawn
        assert f"{mark}\n{heights[mark]}" in drawn


def test_names_are_shown_as_written(boat, crew):
    marks = tuple(dataclasses.replace(mark, name=mark.name.replace("sole", "<b>")) for mark in boat.all_marks)
    answer = solve(dataclasses.replace(boat, all_marks=marks), crew, Choice.of(boat, "first plan"))
    assert "<b> aft port" in "\n".join(say_table(answer))
    assert "<b> aft port" not in table_html(answer)
    assert "&lt;b&gt; aft port" in table_html(answer)


def test_the_caution_is_fitted_to_the_case(boat, crew):
    dry = solve(boat, crew, Choice.of(boat, "mended plan", at_stern=0, fuel=50))
    wet = solve(boat, crew, Choice.of(boat, "first plan"))
    assert "none of them is under water" in caution_html(dry)
    assert "scupper port and scupper starboard are plugged" in caution_html(wet)
    assert "stop and ask a naval architect" in caution_html(wet)
