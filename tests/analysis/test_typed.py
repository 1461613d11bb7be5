"""Figures and places as typed behind options. Source of the factors: NIST SP 811, appendix B (exact)."""

from __future__ import annotations

import math

import pytest

from analysis.command_line.typed import typed_figure, typed_place
from hullcalc.errors import InputError


@pytest.mark.parametrize(
    ("text", "kind", "system", "value"),
    [
        ("20", "length", "metric", 0.020),
        ("20", "length", "us", 20 * 0.0254),
        ("60", "mass", "metric", 60.0),
        ("100", "mass", "us", 100 * 0.45359237),
        ("100", "volume", "metric", 0.1),
        ("100", "volume", "us", 100 * 3.785411784e-3),
        ("1", "angle", "us", math.radians(1)),
        ("25 %", "fraction", "us", 0.25),
        ("2 in", "length", "metric", 2 * 0.0254),
    ],
)
def test_a_bare_number_is_in_the_unit_shown(text, kind, system, value):
    assert typed_figure("--x", text, kind, system) == pytest.approx(value, rel=1e-12)


def test_places_in_metres_or_feet():
    assert typed_place("--at", "0.55 aft, 0.35 S, 0.6", "metric") == pytest.approx((-0.55, -0.35, 0.6))
    assert typed_place("--at", "2", "us") == pytest.approx((2 * 0.3048,))


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: typed_figure("--kg", "much", "mass"), "--kg 'much': "),
        (lambda: typed_figure("--kg", "60 mm", "mass"), "--kg '60 mm': "),
        (lambda: typed_place("--at", "1, 2, 3, 4", "metric"), "expected x, or x, y, or x, y, z"),
        (lambda: typed_place("--at", "1, up", "metric"), "--at '1, up': "),
    ],
)
def test_what_cannot_be_read_names_its_option(ask, words):
    with pytest.raises(InputError) as said:
        ask()
    assert words in str(said.value)
