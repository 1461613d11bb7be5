"""The verbs where, sweep and change: what they say, write and do with what they cannot use."""

from __future__ import annotations

import json

import numpy as np
import pandas as pd
import pytest

import hullcalc as hc
from analysis import progress
from analysis.command_line import sweep as sweep_verb
from analysis.command_line.knob_words import read_knob
from analysis.report.sharing import order_matters
from analysis.studies.attribution import which_changes
from analysis.studies.sweeps import go_on
from hullcalc import InputError
from hullcalc.boats import sweeping

FULL, PLAN = "4 adults full", "mended plan"
TANK = "place of fuel tank new = 1.6 m to 2.8 m by 0.4 m"
LITRES = "litres of fuel tank new = 200 L to 400 L by 200 L"


@pytest.fixture(scope="module")
def demo(demo_folder):
    return hc.read_boat(demo_folder)


class TestWhere:
    def test_says_where_and_writes_the_map(self, run, demo_folder, tmp_path):
        out, figures = tmp_path / "deck.png", tmp_path / "where.json"
        at = ["--at", "0.55 aft, 0, 0.58", "0.3", "2.0", "3.4"]
        said = run("where", demo_folder, *at, "--out", out, "--json", figures)
        assert said.code == 0 and said.err == ""
        for words in ("92 kg", "117 kg", "262 kg", "no limit", "60 kg can go at any of the places", "2.30 m"):
            assert words in said.out
        assert "scupper starboard" in said.out and "plugged" in said.out  # under water, and not watched
        assert out.read_bytes().startswith(b"\x89PNG")
        read = json.loads(figures.read_text(encoding="utf-8"))
        assert read["places"][0]["may_add_kg"] == pytest.approx(92, abs=1)
        assert read["places"][3]["may_add_kg"] is None and read["limit_tried_kg"] == 500
        assert len(read["deck"]) > 200
        assert read["watched"][0]["margin_m"] == 0

    def test_children_moved_and_a_margin_in_us_units(self, run, demo_folder):
        asked = ["--condition", "family", "--without", "child 12 seated forward", "child 9 seated forward",
                 "--kg", "154 lb", "--margin", "95 %", "--units", "us",
                 "--at", "child 12 seated forward", "2.0 ft", "helmsman standing"]  # fmt: skip
        said = run("where", demo_folder, *asked)
        assert said.code == 0
        assert "with a chance of 95 %" in said.out
        assert "Child 12 seated forward is the best of these" in said.out
        assert "2 ft forward of the transom" in said.out and " kg" not in said.out.replace("217 fine", "")

    @pytest.mark.parametrize(
        ("asked", "words"),
        [
            (["--kg", "60 mm"], "--kg '60 mm':"),
            (["--at", "30"], "is off the boat"),
            (["--at", "0.3, somewhere"], "--at '0.3, somewhere':"),
            (["--at", "the attic"], "no place (x, y, z), person, store or thing aboard is called 'the attic'"),
            (["--margin", "120 %"], "chance = 1.2 must be from 0.5 to below 1"),
            (["--mark", "transom notch"], "no mark or kind of mark is called 'transom notch'"),
            (["--without", "stern crew 1"], "'stern crew 1' is not aboard in 4 adults full"),
            (["--most", "0"], "most = 0 kg must be positive"),
            (["--plan", "dream"], "no plan or package is called 'dream'"),
            (["--out", "deck.pdf"], "a picture is written as .svg or .png"),
        ],
    )
    def test_what_it_cannot_use(self, run, demo_folder, asked, words):
        said = run("where", demo_folder, *asked)
        assert said.code == 2 and said.out == ""
        assert words in said.err and said.err.count("\n") == 1


