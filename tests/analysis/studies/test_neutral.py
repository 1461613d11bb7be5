"""Neutral points and what 10 kg do: against boats floated again with the weight aboard."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.studies.neutral import default_places, neutral_points
from hullcalc.weights.items import item

FULL = "4 adults full"


def heights_with(boat, plan, condition, mass, x, shut=True):
    """Heights of the marks [m] with a weight put on the centreline at the height of the boat's centre of gravity."""
    z = float(boat.float(plan, condition, shut=shut).cg[2])
    loaded = replace(boat, people=dict(boat.people) | {"weight": item("weight", mass, (x, 0.0, z), "weighed")})
    said = boat.condition(condition)
    return loaded.float(plan, replace(said, aboard=(*said.aboard, "weight")), shut=shut).marks


@pytest.mark.parametrize("plan", ["first plan", "mended plan"])
def test_weight_at_the_neutral_point_does_not_move_the_mark(demo, plan):
    table = neutral_points(demo, plan, FULL).set_index("mark")
    before = demo.float(plan, FULL, shut=True).marks
    for mark in ("sole aft port", "scupper starboard", "stem head"):
        assert table.loc[mark, "inside_boat"]
        after = heights_with(demo, plan, FULL, 1.0, table.loc[mark, "neutral_x_m"])
        ahead = heights_with(demo, plan, FULL, 1.0, table.loc[mark, "neutral_x_m"] + 1.0)
        assert abs(after[mark] - before[mark]) < 2e-3 * abs(ahead[mark] - before[mark])


def test_millimetres_per_weight(demo):
    """A tenth of 10 kg, so that the straight line holds; liquids free to move as the boat does."""
    table = neutral_points(demo, "mended plan", FULL, places={"here": 0.5}).set_index("mark")
    before, with_one = demo.float("mended plan", FULL, shut=True).marks, {}
    for x in (0.5, 1.5):
        with_one[x] = heights_with(demo, "mended plan", FULL, 1.0, x)
    for mark in before:
        assert table.loc[mark, "mm_per_10_kg here"] == pytest.approx(
            1e4 * (with_one[0.5][mark] - before[mark]), abs=0.02
        )
        moment = 1e5 * (with_one[1.5][mark] - with_one[0.5][mark])
        assert table.loc[mark, "mm_per_100_kgm_forward"] == pytest.approx(moment, abs=0.05)


def test_the_stern_marks_of_the_refit(demo):
    # Source: an independent program: the neutral point of the sole corner is at x 3.4 m, 4 adults aboard, tanks full.
    table = neutral_points(demo, "mended plan", FULL).set_index("mark")
    assert table.loc["sole aft port", "neutral_x_m"] == pytest.approx(3.4, abs=0.05)
    assert table.loc["sole aft starboard", "neutral_x_m"] == pytest.approx(3.4, abs=0.05)


def test_a_mark_that_sinks_wherever_weight_is_put(demo):
    table = neutral_points(demo, "mended plan", FULL).set_index("mark")
    row = table.loc["sheer amidships port"]
    assert not row["inside_boat"]
    assert all(row[f"mm_per_10_kg {place}"] < 0 for place in default_places(demo))


def test_open_to_the_sea_she_answers_more(demo):
    shut = neutral_points(demo, "first plan", FULL).set_index("mark")
    opened = neutral_points(demo, "first plan", FULL, opened=True).set_index("mark")
    assert opened.loc["sole aft port", "height_mm"] < shut.loc["sole aft port", "height_mm"]
    column = "mm_per_100_kgm_forward"
    assert opened.loc["sole aft port", column] > shut.loc["sole aft port", column]
