"""Every spoiled folder of tests/hullcalc/boats/test_bad_folders.py, through the command line: what was meant for the
reader of files reaches the person at the keyboard, with code 2, no traceback, and nothing written.
"""

from __future__ import annotations

import re
import runpy
import shutil
from pathlib import Path

import pytest

import hullcalc as hc
from analysis.command_line import floating

CASES = runpy.run_path(str(Path(__file__).parents[1] / "hullcalc" / "boats" / "test_bad_folders.py"))["CASES"]
CLOSING = re.compile(r"[1-9]\d* to mend, \d+ to look at, \d+ fine")


def spoil(folder: Path, slips: dict) -> None:
    """Make each slip in a file of the folder: None takes it away, bytes replace it, a function or pairs change it."""
    for name, slip in slips.items():
        path = folder / name
        if slip is None:
            path.unlink()
            continue
        text = path.read_text(encoding="utf-8")
        if callable(slip):
            text = slip(text)
        elif not isinstance(slip, bytes):
            for old, new in slip if isinstance(slip, list) else [slip]:
                text = text.replace(old, new, 1)
        path.write_bytes(slip if isinstance(slip, bytes) else text.encode("utf-8"))


@pytest.fixture
def raised(monkeypatch):
    """What reading the folder raises while `float` runs."""
    errors: list[hc.InputError] = []

    def read(folder):
        try:
            return hc.read_boat(folder)
        except hc.InputError as error:
            errors.append(error)
            raise

    monkeypatch.setattr(floating, "read_boat", read)
    return errors


@pytest.mark.parametrize("name", CASES)
def test_check_says_it_and_float_refuses(run, demo_folder, tmp_path, raised, name):
    slips, where, words = CASES[name]
    boat = tmp_path / "my boat"
    shutil.copytree(demo_folder, boat)
    spoil(boat, slips)
    before = {path: path.read_bytes() for path in boat.rglob("*") if path.is_file()}

    checked = run("check", boat)
    said = " ".join(checked.out.split())
    assert checked.code == 2 and checked.err == "" and "Traceback" not in said
    assert where in said and " ".join(words.split()) in said
    assert CLOSING.fullmatch(checked.out.splitlines()[-1])

    refused = run("float", boat, "--json", tmp_path / "x.json")
    assert refused.code == 2 and refused.out == "" and "Traceback" not in refused.err
    assert refused.err == f"{raised[-1]}\n"  # all that the reader says, and nothing else
    assert {path: path.read_bytes() for path in boat.rglob("*") if path.is_file()} == before
    assert [path.name for path in tmp_path.iterdir()] == ["my boat"]


def test_there_are_many():
    assert len(CASES) >= 40
