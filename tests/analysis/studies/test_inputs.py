"""Which input moves a mark most: each effect against floating her again with that input moved by one uncertainty."""

import dataclasses

import numpy as np
import pytest

import hullcalc as hc
from analysis import data_folder
from analysis.studies.inputs import which_input
from hullcalc.weights.items import MassItem, combine

PLAN, CONDITION, MARK = "mended plan", "4 adults full", "sole aft starboard"


@pytest.fixture(scope="module")
def boat():
    return hc.read_boat(data_folder() / "boats" / "demo-outboard-22")


@pytest.fixture(scope="module")
def effects(boat):
    return which_input(boat, PLAN, CONDITION, MARK).set_index("input")["mm"]


def height(boat):
    return 1000 * boat.float(PLAN, CONDITION, shut=True).marks[MARK]


def with_more(boat, mass, moment):
    """The boat with a weight added to the boat as found."""
    more = MassItem("more", np.array(mass), np.array(moment), "guess")
    return dataclasses.replace(boat, as_found=combine([boat.as_found, more]))


def test_effects_of_weights_are_what_floating_again_gives(boat, effects):
    # Central differences of whole floats; curvature is what is left, under 1 % of a few millimetres.
    foam = np.array(
        [95.0, 95 * 1.75, 0.0, 95 * 0.24]
    )  # soaked foam, taken out: 15 % (estimated) of its mass and moment
    cases = {
        "soaked flotation foam 0.34 m3: mass": 0.30 * -foam,
        "as found: place along the boat": [0.0, 1612 * 0.013, 0.0, 0.0],  # 13 mm
        "as found: mass": np.array([1.0, 2.075, 0.004, 0.60]) * 17,  # 17 kg
        "mate standing: place across": [0.0, 0.0, 85 * 0.15, 0.0],  # 150 mm
    }
    for name, (mass, *moment) in cases.items():
        up, down = (height(with_more(boat, s * mass, s * np.array(moment))) for s in (+0.5, -0.5))
        assert effects[name] == pytest.approx(up - down, rel=0.01), name


def test_the_effect_of_a_pods_volume_is_what_a_wider_pod_gives(boat, effects):
    # 10 litres more of 144, by width: the same sections, all of them wider by that share.
    share = 0.010 / boat.solids_in(PLAN)["bracket pod"].volume
    heights = []
    for factor in (1 + share / 2, 1 - share / 2):
        pods = tuple(
            dataclasses.replace(pod, solid=hc.Solid(pod.solid.vertices * [1, factor, 1], pod.solid.faces))
            for pod in boat.solids
        )
        heights.append(height(dataclasses.replace(boat, solids=pods)))
    assert effects["bracket pod: volume"] == pytest.approx(heights[0] - heights[1], rel=0.01)


def test_a_marks_own_height_and_the_hull_count_as_the_folder_says(boat, effects):
    assert effects[f"{MARK}: its own height"] == pytest.approx(4.0)  # boat.toml: mark_mm
    assert effects["hull: shape"] == pytest.approx(2.5)  # boat.toml: hull_mm


def test_the_most_comes_first_and_nothing_without_effect_is_listed(effects):
    sizes = effects.abs().to_numpy()
    assert np.all(sizes[:-1] >= sizes[1:])
    assert np.all(sizes > 0)
    assert effects.index.is_unique


def test_a_moved_weight_counts_its_place_once(effects):
    # The batteries are moved: the place they leave cancels, the place they come to counts.
    places = [name for name in effects.index if name.startswith("three group-31 AGM batteries") and "along" in name]
    assert len(places) == 1


def test_an_unknown_mark_is_an_error_that_names_those_there_are(boat):
    with pytest.raises(hc.InputError, match=r"mark 'transom notch' is not there in this plan; there are: .*sole aft"):
        which_input(boat, PLAN, CONDITION, "transom notch")
