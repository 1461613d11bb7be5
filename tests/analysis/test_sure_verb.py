"""The verb `sure`: what it prints, writes and refuses."""

from __future__ import annotations

import json

import pytest

LIGHT = ("--samples", "1000", "--condition", "4 adults full")


def test_says_height_chance_shares_measurements_and_the_best_plan(run, demo_folder, tmp_path):
    said = run("sure", demo_folder, *LIGHT, "--json", tmp_path / "sure.json")
    assert said.code == 0, said.err
    text = " ".join(said.out.split())
    for words in (
        "sole aft starboard 29 mm above water, give or take 14 mm (9 mm with her level, 11 mm by what leans her); "
        "chance that a mark of the sole is under water: ",
        "HOW SURE: mended plan, 4 adults full",
        "the lowest of these 29 above",
        "CHANCE TO BE UNDER WATER",
        "WHERE THE UNCERTAINTY COMES FROM: sole aft starboard",
        "people and stores: place across 8.8 39 %",
        "soaked flotation foam 0.34 m3: mass 3.7 7 %",
        "1. step a metre to the side and read her heel 10 13.1 9.0",
        "Where people stand is no measurement but a choice on the day.",
        "The mended plan stands highest in",
        "as found 1612 kg 17 kg 2.08 m 13 mm",
        "Water at an opening at rest: stop and ask a naval architect.",
    ):
        assert words in text, words
    the_same_for_programs(json.loads((tmp_path / "sure.json").read_text(encoding="utf-8")))


def the_same_for_programs(found):
    marks = {row["mark"]: row for row in found["marks"]}
    corner = marks["sole aft starboard"]
    assert corner["u_m"] == pytest.approx(0.0142, abs=5e-5)
    assert corner["u_level_m"] == pytest.approx(0.0090, abs=5e-5)
    assert corner["straight_lines_hold"] is True
    assert marks["lowest of them"]["u_m"] is None  # straight lines know nothing of the lowest of several
    assert marks["lowest of them"]["chance_under_water"] >= corner["chance_under_water"]
    assert sum(row["share_of_variance"] for row in found["shares"]) == pytest.approx(1.0)
    assert found["measure_in_order"][0]["minutes_in_all"] == 10
    assert [row["plan"] for row in found["best_plan"]["plans"]] == ["mended plan", "first plan"]
    assert found["samples"] == 1000


def test_one_mark_of_one_plan_in_inches_with_a_picture(run, demo_folder, tmp_path):
    out = tmp_path / "sure.svg"
    said = run(
        "sure", demo_folder, *LIGHT, "--plan", "first plan", "--mark", "scupper port", "--units", "us", "--measured",
        "measure the marks once more", "--out", out,
    )  # fmt: skip
    assert said.code == 0, said.err
    assert "Taken as done: measure the marks once more." in said.out
    assert "WHICH PLAN STAYS BEST" not in said.out
    assert "3 in under water, give or take " in " ".join(said.out.split())
    assert out.read_text(encoding="utf-8").lstrip().startswith("<?xml")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("--mark", "skupper port"), "did you mean 'scupper port'"),
        (("--mark", "transom notch"), "no mark or kind of mark is called 'transom notch' in this plan"),
        (("--samples", "many"), "--samples 'many': expected a whole number of draws, such as 20000"),
        (("--samples", "10"), "samples = 10: expected a whole number from 500"),
        (("--condition", "storm"), "no condition is called 'storm'"),
        (("--plan", "no plan"), "no plan or package is called 'no plan'"),
        (("--measured", "weigh the anchor"), "no measurement 'weigh the anchor' is offered here"),
        (("--out", "sure.pdf"), "a picture is written as .svg or .png"),
    ],
)
def test_what_is_refused(run, demo_folder, typed, words):
    said = run("sure", demo_folder, *LIGHT, *typed)
    assert said.code == 2
    assert words in said.err
    assert said.out == ""


def test_a_boat_that_sinks(run, copy):
    folder = copy({"boat.toml": ("mass_kg = 1612", "mass_kg = 9999")})
    said = run("sure", folder, *LIGHT)
    assert said.code == 2
    assert "buoyancy" in said.err
