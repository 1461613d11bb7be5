"""What the sea does to a part: the same as the boat's own tables say it, and by Archimedes; the figures of a plan."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis import DEMO, data_folder
from analysis.studies.part_afloat import float_part, put_aboard, stern_deeper
from hullcalc.boats.part_files import read_part
from hullcalc.geometry.makers import box
from hullcalc.weights.parts.bracket import bracket
from hullcalc.weights.parts.fuel_tank import box_tank, fuel_tank, shell_lines
from hullcalc.weights.parts.livewell import livewell, well
from hullcalc.weights.parts.part import Part, line

FOLDER = data_folder() / "boats" / DEMO
PLAN, LOAD = "mended plan", "4 adults full"


@pytest.fixture(scope="module")
def boat():
    return hc.read_boat(FOLDER)


def own_bracket(boat):
    """The bracket as the boat's own tables have it: the ledger's mass, the pod's corners."""
    (pod,) = [p for p in boat.solids if p.name == "bracket pod" and p.solid.volume > 0.12]
    (row,) = [r.new for r in boat.ledger.rows if r.item.startswith("bracket single") and r.action == "add"]
    mass = float(row.item.mass)
    lines = [line(row.name, "sheet", f"{mass:g} kg", mass, row.place, "data sheet")]
    return bracket(row.name, lines, pod.solid, basis="data sheet", openings={"hatch": (-0.55, 0, 0.58)})


def shell(name, at=(2.0, 0.0, 0.5)):
    return [line(name, "shell", "20 kg", 20, at, "weighed")]


def test_her_own_bracket_changes_nothing_and_floods_as_her_condition_says(boat):
    found = float_part(boat, PLAN, LOAD, own_bracket(boat))
    assert found.aboard.body == "bracket pod" and len(found.aboard.instead_of) == 1
    plain = boat.float(PLAN, LOAD, shut=True)
    assert_allclose(found.state.plane[0], plain.plane[0], atol=1e-9)
    assert found.state.plane[1] == pytest.approx(plain.plane[1], abs=1e-9)
    flooded = boat.float(PLAN, f"{LOAD}, bracket flooded", shut=True)
    for name, height in flooded.marks.items():
        assert found.bracket.flooded.marks[name] == pytest.approx(height, abs=1e-9)
    assert_allclose(found.marks["before_mm"], found.marks["height_mm"], atol=1e-6)


def test_the_pods_lift_is_what_the_boat_misses_when_it_floods(boat):
    # Archimedes: intact, hull and pod displace her mass; so the pod's share is her mass less the hull's displacement.
    found = float_part(boat, PLAN, LOAD, own_bracket(boat))
    normal, offset = found.state.plane
    hull = boat.hull.solid.cut(normal, offset).volume
    pod = found.bracket.intact.pod
    assert pod.volume == pytest.approx(float(found.state.volume) - hull, rel=1e-9)
    assert pod.lift == pytest.approx(float(found.state.mass) - boat.water_density * hull, rel=1e-6)
    assert stern_deeper(found.state, found.bracket.flooded) > 0


def test_figures_of_the_demonstration_boat(boat):
    # An independent program floated this invented boat (exact integrals over the mesh): with four adults and full tanks
    # the flooded pod puts her sole 2 mm above to port and 12 mm under to starboard, scuppers 32 and 44 mm under.
    flooded = float_part(boat, PLAN, LOAD, own_bracket(boat)).bracket.flooded.marks
    expected = {"sole aft port": 2, "sole aft starboard": -12, "scupper port": -32, "scupper starboard": -44}
    for name, millimetres in expected.items():
        assert 1000 * flooded[name] == pytest.approx(millimetres, abs=1.0)


def test_opening_heights_and_the_hull(boat):
    found = float_part(boat, PLAN, LOAD, own_bracket(boat)).bracket
    plain = boat.float(PLAN, LOAD, shut=True)
    assert found.openings["hatch"] == pytest.approx(plain.marks["bracket hatch"], abs=1e-9)
    assert found.shared < 0.001 and abs(found.gap) < 0.002  # corners given to the millimetre
    ahead = replace(own_bracket(boat), body=box((-0.5, 0.1), (-0.3, 0.3), (0.3, 0.5)))
    inside = float_part(boat, PLAN, "light", ahead).bracket
    assert inside.gap < -0.1
    # by hand: ahead of the transom's plane x = -z tan 14, over its height, 0.6 m wide; all of it within the hull
    tan = np.tan(np.radians(14))
    volume = 0.6 * (0.1 * 0.2 + tan * (0.5**2 - 0.3**2) / 2)
    assert inside.shared == pytest.approx(volume, rel=0.03)


