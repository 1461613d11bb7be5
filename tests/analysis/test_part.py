"""The verb for parts: what it prints and writes, metric and US, and what it refuses."""

from __future__ import annotations

import json

import pytest

import hullcalc as hc
from hullcalc.boats.part_files import read_part

KILOGRAM = 1 / 0.45359237  # in pounds, exact


@pytest.fixture
def parts(demo_folder):
    return demo_folder / "parts"


def flat(text):
    return " ".join(text.split())


def test_the_written_sum(run, parts):
    said = run("part", parts / "engine.toml")
    out, item = flat(said.out), read_part(parts / "engine.toml").part.item
    assert said.code == 0 and said.err == ""
    assert "250 HP FOUR-STROKE OUTBOARD AS HUNG: engine" in out
    assert "longer leg: leg XL for L: 1 x 5 % of 255 kg 12.8" in out
    assert "propeller: 8 kg, weighed 8.0 1.42 m aft" in out and "0.30 m S" in out
    assert "whole part 296.0" in out  # 255 + 12.75 + 7.48 + 8 + 12.75
    assert f"Whole: 296.0 ± {float(item.u_mass):.1f} kg" in out
    assert "Measure it on the hoist." in out
    assert "check the finished boat afloat" not in out  # nothing was floated


def test_several_parts_together_in_pounds(run, parts, tmp_path):
    out = tmp_path / "parts.json"
    said = run("part", parts / "engine.toml", parts / "bracket.toml", "--units", "us", "--json", out)
    figures = json.loads(out.read_text())
    masses = [part["mass_kg"] for part in figures["parts"]]
    assert f"together {sum(masses) * KILOGRAM:.1f}" in flat(said.out)
    assert [part["kind"] for part in figures["parts"]] == ["engine", "bracket"]
    for part in figures["parts"]:
        assert sum(one["mass_kg"] for one in part["lines"]) == pytest.approx(part["mass_kg"])
    assert "29 7/8 in" in said.out and "38 US gal" in said.out  # setback and pod


def test_a_bracket_in_the_sea(run, parts, demo_folder, tmp_path):
    out = tmp_path / "bracket.json"
    said = run("part", parts / "bracket.toml", "--boat", demo_folder, "--json", out)
    words = flat(said.out)
    (figures,) = json.loads(out.read_text())["afloat"]
    assert (figures["plan"], figures["condition"]) == (
        "mended plan",
        "4 adults full",
    )  # the last, the heaviest
    litres, lift = figures["body_under_water_m3"] * 1000, figures["body_lift_kg"]
    assert lift == pytest.approx(1.025 * litres)
    assert f"pod under water, intact: {litres:.0f} L of 144 L, which lift {lift:.1f} kg" in words
    assert figures["net_lift_kg"] == pytest.approx(lift - 49.19, abs=0.01)
    deeper = figures["flooded_stern_deeper_m"] * 1000
    assert f"the stern floats {deeper:.0f} mm deeper" in words
    assert deeper == pytest.approx(43, abs=1.5)  # an independent program's, with a bracket of 52 kg for these 49
    assert "bracket hatch:" in words and "lies on the transom" in words
    assert "check the finished boat afloat before use" in words
    under = [name for name, height in figures["flooded_marks_m"].items() if height < 0]
    assert "sole aft starboard" in under and "sole aft port" not in under


def test_plans_put_together_and_conditions_are_found(run, parts, demo_folder):
    plan = "mended plan + 10 bracket 0.51 m instead"
    said = run("part", parts / "bracket-short.toml", "--boat", demo_folder, "--plan", plan, "--condition", "light")
    assert said.code == 0 and plan in flat(said.out) and "of 106 L" in said.out
    wrong = run("part", parts / "bracket.toml", "--boat", demo_folder, "--condition", "ligth")
    assert wrong.code == 2 and "did you mean 'light'" in wrong.err


def test_tank_well_and_leg(run, parts, demo_folder, tmp_path):
    names, out = ("fuel-tank", "livewell", "engine", "t-top"), tmp_path / "four.json"
    files = [parts / f"{name}.toml" for name in names]
    said = run("part", *files, "--boat", demo_folder, "--plan", "first plan", "--condition", "light", "--json", out)
    words = flat(said.out)
    tank, well, engine, top = json.loads(out.read_text())["afloat"]
    assert tank["fits"] and f"it fits: {1000 * tank['clearance_m']:.0f} mm from the skin, square to it" in words
    assert f"usable at this trim: {1000 * tank['usable_m3']:.0f} L" in words
    # 0.40 x 0.80 x 0.42 m stand in the well whose pipe is in its middle, at any trim; her sea is far below its floor
    assert well["standing_m3"] == pytest.approx(0.1344) and "pump on: 134 L to the standpipe" in words
    assert well["open_to_the_sea_m3"] == 0 and "it drains empty" in words
    leg = engine["leg_under_water_m3"]
    assert 0.005 < leg < 0.03 and f"leg under water: {1000 * leg:.1f} L" in words
    assert engine["instead_of_mass_kg"] == pytest.approx(268 + 7 + 8 + 10)
    assert "In the place of 4 things of the plan (293.0 kg" in words
    assert f"windage from ahead: {read_part(files[3]).part.from_ahead.area:.2f} m²" in words
    assert len(top["marks"]) > 5 and all(mark["u_height_by_part_m"] > 0 for mark in top["marks"])


def test_written_into_a_folder(run, parts, copy):
    folder = copy({})
    text = (parts / "t-top.toml").read_text(encoding="utf-8")
    mine = folder / "mine.toml"
    mine.write_text(text.replace("hard T-top with electronics box", "second top aft"), encoding="utf-8")
    said = run("part", mine, "--add-to", folder, "--package", "11 second top")
    assert said.code == 0 and "1 row in ledger.csv" in flat(said.out)
    boat = hc.read_boat(folder)
    assert "11 second top" in boat.packages
    again = run("part", mine, "--add-to", folder, "--package", "11 second top")
    assert again.code == 2 and "adds 'second top aft' already" in again.err
    assert hc.read_boat(folder).packages == boat.packages


@pytest.mark.parametrize(
    ("more", "words"),
    [(("--add-to", "x"), "--add-to and --package go together"), (("--package", "x"), "go together"),
     (("--plan", "first plan"), "--plan is of a boat: name her folder with --boat"),
     (("--boat", "no such boat"), "there is no such folder"), (("--mark", "sole"), "unrecognized arguments")],
)  # fmt: skip
def test_refusals(run, parts, more, words):
    said = run("part", parts / "t-top.toml", *more)
    assert said.code == 2 and words in said.err and said.out == ""


def test_all_files_problems_at_once(run, tmp_path):
    one, other = tmp_path / "one.toml", tmp_path / "other.toml"
    one.write_text('kind = "jack plate"\ntype = "electric"\n', encoding="utf-8")
    other.write_text('kind = "fuel tank"\n', encoding="utf-8")
    said = run("part", one, other)
    assert said.code == 2
    for words in ("one.toml type", "one.toml setback", "other.toml length", "other.toml measured"):
        assert words in said.err
    assert run("part").code == 2
