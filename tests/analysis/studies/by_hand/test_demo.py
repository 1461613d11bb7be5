"""The hand sums of the demo boat: identities, sums that come out as written, and what cannot be asked.

Figures of the demo boat in these tests come from an independent program (exact integrals over her mesh) that is no part
of this project.
"""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from analysis.studies.by_hand.change import afloat, change_by_hand
from analysis.studies.by_hand.heeling import heeling, shift_person
from analysis.studies.by_hand.metacentre import metacentre, wet_space
from analysis.studies.by_hand.parting import parting
from analysis.studies.by_hand.saying import say_error, say_excess, say_figure, say_line
from analysis.studies.by_hand.stages import stages
from analysis.studies.by_hand.study import ByHand
from analysis.studies.by_hand.sums import KINDS, Figure, Line
from analysis.studies.by_hand.tape import tape_slips
from analysis.studies.by_hand.water import other_water
from analysis.studies.by_hand.weights import centre_sum, g_and_b, moment_sum
from hullcalc.boats.afloat import bodies_open
from hullcalc.errors import InputError

FULL = "4 adults full"


@pytest.fixture(scope="module")
def light(demo):
    return ByHand(demo, "first plan", "light")


@pytest.fixture(scope="module")
def full(demo):
    return ByHand(demo, "mended plan", FULL)


def reckoned(line: Line) -> float:
    """What a line's own arithmetic gives, from its figures."""
    text = line.how
    for sign, plain in (("×", "*"), ("−", "-"), ("³", "**3"), ("²", "**2"), ("½", "0.5")):
        text = text.replace(sign, plain)
    text = re.sub(r"\{(\d+)\}", r"of[\1]", text)
    names = {"tan": np.tan, "atan": np.arctan, "sin": np.sin, "cos": np.cos}
    return float(eval(text, {"__builtins__": {}}, names | {"of": [figure.value for figure in line.of]}))


def all_sums(study):
    yield centre_sum(study.weights)
    yield g_and_b(study.after.state)
    yield from study.change.sums
    yield study.heeling.sum
    yield study.person.sum
    yield study.gm.sum
    yield study.water.sum
    for part in (*study.lifts, *study.surfaces.tanks):
        yield part.sum


def test_every_written_sum_comes_out_as_written(full):
    lines = [line for one in all_sums(full) for line in one.lines]
    worked = [line for line in lines if line.how]
    assert len(worked) > 30
    for line in worked:
        assert reckoned(line) == pytest.approx(line.figure.value, rel=1e-9, abs=1e-9), line.what
        assert {figure.kind for figure in (line.figure, *line.of)} <= set(KINDS)
        for system in ("metric", "us"):
            assert "{" not in say_line(line, system)


def test_each_figure_used_was_written_before(full):
    for one in all_sums(full):
        seen = set()
        for line in one.lines:
            assert {figure.value for figure in line.of} <= seen, (one.title, line.what)
            seen.add(line.figure.value)


@pytest.mark.parametrize("condition", ["light", "two people", FULL])
@pytest.mark.parametrize("plan", ["as found", "first plan", "mended plan"])
def test_the_items_add_up_to_the_floated_boat(demo, plan, condition):
    state = demo.float(plan, condition, shut=True)
    items = moment_sum(demo, plan, condition, state)
    assert items.mass == pytest.approx(float(state.mass), rel=1e-12)
    assert_allclose(items.cg, state.cg, rtol=0, atol=1e-9)
    groups = [items.of_group(g) for g in dict.fromkeys(i.group for i in items.items)]
    assert sum(g.mass for g in groups) == pytest.approx(items.mass, rel=1e-12)


def test_b_stands_under_g_square_to_the_water(full):
    one = g_and_b(full.after.state)
    assert one["G forward of B"] == pytest.approx(one["the slope times G over B"], abs=1e-10)


def test_as_found_lcg_lcb_lcf(demo):
    # Independent program: 2.075, 2.071 and 2.23 m; B 4 mm abaft G.
    one = g_and_b(demo.float("as found", "light"))
    assert_allclose([one["LCG"], one["LCB"]], [2.075, 2.071], atol=5e-4)
    assert one["LCF, the middle of the waterplane"] == pytest.approx(2.23, abs=5e-3)
    assert one["G forward of B"] == pytest.approx(0.004, abs=5e-4)


