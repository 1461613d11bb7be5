"""Datum lines: where x is measured from, and which way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hullcalc.boats.datum import Datum, parse_datum
from hullcalc.units import NotUnderstood, parse_position

LENGTHS = {"stem": 6.7, "transom_top": -0.239, "helm": 2.35}


@pytest.mark.parametrize(
    ("line", "typed", "boat_x"),
    [
        ("transom keel, forward", 2.0, 2.0),
        ("transom keel, aft", 0.55, -0.55),
        ("stem, aft", 0.6, 6.1),
        ("Stem,AFT", 7.8, -1.1),
        ("transom top, aft", 0.5, -0.739),
        ("transom top, forward", 0.239, 0.0),
        ("helm, fwd", -0.35, 2.0),
    ],
)
def test_lines(line, typed, boat_x):
    datum = parse_datum(line, LENGTHS)
    assert datum.to_boat(typed) == pytest.approx(boat_x, abs=1e-15)
    assert datum.from_boat(boat_x) == pytest.approx(typed, abs=1e-15)


def test_the_default_is_the_boats_own_frame_and_lines_are_said_back():
    assert Datum() == parse_datum("transom keel, forward", {})
    assert parse_datum(" stem ,  aft ", LENGTHS).say() == "stem, aft"
    assert parse_datum("stem, aft", LENGTHS).say() == "stem, aft"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("", "forward or aft"),
        ("stem", "forward or aft"),
        ("stem, port", "forward or aft"),
        (", aft", "forward or aft"),
        ("transom, aft", "top and its keel lie apart"),
        ("bow roller, aft", "Declare .*bow roller_m"),
        ("helmm, aft", 'Did you mean "helm"'),
    ],
)
def test_lines_refused(line, words):
    with pytest.raises(NotUnderstood, match=words):
        parse_datum(line, LENGTHS)


def test_a_place_not_declared_is_asked_for():
    with pytest.raises(NotUnderstood, match="Declare how far forward"):
        parse_datum("helm, forward", {})


@given(st.floats(-20, 20), st.floats(-20, 20), st.sampled_from([1, -1]))
def test_there_and_back(origin, x, direction):
    datum = Datum(origin, direction, "somewhere")
    assert datum.from_boat(datum.to_boat(x)) == pytest.approx(x, abs=1e-13)
    # an explicit word always counts forward or aft of the same origin
    assert datum.origin_x + parse_position("0.5 aft", "x", "m", direction=direction) == origin - 0.5
