"""The demo boat, read once."""

from __future__ import annotations

from pathlib import Path

import pytest

import hullcalc as hc


@pytest.fixture(scope="session")
def demo():
    return hc.read_boat(Path(__file__).parents[3] / "data" / "boats" / "demo-outboard-22")