def test_refit_without_pod_by_hand_and_exactly(demo):
    # Independent program: trim changes by +1.38 degrees by hand and +1.42 exactly without the pod, +0.72 with it; the
    # strip alone by -2.5 degrees with 448 kg taken off at x 0.45 m.
    table = stages(demo, "first plan", "light").table.set_index("stage")
    bare = table.loc["to equipment, no bodies added"]
    assert bare["hand_deg"] == pytest.approx(1.38, abs=0.005)
    assert bare["exact_deg"] == pytest.approx(1.42, abs=0.005)
    assert table.loc["to equipment", "exact_deg"] == pytest.approx(0.72, abs=0.005)
    strip = table.loc["strip"]
    assert strip["mass_kg"] == pytest.approx(-448)
    assert strip["moment_kgm"] / strip["mass_kg"] == pytest.approx(0.45, abs=0.005)
    assert strip["exact_deg"] == pytest.approx(-2.5, abs=0.05)


def test_stages_add_up_to_the_whole(demo, light):
    found = stages(demo, "first plan", "light")
    last = list(found.changes.values())[-1]
    assert last.mass == pytest.approx(light.change.mass)
    assert sum(step.mass for step in found.steps.values()) == pytest.approx(last.mass)
    assert last.table["exact_mm"].tolist() == pytest.approx(light.change.table["exact_mm"].tolist(), abs=1e-6)


def test_gm_is_the_sum_of_its_parts(light, full):
    for study in (light, full):
        for one, parts in ((study.before, study.gm.before), (study.after, study.gm.after)):
            assert parts.gm == pytest.approx(float(one.state.gm_transverse), abs=1e-9)
        change = study.gm.after.gm - study.gm.before.gm
        assert sum(study.gm.parts.values()) == pytest.approx(change, abs=1e-12)
        rise = study.after.items.cg[2] - study.before.items.cg[2]
        assert study.gm.items["kg_m"].sum() == pytest.approx(rise, abs=1e-12)


def test_why_gm_fell(light):
    # Independent program: GM 1.35 to 1.09 m: KB +0.02, BM -0.14, KG +0.14 (which lowers GM).
    assert light.gm.before.gm == pytest.approx(1.35, abs=0.005)
    assert light.gm.after.gm == pytest.approx(1.09, abs=0.005)
    parts = light.gm.parts
    assert_allclose([parts["KB"], parts["BM"], parts["KG"]], [0.02, -0.14, -0.14], atol=0.005)
    assert light.gm.items["group"].iloc[0] == "6 deck gear"  # the T-top


@pytest.mark.parametrize("plan", ["first plan", "mended plan"])
def test_added_weight_and_lost_buoyancy_right_her_alike(demo, plan):
    one = wet_space(afloat(demo, plan, "4 at the stern full"), ["cockpit"])
    assert one.water > 0
    assert one.added.righting_per_degree == pytest.approx(one.lost.righting_per_degree, rel=1e-9)
    assert one.lost.gm == pytest.approx(float(one.state.gm_transverse), abs=1e-9)
    assert one.added.mass - one.lost.mass == pytest.approx(one.water)
    assert one.lost.gm > one.added.gm


def test_free_surface_of_the_new_tank(full):
    # Independent program: 2.10 x 0.73³ / 12 = 0.068 m⁴; 18 mm off GM at 2766 kg.
    tank = next(t for t in full.surfaces.tanks if t.tank.name == "fuel tank new")
    assert tank.sum["inertia l b³ / 12"] == pytest.approx(2.10 * 0.73**3 / 12, rel=1e-9)
    assert tank.by_hand == pytest.approx(0.018, abs=5e-4)
    assert tank.exact < tank.by_hand  # trimmed, the liquid touches the top
    assert tank.touches_top == 0.0
    surfaces = full.surfaces
    assert sum(t.exact for t in surfaces.tanks) == pytest.approx(surfaces.gm_frozen - surfaces.gm_free, rel=1e-9)


def test_fresh_water_and_the_tape(demo):
    # Independent program, at the stern and at the bow: fresh water +5 and +3 mm; chine heights +10 mm: +6 and +3;
    # half-breadths +10 mm: -2.
    found = afloat(demo, "as found", "light")
    water = other_water(found).table
    assert_allclose(water["exact_mm"], [5, 3], atol=0.5)
    assert abs(water["error_mm"]).max() < 0.1
    slips = tape_slips(found).table.set_index("slip")
    assert_allclose(slips.loc["chine heights +10 mm"].astype(float), [6, 3], atol=0.5)
    assert_allclose(slips.loc["chine half-breadths +10 mm"].astype(float), [-2, -2], atol=0.6)


def test_an_anchor_takes_most_of_a_slip(light):
    # Independent program, another boat: 11 mm plain and 1 mm anchored for a degree of deadrise.
    one = light.anchor
    assert 5 < abs(one.aft_plain_mm) < 15
    assert abs(one.aft_anchored_mm) < 0.2 * abs(one.aft_plain_mm)
    assert abs(one.forward_anchored_mm) < 0.2 * abs(one.forward_plain_mm)


