"""Dock rehearsal: equal heights, Archimedes by another road, whole cans floated again, and what cans cannot do."""

from __future__ import annotations

import numpy as np
import pytest
from box_boat import BREADTH, LENGTH, SEA, VCG, WEIGHT, write_box_boat
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis.studies.mend_words import rehearsal_finding
from analysis.studies.rehearsal import rehearse
from hullcalc.boats.conditions import Condition


@pytest.fixture(scope="module")
def light(demo):
    return rehearse(demo, "first plan", "light")


def test_equal_heights_before_cans_are_counted(light):
    assert len(light.marks) == 16
    assert_allclose(light.marks["exact_mm"], light.marks["plan_mm"], rtol=0, atol=1e-6)  # mm: 1e-9 m
    assert_allclose(light.exact.shut.normal, light.target.shut.normal, rtol=0, atol=1e-11)
    assert light.exact.shut.offset == pytest.approx(float(light.target.shut.offset), abs=1e-11)


def test_the_load_is_what_the_bare_hull_displaces_more(demo, light):
    # Archimedes by another road: the hull alone, cut by the plan's plane, weighs the uncut boat and the load.
    normal, offset = light.target.shut.plane
    cut = demo.hull.solid.cut(normal, float(offset))
    found = demo.as_found
    assert light.load_kg == pytest.approx(1025 * cut.volume - float(found.mass), abs=1e-5)
    total = float(found.mass) + light.load_kg
    cg = (found.moment + light.load_kg * light.load_place) / total
    across = np.cross(cg - cut.centroid, normal)  # the centre of gravity stands over that of buoyancy
    assert_allclose(across, 0, atol=1e-9)


def test_as_an_independent_program_has_it_without_the_pod(light):
    # Source: an independent program: 331 kg at x 0.76 m; it leaves the missing pod's lift (83 kg at launch trim) in
    assert light.plain_kg == pytest.approx(331, abs=0.5)
    assert light.plain_x == pytest.approx(0.76, abs=0.005)
    assert light.load_kg == pytest.approx(light.plain_kg - light.lift_kg, abs=1e-5)
    assert 80 < light.lift_kg < 148  # 144 L of pod, nearly all of it under water at this trim


def test_whole_cans_are_floated_again(demo, light):
    assert light.count == light.cans["cans"].sum() == round(light.cans["kg"].sum() / 21)
    assert light.off_mm < 5
    load = sum(row["kg"] * np.array([1.0, row["x_m"], row["y_m"], row["z_m"]]) for _, row in light.cans.iterrows())
    base = demo.loading("as found", Condition(""))
    mass = base.mass + load[0]
    state = hc.float_at_rest(
        list(base.solids.values()), mass, (base.mass * base.cg + load[1:]) / mass, 1025, base.tanks
    )
    points = [demo.marks[name].point for name in light.marks["mark"]]
    assert_allclose(light.marks["cans_mm"], 1000 * state.height_above_water(points), rtol=0, atol=1e-9)
    assert rehearsal_finding(light).startswith("The first plan, light: 11 cans of 21 kg bring the uncut boat to within")


def test_cans_come_within_a_can_of_every_choice(tmp_path):
    """Brute force on three places of the box: no other count of cans comes clearly nearer."""
    box = hc.read_boat(write_box_boat(tmp_path / "box"))
    places = {"aft": (0.5, 0.0, 0.6), "middle": (2.0, 0.0, 0.6), "forward": (4.0, 0.0, 0.6)}
    found = rehearse(box, "with weight", "light", places=places, can_kg=10.0, most_each=12)
    ready = box.loading("as found", "light")
    wanted = found.marks["plan_mm"].to_numpy()
    points = [box.marks[name].point for name in found.marks["mark"]]
    counts = [(a, m, f) for a in range(13) for m in range(13) for f in range(4) if 11 <= a + m + f <= 13]
    loads = np.array([10.0 * np.array(c) @ np.column_stack([np.ones(3), list(places.values())]) for c in counts])
    mass = ready.mass + loads[:, 0]
    cg = (ready.mass * ready.cg + loads[:, 1:]) / mass[:, None]
    states = hc.float_many(list(ready.solids.values()), mass, cg, SEA)
    off = np.max(np.abs(1000 * states.height_above_water(points) - wanted), axis=1)
    assert found.off_mm <= 2.0 * off.min() + 0.6  # near enough, at few places


def test_without_a_pod_the_load_is_the_weight_itself(tmp_path):
    # Closed form: nothing but a weight was added, so the cans' exact load is that weight at its place along the boat;
    # its height differs by the sole's, which at this trim shifts it by tan(trim) times that.
    box = hc.read_boat(write_box_boat(tmp_path / "box"))
    found = rehearse(box, "with weight", "light")
    assert found.load_kg == pytest.approx(WEIGHT, abs=1e-6)
    trim = np.radians(float(found.target.shut.trim))
    z = found.load_place[2]
    assert found.load_place[0] == pytest.approx(1.0 + np.tan(trim) * (z - VCG), abs=1e-6)
    assert found.lift_kg == 0
    assert found.target.shut.volume == pytest.approx((2400 + WEIGHT) / SEA)
    assert LENGTH * BREADTH > 0


def test_the_same_people_come_along_and_another_load_may_be_said(demo):
    own = rehearse(demo, "first plan", "two people")
    assert own.uncut.condition == "the same people and stores aboard, tanks as weighed"
    assert own.uncut.shut.mass == pytest.approx(1612 + 2 * 85 + 45)
    said = rehearse(demo, "first plan", "two people", aboard="two people")
    assert said.load_kg < own.load_kg  # her own tanks half full stand for some of it
    assert_allclose(said.marks["exact_mm"], said.marks["plan_mm"], rtol=0, atol=1e-6)


def test_what_cannot_be_rehearsed(demo, tmp_path):
    with pytest.raises(hc.InputError, match="kg lighter than she is"):
        rehearse(demo, "first plan", "light", aboard="4 adults full")
    with pytest.raises(hc.InputError, match=r"as deep as the uncut boat .*nothing to\s+rehearse"):
        rehearse(demo, "as found", "light")
    with pytest.raises(hc.InputError, match="11 cans of 21 kg, and 1 places hold 4"):
        rehearse(demo, "first plan", "light", places={"here": (1.2, 0.1, 0.7)})
    with pytest.raises(hc.InputError, match="no place for a can"):
        rehearse(demo, "first plan", "light", places={})
    with pytest.raises(hc.InputError, match="can = 0 kg must be positive"):
        rehearse(demo, "first plan", "light", can_kg=0)
    with pytest.raises(hc.InputError, match="must be 1 or more"):
        rehearse(demo, "first plan", "light", most_each=0)
    marks = "mark,x_m,y_m,z_m,kind\nsole aft,0,0,0.5,sole\nsole forward,4,0,0.5,sole\n"
    box = hc.read_boat(write_box_boat(tmp_path / "box", marks=marks))
    with pytest.raises(hc.InputError, match="2 marks in common"):
        rehearse(box, "with weight", "light")
