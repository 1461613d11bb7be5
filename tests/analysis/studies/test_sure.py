"""How sure: two parts and both, the lowest of several marks, chances by other roads, and which plan stays best."""

from __future__ import annotations

import csv
import dataclasses
import re

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import integrate, stats

import hullcalc as hc
from analysis.report.sure import sure_sections
from analysis.studies.best_plan import which_stays_best
from analysis.studies.sure import LOWEST, best_of, how_sure, what_she_is_now
from analysis.studies.sure_words import say_straight, sure_finding, what_first
from hullcalc.boats.causes import all_causes, between
from hullcalc.boats.conditions import Condition
from hullcalc.weights.items import item

PLAN, CONDITION = "mended plan", "4 adults full"
PORT, STARBOARD = "sole aft port", "sole aft starboard"
N = 2000


@pytest.fixture(scope="module")
def sure(demo):
    return how_sure(demo, PLAN, CONDITION, samples=N)


def test_the_lowest_mark_is_watched_and_told_in_two_parts(sure):
    assert (sure.watched, sure.of, sure.told) == (STARBOARD, "sole", LOWEST)
    row = sure.row(STARBOARD)
    assert row["height_mm"] == pytest.approx(29, abs=0.5)  # by an independent program
    assert np.hypot(row["u_level_mm"], row["u_lean_mm"]) == pytest.approx(row["u_mm"])
    assert 8 < row["u_level_mm"] < 10  # the independent reckoning, everything on the centreline: 8 to 10 mm
    assert sure.shares["share"].sum() == pytest.approx(1.0)


def test_the_lowest_of_two_normal_heights_by_quadrature(demo):
    # Mean, standard deviation and chance of min(X, Y), X and Y jointly normal: by numbers, from the density of the
    # lower one, f(t) = sum over both of phi(t) Phi((mean other given t - t) / sd other given t).
    pair = how_sure(demo, PLAN, CONDITION, [PORT, STARBOARD], samples=8000)
    names = [PORT, STARBOARD]
    mean, covariance = 1000 * pair.causes.means(names), 1e6 * pair.causes.covariance(names)
    u = np.sqrt(np.diag(covariance))
    r = covariance[0, 1] / u.prod()

    def density(t):
        total = 0.0
        for one, other in ((0, 1), (1, 0)):
            given = mean[other] + r * u[other] / u[one] * (t - mean[one])
            total += stats.norm.pdf(t, mean[one], u[one]) * stats.norm.sf(t, given, u[other] * np.sqrt(1 - r**2))
        return total

    def whole(f, low=-90.0, high=130.0):
        return integrate.quad(f, low, high, limit=200)[0]

    assert whole(density) == pytest.approx(1, abs=1e-6)
    expected = whole(lambda t: t * density(t))
    scatter = np.sqrt(whole(lambda t: (t - expected) ** 2 * density(t)))
    wet = whole(density, high=0.0)
    lowest = pair.row(LOWEST)
    assert lowest["drawn_mean_mm"] == pytest.approx(expected, abs=0.5)  # sampling: 12 / sqrt(8000) = 0.13
    assert lowest["drawn_u_mm"] == pytest.approx(scatter, rel=0.03)  # sampling: 0.8 %
    assert lowest["chance"] == pytest.approx(wet, abs=4 * np.sqrt(wet / 8000))
    assert lowest["drawn_mean_mm"] < lowest["height_mm"] - 3  # whichever way she leans, one goes down


def test_with_her_level_the_corners_go_together(sure):
    row = sure.row(LOWEST)
    assert row["drawn_level_u_mm"] == pytest.approx(sure.row(STARBOARD)["u_level_mm"], rel=0.05)
    assert row["chance_level"] <= row["chance"]


def test_the_interval_of_one_mark_is_the_normal_one(sure):
    row = sure.row(STARBOARD)
    for end, side in (("low_mm", -1), ("high_mm", 1)):
        # Sampling error of a 2.5 % quantile: u sqrt(p (1 - p) / n) / phi(1.96) = 0.060 u for 2000 draws.
        assert row[end] == pytest.approx(row["mean_mm"] + side * 1.96 * row["u_mm"], abs=4 * 0.060 * row["u_mm"])


