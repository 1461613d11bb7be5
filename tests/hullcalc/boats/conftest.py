"""Copies of the demo folder with chosen slips, and what reading them says."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import hullcalc as hc

DEMO = Path(__file__).parents[3] / "data" / "boats" / "demo-outboard-22"


@pytest.fixture(scope="session")
def demo():
    return hc.read_boat(DEMO)


@pytest.fixture
def spoil(tmp_path):
    """spoil({"ledger.csv": (old, new), ...}) copies the demo folder with each text replaced once; returns the copy.

    Instead of (old, new) a function of the text, or bytes for the whole file, or None to delete it; a list of pairs for
    several slips in one file.
    """

    def make(slips) -> Path:
        folder = tmp_path / "boat"
        if not folder.exists():
            shutil.copytree(DEMO, folder)
        for name, slip in slips.items():
            path = folder / name
            if slip is None:
                path.unlink()
            elif isinstance(slip, bytes):
                path.write_bytes(slip)
            elif callable(slip):
                path.write_text(slip(path.read_text(encoding="utf-8")), encoding="utf-8")
            else:
                text = path.read_text(encoding="utf-8")
                for old, new in slip if isinstance(slip, list) else [slip]:
                    assert text.count(old) >= 1, f"{name} holds no {old!r}"
                    text = text.replace(old, new, 1)
                path.write_text(text, encoding="utf-8")
        return folder

    return make


@pytest.fixture
def problems_of(spoil):
    """problems_of(slips): all problems of the copy, worst first; it is an error if there are none to mend."""

    def read(slips):
        folder = spoil(slips)
        with pytest.raises(hc.InputError) as raised:
            hc.read_boat(folder)
        assert raised.value.problems
        return raised.value.problems

    return read
