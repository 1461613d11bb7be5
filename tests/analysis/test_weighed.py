"""The verb that writes a weighed figure into the ledger: what it says, and that a refusal writes nothing."""

from __future__ import annotations

import json
import shutil

import pytest

from analysis import data_folder
from analysis.command_line import program

ENGINE = "250 hp four-stroke outboard dry XL leg"


@pytest.fixture
def folder(tmp_path):
    return shutil.copytree(data_folder() / "boats" / "demo-outboard-22", tmp_path / "boat")


def test_what_it_says_and_writes(folder, tmp_path, capsys):
    out = tmp_path / "w.json"
    assert program.main(["weighed", str(folder), ENGINE, "279 kg", "--by", "JB", "--json", str(out)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert f"{ENGINE}: 279 kg weighed, 11 kg heavier than the 268 kg before." in said
    assert "First plan: 1954 kg without liquids in tanks." in said and "11 kg over the estimates" in said
    assert "As found:" not in said  # nothing changed there
    figures = json.loads(out.read_text())
    assert (figures["mass_kg"], figures["mass_before_kg"]) == (279, 268)
    assert figures["plans"]["first plan"]["surprise_kg"] == pytest.approx(11)


def test_pounds_are_kept_as_typed_and_said_in_pounds(folder, capsys):
    assert program.main(["weighed", str(folder), ENGINE, "615 lb", "--units", "us"]) == 0
    assert "615 lb weighed, 24.2 lb heavier than the 590.8 lb before" in " ".join(capsys.readouterr().out.split())
    assert ",615 lb,,," in (folder / "ledger.csv").read_text()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (["250 hp outboard", "279 kg"], "did you mean"),
        ([ENGINE, "279 m"], "mass"),
        ([ENGINE, "2790 kg"], "Missing decimal point"),
        ([ENGINE], "MASS"),
    ],
)
def test_a_refusal_writes_nothing(folder, capsys, typed, words):
    before = (folder / "ledger.csv").read_bytes()
    assert program.main(["weighed", str(folder), *typed]) == 2
    error = capsys.readouterr().err
    assert words in error and "Traceback" not in error
    assert (folder / "ledger.csv").read_bytes() == before
