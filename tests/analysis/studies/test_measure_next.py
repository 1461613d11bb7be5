"""What to measure next: each figure against the study repeated with the folder's figure changed, and sums by hand."""

from __future__ import annotations

import dataclasses
import shutil
from itertools import permutations

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis.studies.measure_next import left_after, measure_next, rank
from analysis.studies.protocols import Measurement, measurements
from analysis.studies.shares import CREW, shares_of
from hullcalc.boats.causes import all_causes
from hullcalc.weights.items import item
from hullcalc.weights.reference import reference_table

PLAN, CONDITION, MARK = "mended plan", "4 adults full", "sole aft starboard"
ENGINE = "250 hp four-stroke outboard dry XL leg"
CREW_ASKED = "ask the crew what they weigh"


@pytest.fixture(scope="module")
def causes(demo):
    return all_causes(demo, PLAN, CONDITION)


@pytest.fixture(scope="module")
def found(demo, causes):
    return measure_next(demo, PLAN, CONDITION, causes, MARK)


def row(found, measure):
    return found.ranked.set_index("measure").loc[measure]


def u_mm(boat):
    return 1000 * np.sqrt(all_causes(boat, PLAN, CONDITION).covariance([MARK])[0, 0])


def test_the_doubt_now_is_that_of_the_causes(demo, found):
    assert found.u_mm == pytest.approx(u_mm(demo), rel=1e-12)


def test_engine_on_the_scale_as_in_the_ledger(spoil_demo, found):
    # The ledger with the protocol's figures for that row: 1 % of 268 kg, and 10 mm along the boat.
    head, engine = "basis,u_mass_kg,note", f"{ENGINE},268,-1.14,0.00,0.98,,,,data sheet,,"
    weighed = spoil_demo(
        "ledger.csv",
        lambda text: _with_u_x(text.replace(engine, engine[:-1] + "2.68,"), engine.rsplit(",", 2)[0]),
        head,
    )
    assert row(found, f"hang it on the crane scale: {ENGINE}")["u_mm"] == pytest.approx(u_mm(weighed), rel=1e-9)


def test_crew_asked_marks_again_foam_plugs_and_pod(demo, found):
    people = {
        name: item(name, float(p.mass), p.centre, "estimated", 3.0, (0.15, 0.15, 0.06))
        if "standing" in name or "crew" in name else p
        for name, p in demo.people.items()
    }  # fmt: skip
    asked = dataclasses.replace(demo, people=people)
    assert row(found, CREW_ASKED)["u_mm"] == pytest.approx(u_mm(asked), rel=1e-9)
    # Taped again: 4 mm and 3.5 mm together by their weights, 1 / sqrt(1/4² + 1/3.5²).
    twice = tuple(dataclasses.replace(m, u_z=1 / np.hypot(1 / 0.004, 1 / 0.0035)) for m in demo.all_marks)
    again = dataclasses.replace(demo, all_marks=twice)
    assert row(found, "measure the marks once more")["u_mm"] == pytest.approx(u_mm(again), rel=1e-9)
    taped = tuple(dataclasses.replace(pod, u_volume=0.02 * pod.solid.volume) for pod in demo.solids)
    pods = dataclasses.replace(demo, solids=taped)
    assert row(found, "tape the pod before it is hung: bracket pod")["u_mm"] == pytest.approx(u_mm(pods), rel=1e-9)
    foam = "soaked flotation foam 0.34 m3"
    plugs = row(found, f"cut five plugs of the foam and weigh them: {foam}")
    assert plugs["u_mm"] ** 2 == pytest.approx(found.u_mm**2 - (1 - (2 / 3) ** 2) * _foam(demo, foam) ** 2, rel=1e-9)


def _foam(boat, name):
    causes = all_causes(boat, PLAN, CONDITION)
    return 1000 * causes.effects([MARK])[causes.names.index(f"{name}: mass"), 0]


def test_weighed_again_as_found(demo, found):
    again = item("as found", 1612.0, demo.as_found.centre, "weighed", 2.0, (0.006, 0.010, 0.060))
    boat = dataclasses.replace(demo, as_found=again)
    assert row(found, "hang her in two slings on crane cells")["u_mm"] == pytest.approx(u_mm(boat), rel=1e-9)


def test_a_step_to_the_side_tells_where_she_balances(demo, found):
    # Heel read to 0.1 deg afloat as found: GM x 0.1 deg of TCG, for GM by the float of an independent program 1.35 m.
    told = item("as found", 1612.0, demo.as_found.centre, "weighed", 17.0, (0.013, 1.35 * np.radians(0.1), 0.060))
    boat = dataclasses.replace(demo, as_found=told)
    assert row(found, "step a metre to the side and read her heel")["u_mm"] == pytest.approx(u_mm(boat), rel=1e-3)


def test_what_would_leave_no_less_is_not_offered(found):
    # She was weighed to 17 kg and 13 mm already, her hull taped: neither the weighbridge nor a scan tells more.
    names = {one.protocol for one in found.offered}
    assert "weigh her on a public weighbridge" not in names
    assert "take the trailer's mass from its plate" not in names
    assert "scan her with a phone" not in names
    assert "hang it on the crane scale: soaked flotation foam 0.34 m3" not in {one.name for one in found.offered}


def test_ranked_by_what_ten_minutes_take_off(found):
    table = found.ranked
    assert_allclose(table["per_ten_minutes_mm"], 10 * (found.u_mm - table["u_mm"]) / table["minutes"], rtol=1e-9)
    assert table["per_ten_minutes_mm"].is_monotonic_decreasing
    crew = row(found, CREW_ASKED)
    assert crew["minutes"] == 4  # a minute for each of four, the cooler is not asked