def test_what_was_measured_counts_for_less(demo, sure):
    best = sure.next.steps.iloc[0]
    after = how_sure(demo, PLAN, CONDITION, samples=500, measured=[best["measure"]])
    assert after.row(STARBOARD)["u_mm"] == pytest.approx(best["u_mm"])
    assert after.row(STARBOARD)["height_mm"] == sure.row(STARBOARD)["height_mm"]
    assert best["measure"] not in list(after.next.ranked.head(1)["measure"])


def test_one_mark_has_no_lowest(demo):
    one = how_sure(demo, PLAN, CONDITION, [PORT], samples=500)
    assert list(one.table["mark"]) == [PORT]
    assert one.told == PORT
    assert f"chance that {PORT} is under water: " in sure_finding(one)


def test_where_straight_lines_do_not_hold_it_is_said(demo, sure):
    assert say_straight(sure)[0].startswith("Straight lines tell the same as the draws: give or take 14.2 against ")
    # A crowd that may stand anywhere across: she leans until chine and deck edge come in, which straight lines miss.
    crowd = item("crowd", 900, (2.2, 0.0, 1.4), "estimated", 10, (0.1, 0.45, 0.1))
    boat = dataclasses.replace(demo, people=dict(demo.people) | {"crowd": crowd})
    bent = how_sure(boat, "as found", Condition("crowd", aboard=("crowd",)), [PORT], samples=2000)
    assert not bent.agreements[PORT].straight
    (said,) = say_straight(bent)
    assert said.startswith(f"At {PORT} straight lines do not hold: ") and said.endswith("; go by the draws.")


def test_draws_that_sink_are_said_and_count_as_under_water(demo):
    heavy = item("cargo", 7500, (2.9, 0.0, 0.4), "guess", 1200, (0.02, 0.02, 0.02))
    boat = dataclasses.replace(demo, people=dict(demo.people) | {"cargo": heavy}, spaces=())  # no water comes in
    told = how_sure(boat, "as found", Condition("cargo", aboard=("cargo",)), samples=500)
    # The hull carries 10.7 t of sea water's weight to her sheer: 1.4 of these standard uncertainties above the load.
    assert 0 < told.sunk < 500
    assert told.chance(LOWEST).share >= told.sunk / 500
    assert f"She sinks in {told.sunk} of 500 draws; those count as under water." in say_straight(told)
    for part in sure_sections(told):
        assert "nan" not in str(part)


def test_the_finding_and_what_first(sure):
    said = sure_finding(sure)
    assert re.match(
        r"4 adults full, the mended plan: sole aft starboard 29 mm above water, give or take 14 mm \(9 mm with her "
        r"level, 11 mm by what leans her\); chance that a mark of the sole is under water: \d in 100 \(\d\.\d %\)$",
        said,
    )
    assert "minutes, and the uncertainty at sole aft starboard goes from 14.2 to " in what_first(sure)
    assert "(3/8 in with her level" in sure_finding(sure, "us")


def test_how_the_watched_marks_are_called(demo):
    for marks, called in ((["scupper"], "a scupper mark"), ([PORT, STARBOARD], f"one of {PORT} and {STARBOARD}")):
        told = how_sure(demo, PLAN, CONDITION, marks, samples=500)
        assert f"chance that {called} is under water: " in sure_finding(told)


