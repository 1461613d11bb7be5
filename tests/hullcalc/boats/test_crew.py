"""[crew] of boat.toml and seats.csv: what is read, and what is said of slips in them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.crew import Crew

BOATS = Path(__file__).parents[3] / "data" / "boats"
NUMBER, EFFECTS, ACROSS = "number = 4\n", "effects_each_kg = 5\n", "side_to_side_m = 1.96"
HELM = "helm,2.35,0.35,0.50,standing,helm,"


def only(problems):
    assert len(problems) == 1, [str(p) for p in problems]
    return problems[0]


@pytest.mark.parametrize("name", ["demo-outboard-22", "demo-sterndrive-24", "demo-skiff-18"])
def test_places_are_those_of_the_people_named_in_the_folder(name):
    # Each adult of people.csv who stands or sits somewhere has a place there: 0.95 m above the sole when standing.
    boat = hc.read_boat(BOATS / name)
    places = np.array([place.centre for place in boat.crew.places])
    adults = [person for person in boat.people.values() if float(person.mass) == 85]
    assert len(adults) >= 4
    for person in adults:
        gap = np.linalg.norm(places[:, :2] - person.centre[:2], axis=1).min()
        assert gap < 0.12, person.name  # the rail is a little further out than where one leans
    assert boat.crew.number == 4


def test_a_folder_without_crew_still_reads(spoil):
    folder = spoil({"boat.toml": lambda text: text[: text.index("[crew]")], "seats.csv": None})
    boat = hc.read_boat(folder)
    assert boat.crew.number is None and boat.crew.places == ()
    assert boat.crew.places_for("helm") == Crew().places_for("helm") == []


def test_what_is_typed_is_read(demo):
    crew = demo.crew
    assert (crew.number, crew.effects, crew.side_to_side) == (4, 5.0, 1.96)
    assert [place.use for place in crew.places_for("child", "helm")] == ["child", "child", "helm"]
    assert_allclose(crew.places[0].centre, [2.35, 0.35, 1.45])


@pytest.mark.parametrize(
    ("slips", "column", "words"),
    [
        ({"boat.toml": (NUMBER, "number = 4.5\n")}, "[crew] number", "how many people"),
        ({"boat.toml": (NUMBER, "number = 0\n")}, "[crew] number", "how many people"),
        ({"boat.toml": (NUMBER, "number = 900\n")}, "[crew] number", "how many people"),
        ({"boat.toml": (NUMBER, "number = 9\n")}, "[crew] number", "assigns places to 6"),
        ({"boat.toml": (EFFECTS, "effects_each_kg = -5\n")}, "[crew] effects_each", "brings along"),
        ({"boat.toml": (EFFECTS, "effects_each_kg = 500\n")}, "[crew] effects_each", "brings along"),
        ({"boat.toml": (ACROSS, "side_to_side_m = 0")}, "[crew] side_to_side", "positive"),
        ({"boat.toml": (ACROSS, "side_to_side_m = 19.6")}, "[crew] side_to_side", "the hull is 2.45 m wide"),
        (
            {"boat.toml": ('departing = ["cooler with ice and drinks"]', 'departing = ["cooler with ice"]')},
            "[crew] departing", "no store",
        ),
        ({"seats.csv": (HELM, "helm,2.35,0.35,0.50,lying,helm,")}, "posture", "standing, seated"),
        ({"seats.csv": (HELM, "helm,2.35,0.35,0.50,standing,skipper,")}, "use", "helm, crew, child, crowd"),
        ({"seats.csv": (HELM, "helm,23.5,0.35,0.50,standing,helm,")}, "x_m", "off the boat"),
        ({"seats.csv": ("beside the helm,", "helm,")}, "place", "stands in row 2 too"),
        ({"seats.csv": (HELM, "helm,,0.35,0.50,standing,helm,")}, "x_m", "empty"),
    ],
)  # fmt: skip
def test_slips_are_said_once_with_their_place(problems_of, slips, column, words):
    problem = only([p for p in problems_of(slips) if p.level == "mend"])
    assert problem.column == column
    assert words in str(problem)
