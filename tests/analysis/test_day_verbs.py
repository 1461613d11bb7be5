"""The verbs trip, drain and stripe in one process, and the panel of a day: what is said, written, refused."""

from __future__ import annotations

import json

import pytest

import hullcalc as hc
from analysis.controls.day import DayChoice, day_panel, others, own_crew, say_day, solve_day
from hullcalc.boats.trips import crewed, replay


def of(path):
    return json.loads(path.read_text(encoding="utf-8"))


def test_trip_says_the_worst_moment_and_writes_the_same(run, demo_folder, tmp_path):
    out, picture = tmp_path / "x.json", tmp_path / "day.png"
    said = run("trip", demo_folder, "bank", "--nm", "175", "--kept", "25 %", "--against", "109 US gal", "80 US gal",
               "--json", out, "--out", picture)  # fmt: skip
    assert said.code == 0 and said.err == ""
    text = " ".join(said.out.split())
    for words in (
        "Bank: the mended plan puts scupper starboard 54 mm under water at the end of fish on, after 5 h 12 min.",
        "263 L of it to burn by the rule of thirds: 175 nm there and back", "145 to 220 nm",
        "For 175 nm she must leave with: thirds 394 L; a tenth and the reserve 292 L; 25 % kept 350 L.",
        "From full (95 %) to a tenth the lowest sole mark rises 15 mm", "over the LCF", "110 L more: 81 kg",
        "planning only", "naval architect",
    ):  # fmt: skip
        assert words in text, words
    assert picture.read_bytes().startswith(b"\x89PNG")
    found = of(out)
    (plan,) = found["plans"]
    assert plan["worst"]["at"] == "end of fish on"
    assert min(p["lowest_m"] for p in plan["points"]) == plan["worst"]["height_above_water_openings_shut_m"]
    assert found["range"]["rules"][0]["range_nm"] == pytest.approx(175.4, abs=0.1)
    assert found["fuel_compared"][0]["fuel_m3"] == pytest.approx(0.4126, abs=1e-4)


def test_drain_says_which_way_and_what_stays(run, demo_folder, tmp_path):
    out, picture = tmp_path / "x.json", tmp_path / "sole.svg"
    said = run("drain", demo_folder, "--condition", "4 adults full", "--litres", "100 L", "400 L", "--json", out,
               "--out", picture)  # fmt: skip
    text = " ".join(said.out.split())
    assert said.code == 0
    assert "rain runs aft and to starboard and leaves by scupper starboard" in text
    assert "bring sole aft port down to the sea" in text and "GM left free surface" in text
    assert "46 CFR 178.420(b)" in text
    found = of(out)
    assert [row["volume_m3"] for row in found["water_on_the_sole"]] == [0.1, 0.4]
    assert found["drains_forward"] is False and "<svg" in picture.read_text(encoding="utf-8")


def test_stripe_says_where_to_paint(run, demo_folder, tmp_path):
    out = tmp_path / "x.json"
    said = run("stripe", demo_folder, "--json", out, "--out", tmp_path / "stripe.png")
    text = " ".join(said.out.split())
    assert "the stripe's lower edge belongs 469 mm above the keel line at the transom and 467 mm at 5.20 m" in text
    assert "Against the old stripe: 49 mm up aft; 12 mm up forward. Raise it most aft." in text
    assert "water 29 mm over the old lower edge at the transom" in text
    assert [round(1000 * p["paint_m"]) for p in of(out)["places"]] == [469, 467]
    us = " ".join(run("stripe", demo_folder, "--units", "us", "--margin", "1").out.split())
    assert "1 in over the water of family" in us