def test_the_anchor_makes_the_wrong_hull_float_at_the_plane(demo, light, monkeypatch):
    # With no change at all the anchored prediction is the measured plane itself.
    from analysis.studies.by_hand.tape import anchored

    none = anchored(light.before, light.before)
    assert none.aft_anchored_mm == pytest.approx(0, abs=1e-5)
    assert none.forward_anchored_mm == pytest.approx(0, abs=1e-5)
    assert abs(none.aft_plain_mm) > 5


def test_only_what_is_under_lifts(light):
    (pod,) = light.lifts
    assert pod.gross == pytest.approx(0.144, abs=5e-4)
    assert 0.05 < pod.immersed < pod.gross
    assert pod.lift == pytest.approx(1025 * pod.immersed, rel=1e-12)
    floated = metacentre(light.after.state, *bodies_open(light.after.loading, ()))
    assert floated.volume * 1025 == pytest.approx(light.after.items.mass, rel=1e-9)


def test_centres_drift_forward_of_b(demo):
    # Independent program: the neutral point of trim lies near LCF, 2.23 m light, drifting to 2.30 m loaded.
    study = ByHand(demo, "as found", "light")
    table = study.centres
    assert table["neutral_x_m"].iloc[0] == pytest.approx(2.23, abs=0.005)
    assert_allclose(table["neutral_x_m"], table["lcf_m"], atol=0.02)
    drift = study.drift.table
    assert drift["mass_kg"].iloc[-1] == pytest.approx(study.drift.end.items.mass)
    assert study.drift.end.condition == FULL  # the heaviest, the first among equals
    assert drift["lcf_m"].iloc[-1] == pytest.approx(2.28, abs=0.01)
    assert drift["lcb_m"].iloc[0] == pytest.approx(2.071, abs=5e-4)


def test_words():
    assert say_figure(Figure(-0.0471, "small")) == "minus 47.1 mm"
    assert say_figure(Figure(-1e-9, "small")) == "0.0 mm"
    assert say_figure(Figure(9503.0, "per length")) == "9.50 kg/mm"
    assert say_figure(Figure(0.3048, "length"), "us") == "1.000 ft"
    line = Line("inertia", Figure(0.068, "fourth"), "{0} × {1}³ / 12", (Figure(2.1, "length"), Figure(0.73, "length")))
    assert say_line(line) == "inertia = 2.100 m × (0.730 m)³ / 12 = 0.0680 m⁴"
    assert (say_error(-0.0097), say_error(0.003), say_error(0.0002)) == ("10 mm too deep", "3 mm too high", "right")
    assert say_excess(Figure(0.0065, "small")) == "6.5 mm too much"
    assert say_excess(Figure(-0.00001, "small")) == "right"


def test_what_cannot_be_asked_is_told(demo, light):
    with pytest.raises(InputError, match="as found changes nothing of as found; choose a plan of a refit"):
        stages(demo, "as found", "light")
    with pytest.raises(InputError, match="as found is the boat the change starts from"):
        _ = ByHand(demo, "as found", "light").change
    with pytest.raises(InputError, match=r"no tank is part full.*choose a condition that fills one"):
        _ = light.surfaces
    with pytest.raises(InputError, match="no space is called 'hold'; there are: cockpit"):
        wet_space(light.after, ["hold"])
    with pytest.raises(InputError, match="name a space to open"):
        wet_space(light.after, [])
    with pytest.raises(InputError, match="shares must rise from 0"):
        parting(light.change, np.array([0.5, 1.0]))
    with pytest.raises(InputError, match="heel = 95 deg must be over 0 and under 90"):
        heeling(light.after, at=95)
    with pytest.raises(InputError, match="mass = -85 kg must be positive"):
        shift_person(light.after, mass=-85)
    with pytest.raises(InputError, match=r"density after = 0 .*must be positive"):
        other_water(light.after, density=0.0)
    with pytest.raises(InputError, match=r"slip = 10 m must be over 0 and under 0\.1 m"):
        tape_slips(light.after, 10.0)
    with pytest.raises(InputError, match=r"write one in spaces\.csv"):
        _ = ByHand(replace(demo, spaces=(), solids=()), "first plan", "light").space


def test_a_boat_that_capsizes_has_no_hand_sum(demo):
    from hullcalc.boats.conditions import Condition
    from hullcalc.weights.items import item

    heavy = replace(demo, people=dict(demo.people) | {"safe": item("safe", 1500, (2.0, 0.0, 4.5), "weighed")})
    with pytest.raises(InputError, match="she capsizes, and a hand sum takes a boat that floats"):
        change_by_hand(heavy, "first plan", Condition("top heavy", aboard=("safe",)))
