"""Mends searched: each floated again singly, against an independent program, closed forms and a seeded over-mending."""

from __future__ import annotations

import numpy as np
import pytest
from box_boat import TABLES, write_box_boat

import hullcalc as hc
from analysis.studies.ends import BOW_DOWN, FORWARD, HEELS, LOWER, TONGUE, Watch, both_ends, flags
from analysis.studies.mend_words import say_flag, say_mend, say_rate
from analysis.studies.searched import PACKAGE, best_value, search_mends
from hullcalc.boats.adjusted import adjustable
from hullcalc.boats.moves import Setting

FULL = "4 adults full"
BATTERIES = "three group-31 AGM batteries with boxes"


@pytest.fixture(scope="module")
def searched(demo):
    return search_mends(demo, "first plan", FULL, "sole")


def mend_of(searched, name, kind=None):
    return next(m for m in searched.mends if m.name == name and kind in (None, m.kind))


def test_as_an_independent_program_finds(searched):
    # Source: an independent program: batteries to the console +27 mm at the sole corner, tank forward +16, sole +30
    mm = {m.name: m.mm for m in searched.mends if m.kind == PACKAGE}
    assert mm["batteries to the console"] == pytest.approx(27, abs=2)
    assert mm["tank moved forward"] == pytest.approx(16, abs=2)
    assert mm["sole raised 30 mm"] == pytest.approx(30, abs=2)
    hours = {m.name: m.hours for m in searched.mends}
    assert (hours["batteries to the console"], hours["sole raised 30 mm"]) == (3, 0)


def test_each_is_floated_again_singly(demo, searched):
    ready = adjustable(demo, "first plan", FULL)
    corners = ("sole aft port", "sole aft starboard", "sole forward")
    before = min(ready.float([]).marks[c] for c in corners)
    for mend in searched.mends:
        state = demo.float(mend.packages, FULL, shut=True) if mend.kind == PACKAGE else ready.float(mend.settings)
        assert mend.mm == pytest.approx(1000 * (min(state.marks[c] for c in corners) - before), abs=1e-9)
        assert mend.case.heights_shut == pytest.approx(state.marks, abs=1e-12)


def test_no_place_within_the_limits_is_better(demo, searched):
    # Other road: every place of a grid of its own, one by one; the best found may only be better.
    ready = adjustable(demo, "first plan", FULL)
    corners = ("sole aft port", "sole aft starboard")
    move = next(f for f in demo.freedoms if f.name == BATTERIES)
    places = [(x, y) for x in np.linspace(2.30, 2.95, 6) for y in np.linspace(-0.3, 0.3, 7)]
    best = max(min(ready.float([Setting(move, p)]).marks[c] for c in corners) for p in places)
    mend = mend_of(searched, BATTERIES)
    assert min(mend.case.heights_shut[c] for c in corners) >= best - 1e-9
    assert np.all(mend.settings[0].value >= move.low)
    assert np.all(mend.settings[0].value <= move.high)


def test_tanks_stay_in_the_hull(demo, searched):
    tank = mend_of(searched, "fuel tank new", "place")
    assert adjustable(demo, "first plan", FULL).does_not_fit(tank.settings) == ""
    assert tank.settings[0].value[0] < 3.0  # its limit, where it would stand outside the bottom


def test_ranked_by_the_hour_and_by_cost(searched, tmp_path):
    rates = [m.mm_per_hour for m in searched.mends]
    assert rates == sorted(rates, reverse=True)
    assert np.isinf(rates[0])
    box = hc.read_boat(write_box_boat(tmp_path / "box"))
    by_cost = search_mends(box, "with weight", "light", "sole aft", by="cost")
    assert [m.name for m in by_cost.mends] == ["sole", "ballast", "ballast forward"]
    rates = [m.mm_per_cost for m in by_cost.mends]
    assert rates == sorted(rates, reverse=True)
    assert rates[0] == pytest.approx(100 * by_cost.mends[0].mm / 30)
    later = search_mends(box, "with weight", "light", "sole aft", later=True)
    assert {m.name: m.hours for m in later.mends} == {"ballast": 20, "ballast forward": 12, "sole": 40}
    assert mend_of(later, "sole").mm_per_hour == pytest.approx(mend_of(later, "sole").mm / 40)
    assert say_rate(mend_of(later, "sole"), "hours", "USD") == "1 mm an hour"


def test_enough_is_nearer_and_buys_nine_tenths(searched):
    for mend in searched.mends:
        if mend.enough is not None:
            setting, mm = mend.enough
            way = np.abs(mend.settings[0].value - setting.value)
            assert 0.9 * mend.mm - 1e-6 <= mm <= mend.mm + 1e-6
            assert np.all(way <= np.abs(mend.settings[0].value - mend.now) + 1e-9)


