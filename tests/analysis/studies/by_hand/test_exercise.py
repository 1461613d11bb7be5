"""Exercises from a seed: the same each time, worked with the figures shown, checked in words."""

from __future__ import annotations

import re

import numpy as np
import pytest

from analysis.studies.by_hand.change import afloat
from analysis.studies.by_hand.exercise import exercise
from hullcalc.errors import InputError


@pytest.fixture(scope="module")
def found(demo):
    return afloat(demo, "as found", "light")


def numbers(question):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", question)]


def test_a_weight_aboard_from_the_figures_in_its_question(found):
    one = exercise(found, 0)
    kg, x, per_mm, lcf, moment, at = numbers(one.question)
    slope = kg * (x - lcf) / moment
    assert one.answer == pytest.approx(kg / per_mm + 1000 * slope * (at - lcf), rel=1e-9)
    assert one.exact == pytest.approx(one.answer, rel=0.05)


def test_a_weight_moved_along_her_from_the_figures_in_its_question(found):
    one = exercise(found, 1)
    kg, far, lcf, moment, at = numbers(one.question)
    way = 1 if "forward." in one.question.split("LCF")[0] else -1
    assert one.answer == pytest.approx(1000 * kg * way * far / moment * (at - lcf), rel=1e-9)


def test_a_list_from_the_figures_in_its_question(found):
    one = exercise(found, 2)
    kg, far, mass, gm = numbers(one.question)
    assert one.answer == pytest.approx(100 * np.degrees(np.arctan(kg * far / mass / gm)), rel=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_every_seed_gives_one_exercise_that_can_be_checked(found, seed):
    one, again = exercise(found, seed), exercise(found, seed)
    assert (one.question, one.answer) == (again.question, again.answer)
    assert one.check(one.answer).startswith("Right: ")
    assert one.check(one.answer + 10 * abs(one.answer) + 5).startswith("Not yet. Work it line by line: ")
    if abs(one.answer) > 1:
        assert "direction is not" in one.check(-one.answer)
    assert one.sum.lines[-1].how


def test_bad_input_is_told(found):
    for seed in (-1, 1.5, True, "seven"):
        with pytest.raises(InputError, match="must be a whole number, zero or more"):
            exercise(found, seed)
    with pytest.raises(InputError, match=r"answer = nan .*must be a number"):
        exercise(found, 0).check(float("nan"))
