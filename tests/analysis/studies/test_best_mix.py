"""The best mix under limits, against brute force over grids and over all switches; limits that leave nothing."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from box_boat import write_box_boat
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis.studies.best_mix import Limits, best_mix
from analysis.studies.ends import Watch
from analysis.studies.floats import sole_fall
from analysis.studies.mend_words import mix_finding, mix_parts
from analysis.studies.mixing import HOURS, Knob, Limit, best_of
from hullcalc.boats.adjusted import adjustable
from hullcalc.boats.moves import Setting

FULL = "4 adults full"
BATTERIES = "three group-31 AGM batteries with boxes"
ONLY = ("fuel tank new", "bracket pod", "sole + scupper", "livewell pump sea chest and hoses",
        "anchor 8 m chain 60 m rope", "9 mend: batteries to the console", "9 mend: tank moved forward",
        "10 bracket 0.51 m instead")  # fmt: skip


def test_not_worse_than_brute_force(demo):
    """Batteries over a grid of places, cooler along the deck, sole raised or not, not more than 6.2 % on the ball."""
    limits = Limits(tongue=(0.05, 0.062), bow_up=False, drains_aft=False)
    mix = best_mix(demo, "first plan", FULL, "sole", limits, without=ONLY)
    names = ["sole aft port", "sole aft starboard", "sole forward"]
    battery, cooler = (next(f for f in demo.freedoms if f.name == n) for n in (BATTERIES, "cooler with ice and drinks"))
    watch, best = Watch(demo), -np.inf
    for sole in ((), ("9 mend: sole raised 30 mm",)):
        on = demo.packages_on("first plan") | set(sole)
        ready = adjustable(demo, on, FULL)
        for place in [None, *((x, y) for x in np.linspace(2.30, 2.95, 6) for y in np.linspace(-0.3, 0.3, 5))]:
            moved = [] if place is None else [Setting(battery, place)]
            if not 0.05 <= watch.ball(on, moved).share <= 0.062:
                continue
            for x in (None, 0.9, 2.7, 4.6):
                settings = moved + ([] if x is None else [Setting(cooler, (x, 0.0))])
                best = max(best, min(ready.float(settings).marks[n] for n in names))
    assert mix.mix.lowest >= best - 5e-4  # a change that buys less than half a millimetre is left out
    assert min(mix.case.heights_shut[n] for n in names) == pytest.approx(mix.mix.lowest, abs=1e-12)
    assert mix.ends.ball.share <= 0.062 + 1e-4


def test_a_tank_may_pass_another_that_stands_in_its_way(demo):
    """The skiff's fuel tank fits abaft the livewell or forward of it; forward, the shorter stretch, is what helps."""
    skiff = hc.read_boat(demo.folder.parent / "demo-skiff-18")
    tank = next(f for f in skiff.freedoms if f.name == "fuel tank new")
    others = [f.name for f in skiff.freedoms if f is not tank] + [p for p in skiff.packages if p.startswith("9")]
    limits = Limits(bow_up=False, drains_aft=False)
    mix = best_mix(skiff, "first plan", "two people full", "sole aft port", limits, without=others)
    ready = adjustable(skiff, "first plan", "two people full")
    floated = {}
    for x in np.linspace(0.6, 2.4, 37):
        setting = [Setting(tank, (x, 0.0))]
        floated[x] = -np.inf if ready.does_not_fit(setting) else ready.float(setting).marks["sole aft port"]
    assert floated[1.5] == -np.inf  # the livewell stands there
    assert mix.mix.lowest >= max(floated.values()) - 1e-6
    assert mix.settings[0].value[0] > 1.95


def test_inside_the_box_it_meets_a_fine_grid_from_both_sides(tmp_path):
    """One knob, one switch, bow not down: the optimum is where the box lies level; a grid of 1 mm brackets it."""
    box = hc.read_boat(write_box_boat(tmp_path / "box"))
    mix = best_mix(box, "with weight", "light", "sole aft", Limits())
    # Closed form: the box lies level with her centre of gravity amidships: 2400 kg there, so the weight too, at x = 3.
    assert [s.freedom.name for s in mix.settings] == ["ballast", "sole"]
    assert mix.settings[0].value[0] == pytest.approx(3.0, abs=2e-3)
    draught = 2520 / (1000 * 6.0 * 2.0)
    assert 1000 * mix.mix.lowest == pytest.approx(1000 * (0.5 + 0.03 - draught), abs=0.3)
    assert mix.packages == ()
    assert mix.hours == 5


def test_fewest_hours_as_every_choice_of_packages_one_by_one(demo):
    """Only packages: 16 choices floated one by one; the fewest hours that keep the sole 10 mm above water."""
    without = [f.name for f in demo.freedoms]
    limits = Limits(keep_mm=10)
    mix = best_mix(demo, "first plan", FULL, "sole", limits, aim=HOURS, without=without)
    watch, first, found = Watch(demo), demo.packages_on("first plan"), []
    left = [p for p in demo.packages if p not in first]
    for n in range(len(left) + 1):
        for chosen in combinations(left, n):
            ends = watch.ends(first | set(chosen))
            case = ends.cases[FULL]
            falls = [sole_fall(c.marks, c.heights_shut).fall for c in ends.cases.values()]
            if min(case.heights_shut[m] for m in case.watched(["sole"])) < 0.010:
                continue
            if min(falls) < 0 or min(c.shut.trim for c in ends.cases.values()) < 0:
                continue
            found.append((sum(demo.works[p].hours for p in chosen), chosen))
    assert found
    assert mix.hours == min(hours for hours, _ in found)
    assert (mix.hours, mix.packages) in [(h, tuple(sorted(c))) for h, c in found]


