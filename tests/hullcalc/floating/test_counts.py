"""How many walks over the hull's triangles a floated boat takes: a count neither flakes nor depends on the machine."""

import os
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_array_equal

import hullcalc as hc
from hullcalc.boats.folder import read_boat
from hullcalc.geometry.makers import box
from hullcalc.measuring.stations import hull_from_stations

DEMO = Path(__file__).parents[3] / "data" / "boats" / "demo-outboard-22"
SEED = 20240611  # any


@pytest.fixture(scope="module")
def hull():
    """The demo outboard's hull at 32 slices a bay."""
    of = read_boat(DEMO).hull
    return hull_from_stations(of.table, of.transom_rake, of.loft, slices_per_bay=32).solid


def test_ordinary_loads(hull):
    rng = np.random.default_rng(SEED)
    mass = rng.uniform(1500, 3000, 10_000)
    cg = rng.normal((2.0, 0.0, 0.7), (0.15, 0.06, 0.05), (10_000, 3))
    states = hc.float_many(hull, mass, cg)
    assert states.hull_cuts.max() <= 7
    assert states.hull_cuts.mean() <= 6
    assert set(states.status) <= {"floats", "lolls"}


def test_wild_loads(hull):
    # 2 to 97 % of all the buoyancy there is, the centre of gravity anywhere in the bounding box grown by half.
    rng = np.random.default_rng(SEED)
    low, high = hull.vertices.min(axis=0), hull.vertices.max(axis=0)
    middle, reach = (low + high) / 2, 1.5 * (high - low) / 2
    mass = 1025 * hull.volume * rng.uniform(0.02, 0.97, 10_000)
    cg = middle + reach * rng.uniform(-1, 1, (10_000, 3))
    states = hc.float_many(hull, mass, cg)
    assert np.quantile(states.hull_cuts, 0.999) <= 40
    assert states.hull_cuts.max() <= 100
    assert set(states.status) <= {"floats", "lolls", "capsizes"}
    # answered means at rest: weight equals buoyancy, and one vertical line holds both centres
    assert np.max(abs(1025 * states.volume / mass - 1)) < 1e-9
    apart = states.cg - states.buoyancy
    level = apart - states.normal * np.sum(apart * states.normal, axis=1, keepdims=True)
    assert np.max(np.linalg.norm(level, axis=1)) < 1e-8 * np.max(high - low)


def test_tanks_cost_no_walks_over_the_hull(hull):
    # Each liquid is levelled within the step; four tanks may turn the path a little, not lengthen it.
    rng = np.random.default_rng(SEED)
    tanks = [
        hc.Tank("fuel", box((1.0, 3.1), (-0.365, 0.365), (0.195, 0.466)), fill=0.5),
        hc.Tank("livewell", box((1.78, 2.18), (-0.4, 0.4), (0.62, 1.09)), 1025.0, fill=0.5),
        hc.Tank("port", box((0.5, 1.5), (0.5, 0.9), (0.5, 0.8)), 1000.0, fill=0.3),
        hc.Tank("starboard", box((0.5, 1.5), (-0.9, -0.5), (0.5, 0.8)), 1000.0, fill=0.3),
    ]
    mass = rng.uniform(1200, 2300, 2000)
    cg = rng.normal((2.0, 0.0, 0.7), (0.15, 0.06, 0.05), (2000, 3))
    states = hc.float_many(hull, mass, cg, tanks=tanks)
    assert states.hull_cuts.max() <= 8
    assert states.hull_cuts.mean() <= 6


@pytest.mark.parametrize("threads", [2, 3, os.cpu_count() or 1])
def test_same_bits_on_any_number_of_threads(hull, threads):
    rng = np.random.default_rng(SEED)
    mass = rng.uniform(1500, 3000, 500)
    cg = rng.normal((2.0, 0.0, 0.7), (0.15, 0.06, 0.05), (500, 3))
    tank = hc.Tank("fuel", box((1.0, 3.1), (-0.365, 0.365), (0.195, 0.466)), fill=0.5)
    one = hc.float_many(hull, mass, cg, tanks=[tank], threads=1)
    many = hc.float_many(hull, mass, cg, tanks=[tank], threads=threads)
    for name in ("normal", "offset", "mass", "cg", "volume", "buoyancy", "stiffness", "slack", "hull_cuts"):
        assert_array_equal(getattr(one, name), getattr(many, name), err_msg=name)
    alone = hc.float_at_rest(hull, mass[123], cg[123], tanks=[tank])
    assert_array_equal(alone.normal, one.normal[123])
    assert alone.offset == one.offset[123]
