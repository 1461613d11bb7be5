"""All causes of a boat: what each does against floating her again with it, sums of them, and draws against sums."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy import stats

import hullcalc as hc
from hullcalc.boats.causes import ACROSS, Cause, Causes, all_causes, between
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import BoatTank
from hullcalc.weights.items import item

PLAN, CONDITION = "mended plan", "4 adults full"
SOLE = ("sole aft port", "sole aft starboard")
N = 20_000


@pytest.fixture(scope="module")
def causes(demo):
    return all_causes(demo, PLAN, CONDITION)


@pytest.fixture(scope="module")
def sampled(causes):
    return causes.sample(SOLE, N)


def heights(boat, marks=SOLE):
    state = boat.float(PLAN, CONDITION, shut=True)
    return np.array([state.marks[mark] for mark in marks])


def effect(causes, name):
    return causes.effects(SOLE)[causes.names.index(name)]


def with_tanks(boat, **changes):
    return dataclasses.replace(boat, tanks=tuple(dataclasses.replace(tank, **changes) for tank in boat.tanks))


def test_denser_water_and_heavier_fuel_against_floating_again(demo):
    # Central differences of whole floats; the straight line differs by curvature alone.
    doubted = dataclasses.replace(demo, u_water=5.0)
    seas = [heights(dataclasses.replace(demo, water_density=1025.0 + d)) for d in (2.5, -2.5)]
    assert_allclose(effect(all_causes(doubted, PLAN, CONDITION), "water: density"), seas[0] - seas[1], rtol=2e-3)
    fuels = [
        heights(
            dataclasses.replace(
                demo,
                tanks=tuple(dataclasses.replace(t, density=t.density + d * (t.use == "fuel")) for t in demo.tanks),
            )
        )
        for d in (7.5, -7.5)
    ]
    # 15 kg/m3: what the folder takes for gasoline, of which nobody said how well its density is known
    assert_allclose(effect(all_causes(demo, PLAN, CONDITION), "fuel: density"), fuels[0] - fuels[1], rtol=2e-3)


def test_how_full_a_tank_is_against_floating_again(demo):
    doubted = with_tanks(demo, u_fill=0.04)
    half = dataclasses.replace(demo.conditions[CONDITION], fills={"fuel": 0.5, "livewell": 0.95})
    found = all_causes(doubted, PLAN, half)
    ends = [
        demo.float(PLAN, dataclasses.replace(half, fills={"fuel": f, "livewell": 0.95}), shut=True).marks
        for f in (0.52, 0.48)
    ]
    moved = [ends[0][mark] - ends[1][mark] for mark in SOLE]
    assert_allclose(effect(found, "fuel tank new: how full"), moved, rtol=5e-3)
    alone = found.without(lambda cause: cause.name != "fuel tank new: how full")
    drawn = alone.sample(SOLE, 2000)
    assert_allclose(drawn.std(axis=0), np.abs(moved), rtol=0.05)  # 2,000 draws: 1.6 % of a standard deviation
    full = dataclasses.replace(half, fills={"fuel": 1.0})
    brim = all_causes(doubted, PLAN, full).without(lambda cause: cause.name != "fuel tank new: how full")
    assert np.mean(np.isclose(brim.sample(SOLE, 400)[:, 0], brim.heights(SOLE)[0])) > 0.4  # no fuller than full


def test_each_mark_has_a_height_of_its_own_and_the_hull_is_shared(causes):
    own = [effect(causes, f"{mark}: its own height") for mark in SOLE]
    assert_allclose(own, 0.004 * np.eye(2))  # boat.toml: mark_mm
    assert_allclose(effect(causes, "hull: shape"), [0.0025, 0.0025])  # boat.toml: hull_mm
    covariance = causes.covariance(SOLE)
    others = causes.without(lambda cause: "its own height" in cause.name)
    assert_allclose(covariance - others.covariance(SOLE), 16e-6 * np.eye(2), atol=1e-12)


def test_what_leans_her_is_all_that_is_placed_across(causes):
    assert {cause.kind for cause in causes.each if cause.leans} == {ACROSS}
    upright = causes.without(lambda cause: cause.leans)
    assert not [name for name in upright.names if name.endswith(": y")]
    parts = [np.sqrt(np.diag(c.covariance(SOLE))) for c in (upright, causes.without(lambda cause: not cause.leans))]
    assert_allclose(np.hypot(*parts), np.sqrt(np.diag(causes.covariance(SOLE))), rtol=1e-12)


def test_the_demo_boat_by_an_independent_reckoning(causes):
    # Weights, places fore and aft and heights: 8 to 10 mm by an independent program that placed everything on the
    # centreline; what is said of places across (150 mm for each adult, 10 mm for the boat's own) comes on top.
    upright = causes.without(lambda cause: cause.leans)
    level, whole = (1000 * np.sqrt(c.covariance(SOLE)[1, 1]) for c in (upright, causes))
    assert 8 < level < 10
    assert 13 < whole < 16


def test_straight_lines_against_twenty_thousand_draws(causes, sampled):
    # Sampling error of a standard deviation: 1 / sqrt(2 n) = 0.5 %; 2 % is four of them.
    linear = causes.covariance(SOLE)
    u = np.sqrt(np.diag(linear))
    assert_allclose(sampled.std(axis=0, ddof=1), u, rtol=0.02)
    assert_allclose(sampled.mean(axis=0), causes.means(SOLE), atol=0.04 * u.max())
    correlation = np.corrcoef(sampled.T)[0, 1]
    assert correlation == pytest.approx(linear[0, 1] / u.prod(), abs=0.03)


def test_the_count_of_wet_draws_against_the_normal_chance(causes, sampled):
    u = np.sqrt(np.diag(causes.covariance(SOLE)))
    for column in (0, 1):
        expected = stats.norm.cdf(-causes.heights(SOLE)[column] / u[column])
        spread = np.sqrt(expected * (1 - expected) / N)
        assert np.mean(sampled[:, column] < 0) == pytest.approx(expected, abs=4 * spread + 0.05 * expected)


def test_the_lower_of_two_corners_against_the_bivariate_normal(causes, sampled):
    # P(min < t) = 1 - P(both > t): scipy's bivariate normal integral, an independent road to the count.
    mean, covariance = causes.means(SOLE), causes.covariance(SOLE)
    for t in (0.0, 0.010, 0.025):
        expected = 1 - stats.multivariate_normal(-mean, covariance).cdf(np.full(2, -t))
        spread = np.sqrt(expected * (1 - expected) / N)
        assert np.mean(sampled.min(axis=1) < t) == pytest.approx(expected, abs=4 * spread + 0.02 * expected)


def one_cause(*each) -> Causes:
    """Causes of a box barge 6 m by 2 m in fresh water, 4800 kg, a mark at either side amidships."""
    marks = {
        side: hc.boats.marks.Mark(side, np.array([3.0, y, 0.6]), "sole")
        for side, y in (("port", 0.9), ("starboard", -0.9))
    }
    hull = {"hull": hc.geometry.makers.box((0, 6), (-1, 1), (0, 1))}
    loading = Loading(4800.0, np.array([3.0, 0.0, 0.4]), 1000.0, hull, (), {}, (), (), {}, marks)
    state = hc.boats.afloat.float_loading(loading, shut=True)
    return Causes(loading, state, each, np.zeros(4))


def weight(name, mass, y=0.0, **more):
    return Cause(name, name, "mass", load=mass * np.array([1, 3.0, y, 0.4]), **more)


def test_a_barge_by_hand():
    # Weight over area: 120 kg on 12 m² of fresh water is 10 mm, at both marks.
    barge = one_cause(weight("load", 120.0))
    assert_allclose(barge.effects(["port", "starboard"]), [[-0.010, -0.010]], atol=1e-12)
    assert_allclose(barge.sample(["port"], 2000)[:, 0].std(), 0.010, rtol=0.05)
    assert_allclose(barge.scaled({"load": 0.25}).effects(["port"]), [[-0.0025]], atol=1e-12)


def test_a_one_sided_weight_on_a_barge():
    # A right-angled triangle from the likely figure up to 360 kg more: mean 120, u = 360 / sqrt(18); 12 kg a mm.
    bounds = np.array([0.0, np.sqrt(18)])
    barge = one_cause(weight("wet foam", 360 / np.sqrt(18), bounds=bounds))
    shifted = dataclasses.replace(barge, shift=120.0 * np.array([1, 3.0, 0.0, 0.4]))
    drawn = shifted.sample(["port"], N)[:, 0]
    dry = barge.heights(["port"])[0]
    assert_allclose(shifted.means(["port"]), dry - 0.010, atol=1e-12)
    assert drawn.max() <= dry + 1e-9 and drawn.min() >= dry - 0.030 - 1e-9
    assert_allclose([drawn.mean(), drawn.std()], [dry - 0.010, 0.030 / np.sqrt(18)], atol=0.0002)
    assert stats.skew(drawn) == pytest.approx(-2 * np.sqrt(2) / 5, abs=0.06)


def test_a_barge_whose_lean_is_not_straight():
    # Wall-sided: heel tan φ (GM + BM tan²φ / 2) = moment / weight, by hand; straight lines know only GM. A weight set
    # far out leans her until the deck edge: what straight lines say and what draws say must differ.
    leaning = Cause("crowd", "crowd", ACROSS, load=np.array([0.0, 0.0, 900.0, 0.0]))
    barge = one_cause(leaning)
    linear = np.sqrt(barge.covariance(["port"])[0, 0])
    drawn = barge.sample(["port"], 4000)[:, 0]
    assert abs(drawn.std() / linear - 1) > 0.02


def test_what_two_plans_share_cancels(demo):
    first, mended = (all_causes(demo, plan, CONDITION) for plan in ("first plan", PLAN))
    mean, u = between(mended, first, SOLE[1])
    assert mean == pytest.approx(mended.heights(SOLE)[1] - first.heights(SOLE)[1], abs=1e-12)
    alone = [np.sqrt(c.covariance(SOLE)[1, 1]) for c in (first, mended)]
    assert 0 < u < 0.3 * min(alone)
    assert between(mended, mended, SOLE[1]) == (0.0, 0.0)
    drawn = mended.sample(SOLE[1:], 4000) - first.sample(SOLE[1:], 4000)  # the same draws of what they share
    assert drawn.std() == pytest.approx(u, rel=0.1)
    heel = between(mended, mended, *SOLE)  # two marks of one plan: their own heights do not cancel
    assert heel[1] ** 2 == pytest.approx(np.array([1, -1]) @ mended.covariance(SOLE) @ [1, -1])


def test_the_order_of_rows_and_people_changes_nothing(demo, causes):
    ledger = dataclasses.replace(demo.ledger, rows=_shuffled(demo.ledger.rows))
    people = dict(reversed(demo.people.items()))
    said = demo.conditions[CONDITION]
    turned = dataclasses.replace(said, aboard=tuple(reversed(said.aboard)))
    boat = dataclasses.replace(demo, ledger=ledger, people=people, all_marks=demo.all_marks[::-1])
    other = all_causes(boat, PLAN, turned)
    assert sorted(other.names) == sorted(causes.names)
    assert_allclose(other.covariance(SOLE), causes.covariance(SOLE), rtol=1e-9)
    assert_allclose(other.sample(SOLE, 500), causes.sample(SOLE, 500), atol=1e-10)
    assert_array_equal(causes.sample(SOLE, 500, seed=0), causes.sample(SOLE, 500))  # the same again, to the bit


def _shuffled(rows):
    """Rows of a ledger in another order within each package; moves stay behind what they move."""
    adds = [row for row in rows if row.action != "move"]
    return (*reversed(adds), *(row for row in rows if row.action == "move"))


def test_a_range_in_the_folder_keeps_its_shape(spoil, demo):
    foam = "soaked flotation foam 0.34 m3,95,1.75,0.00,0.24,,,,estimated,28.5,"
    folder = spoil({"ledger.csv": lambda text: _ranged(text, foam)})
    found = all_causes(hc.read_boat(folder), PLAN, CONDITION)
    (one_sided,) = [cause for cause in found.each if cause.bounds is not None]
    assert one_sided.name == "soaked flotation foam 0.34 m3: mass"
    u = np.sqrt((34**2 + 34 * 65 + 65**2) / 18)  # triangle from 61 over 95 to 160 kg
    assert_allclose(one_sided.load, -u * np.array([1, 1.75, 0, 0.24]), rtol=1e-9)
    assert_allclose(one_sided.bounds, np.array([-34, 65]) / u, rtol=1e-9)
    # Wetter than likely in the mean, so more comes off: she floats (160 + 61 - 190) / 3 kg lighter in the mean.
    assert found.shift[0] == pytest.approx(-31 / 3, rel=1e-9)
    drawn = found.without(lambda cause: cause.bounds is None).sample(SOLE, 5000)
    assert stats.skew(drawn)[0] == pytest.approx(stats.triang(34 / 99).stats("s"), abs=0.1)
    assert_allclose(drawn.mean(axis=0), found.means(SOLE), atol=2e-4)


def _ranged(text, foam):
    """The ledger with columns low_kg and high_kg before the note, filled for the soaked foam."""
    lines = text.splitlines()
    at = lines[0].split(",").index("note")
    made = []
    for line in lines:
        cells = line.split(",", at) if line and not line.startswith("#") else None
        if cells is None:
            made.append(line)
            continue
        new = ["low_kg", "high_kg"] if line == lines[0] else ["", ""]
        if foam in line:
            cells[at - 1], new = "", ["61", "160"]
        made.append(",".join([*cells[:at], *new, *cells[at:]]))
    return "\n".join(made) + "\n"


def test_doubts_of_tanks_and_water_are_read(spoil):
    folder = spoil(
        {
            "boat.toml": ("mark_mm = 4", "water_kg_m3 = 2\nmark_mm = 4"),
            "tanks.csv": [
                ("z_to_m,brought_by", "z_to_m,u_density_kg_m3,u_fill_percent,brought_by"),
                ("0.185,0.421,,5 fuel,", "0.185,0.421,6,3,,5 fuel,"),
                ("0.48,0.98,,1 strip", "0.48,0.98,,,,1 strip"),
                ("0.195,0.466,5 fuel,9", "0.195,0.466,,3,5 fuel,9"),
                ("0.195,0.466,5 fuel +", "0.195,0.466,,3,5 fuel +"),
                ("0.62,1.09,6 deck", "0.62,1.09,,,6 deck"),
            ],
        }
    )
    boat = hc.read_boat(folder)
    assert boat.u_water == 2.0
    told: dict[str, BoatTank] = {tank.name: tank for tank in boat.tanks}
    assert (told["fuel tank as found"].u_density, told["fuel tank as found"].u_fill) == (6.0, 0.03)
    assert (told["fuel tank new"].u_density, told["livewell new"].u_density) == (15.0, 0.0)
    names = all_causes(boat, PLAN, CONDITION).names
    assert {"water: density", "fuel: density", "fuel tank new: how full"} <= set(names)
    assert "livewell: density" not in names


def test_a_negative_doubt_of_the_water_is_said(spoil):
    folder = spoil({"boat.toml": ("mark_mm = 4", "water_kg_m3 = -2\nmark_mm = 4")})
    with pytest.raises(hc.InputError, match=r"-2 kg/m3.*zero or more"):
        hc.read_boat(folder)


def test_what_cannot_be_asked(causes, demo):
    with pytest.raises(hc.InputError, match=r"mark 'transom notch' is not there in this plan; there are: .*sole aft"):
        causes.sample(["transom notch"], 10)
    for asked in (causes.effects, causes.heights, causes.means):
        with pytest.raises(hc.InputError, match="is not there in this plan"):
            asked(["no such mark"])
    with pytest.raises(hc.InputError, match="no cause is called 'foam'"):
        causes.scaled({"foam": 0.5})
    with pytest.raises(hc.InputError, match=r"factor of hull: shape = 1\.5 must be from 0 to 1"):
        causes.scaled({"hull: shape": 1.5})
    heavy = dataclasses.replace(
        demo, people=dict(demo.people) | {"helmsman standing": item("helmsman standing", 9000, (2, 0, 1), "weighed")}
    )
    with pytest.raises(hc.NoEquilibriumError):
        all_causes(heavy, PLAN, CONDITION)


def test_draws_in_which_she_sinks_are_nan():
    # 12 m³ carry 12,000 kg: 1,200 more than she weighs, two standard deviations.
    barge = one_cause(weight("load", 600.0))
    laden = dataclasses.replace(barge, loading=dataclasses.replace(barge.loading, mass=10800.0))
    drawn = laden.sample(["port"], 4000)[:, 0]
    sunk = stats.norm.sf(2.0)
    assert np.mean(np.isnan(drawn)) == pytest.approx(sunk, abs=4 * np.sqrt(sunk / 4000))


def test_a_doubt_as_great_as_the_boat_is_said():
    with pytest.raises(hc.InputError, match=r"uncertainties as great as the boat: in draw \d+ of 4000 she weighs -"):
        one_cause(weight("load", 4000.0)).sample(["port"], 4000)