def test_limits_are_kept_and_spent_is_not_more_than_allowed(demo):
    limits = Limits(hours=5, cost=300, heel_deg=0.5, forward_mm=690)
    mix = best_mix(demo, "first plan", FULL, "sole", limits)
    assert mix.hours <= 5
    assert mix.cost <= 300
    assert abs(mix.case.shut.heel) <= 0.5 + 1e-3
    for case in mix.ends.cases.values():
        assert case.shut.trim >= -1e-3
        edges = [n for n in case.watched(["freeboard"]) if case.marks[n].point[0] > 3.2]
        assert min(case.heights_shut[n] for n in edges) >= 0.690 - 1e-4
    assert mix_finding(mix).startswith("The first plan, 4 adults full: the best mix lifts the lowest sole ")
    assert len(mix_parts(mix)) == len(mix.packages) + len(mix.settings)


def test_a_plan_that_needs_nothing_gets_nothing(demo):
    mix = best_mix(demo, "mended plan", "light", "sole", Limits(keep_mm=20), aim=HOURS)
    assert (mix.hours, mix.cost) == (0, 0)


def test_the_same_answer_each_time(demo):
    one, other = (best_mix(demo, "first plan", FULL, "sole", Limits(hours=3), without=ONLY) for _ in range(2))
    assert one.mix.lowest == other.mix.lowest
    assert [s.freedom.name for s in one.settings] == [s.freedom.name for s in other.settings]


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        (Limits(keep_mm=500), "sole at least 500 mm above water .the most to be had with the rest kept is [0-9]+ mm"),
        (Limits(tongue=(0.3, 0.4)), "tongue 30 to 40 % .* the most to be had with the rest kept is [0-9.]+ %"
                                    "|tongue 30 to 40 % of boat and trailer .the most"),
        (Limits(keep_mm=20, hours=0), "sole at least 20 mm .* or hours at most 0 h .the least .* is 3 h"),
        (Limits(heel_deg=-1), "must be zero or more"),
        (Limits(tongue=(0.4, 0.3)), "the lower first"),
        (Limits(hours=-1), "must be zero or more"),
    ],
)  # fmt: skip
def test_limits_that_exclude_everything_name_the_one_that_bites(demo, limits, words):
    with pytest.raises(hc.InputError, match=words) as raised:
        best_mix(demo, "first plan", FULL, "sole", limits)
    assert "\n" not in str(raised.value)


def test_wrong_questions(demo, tmp_path):
    with pytest.raises(hc.InputError, match="expected one of height, hours, cost"):
        best_mix(demo, "first plan", FULL, aim="speed")
    with pytest.raises(hc.InputError, match="say too how high"):
        best_mix(demo, "first plan", FULL, aim=HOURS)
    with pytest.raises(hc.InputError, match="'mast', so it cannot be left out"):
        best_mix(demo, "first plan", FULL, without=["mast"])
    box = hc.read_boat(write_box_boat(tmp_path / "box", packages="", moves=""))
    with pytest.raises(hc.InputError, match="nobody said what these take: ballast forward"):
        best_mix(box, "with weight", "light", "sole aft", Limits(hours=3))


# The programs alone, on figures that are known functions


def straight(on, values):
    return np.array([1.0 + on[0] * values[0][0] + 0.5 * on[1], 2.0 - on[0] * values[0][0]])


KNOBS = (
    Knob("slide", 2.0, 10.0, np.zeros(1), np.zeros(1), np.ones(1)),
    Knob("switch", 3.0, 1.0, np.zeros(0), np.zeros(0), np.zeros(0)),
)


def say(value):
    return f"{value:.2f}"


def test_the_lowest_of_two_that_pull_apart():
    # max over s in [0, 1] of min(1.5 + s, 2 - s) is at s = 0.25: 1.75
    mix = best_of(straight, KNOBS, [0, 1], [])
    assert mix.lowest == pytest.approx(1.75, abs=1e-6)
    assert_allclose(mix.values[0], [0.25], atol=1e-6)


def test_limits_that_cannot_be_kept_together_are_named_together():
    limits = [
        Limit("first high", say, 0, low=1.4),
        Limit("second high", say, 1, low=1.8),
        Limit("no hours", say, HOURS, high=2.5),
    ]
    with pytest.raises(
        hc.InputError, match=r"loosen first high \(.*1\.20\) or second high \(.*1\.60\) or no hours \(.* is 3\.00\)"
    ):
        best_of(straight, KNOBS, [0, 1], limits)
    limits = [Limit("first high", say, 0, low=9.0), Limit("second high", say, 1, low=9.0)]
    with pytest.raises(
        hc.InputError, match=r"even alone nothing keeps first high \(.*2\.50\) nor second high \(.*2\.00\)"
    ):
        best_of(straight, KNOBS, [0, 1], limits)


def test_a_mix_that_cannot_be_built_is_passed_over():
    mix = best_of(straight, KNOBS, [0], [], fits=lambda on, values: not (on[0] and on[1]))
    assert mix.on.tolist() == [True, False]
    assert best_of(straight, KNOBS, [0], [], exclusive=[[0, 1]]).on.tolist() == [True, False]


def test_bent_figures_are_met_where_they_are_exact():
    """A figure that bends: 1 + 2 s - s² on 0..2 has its summit 2 at s = 1."""

    def bent(on, values):
        s = values[0][0] * on[0]
        return np.array([1 + 2 * s - s**2])

    knob = Knob("slide", 0.0, 0.0, np.zeros(1), np.zeros(1), np.array([0.9]))
    mix = best_of(bent, [knob], [0], [])
    assert mix.values[0][0] == pytest.approx(0.9, abs=1e-6)
    assert mix.lowest == pytest.approx(1 + 1.8 - 0.81, abs=1e-9)
