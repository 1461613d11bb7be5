"""The day out, how far the fuel goes, full or empty: by hand, by other floats, by an independent program's figures."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from analysis.report.story import uncertainty_mm
from analysis.report.trip import day_section, range_section
from analysis.studies.fuel_alone import AS_FITTED, OVER_LCF, OVER_LCG, fuel_alone, fuel_compared
from analysis.studies.fuel_range import TENTH, THIRDS, fuel_for, fuel_range, rules
from analysis.studies.inputs import which_input
from analysis.studies.trip import day_out, find_trip
from analysis.studies.trip_words import day_finding, say_nm
from hullcalc.boats.conditions import Condition
from hullcalc.boats.trips import Burn, Step, Trip
from hullcalc.weights.items import item

BURN = Burn(per_nm=0.0015)


@pytest.fixture(scope="module")
def bank(demo):
    return day_out(demo, "mended plan", "bank")


def test_the_worst_moment_is_named_and_is_the_boat_floated_there(bank):
    worst = bank.worst
    assert worst.height == pytest.approx(bank.heights.min(), abs=1e-12)
    case = bank.case(worst.k)
    assert case.heights_shut[worst.mark] == pytest.approx(worst.height, abs=1e-9)
    assert worst.step == "end of fish on"  # four at the stern, the livewell full and the catch just aboard
    assert bank.best.height >= bank.start.height > worst.height
    assert "at the end of fish on, after 5 h 12 min" in day_finding(bank)


def test_uncertainty_along_the_day_is_that_of_the_inputs_study(bank):
    for k in (0, bank.worst.k, len(bank.table) - 1):
        boat, condition = bank.along.at(k)
        inputs = which_input(boat, "mended plan", condition, bank.table["least_mark"][k])
        assert 1000 * bank.u_least[k] == pytest.approx(uncertainty_mm(inputs), rel=1e-9)


def test_the_section_says_worst_both_ends_and_the_bow(bank):
    section = day_section(bank, "metric")
    said = " ".join(section.before)
    for words in ("Worst at the end of fish on", "At the start", "at the end scupper", "drains aft all day", "forward"):
        assert words in said
    assert len(section.grids[0].rows) == len(bank.trip.steps)


def test_a_trip_by_name(demo):
    assert find_trip(demo).name == "across"
    with pytest.raises(hc.InputError, match=r"no trip is called 'moon'; there are: across, bank"):
        find_trip(demo, "moon")
    with pytest.raises(hc.InputError, match=r"there is no trip; write one as trips/NAME\.csv"):
        find_trip(replace(demo, trips={}))


def test_a_day_on_which_she_sinks_or_turns_over_says_where(demo):
    crowd = {f"guest {k}": guest(k) for k in range(60)}
    boat = replace(demo, people=dict(demo.people) | crowd)
    trip = Trip("party", (Step("off", fills={"fuel": 0.5}), Step("all aboard", aboard=tuple(crowd))))
    with pytest.raises(hc.InputError, match=r"party, all aboard: she (sinks|turns over|does not)"):
        day_out(boat, "mended plan", trip)


def guest(k):
    return item(f"guest {k}", 100, (2.0, 0.0, 1.5), "estimated")


# Range


def test_range_by_hand():
    # 395 L aboard, two thirds of it 263 L: 175 nm at 1.5 L/nm; burn 20 % up and down: 145 to 220 nm.
    found = fuel_range(0.395, BURN)
    row = found.of(THIRDS)
    assert_allclose([row["kept_l"], row["to_burn_l"], row["nm"]], [395 / 3, 395 * 2 / 3, 395 * 2 / 3 / 1.5])
    assert_allclose([row["nm_low"], row["nm_high"]], [395 * 2 / 3 / 1.8, 395 * 2 / 3 / 1.2])
    assert row["nm_head_sea"] == pytest.approx(395 * 2 / 3 / 1.5 / 1.2)
    assert [say_nm(row[key]) for key in ("nm", "nm_low", "nm_high")] == ["175 nm", "145 nm", "220 nm"]


def test_a_tenth_and_a_reserve_and_a_share_of_ones_own():
    burn = Burn(per_nm=0.002, unusable=0.02, reserve=0.03)
    found = fuel_range(0.4, burn, kept=0.25)
    assert found.usable == pytest.approx(0.38)
    assert found.of(TENTH)["to_burn_l"] == pytest.approx(0.9 * 380 - 30)
    assert found.of("25 % kept")["nm"] == pytest.approx(0.75 * 380 / 2)
    assert fuel_range(0.03, burn).of(TENTH)["nm"] == 0  # nothing left beside the reserve


@pytest.mark.parametrize("rule", rules(Burn(per_nm=0.0015, reserve=0.03), 0.4), ids=lambda rule: rule.name)
def test_fuel_for_a_range_is_the_range_turned_round(rule):
    burn = Burn(per_nm=0.0015, unusable=0.01, reserve=0.03)
    needs = fuel_for(120.0, burn, rule)
    assert fuel_range(needs, burn, 0.4).of(rule.name)["nm"] == pytest.approx(120.0, rel=1e-12)
    assert fuel_for(120.0, burn, rule, head_sea=True) > needs


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: fuel_range(0.4, Burn()), "nothing says what she burns a mile"),
        (lambda: fuel_range(0.4, Burn(per_nm=0.0)), "burn = 0"),
        (lambda: fuel_range(0.0, BURN), "fuel aboard = 0"),
        (lambda: fuel_range(float("nan"), BURN), "fuel aboard"),
        (lambda: fuel_range(0.4, BURN, kept=1.0), "share kept back"),
        (lambda: fuel_for(-5.0, BURN, rules(BURN)[0]), "distance = -5"),
    ],
)
def test_a_range_that_cannot_be_told(ask, words):
    with pytest.raises(hc.InputError, match=words):
        ask()


def test_the_range_is_for_planning_only_and_says_what_was_not_given():
    section = range_section(fuel_range(0.395, BURN))
    assert "planning only" in section.about.lower()
    assert any("reserve_l" in text for text in section.after) and any("unusable_l" in text for text in section.after)


# Full or empty


@pytest.fixture(scope="module")
def alone(demo):
    return fuel_alone(demo, "mended plan", "4 adults full")


def test_full_or_empty_is_two_single_floats(demo, alone):
    # Independent program: the sole rises 15 mm from full to 10 %, trim 0.2 deg more.
    load = demo.conditions["4 adults full"]
    low = Condition("low", {**load.fills, "fuel": 0.10}, load.aboard)
    full, tenth = (demo.float("mended plan", c, shut=True) for c in ("4 adults full", low))
    sole = [min(s.marks[n] for n in ("sole aft port", "sole aft starboard")) for s in (full, tenth)]
    row = alone.summary.set_index("place").loc[AS_FITTED]
    assert row["sole_mm"] == pytest.approx(1000 * (sole[1] - sole[0]), abs=1e-6)
    assert row["trim_deg"] == pytest.approx(float(tenth.trim - full.trim), abs=1e-9)
    assert row["sole_mm"] == pytest.approx(15, abs=0.5) and row["trim_deg"] == pytest.approx(0.2, abs=0.05)


def test_fuel_over_the_lcf_leaves_the_trim_and_over_the_lcg_does_not(alone):
    # Textbook: weight taken off at the centre of flotation changes no trim (Rawson & Tupper, Basic Ship Theory, ch. 3,
    # from memory); exact to first order, so what is left is small against what the other places do.
    trim = alone.summary.set_index("place")["trim_deg"]
    assert abs(trim[OVER_LCF]) < 0.1 * min(abs(trim[AS_FITTED]), abs(trim[OVER_LCG]))
    assert trim[AS_FITTED] > 0 > trim[OVER_LCG]  # ahead of the LCF the bow comes up as it burns, behind it goes down
    assert alone.lcg_rest < alone.lcf


def test_so_much_fuel_against_so_much(demo):
    # 110 against 80 US gal, 95 % of each: 30 x 0.95 x 3.785 L x 0.74 kg/L = 80 kg; by thirds 48 nm at 1.5 L a mile.
    more, less = (0.95 * gallons * 3.785411784e-3 for gallons in (110, 80))
    table = fuel_compared(demo, "mended plan", "4 adults full", [more, less])
    assert table["fuel_kg"][0] - table["fuel_kg"][1] == pytest.approx(79.8, abs=0.1)
    assert table["nm"][0] - table["nm"][1] == pytest.approx(48, abs=0.5)
    assert table["sole_mm"][1] - table["sole_mm"][0] == pytest.approx(5, abs=1)
    with pytest.raises(hc.InputError, match=r"is not from 0 to the 415 L the tanks hold"):
        fuel_compared(demo, "mended plan", "4 adults full", [0.5])


def test_without_a_fuel_tank(demo):
    bare = replace(demo, tanks=tuple(t for t in demo.tanks if t.use != "fuel"))
    with pytest.raises(hc.InputError, match=r"no tank for fuel .* tanks\.csv"):
        fuel_alone(bare, "mended plan", "light")


def test_nothing_in_the_words_says_she_is_good_enough(bank):
    said = day_finding(bank) + " ".join(day_section(bank, "us").before)
    assert not any(word in said.lower() for word in ("safe", "stable", "passes"))
    assert np.isfinite(bank.u_least).all() and (bank.u_least > 0).all()
