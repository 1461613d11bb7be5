"""A trip in numbers: its points are the same boats as single floats, and fuel goes as it was told."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.along import along
from hullcalc.boats.conditions import Condition
from hullcalc.boats.trips import Step, Trip
from hullcalc.weights.items import MassItem

DEMO_STERNDRIVE = Path(__file__).parents[3] / "data" / "boats" / "demo-sterndrive-24"
STERN = tuple(f"stern crew {k}" for k in (1, 2, 3, 4))


def day(*steps):
    return Trip("day", steps)


@pytest.fixture(scope="module")
def simple():
    """Full tanks and four at the stern; 100 nm at 1.5 L; the catch comes aboard and the livewell is emptied."""
    return day(
        Step("off", fills={"fuel": 0.95, "livewell": 0.95}, aboard=STERN),
        Step("run", nm=100.0, burnt=0.15),
        Step("fish", hours=2.0, changes=(("catch on ice in the sole box", 30.0),)),
        Step("dump", fills={"livewell": 0.0}),
    )


@pytest.mark.parametrize("plan", ["first plan", "mended plan"])
def test_ends_of_the_day_are_single_floats(demo, simple, plan):
    # Other road: conditions of their own, floated one by one; fuel by hand: 0.95 of 415.5 L less 150 L.
    points = along(demo, plan, simple)
    floats = points.float()
    names = list(floats.loading.marks)
    gross = next(t.solid.volume for t in demo.tanks_in(plan) if t.name == "fuel tank new")
    assert gross == pytest.approx(2.10 * 0.73 * 0.271, rel=1e-12)
    start = Condition("", {"fuel": 0.95, "livewell": 0.95}, STERN)
    catch = "catch on ice in the sole box"
    end = Condition("", {"fuel": 0.95 - 0.15 / gross, "livewell": 0.0}, (*STERN, catch))
    people = dict(demo.people) | {catch: half(demo.people[catch])}
    for k, boat, condition in ((0, demo, start), (-1, replace(demo, people=people), end)):
        alone = boat.float(plan, condition, shut=True)
        assert_allclose(floats.heights()[k], [alone.marks[n] for n in names], rtol=0, atol=1e-9)
        assert floats.states.mass[k] == pytest.approx(float(alone.mass), rel=1e-12)


def half(item):
    return MassItem(item.name, item.mass / 2, item.moment / 2, item.basis)


def test_every_point_is_the_boat_it_hands_out(demo, simple):
    points = along(demo, "mended plan", simple)
    floats = points.float()
    names = list(floats.loading.marks)
    for k in (0, 3, len(points.step) // 2, len(points.step) - 2):
        boat, condition = points.at(k)
        alone = boat.float("mended plan", condition, shut=True)
        assert_allclose(floats.heights()[k], [alone.marks[n] for n in names], rtol=0, atol=1e-9)


def test_fuel_falls_evenly_with_the_miles(demo, simple):
    points = along(demo, "mended plan", simple)
    run = points.step == 1
    assert_allclose(points.fuel[run], points.fuel[run][0] - 0.0015 * points.nm[run], rtol=0, atol=1e-12)
    assert_allclose(points.burnt[-1], 0.15)
    assert_allclose(np.diff(points.nm[run], 2), 0, atol=1e-9)


def test_fuel_to_start_with_may_be_chosen(demo, simple):
    assert along(demo, "mended plan", simple, fuel=0.2).fuel[0] == pytest.approx(0.2, abs=1e-12)
    with pytest.raises(hc.InputError, match=r"500 L of fuel: her tanks hold 415 L"):
        along(demo, "mended plan", simple, fuel=0.5)


def test_two_tanks_burn_in_proportion_or_one_by_name():
    boat = hc.read_boat(DEMO_STERNDRIVE)
    first, second = (t.solid.volume for t in boat.tanks_in("first plan") if t.name.endswith("fuel tank"))
    start = Step("off", fills={"main fuel tank": 0.5, "second fuel tank": 1.0})
    both = along(boat, "first plan", day(start, Step("run", nm=50.0, burnt=0.1)))
    there = 0.5 * first + second
    assert_allclose(both.fills["main fuel tank"][-1], 0.5 - 0.1 * 0.5 / there)
    assert_allclose(both.fills["second fuel tank"][-1], 1.0 - 0.1 / there)
    one = along(boat, "first plan", day(start, Step("run", nm=50.0, burnt=0.1, burn_from="second fuel tank")))
    assert one.fills["main fuel tank"][-1] == 0.5
    assert_allclose(one.fills["second fuel tank"][-1], 1.0 - 0.1 / second)


def test_what_is_stowed_in_another_plan_is_left_ashore():
    boat = hc.read_boat(DEMO_STERNDRIVE)
    ice = ("ice in the fish box", "ice in the fish box moved forward")
    off = day(Step("off", aboard=ice, fills={"fuel": 0.5}))
    there = {plan: set(along(boat, plan, off).things[0]) for plan in ("first plan", "mended plan")}
    assert there == {"first plan": {ice[0]}, "mended plan": {ice[1]}}


@pytest.mark.parametrize(
    ("trip", "words"),
    [
        (day(), "has no steps"),
        (day(Step("run", 4, nm=400.0, burnt=0.6)), r"day row 4, run: needs 600 L, and 0 L are left: 600 L short"),
        (
            day(Step("off", fills={"fuel": 0.5}), Step("run", 3, nm=200.0, burnt=0.3)),
            r"needs 300 L, and 208 L are left: 92 L",
        ),
        (day(Step("run", 3, nm=1.0, burnt=float("nan"))), r"row 3, run: nothing says what she burns here"),
        (day(Step("run", 3, nm=1.0, burnt=0.001, burn_from="day tank")), r"burns from day tank, which is not there"),
        (day(Step("off", 2, aboard=("nobody",))), r"row 2 aboard: no person or store is called so"),
    ],
)
def test_a_trip_that_cannot_be_made(demo, trip, words):
    with pytest.raises(hc.InputError, match=words):
        along(demo, "mended plan", trip)


def test_unusable_fuel_is_not_burnt(demo):
    keeps = replace(demo, burn=replace(demo.burn, unusable=0.02))
    trip = day(Step("off", fills={"fuel": 0.5}), Step("run", 3, nm=130.0, burnt=0.195))
    assert along(demo, "mended plan", trip).fuel[-1] == pytest.approx(0.5 * 0.4154 - 0.195, abs=1e-3)
    with pytest.raises(hc.InputError, match="20 L of it unusable: 7 L short"):
        along(keeps, "mended plan", trip)