def test_a_boat_without_trips_or_a_cockpit_is_told_which_file_to_write(run, copy):
    folder = copy({})
    for path in (folder / "trips").iterdir():
        path.unlink()
    (folder / "spaces.csv").unlink()
    said = run("trip", folder)
    assert said.code == 2 and "there is no trip; write one as trips/NAME.csv" in said.err
    said = run("drain", folder, "--condition", "light")
    assert said.code == 0 and "Draw the cockpit in spaces.csv" in " ".join(said.out.split())
    said = run("drain", folder, "--litres", "100 L")
    assert said.code == 2 and "no cockpit is drawn" in said.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("trip", "bnk"), "no trip is called 'bnk'; did you mean 'bank'"),
        (("trip", "bank", "--fuel", "100 L"), "run home: needs 68 L, and 18 L are left: 50 L short"),
        (("trip", "bank", "--fuel", "900"), "900 L of fuel: her tanks hold 415 L"),
        (("trip", "bank", "--fuel", "lots"), "--fuel 'lots'"),
        (("trip", "bank", "--nm", "-5"), "distance = -5 nm must be positive"),
        (("trip", "bank", "--kept", "100 %"), "share kept back = 1 must be from 0 to under 1"),
        (("trip", "bank", "--against", "900 L"), "is not from 0 to the 415 L the tanks hold"),
        (("trip", "bank", "--out", "day.gif"), "a picture is written as .svg or .png"),
        (("drain", "--litres", "9000 L"), "9000 L is not from 0 to the 3543 L of the cockpit"),
        (("drain", "--plan", "best plan"), "no plan or package is called 'best plan'"),
        (("stripe", "--margin", "2 m"), "margin = 2000 mm is not from 0 to 300"),
        (("stripe", "--margin", "20 kg"), "--margin '20 kg'"),
        (("stripe", "--condition", "famly"), "did you mean 'family'"),
    ],
)
def test_what_cannot_be_is_one_message_and_code_2(run, demo_folder, words, said):
    verb, *rest = words
    found = run(verb, demo_folder, *rest)
    assert found.code == 2 and found.out == "" and said in " ".join(found.err.split())


# The panel


@pytest.fixture(scope="module")
def boat(demo_folder):
    return hc.read_boat(demo_folder)


def test_the_panel_answers_and_is_words_on_paper(boat):
    panel = day_panel(boat)
    assert panel.answer is not None and panel.words.startswith("Across: the mended plan keeps")
    panel.choice.trip = "bank"
    assert "at the end of fish on" in panel.words
    assert [box.description for box in panel.crew.children] == [
        *own_crew(boat, boat.trips["bank"]), "child 12 seated forward", "child 9 seated forward",
    ]  # fmt: skip
    before = panel.answer.day.worst.height
    panel.crew.children[2].value = False  # one adult aft stays ashore
    assert panel.choice.stay == {"adult aft port standing"}
    assert panel.answer.day.worst.height > before
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == panel.words and bundle["image/png"]


def test_too_little_fuel_leaves_words_and_no_picture(boat):
    panel = day_panel(boat, DayChoice.of(boat, trip="bank"))
    panel.choice.litres = 100
    assert panel.answer is None and "50 L short" in panel.words and panel.picture.png == b""
    panel.choice.litres = 300
    assert panel.answer is not None and "300 L aboard" in panel.words


def test_as_the_file_has_it_the_panel_is_the_study(boat):
    answer = solve_day(boat, DayChoice.of(boat, "first plan", "bank"))
    assert answer.day.worst.height == pytest.approx(-0.111, abs=1e-3)
    said = say_day(answer)
    assert "planning only" in said[-2] and said[-1].endswith("Invented boat.")


def test_who_stays_takes_no_part_later_and_who_comes_is_there_all_day(boat):
    bank = boat.trips["bank"]
    (first, *_) = others(boat, bank)
    trip = crewed(bank, boat.conditions, [first], ["helmsman standing"])
    scenes, slips = replay(trip.steps, boat.people, boat.conditions)
    assert not slips
    assert all(first in scene.start and len([n for n in scene.start if "stern crew 1" in n]) == 0 for scene in scenes)
    assert all("helmsman standing" not in scene.start for scene in scenes)
    across = crewed(boat.trips["across"], boat.conditions, (), ["child 9 seated forward"])
    scenes, slips = replay(across.steps, boat.people, boat.conditions)
    assert not slips and all("child 9 seated forward" not in scene.start for scene in scenes)
    assert "child 12 seated forward" in scenes[0].start