def test_a_part_she_has_not_is_put_aboard_and_its_response_is_right(boat):
    thing = Part("a safe", [line("a safe", "safe", "10 kg", 10, (0.4, 0.3, 0.6), "weighed")], "weighed")
    found = float_part(boat, PLAN, LOAD, thing)
    assert found.aboard.instead_of == () and found.aboard.old is None
    assert found.state.mass - found.before.mass == pytest.approx(10, abs=1e-9)
    changed = found.marks["height_mm"] - found.marks["before_mm"]
    assert_allclose(found.marks["by_part_mm"], changed, atol=0.05)  # to first order, 10 kg in 2766
    assert (found.marks["height_mm"].diff().dropna() >= 0).all()


def test_what_it_stands_for_comes_off_and_what_the_plan_takes_off_is_said_anew(boat):
    read = read_part(FOLDER / "parts" / "engine.toml")
    aboard = put_aboard(boat, PLAN, LOAD, read.part, read.stands_for)
    assert len(aboard.instead_of) == 4 and float(aboard.old.mass) == pytest.approx(293)
    base = boat.loading(PLAN, LOAD)
    assert aboard.loading.mass - base.mass == pytest.approx(float(read.part.item.mass) - 293, abs=1e-9)
    wet = Part("soaked flotation foam 0.34 m3", [line("soaked flotation foam 0.34 m3", "foam", "105 kg", 105,
               (1.75, 0, 0.24), "estimated")], "estimated")  # fmt: skip
    anew = put_aboard(boat, PLAN, LOAD, wet)
    assert anew.comes_off and anew.loading.mass - base.mass == pytest.approx(-10, abs=1e-9)
    assert not put_aboard(boat, "as found", LOAD, wet).comes_off


def test_people_and_stores_of_the_condition_give_way(boat):
    cooler = Part("cooler with ice and drinks", [line("cooler with ice and drinks", "all", "50 kg", 50, (3.4, 0, 0.75),
                  "weighed")], "weighed")  # fmt: skip
    aboard = put_aboard(boat, PLAN, LOAD, cooler)
    assert aboard.loading.mass - boat.loading(PLAN, LOAD).mass == pytest.approx(5, abs=1e-9)


def test_a_tank_takes_its_predecessors_place_and_fill(boat):
    shape = box_tank(2.10, 0.70, 0.271, (2.60, 0.0, 0.195))
    tank = fuel_tank("narrower tank", shape, "inside", 0.004, shell_lines("narrower tank", shape, 0.004, 2680.0))
    found = float_part(boat, PLAN, LOAD, tank, ("new fuel tank 416 L aluminium 4 mm",))
    assert found.aboard.room == "fuel tank new"
    (fuel,) = [liquid for liquid in found.state.liquids if liquid.name == "fuel tank new"]
    assert float(fuel.mass) == pytest.approx(0.95 * shape.volume * 740, rel=1e-9)
    assert found.tank.fit.fits and found.tank.usable + found.tank.unusable == pytest.approx(tank.full, rel=1e-12)


def test_does_a_tank_fit(boat):
    # A first draft of this boat's tank had its lower corners some 60 mm outside the bottom at x 3.40.
    def fit(shape):
        tank = fuel_tank("t", shape, "outside", 0.004, shell_lines("t", shape, 0.004, 2680.0))
        return float_part(boat, PLAN, "light", tank).tank.fit

    out = fit(box_tank(1.60, 0.85, 0.306, (2.60, 0.0, 0.126)))
    assert not out.fits
    assert out.misfits[0].point[0] == pytest.approx(3.40) and abs(out.misfits[0].point[1]) == pytest.approx(0.425)
    assert out.misfits[0].out.face == "bottom" and 0.03 < out.misfits[0].out.distance < 0.08
    inside = fit(box_tank(2.10, 0.73, 0.271, (2.60, 0.0, 0.195)))
    # by hand: at x 3.65 the bottom is the line from keel to chine of the stations at 3.2 and 4.0, 9/16 of the way
    keel, chine, wide = 0.003 + 0.5625 * 0.019, 0.418 + 0.5625 * 0.054, 1.005 - 0.5625 * 0.05
    over = 0.195 - (keel + 0.365 / wide * (chine - keel))
    assert inside.fits and inside.above_bottom == pytest.approx(over, abs=1e-6)
    assert inside.above_bottom == pytest.approx(0.019, abs=0.0005)  # as the boat's data say
    assert inside.clearance == pytest.approx(over * wide / np.hypot(wide, chine - keel), abs=1e-6)


def test_a_livewell_afloat(boat):
    low = well("box", 0.4, 0.5, 0.5, (0.40, 0.0, 0.30))
    one = livewell("low well", low, (0.40, 0.0, 0.75), shell("low well"), basis="weighed", density=1025.0)
    found = float_part(boat, PLAN, LOAD, one)
    normal, offset = found.state.plane
    depth = (offset - normal[0] * 0.40) / normal[2] - 0.30  # the sea over the middle of its floor, along z
    assert found.well.open_to_sea.volume == pytest.approx(0.4 * 0.5 * depth, rel=1e-9)
    assert not found.well.standing.overflows
