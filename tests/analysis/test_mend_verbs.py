"""The verbs mend, alternatives and rehearse: what they print, write and refuse."""

from __future__ import annotations

import json

import pytest

MEND_ALL = ("--condition", "4 adults full")


@pytest.fixture(scope="module")
def figures_of(tmp_path_factory):
    """figures_of(name): where a verb writes its figures."""
    folder = tmp_path_factory.mktemp("figures")
    return lambda name: folder / name


def test_mend_ranks_says_the_other_end_and_finds_a_mix(run, demo_folder, figures_of):
    path = figures_of("mend.json")
    said = run("mend", demo_folder, *MEND_ALL, "--hours", "3", "--keep", "20 mm", "--json", path)
    assert said.code == 0, said.err
    for words in ("WHAT MENDS IT, CHEAPEST FIRST", "BOTH ENDS", "THE BEST MIX", "27 mm up", "heels her", "3 h",
                  "naval architect"):  # fmt: skip
        assert words in said.out
    told = json.loads(path.read_text(encoding="utf-8"))
    assert told["currency"] == "USD"
    assert told["best_mix"]["hours"] <= 3
    assert told["best_mix"]["lowest_m"] >= 0.020 - 1e-4
    rates = [mend["up_m_per_hour"] for mend in told["mends"]]
    assert None in rates  # no hours at all: no rate
    assert {flag["what"] for mend in told["mends"] for flag in mend["other_end"]} >= {"heel", "forward freeboard"}


def test_alternatives_lay_side_by_side_a_plan_with_another_tank(run, demo_folder, figures_of):
    path = figures_of("alternatives.json")
    both = ("mended plan", "mended plan + fuel tank new 80 US gal")
    said = run("alternatives", demo_folder, "--plans", *both, "--json", path)
    assert said.code == 0, said.err
    for words in ("SIDE BY SIDE", "WHAT EACH WEIGHS AND TAKES", "TO SIGN", "fuel full: on the ball", "449 h"):
        assert words in said.out
    told = json.loads(path.read_text(encoding="utf-8"))
    large, small = told["alternatives"]
    assert small["settings"][0]["value"] == pytest.approx([80 * 3.785411784e-3])
    assert large["full_ball_kg"] - small["full_ball_kg"] == pytest.approx(13, abs=0.5)
    assert told["highest"]["4 adults full"] == [both[1]]


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("first plan + three group-31 AGM batteries with boxes at 2.72, 0.1 S", [2.72, -0.1]),
        ("first plan + sole + scupper 30 mm", [0.03]),
        ("first plan + sole + scupper up 30", [0.03]),
        ("first plan + bracket pod by 60 mm", [0.06]),
        ("first plan + fuel tank new to 2.30 m", [2.30, 0.0]),
    ],
)
def test_things_are_set_in_words(run, demo_folder, figures_of, typed, value):
    path = figures_of("set.json")
    words = ("--plans", "first plan", typed, "--condition", "light", "--json", path)
    assert run("alternatives", demo_folder, *words).code == 0
    told = json.loads(path.read_text(encoding="utf-8"))["alternatives"][1]["settings"]
    assert [one["value"] for one in told] == [pytest.approx(value)]


def test_rehearse_prints_a_sheet(run, demo_folder, figures_of):
    path = figures_of("rehearse.json")
    said = run("rehearse", demo_folder, "--json", path)
    assert said.code == 0, said.err
    for words in ("CANS ON THE UNCUT BOAT", "331 kg heavier", "0.76 m forward", "WHAT TO READ OFF", "______"):
        assert words in said.out
    told = json.loads(path.read_text(encoding="utf-8"))
    for mark in told["marks"]:
        assert mark["exact_m"] == pytest.approx(mark["plan_m"], abs=1e-9)
    us = run("rehearse", demo_folder, "--units", "us", "--at", "2.5", "5", "7.5", "--each", "6", "--can", "46 lb")
    assert us.code == 0, us.err
    assert "46 lb" in us.out
    assert "in one place" not in us.out


WRONG = {
    "an unknown mark": (("mend", "--mark", "soul"), "did you mean 'sole'"),
    "an unknown condition": (("mend", "--condition", "4 adults"), "did you mean '4 adults full'"),
    "a limit that excludes everything": (
        ("mend", *MEND_ALL, "--keep", "500 mm"),
        "the limits leave no mix: loosen sole at least",
    ),
    "a length that is none": (("mend", "--keep", "two"), "--keep 'two'"),
    "shares that are none": (("mend", "--tongue", "five", "10 %"), "--tongue 'five'"),
    "left out of no mix": (("mend", "--without", "bracket pod"), "belongs to the best mix"),
    "left out and not there": (("mend", "--best", "--without", "mast"), "no package, or thing of moves.csv"),
    "a picture as a pdf": (("mend", "--out", "bars.pdf"), "written as .svg or .png"),
    "one alternative": (("alternatives", "--plans", "first plan"), "name 2 to 6"),
    "outside its limits": (
        ("alternatives", "--plans", "first plan", "first plan + fuel tank new 500 L"),
        "outside its limits in moves.csv row",
    ),
    "a tank outside the hull": (
        ("alternatives", "--plans", "first plan", "first plan + fuel tank new at 2.95"),
        "clear of the bottom",
    ),
    "a thing without a value": (
        ("alternatives", "--plans", "first plan", "first plan + fuel tank new at sea"),
        "'first plan + fuel tank new at sea'|fuel tank new at sea",
    ),
    "a thing not there": (
        ("alternatives", "--plans", "as found", "as found + bracket pod 60 mm"),
        "bracket pod is not there in this plan",
    ),
    "nobody knows it": (("alternatives", "--plans", "first plan", "first plan + mast"), "no plan or package"),
    "half a can": (("rehearse", "--each", "0.5"), "whole number of cans"),
    "cans overboard": (("rehearse", "--at", "12"), "off the boat"),
    "too few places": (("rehearse", "--at", "1.2"), "11 cans of 21 kg, and 1 places hold 4"),
    "a can that weighs nothing": (("rehearse", "--can", "0 kg"), "must be positive"),
    "lighter than she is": (("rehearse", "--with", "4 adults full"), "lighter than she is"),
}


@pytest.mark.parametrize("name", WRONG)
def test_wrong_questions_get_one_message(run, demo_folder, name):
    (verb, *options), words = WRONG[name]
    said = run(verb, demo_folder, *options)
    assert said.code == 2
    assert any(one in said.err for one in words.split("|"))
    assert said.out == ""
    assert "Traceback" not in said.err


def test_a_boat_without_the_tables_is_told_which_to_write(run, copy):
    folder = copy({})
    for name in ("packages.csv", "moves.csv"):
        (folder / name).unlink()
    said = run("mend", folder, *MEND_ALL)
    assert said.code == 0
    assert "moves.csv says what else may be moved" in said.out.replace("\n", " ")
    assert "packages.csv (package, hours, cost) ranks them" in said.out.replace("\n", " ")
    said = run("alternatives", folder, "--condition", "light")
    assert "packages.csv (package, hours, hours_later, cost)" in said.out.replace("\n", " ")