class TestSweep:
    def test_a_table_of_two_knobs_and_its_picture(self, run, demo_folder, tmp_path):
        out, figures = tmp_path / "contour.svg", tmp_path / "sweep.json"
        said = run("sweep", demo_folder, "--knob", TANK, "--knob", LITRES, "--out", out, "--json", figures)
        assert said.code == 0 and said.err == ""
        for words in ("1.60 m", "2.80 m", "200 L", "400 L", "3 mm up", "chocks straps coffin lid", "lowest sole mark"):
            assert words in said.out
        assert out.read_text(encoding="utf-8").startswith("<?xml")
        read = json.loads(figures.read_text(encoding="utf-8"))
        assert read["states"] == read["states_done"] == len(read["swept"]) == 8
        assert read["knobs"][1]["now_si"] == pytest.approx(0.4154, abs=1e-3)

    def test_many_knobs_as_a_file_for_a_spreadsheet(self, run, demo_folder, tmp_path):
        out = tmp_path / "all.csv"
        asked = ["--knob", "setback = 0.5, 0.76", "--knob", "fill of fuel = 10 % to 90 % in 3", "--knob",
                 "weight at 0.3, 0, 0.8 = 0 to 100 by 50", "--keep", "scupper", "--plan", "first plan"]  # fmt: skip
        said = run("sweep", demo_folder, *asked, "--out", out)
        assert said.code == 0, said.err
        table = pd.read_csv(out, comment="#")
        assert len(table) == 2 * 3 * 3 and "scupper port (mm)" in table
        assert table["least_mm"].notna().all()
        assert "the best" in said.out

    def test_stopped_it_writes_what_is_done_and_goes_on(self, run, demo_folder, tmp_path, monkeypatch):
        out = tmp_path / "part.npz"
        asked = ["sweep", demo_folder, "--knob", TANK, "--knob", "place of batteries = 0.3 to 3.0 by 0.9", "--out", out]
        monkeypatch.setattr(sweeping, "CHUNK", 2)

        def stopped(one, bar):
            def stop(done, total):
                if done >= 5:
                    raise KeyboardInterrupt

            return go_on(one, stop)

        with monkeypatch.context() as patch:
            patch.setattr(sweep_verb, "go_on", stopped)
            said = run(*asked)
        assert said.code == 130
        assert "of 16 states are done" in said.out and "--continue" in said.out
        with np.load(out) as part:
            assert 5 <= part["done"].sum() < 16
        said = run(*asked, "--continue")
        assert said.code == 0 and "Stopped" not in said.out
        with np.load(out) as whole:
            assert whole["done"].all() and np.isfinite(whole["heights"]).all()
        assert [p.name for p in tmp_path.iterdir()] == ["part.npz"]  # no half-written file beside it

    def test_two_plans_cross(self, run, demo_folder):
        short = "first plan + 10 bracket 0.51 m instead"
        asked = ["--knob", "fill of fuel = 10 % to 95 % in 4", "--knob", "weight at 6, 0, 1 = 0 to 200 by 50",
                 "--condition", "two people", "--plan", "first plan", short]  # fmt: skip
        said = run("sweep", demo_folder, *asked)
        assert said.code == 0, said.err
        assert "WHERE THE PLANS CROSS" in said.out and "10 bracket 0.51 m instead elsewhere" in " ".join(
            said.out.split()
        )
        assert "Equally high on a line from fuel 10 %" in said.out

    @pytest.mark.parametrize(
        ("asked", "words"),
        [
            ([], "say what is swept"),
            (["--knob", "setback"], "says no values"),
            (["--knob", "setback = 0.9 m to 0.5 m by 0.1 m"], "no value lies within its limits"),
            (["--knob", "setback = 0.5 m to 0.9 m in one"], '"in" wants how many values'),
            (["--knob", "setback = 0.5 kg"], "'0.5 kg'"),
            (["--knob", "keel = 1, 2"], "'keel' is no knob; there are: setback, place of THING"),
            (["--knob", "place of piano = 1, 2"], "no one thing or tank of this plan is called 'piano'"),
            (["--knob", "fill of fuel = 110 %"], "must be from 0 to 1"),
            (["--knob", "weight at 0.3 = 1, 2"], "a weight stands at x, y, z"),
            (["--knob", TANK + "; beside chocks"], "after a semicolon comes"),
            (["--knob", LITRES + "; with chocks"], "'with' means nothing for litres"),
            (["--knob", TANK, "--knob", TANK], "is swept twice"),
            (["--knob", TANK, "--out", "x.pdf"], "a sweep is written as .csv, .npz, .png or .svg"),
            (["--knob", TANK, "--out", "x.png"], "a contour takes two knobs"),
            (["--knob", TANK, "--continue"], "name it as --out FILE.npz"),
            (["--knob", TANK, "--continue", "--out", "nowhere.npz"], "cannot be read: no such file"),
            (["--knob", TANK, "--plan", "first plan", PLAN, "--out", "x.csv"], "sweep one plan a file"),
            (["--knob", TANK, "--mark", "keel"], "no mark or kind of mark is called 'keel'"),
        ],
    )
    def test_what_it_cannot_use(self, run, demo_folder, asked, words):
        said = run("sweep", demo_folder, *asked)
        assert said.code == 2 and said.out == ""
        assert words in said.err and said.err.count("\n") == 1

    def test_knobs_with_units_and_words(self, demo):
        knob, values = read_knob(demo, PLAN, FULL, "litres of fuel tank new = 50 to 110 US gal by 20", "metric")
        assert np.allclose(values, np.array([50, 70, 90, 110]) * 3.785411784e-3)  # 231 cubic inches
        typed = "place of fuel tank new = 6 ft to 9 ft in 4; with new fill vent"
        knob, values = read_knob(demo, PLAN, FULL, typed, "us")
        assert np.allclose(values, np.array([6, 7, 8, 9]) * 0.3048)
        assert knob.with_it == ("new fill vent and feed hose",)
        knob, values = read_knob(demo, PLAN, FULL, "setback = 0.9 m to 0.5 m by -0.2 m; now 0.70 m", "metric")
        assert knob.now == 0.70 and np.allclose(values, [0.9, 0.7, 0.5])
        knob, _ = read_knob(demo, PLAN, "two people", "fill of fuel = 10 %", "metric")
        assert knob.now == 0.5
        with pytest.raises(InputError, match="say what the setback is now"):
            read_knob(demo, "as found", "light", "setback = 0.5", "metric")