def test_what_she_is_now(demo):
    table = what_she_is_now(demo, demo.plans).set_index("plan")
    assert_allclose(
        table.loc["as found", ["mass_kg", "u_mass_kg", "lcg_m", "u_lcg_m"]].tolist(), [1612, 17, 2.075, 0.013]
    )
    # Other road: each row of the ledger by hand, by the rule of its basis, u² = sum ((x - xG) / M u_m)² + (m / M u_x)².
    # An independent program says 38 kg and 22 mm.
    rules = {"weighed": (0.01, 0.01), "data sheet": (0.03, 0.02), "calculated": (0.08, 0.03), "estimated": (0.15, 0.05)}
    terms = [(1612.0, 2.075, 17.0, 0.013)]
    with (demo.folder / "ledger.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            if row["pkg"] in demo.plans["first plan"].packages:
                mass, (share, place) = float(row["mass_kg"]), rules[row["basis"]]
                sign = -1 if row["act"] == "remove" else 1
                terms.append((sign * mass, float(row["x_m"]), float(row["u_mass_kg"] or share * mass), place))
    m, x, u_m, u_x = np.array(terms).T
    lcg = m @ x / m.sum()
    light = table.loc["first plan"]
    assert light["u_mass_kg"] == pytest.approx(np.hypot.reduce(u_m))
    assert light["u_lcg_m"] == pytest.approx(np.hypot.reduce([*(x - lcg) * u_m, *m * u_x]) / m.sum())
    assert (round(light["mass_kg"]), round(light["u_mass_kg"])) == (1943, 38)  # independent: 1943 give or take 38 kg


def test_which_plan_stays_best(demo):
    best, notes = best_of(demo, {plan: plan for plan in demo.plans}, CONDITION, samples=N)
    assert notes == ()
    assert list(best.table["plan"]) == ["mended plan", "as found", "first plan"]
    assert best.table["best_share"].sum() == pytest.approx(1.0)
    pairs = best.pairs.set_index("plan")
    assert np.all(pairs["u_mm"] < pairs["u_apart_mm"])  # what is shared cancels
    assert pairs.loc["as found", "higher_share"] == pytest.approx(1 - best.order_kept, abs=0.002)


def test_the_difference_of_two_plans_at_one_mark_by_straight_lines(demo):
    best, _ = best_of(demo, {plan: plan for plan in ("first plan", PLAN)}, CONDITION, [STARBOARD], N)
    mean, u = between(*(all_causes(demo, plan, CONDITION) for plan in (PLAN, "first plan")), STARBOARD)
    (pair,) = best.pairs.to_dict("records")
    assert pair["u_mm"] == pytest.approx(1000 * u, rel=0.06)  # small against either plan's own, so curvature shows
    assert pair["lower_mm"] == pytest.approx(1000 * mean, abs=1e-6)


def test_the_same_plan_twice_is_a_draw(demo, sure):
    best = which_stays_best({"a": sure.causes, "b": sure.causes}, dict.fromkeys("ab", sure.marks), CONDITION, 500)
    assert list(best.table["best_share"]) == [0.5, 0.5]
    assert best.pairs["u_mm"].iloc[0] == 0.0
    with pytest.raises(hc.InputError, match="takes two plans at least"):
        which_stays_best({"a": sure.causes}, {"a": sure.marks}, CONDITION, 500)


def test_plans_that_take_no_part_are_named(demo):
    best, notes = best_of(demo, {plan: plan for plan in demo.plans}, CONDITION, ["transom notch"], 500)
    assert best is None
    assert [note.split(":")[0] for note in notes] == ["first plan takes no part", "mended plan takes no part"]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"marks": ["sole aft"]}, "no mark or kind of mark is called 'sole aft'"),
        ({"marks": ["transom notch"]}, "transom notch"),
        ({"samples": 10}, "samples = 10: expected a whole number from 500"),
        ({"samples": 1e4}, "expected a whole number"),
        ({"measured": ["weigh the anchor"]}, "no measurement 'weigh the anchor' is offered here"),
        ({"plan": "no plan"}, "no plan is called 'no plan'"),
        ({"condition": "storm"}, "no condition is called 'storm'"),
    ],
)
def test_bad_input(demo, asked, words):
    with pytest.raises(hc.InputError, match=re.escape(words)):
        how_sure(**({"boat": demo, "plan": PLAN, "condition": CONDITION, "samples": 500} | asked))


def test_no_doubt_to_tell_of(demo):
    sure_of = dataclasses.replace(
        demo, u_hull=0.0, all_marks=tuple(dataclasses.replace(mark, u_z=0.0) for mark in demo.all_marks), solids=(),
        as_found=item("as found", 1612.0, (2.075, 0.004, 0.6), "weighed", 0.0, 0.0),
    )  # fmt: skip
    with pytest.raises(
        hc.InputError, match=r"nothing that is uncertain moves these marks.*\[uncertainty\] in boat\.toml"
    ):
        how_sure(sure_of, "as found", Condition("bare"), samples=500)


def test_she_that_sinks_has_no_doubt(demo):
    boat = dataclasses.replace(demo, people={"cargo": item("cargo", 9000, (2, 0, 1), "weighed")})
    with pytest.raises(hc.NoEquilibriumError):
        how_sure(boat, PLAN, Condition("cargo", aboard=("cargo",)), samples=500)