def test_the_sequence_goes_on_from_what_is_done(found, causes):
    steps = found.steps
    assert steps["u_mm"].is_monotonic_decreasing
    assert_allclose(steps["minutes_so_far"], steps["minutes"].cumsum())
    left = left_after(steps["measure"], found.offered)
    assert 1000 * np.sqrt(causes.scaled(left).covariance([MARK])[0, 0]) == pytest.approx(steps["u_mm"].iloc[-1])
    upright = causes.scaled(left).without(lambda cause: cause.leans)
    assert 1000 * np.sqrt(upright.covariance([MARK])[0, 0]) == pytest.approx(steps["u_level_mm"].iloc[-1])
    # Independent reckoning of foam, pod, mark and engine together: from 9.0 to 6.4 mm with her level.
    five = steps[steps["u_level_mm"] <= 6.4].iloc[0]
    assert five["minutes_so_far"] <= 90


def test_the_greedy_first_step_is_the_best_of_all_by_brute_force(found, causes):
    few = [one for one in found.offered if not one.after][:6]
    ranked = rank(few, causes, MARK)
    gains = {}
    for order in permutations(few, 2):
        left = left_after([one.name for one in order], few)
        after = 1000 * np.sqrt(causes.scaled(left).covariance([MARK])[0, 0])
        gains[tuple(one.name for one in order)] = after
    first = ranked.steps["measure"].iloc[0]
    assert first == ranked.ranked["measure"].iloc[0]
    second = ranked.steps["measure"].iloc[1]
    minutes, alone = {one.name: one.minutes for one in few}, ranked.steps["u_mm"].iloc[0]
    best = max((pair for pair in gains if pair[0] == first), key=lambda pair: (alone - gains[pair]) / minutes[pair[1]])
    assert best[1] == second


def test_what_comes_first_counts_its_minutes(causes):
    first = Measurement("first", "", 60, {"as found: mass": 0.5})
    later = Measurement("later", "", 15, {"as found: z": 0.5}, after="first")
    found = rank([first, later], causes, MARK)
    minutes = found.ranked.set_index("protocol")["minutes"]
    assert (minutes["first"], minutes["later"]) == (60, 75)
    assert left_after(["first", "later"], [first, later]) == {"as found: mass": 0.5, "as found: z": 0.5}
    with pytest.raises(hc.InputError, match=r"no measurement 'weigh' is offered here; there are: first; later"):
        left_after(["weigh"], [first, later])


def test_nothing_to_measure(causes):
    found = rank([], causes, MARK)
    assert len(found.ranked) == len(found.steps) == 0


def test_doubts_of_tanks_and_water_can_be_measured(demo):
    doubted = dataclasses.replace(
        demo, u_water=5.0, tanks=tuple(dataclasses.replace(tank, u_fill=0.05) for tank in demo.tanks)
    )
    causes = all_causes(doubted, PLAN, CONDITION)
    left = {one.name: dict(one.left) for one in measurements(doubted, PLAN, CONDITION, causes)}
    assert left["dip the tank: fuel tank new"]["fuel tank new: how full"] == pytest.approx(0.2)
    assert left["float a hydrometer in the water she lies in"]["water: density"] == pytest.approx(0.2)
    assert left["float a hydrometer in the fuel"]["fuel: density"] == pytest.approx(3 / 15)


def test_each_protocol_says_where_its_figures_come_from():
    for protocol in reference_table("protocols"):
        assert protocol["minutes_number"] > 0
        assert protocol["per"] in ("all", "each")
        assert protocol["again"] in ("yes", "no")
        others = {str(other["protocol"]) for other in reference_table("protocols")}
        assert not protocol["after"] or protocol["after"] in others


def test_shares_add_up_and_are_the_variance(demo, causes):
    table = shares_of(causes, MARK, demo.people)
    assert table["share"].sum() == pytest.approx(1.0)
    assert (table["mm"] ** 2).sum() == pytest.approx(1e6 * causes.covariance([MARK])[0, 0])
    assert table["causes"].sum() <= len(causes.each)
    groups = table.set_index("group")
    # By hand: four adults and a cooler, their places across; causes of their own add in squares.
    across = [c for c in causes.each if c.thing in demo.people and c.leans]
    effects = [1000 * causes.effects([MARK])[causes.names.index(c.name), 0] for c in across]
    assert groups.loc[f"{CREW}: place across", "mm"] == pytest.approx(np.hypot.reduce(effects))
    level = table[~table["leans"] & ~table["group"].str.startswith("other things")]
    largest = list(level["group"].head(2))  # with her level: the mark itself and the soaked foam
    assert largest == [f"{MARK}: its own height", "soaked flotation foam 0.34 m3: mass"]


@pytest.fixture
def spoil_demo(tmp_path, demo):
    """A copy of the demo folder with one file changed."""

    def make(name, change, head):
        folder = tmp_path / "boat"
        shutil.copytree(demo.folder, folder)
        text = (folder / name).read_text(encoding="utf-8")
        assert head in text
        (folder / name).write_text(change(text), encoding="utf-8")
        return hc.read_boat(folder)

    return make


def _with_u_x(text, row_start):
    """The ledger with a column u_x_mm before the note, 10 in the row that starts so."""
    lines = text.splitlines()
    at = lines[0].split(",").index("note")
    made = []
    for line in lines:
        cells = line.split(",", at)
        value = "u_x_mm" if line == lines[0] else "10" if row_start in line else ""
        made.append(",".join([*cells[:at], value, *cells[at:]]))
    return "\n".join(made) + "\n"