class TestChange:
    def test_the_order_of_packages(self, run, demo_folder, tmp_path):
        # Source: an independent program: the bracket reads +31 mm in the yard's order, -10 last of all, -5 on average.
        out = tmp_path / "change.json"
        said = run("change", demo_folder, "--plan", "first plan", "--condition", "light", FULL, "--mark", "stern",
                   "sole aft port", "--json", out)  # fmt: skip
        assert said.code == 0, said.err
        words = " ".join(said.out.split())
        assert (
            "3 bracket: 31 mm deeper in yard order, no change if first, 10 mm up if last, 5 mm up on average" in words
        )
        changes = json.loads(out.read_text(encoding="utf-8"))["changes"]
        assert [(c["condition"], c["at"]) for c in changes] == [
            (condition, at) for condition in ("light", FULL) for at in ("stern", "sole aft port")
        ]
        bracket = changes[0]["packages"][2]
        assert round(1000 * bracket["deeper_in_turn_m"]) == 31 and round(1000 * bracket["deeper_last_m"]) == -10

    def test_packages_that_do_not_work_on_each_other(self, demo):
        (alone,) = which_changes(demo, ["8 equipment"], ["light"])
        assert "the order does not matter" in order_matters(alone, "metric").before[0]

    def test_what_it_cannot_use(self, run, demo_folder):
        for asked, words in (
            (["--mark", "transom notch"], "mark 'transom notch' is not there in every step"),
            (["--mark", "keel"], "no mark (or the stern) is called 'keel'"),
            (["--from", "dream"], "no plan or package is called 'dream'"),
        ):
            said = run("change", demo_folder, *asked)
            assert said.code == 2 and words in said.err


def test_nobody_watches_a_bar_that_is_not_on_a_terminal():
    with progress.progress_bar("sweep") as bar:
        assert bar is None


def test_a_bar_on_a_terminal(monkeypatch, capsys):
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    with progress.progress_bar("mended plan") as bar:
        bar(0, 10)
        bar(10, 10)
    assert "mended plan" in capsys.readouterr().err
