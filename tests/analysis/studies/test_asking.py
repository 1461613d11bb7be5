"""What to ask a naval architect: each reason comes and goes with the figure that gives it."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

import hullcalc as hc
from analysis import data_folder
from analysis.report.asking import asking_finding, asking_sections
from analysis.studies.asking import what_to_ask
from analysis.studies.floats import float_case
from hullcalc.boats.conditions import Condition

LIGHT = "light"


@pytest.fixture(scope="module")
def boats():
    names = ("demo-outboard-22", "demo-skiff-18")
    return {name: hc.read_boat(data_folder() / "boats" / name) for name in names}


@pytest.fixture(scope="module")
def boat(boats):
    return boats["demo-outboard-22"]


def reasons(boat, plan, system="metric"):
    return {reason.short: reason.figures for reason in what_to_ask(boat, plan, system).reasons}


def only(boat, *conditions):
    return replace(boat, conditions={name: boat.conditions[name] for name in conditions})


def test_openings_under_water_are_those_of_the_float(boat):
    told = reasons(boat, "first plan")["an opening lies under water at rest"]
    for name, condition in boat.conditions.items():
        wet = not condition.open and bool(float_case(boat, "first plan", name).under)
        assert (f"{name} (" in told) == wet
    assert "an opening lies under water at rest" not in reasons(only(boat, LIGHT), "mended plan")


def test_less_gm_is_told_against_the_same_load_as_found(boat):
    told = reasons(only(boat, LIGHT), "first plan")["she resists small heels less than as found"]
    # Both GMs of the light boat as an independent program gives them: 1.35 as found, 1.09 in the first plan.
    assert told == "GM 1.09 m in light, against 1.35 m, liquids free"
    assert "she resists small heels less than as found" not in reasons(boat, "as found")


def test_what_was_handled_is_told_of_a_refit_alone(boat):
    told = reasons(only(boat, LIGHT), "first plan")["she is another boat by weight, so weigh her again"]
    assert "1963 kg handled, 122 % of the boat as found" in told and "46 CFR 144.315" in told  # sums of the ledger
    assert not any("weigh her again" in short for short in reasons(boat, "as found"))


def test_the_pod_carries_what_it_displaces(boat):
    told = reasons(only(boat, LIGHT), "mended plan")["she leans on a body outside her hull"]
    state = float_case(boat, "mended plan", LIGHT).shut
    corners = boat.solids_in("mended plan")["bracket pod"]
    assert f"bracket pod carries up to {1025 * corners.cut(*state.plane).volume:.0f} kg" in told
    assert "she leans on a body outside her hull" not in reasons(boat, "as found")


def test_length_counts_without_brackets(boats):
    # 20 ft are 6.096 m: the skiff is 5.65 m over the deck, the console 6.94 m, and her bracket counts for nothing.
    told = reasons(only(boats["demo-skiff-18"], LIGHT), "as found", "us")["she is under 20 ft"]
    assert "18 ft 6 3/8 in" in told and "183.3" in told
    assert "she is under 20 ft" not in reasons(only(boats["demo-outboard-22"], LIGHT), "first plan")


def test_everybody_to_one_side_against_the_published_heel(boats):
    told = reasons(only(boats["demo-skiff-18"], LIGHT), "first plan")["she leans far with everybody to one side"]
    assert "outside the 7°" in told and "binds no private boat" in told
    nobody = replace(boats["demo-skiff-18"], crew=replace(boats["demo-skiff-18"].crew, number=None))
    found = what_to_ask(only(nobody, LIGHT), "first plan")
    assert "who sails in her and where is not known" in found.not_looked_at[0]


def test_a_new_tank_and_an_old_one(boat):
    assert "fuel tank new" in reasons(only(boat, LIGHT), "first plan")["a fuel tank is new or stands elsewhere"]
    assert "a fuel tank is new or stands elsewhere" not in reasons(boat, "as found")


def test_she_sinks_or_turns_over(boat):
    heavy = replace(boat.as_found, name="stone", mass=np.array(9000.0), moment=np.array([18000.0, 0, 3600]), sources={})
    high = replace(boat.as_found, name="tower", mass=np.array(400.0), moment=np.array([800.0, 0, 4000]), sources={})
    people = {"stone": heavy, "tower": high}
    conditions = {name: Condition(name, aboard=(name,)) for name in people}
    told = reasons(replace(boat, people=people, conditions=conditions), "as found")
    assert told["she sinks"].startswith("stone, short of ")
    assert told["she does not stay upright"].startswith("tower, comes to rest at ")


def test_words_of_the_whole(boat, boats):
    calm = replace(only(boat, LIGHT), crew=replace(boat.crew, number=None))
    assert asking_finding(what_to_ask(calm, "as found")).endswith("no reason of their own; the questions below remain")
    for one in boats.values():
        parts = asking_sections(what_to_ask(one, "mended plan"))
        words = " ".join(text for part in parts for text in (*part.listed, *part.after)).casefold()
        assert "decides none of these" in words
        assert not re.search(r"\b(safe|safely|stable|passes|pass)\b", words)


def test_no_condition_to_float_in(boat):
    with pytest.raises(hc.InputError, match=r"no load condition to float in; write a row in conditions\.csv"):
        what_to_ask(replace(boat, conditions={}), "first plan")
