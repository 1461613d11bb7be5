"""The refit ledger: rows against moment sums by hand, packages on and off, weighings, and what stays aboard."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.ledger import Ledger, LedgerRow, Thing
from hullcalc.boats.presence import Presence, can_meet, present
from hullcalc.weights.items import combine, item

FULL = "4 adults full"


def thing(name, mass, *place, basis="data sheet", estimate=None):
    return Thing(item(name, mass, place, basis), np.array(place, dtype=float), estimate)


def row(number, package, action, name, **more):
    return LedgerRow(number, package, action, name, **more)


OLD, BATTERY = thing("old engine", 200, -0.4, 0, 0.9), thing("battery", 35, 0.4, 0.5, 0.5)
BIGGER = thing("bigger battery", 50, 0.4, 0.5, 0.5)
LEDGER = Ledger(
    (
        row(2, "1 strip", "remove", "old engine"),
        row(3, "2 fit", "add", "battery", new=BATTERY),
        row(4, "3 mend", "move", "battery", to=(2.4, 0.0, None)),
        row(5, "4 more", "replace", "battery", new=BIGGER),
        row(6, "5 less", "remove", "bigger battery"),
    ),
    {"old engine": OLD},
)


def total(*packages):
    return combine([change.item for change in LEDGER.apply(packages)[0]])


def moment(mass, x, y, z):
    return mass * np.array([x, y, z])


def test_rows_by_hand():
    assert LEDGER.packages == ("1 strip", "2 fit", "3 mend", "4 more", "5 less")
    fitted = total("1 strip", "2 fit")
    assert float(fitted.mass) == 35 - 200
    assert_allclose(fitted.moment, moment(35, 0.4, 0.5, 0.5) - moment(200, -0.4, 0, 0.9), atol=1e-12)
    moved = total("1 strip", "2 fit", "3 mend")
    assert float(moved.mass) == float(fitted.mass)
    assert_allclose(moved.moment - fitted.moment, 35 * np.array([2.0, -0.5, 0.0]), atol=1e-12)  # z is kept
    replaced = total("2 fit", "4 more")
    assert_allclose(replaced.moment, moment(50, 0.4, 0.5, 0.5), atol=1e-12)
    assert float(total("2 fit", "4 more", "5 less").mass) == 0


def test_a_move_is_a_removal_and_an_addition():
    by_move = total("2 fit", "3 mend")
    by_two = combine([item("battery", 35, (2.4, 0, 0.5), "data sheet")])
    assert_allclose(by_move.moment, by_two.moment, atol=1e-12)
    # One and the same mass before and after, and the old place is of no matter: only 3 % of 35 kg is left in the total.
    assert float(by_move.u_mass) == pytest.approx(0.03 * 35, rel=1e-12)
    assert_allclose(by_move.u_centre[:2], by_two.u_centre[:2], rtol=1e-12)


def test_rows_about_what_is_not_there_do_nothing():
    for packages in (["3 mend"], ["4 more"], ["5 less"], ["3 mend", "4 more", "5 less"]):
        changes, aboard = LEDGER.apply(packages)
        assert (changes, list(aboard)) == ((), ["old engine"])


def test_where_the_adding_row_stands_does_not_matter():
    further = row(7, "3 mend", "move", "battery", to=(3.0, None, None))
    rows = [LEDGER.rows[1], LEDGER.rows[2], further]
    totals = [
        combine([change.item for change in Ledger(tuple(order)).apply(["2 fit", "3 mend"])[0]])
        for order in (rows, [rows[1], rows[0], rows[2]], [rows[1], rows[2], rows[0]])
    ]
    for total_of_order in totals:
        assert_allclose(total_of_order.moment, moment(35, 3.0, 0.0, 0.5), atol=1e-12)


def test_replacement_takes_the_old_uncertainty_out():
    assert not any(cause.startswith("battery:") for cause in total("2 fit", "4 more").sources)


def test_a_thing_is_removed_once():
    twice = Ledger((row(2, "a", "remove", "old engine"), row(3, "b", "remove", "old engine")), {"old engine": OLD})
    for packages in (["a"], ["b"], ["a", "b"]):
        assert float(combine([c.item for c in twice.apply(packages)[0]]).mass) == -200


def test_tally_counts_no_move():
    tally = LEDGER.tally(["1 strip", "2 fit", "3 mend", "4 more"])
    assert (tally.removed, tally.added) == (200 + 35, 35 + 50)
    assert (tally.net, tally.absolute) == (-150, 320)


def test_a_weighing_keeps_the_estimate_for_the_record():
    hung = thing(
        "engine", 279, -1.1, 0, 1.0, basis="weighed", estimate=item("engine", 268, (-1.1, 0, 1.0), "data sheet")
    )
    ledger = Ledger((row(2, "a", "add", "engine", new=hung),))
    assert ledger.tally(["a"]).surprise == 11
    assert ledger.tally([]).surprise == 0


# --- the demo boat's ledger, as read ---------------------------------------------------------------------------------


def test_weighed_column_of_the_file(spoil):
    def weigh(text):
        lines = text.splitlines()
        marks = {36: "279,2 May,a rigger,hung on the scale"}
        return (
            "\n".join(
                line + ("," + (marks.get(n, ",,,") if n > 1 else "weighed_kg,weighed_on,weighed_by,weighed_why"))
                for n, line in enumerate(lines, start=1)
            )
            + "\n"
        )

    boat = hc.read_boat(spoil({"ledger.csv": weigh}))
    assert boat.tally("first plan").surprise == pytest.approx(11)
    assert float(boat.weight("first plan").mass) == pytest.approx(1943 + 11)
    engine = next(r for r in boat.ledger.rows if r.number == 36)
    assert float(engine.new.item.u_mass) == pytest.approx(2.79)  # 1 % of a weighing
    assert float(engine.new.estimate.mass) == 268
    assert engine.record == "2 May, a rigger, hung on the scale"


def test_every_row_of_the_file_by_another_road(demo):
    """Weight of each plan by plain sums over the cells of the file, read with the csv module alone."""
    import csv

    with (demo.folder / "ledger.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    for name, plan in demo.plans.items():
        at, mass, moments = {}, 1612.0, 1612.0 * np.array([2.075, 0.004, 0.60])
        for r in rows:
            if r["pkg"] not in plan.packages:
                continue
            place = [float(r[f"{a}_m"]) if r[f"{a}_m"] else np.nan for a in "xyz"]
            if r["act"] == "move":
                old_mass, old = at[r["item"]]
                new = np.array([float(r[f"to_{a}_m"]) for a in "xyz"])
                moments += old_mass * (new - old)
                at[r["item"]] = (old_mass, new)
                continue
            sign = {"add": 1, "remove": -1}[r["act"]]
            at[r["item"]] = (float(r["mass_kg"]), np.array(place))
            mass += sign * float(r["mass_kg"])
            moments += sign * float(r["mass_kg"]) * np.array(place)
        assert float(demo.weight(name).mass) == pytest.approx(mass, rel=1e-12)
        assert_allclose(demo.weight(name).moment, moments, atol=1e-9)


def test_packages_add_up(demo):
    """Packages whose rows know nothing of each other add; the mends act only with what they move."""
    as_found = demo.weight("as found")
    plain = demo.plans["first plan"].packages
    one_by_one = sum(demo.weight([p]).moment - as_found.moment for p in plain)
    assert_allclose(demo.weight("first plan").moment - as_found.moment, one_by_one, atol=1e-9)
    for mend in demo.plans["mended plan"].packages[len(plain) :]:
        assert_allclose(demo.weight([mend]).moment, as_found.moment, atol=1e-12)
    for on in combinations(demo.plans["mended plan"].packages[-3:], 2):
        both = demo.weight([*plain, *on]).moment - demo.weight(plain).moment
        each = [demo.weight([*plain, p]).moment - demo.weight(plain).moment for p in on]
        assert_allclose(both, sum(each), atol=1e-9)


def test_fuel_left_at_the_weighing(demo):
    """10 kg in the old tank: there until its tank is filled, or taken out with the tank."""
    two = 2 * 85.0 + 45.0
    assert float(demo.weight("as found", "light").mass) == 1612
    assert float(demo.weight("as found", "two people").mass) == pytest.approx(1612 - 10 + two)
    assert float(demo.weight("first plan", "two people").mass) == pytest.approx(1943 + two)
    on = tuple(p for p in demo.plans["first plan"].packages if p != "5 fuel")  # all but the fuel: the old tank is there
    assert float(demo.weight(on, "two people").mass - demo.weight(on).mass) == pytest.approx(two - 10)


def test_tanks_filled_by_use_and_by_name(demo):
    tanks = {tank.name: tank for tank in demo.tanks_in("mended plan", FULL)}
    assert {name: tank.fill for name, tank in tanks.items()} == {"fuel tank new": 0.95, "livewell new": 0.95}
    assert {tank.name: tank.fill for tank in demo.tanks_in("as found")} == {
        "fuel tank as found": 0,
        "livewell as found": 0,
    }
    condition = demo.conditions[FULL]
    named = type(condition)("x", {"fuel": 0.5, "fuel tank new": 0.25})
    assert [tank.fill for tank in demo.tanks_in("first plan", named)] == [0.25, 0.0]
    assert tanks["fuel tank new"].solid.centroid[0] == pytest.approx(2.60)
    assert demo.tanks_in("first plan")[0].solid.centroid[0] == pytest.approx(2.05)


def test_a_livewell_open_to_the_sea_leaves_the_tanks(demo):
    condition = type(demo.conditions[FULL])("pump off", {"fuel": 0.95}, (), ("livewell",))
    assert [tank.name for tank in demo.tanks_in("as found", condition)] == ["fuel tank as found"]
    state = demo.float("as found", condition, shut=True)
    assert state.rounds[0].opened == ("livewell as found",)
    shut = type(condition)("shut", {"fuel": 0.95})
    assert state.marks["sole aft starboard"] <= demo.float("as found", shut, shut=True).marks["sole aft starboard"]


def test_a_standpipe_sets_the_level(spoil):
    head = "tank,use,density_kg_m3,capacity_l,"

    def lip(text):
        lines = text.splitlines()
        ends = {1: ",lip_x_m,lip_y_m,lip_z_m", 6: ",2.00,0.00,1.00"}
        assert lines[0].startswith(head)
        return "\n".join(line + ends.get(n, ",,,") for n, line in enumerate(lines, start=1)) + "\n"

    def stands(text):
        lines = text.splitlines()
        ends = {1: ",at_lip", 4: ",livewell"}
        return "\n".join(line + ends.get(n, ",") for n, line in enumerate(lines, start=1)) + "\n"

    boat = hc.read_boat(spoil({"tanks.csv": lip, "conditions.csv": stands}))
    state = boat.float("first plan", "two people", shut=True)
    well = next(liquid for liquid in state.liquids if liquid.name == "livewell new")
    normal, _ = state.plane
    assert float(well.surface_offset) == pytest.approx(float(normal @ [2.0, 0.0, 1.0]), abs=1e-12)
    assert float(well.fill) == pytest.approx((1.00 - 0.62) / 0.47, abs=0.02)  # level with the lip, near its middle


def test_unknown_names_say_what_there_is(demo):
    for call, words in (
        (lambda: demo.weight("frist plan"), "did you mean 'first plan'?"),
        (lambda: demo.weight(["3 braket"]), "did you mean '3 bracket'?"),
        (lambda: demo.float("first plan", "4 adults ful"), "did you mean '4 adults full'?"),
    ):
        with pytest.raises(hc.InputError) as raised:
            call()
        assert words in str(raised.value)


def test_packages_that_exclude_each_other(spoil):
    pair = "9 mend: sole raised 30 mm", "10 bracket 0.51 m instead"
    boat = hc.read_boat(spoil({"boat.toml": ("exclusive = []", f"exclusive = {[list(pair)]}")}))
    assert boat.exclusive == (pair,)
    assert boat.packages_on([pair[0]]) == {pair[0]}
    with pytest.raises(hc.InputError, match="exclude each other; switch one of them off"):
        boat.weight(pair)


def test_presence():
    here, raised = Presence(taken_by=frozenset({"raise"})), Presence(frozenset({"raise"}))
    assert (here.holds([]), here.holds(["raise"]), raised.holds([]), raised.holds(["raise"])) == (
        True,
        False,
        False,
        True,
    )
    assert can_meet(here, raised) is None
    assert can_meet(here, Presence()) == frozenset()
    assert can_meet(Presence(frozenset("a")), Presence(frozenset("b"))) == {"a", "b"}
    assert can_meet(Presence(frozenset("a")), Presence(frozenset("b")), exclusive=[("a", "b")]) is None
    needs_both = Presence(frozenset({"a", "b"}))
    assert [needs_both.holds(on) for on in ("", "a", "b", "ab")] == [False, False, False, True]


def test_marks_stand_where_the_plan_has_them(demo):
    assert demo.marks_in("first plan")["scupper port"].point[2] == 0.472
    assert demo.marks_in("mended plan")["scupper port"].point[2] == 0.502
    assert demo.marks["scupper port"].point[2] == 0.472  # the first position in the file
    assert "transom notch" in demo.marks_in("as found") and "transom notch" not in demo.marks_in("first plan")
    assert "bracket hatch" not in demo.marks_in("as found") and "bracket hatch" in demo.marks_in("first plan")
    assert present(demo.all_marks, demo.packages_on("first plan")).keys() == demo.marks_in("first plan").keys()


def test_spaces_and_solids_of_a_plan(demo):
    assert list(demo.solids_in("as found")) == ["hull"]
    assert list(demo.solids_in("first plan")) == ["hull", "bracket pod"]
    assert demo.spaces_in("first plan")["bracket pod"].openings == ("bracket hatch",)
    floors = [demo.spaces_in(plan)["cockpit"].solid.vertices[:, 2].min() for plan in ("first plan", "mended plan")]
    assert floors == [0.500, 0.530]
