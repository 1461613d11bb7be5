"""Conditions made by rule: what they weigh by hand, from the published lists named beside them.

ISO 14946:2021, clause 5, and ISO 12217-3:2013 (as public excerpts state them): maximum load is the crew at 75 kg each,
personal effects, stores, and all fixed tanks at 95 %, bait tanks and livewells among them; a child is 37.5 kg; the
light craft condition has none of that. UK code for small commercial vessels, 11.4: fully loaded, all people to one
side, 75 kg each.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.conditions import Condition
from hullcalc.boats.presence import present
from hullcalc.boats.standard_conditions import (
    DEPARTING,
    FAMILY,
    LIGHT,
    MAXIMUM,
    WELL,
    kind_of_use,
    places_at_side,
    with_standard_conditions,
)

BOATS = Path(__file__).parents[3] / "data" / "boats"
NAMES = ("demo-outboard-22", "demo-sterndrive-24", "demo-skiff-18")


@pytest.fixture(scope="module", params=NAMES)
def made(request):
    return with_standard_conditions(hc.read_boat(BOATS / request.param))


def liquids(boat, plan, percent):
    """kg in all tanks of a plan, each of a use at so many per cent of its gross volume."""
    tanks = present(boat.tanks, boat.packages_on(plan)).values()
    return sum(t.solid.volume * t.density * percent.get(t.use, 0) / 100 for t in tanks)


def test_nothing_is_missing_in_the_demos(made):
    assert made.missing == ()
    assert made.of_the_yard == tuple(n for n in made.boat.conditions if n not in made.lists)
    for listed in made.lists.values():
        assert listed.source and listed.made_of


@pytest.mark.parametrize("plan", ["as found", "first plan", "mended plan"])
def test_maximum_load_is_the_sum_of_its_list(made, plan):
    boat = made.boat
    empty = float(boat.float(plan, LIGHT, shut=True).mass)
    on = boat.packages_on(plan)
    stores = [boat.people[n] for n in boat.crew.departing if n not in boat.stowage or boat.stowage[n].holds(on)]
    load = 4 * 75 + 4 * boat.crew.effects + sum(float(s.mass) for s in stores)
    load += liquids(boat, plan, {"fuel": 95, "livewell": 95})
    assert_allclose(float(boat.float(plan, MAXIMUM, shut=True).mass), empty + load, rtol=1e-9)


@pytest.mark.parametrize("plan", ["as found", "first plan", "mended plan"])
def test_light_craft_is_the_plan_with_nothing_in_her(made, plan):
    boat = made.boat
    state = boat.float(plan, LIGHT, shut=True)
    weight = boat.weight(plan, Condition("", {tank.use: 0.0 for tank in boat.tanks}))
    assert_allclose(float(state.mass), float(weight.mass), rtol=1e-12)
    assert_allclose(state.cg, weight.centre, atol=1e-12)
    assert all(float(liquid.mass) == 0 for liquid in state.liquids)


def test_the_fuel_she_was_weighed_with_is_no_part_of_the_light_craft():
    # 1612 kg were weighed with 14 L of fuel, 10 kg; the hand's sum of moments takes it off at (2.25, 0, 0.18)
    boat = with_standard_conditions(hc.read_boat(BOATS / NAMES[0])).boat
    state = boat.float("as found", LIGHT)
    assert_allclose(float(state.mass), 1602.0, atol=1e-9)
    assert_allclose(
        state.cg, (1612 * np.array([2.075, 0.004, 0.60]) - 10 * np.array([2.25, 0, 0.18])) / 1602, atol=1e-9
    )


def test_departing_and_arriving_differ_by_fuel_and_what_was_caught(made):
    boat = made.boat
    out, back = (boat.float("first plan", name, shut=True) for name in (DEPARTING, "arriving"))
    on = boat.packages_on("first plan")

    def stores(names):
        return sum(float(boat.people[n].mass) for n in names if n not in boat.stowage or boat.stowage[n].holds(on))

    fuel = liquids(boat, "first plan", {"fuel": 85})
    caught = stores(boat.crew.arriving) - stores(boat.crew.departing)
    assert_allclose(float(out.mass - back.mass), fuel - caught, rtol=1e-9)


def test_a_family_is_two_adults_and_two_children(made):
    boat = made.boat
    people = [boat.people[n] for n in boat.conditions[FAMILY].aboard if n not in boat.crew.departing]
    assert sorted(float(p.mass) for p in people) == [37.5, 37.5, 75.0, 75.0]
    assert all(float(p.u_mass) == 0 for p in people)  # the list's figure, not a weighing


def test_the_stern_takes_the_aftmost_places_and_a_side_the_outermost(made):
    boat = made.boat
    adults = [p for p in boat.crew.places if p.use != "child"]

    def where(condition):
        named = [n for n in boat.conditions[condition].aboard if n.startswith("person")]
        return np.array([boat.people[n].centre for n in named])

    aft = where("four at the stern")
    assert len(aft) == 4
    rest = [p.centre[0] for p in adults if not any(np.allclose(p.centre, a) for a in aft)]
    assert max(aft[:, 0]) <= min(rest)
    for side, sign in (("port", 1), ("starboard", -1)):
        there = where(f"everyone to {side}")
        assert len(there) == 4 and (sign * there[:, 1] > 0).all()
        rest = [sign * p.centre[1] for p in adults if not any(np.allclose(p.centre, a) for a in there)]
        assert min(sign * there[:, 1]) >= max(rest)
        heel = float(boat.float("first plan", f"everyone to {side}", shut=True).heel)
        assert -sign * heel > 3
    assert [p.name for p in places_at_side(adults, "port")] != [p.name for p in places_at_side(adults, "starboard")]


def test_a_full_livewell_lists_her_only_where_it_stands_at_the_side():
    boat = with_standard_conditions(hc.read_boat(BOATS / NAMES[0])).boat
    found, post = boat.float("as found", WELL, shut=True), boat.float("first plan", WELL, shut=True)
    corner = 0.076 * 0.95 * 1025 * -0.74  # kg m: 76 L at y -0.74
    light = boat.float("as found", LIGHT, shut=True)
    by_hand = np.degrees(-corner / (float(found.mass) * float(found.gm_transverse + found.free_surface[0])))
    assert_allclose(float(found.heel - light.heel), by_hand, rtol=0.06)  # small-angle rule, GM of the loaded boat
    assert abs(float(post.heel - boat.float("first plan", LIGHT, shut=True).heel)) < 0.05


def test_the_yards_own_condition_goes_before_one_of_the_same_name(made):
    boat = made.boat
    own = Condition("departing", {}, ())
    named = with_standard_conditions(
        replace(boat, conditions={n: c for n, c in boat.conditions.items() if n in made.of_the_yard} | {own.name: own})
    )
    assert named.boat.conditions["departing"] is own
    assert "departing" not in named.lists and MAXIMUM in named.lists


def test_what_cannot_be_made_is_said():
    boat = hc.read_boat(BOATS / NAMES[0])
    nobody = with_standard_conditions(replace(boat, crew=replace(boat.crew, number=None, places=())))
    assert {LIGHT, "at the dock", WELL} == set(nobody.lists)
    assert "Write seats.csv" in nobody.missing[0]
    few = replace(boat, crew=replace(boat.crew, places=tuple(boat.crew.places_for("helm", "crew"))))
    said = with_standard_conditions(few)
    assert [words.split(":")[0] for words in said.missing] == [FAMILY, "everyone to port", "everyone to starboard"]
    assert all("seats.csv" in words for words in said.missing)


@pytest.mark.parametrize(
    ("use", "kind"),
    [
        ("fuel", "fuel"), ("Gasoline", "fuel"), ("livewell", "livewell"), ("bait well", "livewell"),
        ("water ballast", "ballast"), ("fresh water", "other"),
    ],
)  # fmt: skip
def test_uses_of_tanks(use, kind):
    assert kind_of_use(use) == kind
