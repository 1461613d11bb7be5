"""How problems are said and ordered, and what `require` shows."""

from __future__ import annotations

import numpy as np
import pytest

import hullcalc as hc
from hullcalc.errors import LOOK, Problem, Problems, require


def test_what_was_read_is_said_once():
    short = Problem("marks.csv", 3, "z_m", "high", "not a number", "Write a height")
    assert str(short) == "marks.csv row 3 z_m: read 'high', not a number. Write a height"
    echoed = Problem("marks.csv", 3, "z_m", "47.2", "47.2 m is above the sheer", "Write 0.472")
    assert str(echoed) == "marks.csv row 3 z_m: 47.2 m is above the sheer. Write 0.472"
    assert Problem("boat.toml", None, None, "", "no such file", "Make one").where == "boat.toml"


def test_all_at_once_worst_first_with_a_closing_line():
    problems = Problems()
    problems.fine = 57
    problems.append(Problem("a.csv", 2, "x_m", "", "to look at", "Look", LOOK, 99.0))
    problems.append(Problem("a.csv", 3, "x_m", "", "small", "Mend", weight=1.0))
    problems.append(Problem("b.csv", 4, "x_m", "", "large", "Mend", weight=2.0))
    with pytest.raises(hc.InputError) as caught:
        problems.raise_if_any()
    assert [p.expected for p in caught.value.problems] == ["large", "small", "to look at"]
    assert str(caught.value).splitlines()[-1] == "2 to mend, 1 to look at, 57 fine"


def test_what_is_only_to_look_at_stops_nothing():
    problems = Problems()
    problems.append(Problem("a.csv", 2, "x_m", "", "odd", "Look", LOOK))
    problems.raise_if_any()


def test_require_shows_the_first_entry_that_breaks_the_rule():
    heel = np.array([[0.1, 0.2], [np.nan, 10.0]])
    with pytest.raises(hc.InputError, match=r"heel\[1, 0\] = nan rad must be small; give degrees"):
        require(heel < 1, "heel", heel, "rad", "must be small", "give degrees")
    with pytest.raises(hc.InputError, match=r"share = 2 must be at most 1; give a fraction"):
        require(False, "share", 2.0, "", "must be at most 1", "give a fraction")
    require(np.zeros(0) > 1, "nothing", np.zeros(0), "m", "is never asked", "")


def test_every_error_on_purpose_has_one_parent():
    for error in (hc.InputError, hc.GeometryError, hc.NoEquilibriumError):
        assert issubclass(error, hc.HullcalcError)
    assert hc.GeometryError("open", [[(0, 0, 0), (1, 0, 0)]]).edges.shape == (1, 2, 3)
    assert hc.NoEquilibriumError("sinks", 12.0).short_by_kg == 12.0
