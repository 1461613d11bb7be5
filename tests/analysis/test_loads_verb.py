"""The verb loads: what it says of every demo boat, in both units, and what it does with what it cannot use."""

from __future__ import annotations

import json

import pytest

from analysis import data_folder

OTHERS = ("demo-sterndrive-24", "demo-skiff-18")
FULL = "4 adults full"


def test_the_matrix(run, demo_folder, tmp_path):
    out = tmp_path / "loads.json"
    said = run("loads", demo_folder, "--json", out)
    assert (said.code, said.err) == (0, "")
    for words in (
        "EVERY PLAN IN EVERY LOAD", "scupper port 76 under", "light craft (ISO)", "everyone to starboard",
        "Water comes in, and the figures hold only while plugged: ", "331 kg heavier", "1963 kg, 122 %",
        "weigh her again", "ISO 14946:2021", "this project's own list", "naval architect",
    ):  # fmt: skip
        assert words.casefold() in " ".join(said.out.split()).casefold(), words
    figures = json.loads(out.read_text(encoding="utf-8"))
    assert len(figures["cases"]) == 3 * 17 and figures["missing"] == []
    (case,) = [c for c in figures["cases"] if (c["plan"], c["condition"]) == ("first plan", FULL)]
    assert round(case["mass_kg"]) == 2767 and round(case["least_mm"]) == -76 and case["least_mark"] == "scupper port"
    assert [row["handled_kg"] for row in figures["changes"]] == [1963, 1963]


def test_the_picture_is_the_same_bytes_each_time(run, demo_folder, tmp_path):
    made = []
    for name in ("one.svg", "two.svg"):
        said = run("loads", demo_folder, "--plan", "first plan", "--out", tmp_path / name)
        assert said.code == 0 and f"Written: {tmp_path / name}" in said.out
        made.append((tmp_path / name).read_bytes())
    assert made[0] == made[1] and made[0].startswith(b"<?xml")


def test_one_opened(run, demo_folder, tmp_path):
    out = tmp_path / "one.json"
    said = run("loads", demo_folder, "--condition", "livewell full", "--plan", "as found", "--json", out)
    text = " ".join(said.out.split())
    assert said.code == 0
    for words in (
        "livewell as found, 95 % full 74 kg", "1.2° to starboard", "48 kg m to port level her", "four names",
        "fresh, 1000 kg/m3 5 mm deeper 3 mm deeper", "400 L of rain", "by the stern",
    ):  # fmt: skip
        assert words in text, words
    (opened,) = json.loads(out.read_text(encoding="utf-8"))["opened"]
    assert sum(row["mass_kg"] for row in opened["aboard"]) == pytest.approx(1602 + 0.076 * 0.95 * 1025)
    assert opened["levelled_by_kg_m_to_port"] > 0 and opened["heel_deg"] > 0


@pytest.mark.parametrize("name", OTHERS)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_other_boats(run, name, units):
    folder = data_folder() / "boats" / name
    matrix = run("loads", folder, "--units", units, "--plan", "first plan")
    crowd = run("loads", folder, "--units", units, "--one-side", "--plan", "first plan")
    opened = run("loads", folder, "--units", units, "--condition", "maximum load (ISO)", "--plan", "mended plan")
    for said in (matrix, crowd, opened):
        assert (said.code, said.err) == (0, "")
        assert "nan" not in said.out.split() and " -" not in said.out
        assert ("in" in said.out.split()) or units == "metric"
        for word in ("safe", "stable", "passes"):
            assert word not in said.out.casefold().split()
    assert "UK code for small commercial vessels" in crowd.out and "46 CFR 178.330" in crowd.out
    assert "No cockpit is given: write its corners in spaces.csv." in opened.out


def test_without_crew_it_says_which_file_to_write(run, copy):
    folder = copy({})
    text = (folder / "boat.toml").read_text(encoding="utf-8")
    (folder / "boat.toml").write_text(text[: text.index("[crew]")], encoding="utf-8")
    (folder / "seats.csv").unlink()
    said = run("loads", folder)
    assert said.code == 0 and "maximum load (ISO)" not in said.out
    assert "Not made: Conditions with a crew aboard" in " ".join(said.out.split()) and "seats.csv" in said.out
    crowd = run("loads", folder, "--one-side")
    assert (crowd.code, crowd.out) == (2, "") and "Write seats.csv" in crowd.err


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--condition", "maximum laod (ISO)"), "did you mean 'maximum load (ISO)'"),
        (("--plan", "fist plan"), "did you mean 'first plan'"),
        (("--one-side", "--condition", "light"), "without --condition"),
        (("--one-side", "--out", "x.svg"), "--out draws all loads"),
        (("--out", "x.tiff"), "written as .svg or .png"),
        (("--condition",), "expected at least one argument"),
    ],
)
def test_what_cannot_be_used_is_one_message(run, demo_folder, options, words):
    said = run("loads", demo_folder, *options)
    assert (said.code, said.out) == (2, "") and words in said.err
    assert "Traceback" not in said.err and len(said.err.strip().splitlines()) == 1