def test_best_value_closes_in_on_a_known_summit():
    def gain(values):
        return -np.abs(values[:, 0] - 0.3712) - 2 * np.abs(values[:, 1] + 0.21)

    best, most = best_value(gain, np.array([0.0, -1.0]), np.array([1.0, 1.0]))
    assert best == pytest.approx([0.3712, -0.21], abs=0.02)
    assert most == pytest.approx(0, abs=0.04)
    assert best_value(lambda v: np.full(len(v), np.nan), np.zeros(1), np.ones(1)) is None


# Both ends


def test_over_mending_is_flagged(tmp_path):
    """A weight of 120 kg far forward puts the bow of a box down and drains her sole forward."""
    box = hc.read_boat(write_box_boat(tmp_path / "box"))
    searched = search_mends(box, "with weight", "light", "sole aft")
    mend = mend_of(searched, "ballast")
    said = {flag.kind: flag for flag in mend.flags}
    assert {BOW_DOWN, LOWER, FORWARD} <= set(said)
    assert said[BOW_DOWN].after == pytest.approx(mend.case.shut.trim)
    assert say_flag(said[BOW_DOWN]).startswith("puts the bow down: ")
    assert said[FORWARD].after < 0 < said[FORWARD].before
    assert say_flag(said[FORWARD]).startswith("the sole drains forward by ")
    assert mend.clear is not None  # part of the way does no such harm, and buys less
    x = mend.clear[0].value[0]
    assert 0.5 <= x < mend.settings[0].value[0]
    assert mend.clear[1] < mend.mm
    after = both_ends(box, "with weight", [mend.clear[0]])
    assert not [flag for flag in flags(searched.ends, after) if flag.grave]
    assert "at the middle" not in say_mend(mend)


def test_heel_and_the_trailer_are_flagged(tmp_path):
    box = hc.read_boat(write_box_boat(tmp_path / "box"))
    watch, on = Watch(box), box.packages_on("with weight")
    move = box.freedoms[0]
    said = {f.kind: f for f in flags(watch.ends(on), watch.ends(on, [Setting(move, [0.5, -0.6])]))}
    assert set(said) == {HEELS, TONGUE, LOWER}  # heeled, the sheer forward is lower on that side
    # closed form: 120 kg moved 0.5 m aft over 5 m from axle to ball takes 12 kg off 500 + 2520 kg
    assert said[TONGUE].before - said[TONGUE].after == pytest.approx(120 * 0.5 / 5.0 / 3020)
    assert "to starboard" in say_flag(said[HEELS])


def test_full_tanks_on_the_trailer(demo):
    # Source: an independent program: with full fuel 162 kg on the ball (5.7 %) in the first plan, 233 (8.2 %) mended
    watch = Watch(demo)
    for plan, kg, share in (("first plan", 162, 5.7), ("mended plan", 233, 8.2)):
        ball = watch.ball(demo.packages_on(plan), full=True)
        assert (round(ball.kg), round(100 * ball.share, 1)) == (kg, share)


# Words and wrong questions


def test_a_boat_without_the_tables_is_told_which_to_write(tmp_path):
    box = hc.read_boat(write_box_boat(tmp_path / "box", packages="", moves=""))
    searched = search_mends(box, "with weight", "light", "sole aft")
    assert [m.hours for m in searched.mends] == [None]
    with pytest.raises(hc.InputError, match=r"nothing to try: write moves\.csv"):
        search_mends(box, [*box.packages], "light")


def test_wrong_questions(demo):
    with pytest.raises(hc.InputError, match="expected hours or cost"):
        search_mends(demo, "first plan", FULL, by="weight")
    with pytest.raises(hc.InputError, match="watch one of"):
        search_mends(demo, "first plan", FULL, "mast top")


def test_a_tank_that_fits_nowhere_is_named_with_the_reason(tmp_path):
    tables = {
        "tanks": "tank,use,x_from_m,x_to_m,y_from_m,y_to_m,z_from_m,z_to_m\nfuel tank,fuel,1,2,-0.4,0.4,0.1,0.4\n",
        "moves": TABLES["moves.csv"] + "fuel tank,-0.2,0.2,,,,,1,,\n",
    }
    box = hc.read_boat(write_box_boat(tmp_path / "box", **tables))
    searched = search_mends(box, "with weight", "light", "sole aft")
    assert any("fuel tank (in the middle of its limits" in name and "transom" in name for name in searched.useless)
