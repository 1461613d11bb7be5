"""The demo boat, and a box of a boat."""

from __future__ import annotations

from pathlib import Path

import pytest
from hand_box import BOX

import hullcalc as hc


@pytest.fixture(scope="session")
def box_boat(tmp_path_factory):
    folder = tmp_path_factory.mktemp("box")
    for name, text in BOX.items():
        (folder / name).write_text(text, encoding="utf-8")
    return hc.read_boat(folder)


@pytest.fixture(scope="session")
def demo():
    return hc.read_boat(Path(__file__).parents[4] / "data" / "boats" / "demo-outboard-22")
