"""The verbs byhand and curves: one screen, sums opened, JSON, pictures, and slips told in one sentence."""

from __future__ import annotations

import json

import pytest


def test_one_screen_holds_the_hand_beside_the_float(run, demo_folder, tmp_path):
    said = run("byhand", demo_folder, "--json", tmp_path / "by_hand.json")
    assert said.code == 0
    assert "The first plan, light: by hand 1.5° bow up, exactly 1.3° bow up" in said.out
    assert "444 mm deep 434 mm deep 10 mm too deep" in " ".join(said.out.split())
    assert "no tank is part full" in said.out
    assert "naval architect" in said.out
    found = json.loads((tmp_path / "by_hand.json").read_text(encoding="utf-8"))
    assert found["change"]["exact"]["trim_deg"] == pytest.approx(1.33, abs=0.005)
    assert found["weights"][-1]["mass_kg"] == pytest.approx(1943)
    assert "choose a condition that fills one" in found["free_surfaces"]["cannot_be_told"]
    assert found["wet_space"]["lost_buoyancy"]["righting_moment_1_deg_kgm"] == pytest.approx(
        found["wet_space"]["added_weight"]["righting_moment_1_deg_kgm"], rel=1e-9
    )


def test_what_is_not_valid_is_said_before_any_figure(run, demo_folder):
    said = run("byhand", demo_folder, "--condition", "4 adults full", "--units", "us")
    assert said.out.index("Not valid beyond an opening under water") < said.out.index("by hand")
    assert "0.72 in" in said.out  # 18 mm off GM


@pytest.mark.parametrize(
    ("topic", "words"),
    [
        ("weights", "LCG = 3595.5 kg m / 1943.0 kg = 1.850 m"),
        ("change", "sinkage at the LCF = 263.1 kg / 9.50 kg/mm = 27.7 mm"),
        ("heel", "GM sin(heel)"),
        ("surface", "no tank is part full"),
        ("space", "The sea does not reach into the cockpit"),
        ("gm", "Change of GM minus 0.264 m: KB 0.022 m, BM minus 0.143 m, KG minus 0.143 m"),
        ("centres", "A small weight at the neutral point, near LCF, sinks her"),
        ("pod", "of 144 L are under and lift"),
        ("water", "Thinner water carries less"),
        ("tape", "chine heights +10 mm"),
    ],
)
def test_each_number_opens(run, demo_folder, topic, words):
    said = run("byhand", demo_folder, "--about", topic)
    assert said.code == 0
    assert words.replace(" ", "") in said.out.replace("\n", "").replace(" ", "")


def test_a_boat_without_a_refit_is_still_asked(run, demo_folder):
    said = run("byhand", demo_folder, "--plan", "as found")
    assert said.code == 0
    assert "B stands under G square to the water, 4 mm from it in x" in " ".join(said.out.split())
    assert "As found is the boat the change starts from; choose a plan of a refit." in said.out


def test_curves_and_their_picture(run, demo_folder, tmp_path):
    said = run("curves", demo_folder, "--out", tmp_path / "curves.svg", "--json", tmp_path / "curves.json")
    assert said.code == 0
    assert "Not valid beyond 2.9° to starboard: scupper starboard is under water from there on." in said.out
    assert (tmp_path / "curves.svg").read_bytes().startswith(b"<?xml")
    found = json.loads((tmp_path / "curves.json").read_text(encoding="utf-8"))
    assert {row["valid"] for row in found["righting_arms"]} == {True, False}
    assert found["sides"]["starboard"]["first_under"] == "scupper starboard"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("byhand", "--about", "gmm"), "no number to open is called 'gmm'; did you mean 'gm'"),
        (("byhand", "--plan", "frist plan"), "no plan or package is called 'frist plan'; did you mean 'first plan'"),
        (("byhand", "--condition", "lite"), "no condition is called 'lite'"),
        (("byhand", "--out", "sum.jpg"), "a picture is written as .svg or .png"),
        (("byhand", "--about", "tape", "--out", "sum.png"), "there is no picture of 'tape'"),
        (("curves", "--mark", "draft mark aft"), "no mark is called 'draft mark aft'; did you mean 'draught mark aft'"),
    ],
)
def test_slips_are_told_in_one_sentence(run, demo_folder, tmp_path, monkeypatch, words, said):
    monkeypatch.chdir(tmp_path)
    verb, *options = words
    found = run(verb, demo_folder, *options)
    assert found.code == 2
    assert said in found.err
    assert list(tmp_path.iterdir()) == []
