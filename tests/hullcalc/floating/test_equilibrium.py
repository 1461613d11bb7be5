"""Floating at rest: positions, statuses, starts, liquids, flooded spaces, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from scipy.optimize import minimize
from trial_bodies import BAIT, FUEL, HULL, POD, WELL

import hullcalc as hc
from hullcalc.geometry.makers import box

SEA = 1025.0


loads = st.tuples(st.floats(700, 2500), st.floats(1.6, 2.6), st.floats(-0.08, 0.08), st.floats(0.3, 0.8))


def weigh(solids, state, mass, cg):
    """Force and moments left over at a state's plane, by single cuts: parts of weight and of weight times metre."""
    cuts = [s.cut(*state.plane) for s in solids]
    buoyancy = SEA * sum(c.volume for c in cuts)
    moment = SEA * sum(c.volume * np.nan_to_num(c.centroid) for c in cuts)
    left_over = np.cross(state.normal, mass * np.asarray(cg) - moment)
    return abs(buoyancy - mass) / mass, np.linalg.norm(left_over) / mass


@given(loads)
def test_weight_and_buoyancy_share_one_vertical_line(load):
    mass, *cg = load
    state = hc.float_at_rest([HULL, POD], mass, cg)
    force, moment = weigh([HULL, POD], state, mass, cg)
    assert force < 1e-10 and moment < 1e-10
    assert_allclose(np.linalg.norm(state.normal), 1, rtol=1e-15)
    assert_allclose(state.volume * SEA, mass, rtol=1e-10)


@given(loads)
def test_no_heel_at_all_for_a_symmetric_boat(load):
    mass, x, _, z = load
    state = hc.float_at_rest([HULL, POD], mass, (x, 0, z), tanks=[hc.Tank("fuel", FUEL, fill=0.6)])
    if state.status == "floats":
        assert state.normal[1] == 0.0 and state.heel == 0.0


@given(loads)
def test_a_mirrored_load_floats_mirrored(load):
    mass, x, y, z = load
    one, other = (hc.float_at_rest(HULL, mass, (x, s * y, z)) for s in (1, -1))
    if one.status == "floats":  # at rest on a side that does not depend on a push
        assert_allclose(one.normal * [1, -1, 1], other.normal, rtol=0, atol=1e-9)
        assert_allclose(one.offset, other.offset, rtol=0, atol=1e-9)


@given(loads, st.floats(-3, 3), st.floats(-2, 2), st.floats(-2, 2))
def test_the_frame_s_origin_does_not_matter(load, dx, dy, dz):
    mass, *cg = load
    shift = np.array([dx, dy, dz])
    moved = hc.Solid(HULL.vertices + shift, HULL.faces)
    here, there = hc.float_at_rest(HULL, mass, cg), hc.float_at_rest(moved, mass, cg + shift)
    assert here.status == there.status
    assert_allclose(there.normal, here.normal, rtol=0, atol=1e-9)
    assert_allclose(there.offset, here.offset + here.normal @ shift, rtol=0, atol=1e-9)
    assert_allclose(there.gm_transverse, here.gm_transverse, rtol=1e-7)


@settings(max_examples=4)
@given(loads)
def test_against_a_general_minimiser(load):
    # Other road: scipy minimises the energy over heel and trim, the volume met by its own root finding.
    mass, *cg = load
    state = hc.float_at_rest(HULL, mass, cg)

    def energy(angles):
        heel, trim = angles
        n = np.array([np.sin(trim), np.cos(trim) * np.sin(heel), np.cos(trim) * np.cos(heel)])
        low, high = (HULL.vertices @ n).min(), (HULL.vertices @ n).max()
        for _ in range(60):
            d = (low + high) / 2
            low, high = (d, high) if HULL.cut(n, d).volume * SEA < mass else (low, d)
        return n @ (np.asarray(cg) - HULL.cut(n, d).centroid)

    least = minimize(energy, np.radians([state.heel + 0.5, state.trim - 0.5]), method="Nelder-Mead",
                     options={"xatol": 1e-7, "fatol": 1e-14, "maxiter": 400})  # fmt: skip
    assert_allclose(np.degrees(least.x), [state.heel, state.trim], rtol=0, atol=2e-4)


def test_trim_is_positive_bow_up_and_heel_positive_to_starboard():
    aft, port = hc.float_at_rest(HULL, 1500, (1.8, 0, 0.5)), hc.float_at_rest(HULL, 1500, (2.2, 0.05, 0.5))
    bow, stern = [5.0, 0.0, 1.0], [0.0, 0.0, 1.0]
    assert aft.trim > 0 and aft.height_above_water(bow) - aft.height_above_water(stern) > 0
    assert port.heel < 0  # weight to port, positive y, heels her to port
    assert port.height_above_water([2, 1, 1]) < port.height_above_water([2, -1, 1])
    assert_allclose(aft.height_above_water([bow, stern]), np.array([bow, stern]) @ aft.normal - aft.offset)


def test_a_tender_box_lolls_to_both_sides():
    # Closed form: wall-sided loll tan^2 = -2 GM / BM (box 2 m wide, draught 0.5, G at 0.95 m): 17.548401 deg.
    hull = box((-3, 3), (-1, 1), (0, 1.2))
    state = hc.float_at_rest(hull, 12 * 0.5 * SEA, (0, 0, 0.95))
    loll = np.degrees(np.arctan(np.sqrt(2 * (1 / 30) / (2 / 3))))
    assert state.status == "lolls"
    assert_allclose(state.heel, loll, rtol=1e-12)  # with no offset the starboard one
    assert_allclose(state.other.heel, -loll, rtol=1e-12)
    assert_allclose(state.trim, 0, atol=1e-12)
    assert state.gm_transverse > 0


def test_a_lolling_boat_with_an_offset_leans_to_its_side_and_knows_the_other():
    hull = box((-3, 3), (-1, 1), (0, 1.2))
    state = hc.float_at_rest(hull, 12 * 0.5 * SEA, (0, 0.001, 0.95))
    assert state.status == "lolls" and state.heel < 0 < state.other.heel
    assert abs(state.heel) > abs(state.other.heel)
    far = hc.float_at_rest(hull, 12 * 0.5 * SEA, (0, 0.01, 0.95))
    assert far.status == "lolls" and far.other is None  # so far off that no rest is left on the other side


def test_an_offset_alone_is_no_loll():
    state = hc.float_at_rest(HULL, 1500, (2.2, -0.3, 0.4))
    assert state.status == "floats" and state.heel > 15 and state.other is None


def test_a_boat_that_cannot_stay_upright_capsizes():
    state = hc.float_at_rest(box((-3, 3), (-0.5, 0.5), (0, 2)), 6000, (0, 0.02, 1.6))
    assert state.status == "capsizes"
    assert state.normal[2] < 0.5


def test_the_start_chooses_among_positions_of_rest():
    # A square log of half the water's density with its centre in the middle rests corner down in four ways: a known
    # result of Reid (1963), see tests/published. Each start finds its own.
    log = box((-4, 4), (-0.5, 0.5), (-0.5, 0.5))
    for quarter in range(4):
        up = np.radians(45 + 90 * quarter + 8)
        state = hc.float_at_rest(log, log.volume * SEA / 2, (0, 0, 0), start=(0, np.sin(up), np.cos(up)))
        assert_allclose(state.heel % 360, 45 + 90 * quarter, rtol=0, atol=1e-8)


def test_she_sinks_when_the_weight_reaches_the_buoyancy():
    hull, capacity = box((0, 4), (-1, 1), (0, 1)), 8 * SEA
    with pytest.raises(hc.NoEquilibriumError, match=r"short of 300 kg.*Take weight off") as caught:
        hc.float_at_rest(hull, capacity + 300, (2, 0, 0.5))
    assert_allclose(caught.value.short_by_kg, 300, rtol=1e-9)
    with pytest.raises(hc.NoEquilibriumError):
        hc.float_at_rest(hull, capacity, (2, 0, 0.5))
    with pytest.raises(hc.NoEquilibriumError):  # liquids count
        hc.float_at_rest(hull, capacity - 100, (2, 0, 0.5), tanks=[hc.Tank("t", FUEL, 1000, fill=1.0)])
    with pytest.raises(hc.NoEquilibriumError):  # and so does what is open to the sea
        hc.float_at_rest(hull, capacity - 1000, (2, 0, 0.5), flooded=[WELL])
    assert hc.float_at_rest(hull, capacity - 1, (2, 0, 0.3)).status == "floats"


def test_liquids_lie_level_and_count_in_mass_and_centre():
    tanks = [
        hc.Tank("fuel", FUEL, 740, fill=0.5),
        hc.Tank("bait", BAIT, 1025, fill=0.3),
        hc.Tank("dry", WELL, fill=0.0),
    ]
    state = hc.float_at_rest([HULL, POD], 1400, (2.1, 0.02, 0.5), tanks=tanks)
    mass, moment = 1400.0, 1400 * np.array([2.1, 0.02, 0.5])
    for tank, liquid in zip(tanks, state.liquids, strict=True):
        assert liquid.name == tank.name
        assert_allclose(liquid.mass, tank.density * tank.fill * tank.solid.volume, rtol=1e-12)
        assert_allclose(liquid.fill, tank.fill, rtol=1e-12)
        if tank.fill:
            cut = tank.solid.cut(state.normal, liquid.surface_offset)
            assert_allclose(cut.volume, tank.fill * tank.solid.volume, rtol=1e-12)
            assert_allclose(liquid.centre, cut.centroid, rtol=0, atol=1e-12)
            mass, moment = mass + liquid.mass, moment + liquid.mass * liquid.centre
    assert np.all(np.isnan(state.liquids[2].centre)) and np.isnan(state.liquids[2].surface_offset)
    assert_allclose(state.mass, mass, rtol=1e-14)
    assert_allclose(state.cg, moment / mass, rtol=0, atol=1e-13)
    force, left_over = weigh([HULL, POD], state, state.mass, state.cg)
    assert force < 1e-10 and left_over < 1e-10


@pytest.mark.parametrize("fill", [0.0, 1.0])
def test_an_empty_or_full_tank_is_a_fixed_weight(fill):
    tank = hc.Tank("fuel", FUEL, 740, fill=fill)
    state = hc.float_at_rest(HULL, 1400, (2.1, 0.02, 0.5), tanks=[tank])
    extra = 740 * fill * FUEL.volume
    cg = (1400 * np.array([2.1, 0.02, 0.5]) + extra * FUEL.centroid) / (1400 + extra)
    fixed = hc.float_at_rest(HULL, 1400 + extra, cg)
    assert_allclose(state.normal, fixed.normal, rtol=0, atol=1e-11)
    assert_allclose(state.gm_transverse, fixed.gm_transverse, rtol=1e-9)
    assert state.free_surface == (0.0, 0.0)


def test_a_standpipe_keeps_the_liquid_level_with_its_lip():
    lip = np.array([0.7, -0.45, 0.7])
    state = hc.float_at_rest(HULL, 1400, (2.0, -0.05, 0.5), tanks=[hc.Tank("bait", BAIT, 1025, level_at=lip)])
    (liquid,) = state.liquids
    assert_allclose(liquid.surface_offset, state.normal @ lip, rtol=0, atol=1e-13)
    cut = BAIT.cut(state.normal, state.normal @ lip)
    assert_allclose(liquid.mass, 1025 * cut.volume, rtol=1e-12)
    same = hc.float_at_rest(HULL, 1400, (2.0, -0.05, 0.5), tanks=[hc.Tank("bait", BAIT, 1025, fill=float(liquid.fill))])
    assert_allclose(state.normal, same.normal, rtol=0, atol=1e-11)  # the same water in, the same attitude
    assert_allclose(state.gm_transverse, same.gm_transverse, rtol=1e-9)  # and GM at its present mass
    force, left_over = weigh([HULL], state, state.mass, state.cg)
    assert force < 1e-10 and left_over < 1e-10


def test_a_space_open_to_the_sea_is_buoyancy_lost():
    # Other road: the same boat built without that space, the open well as a notch of its own.
    hull = box((0, 4), (-1, 1), (0, 1))
    well = box((0, 1), (-1, 1), (0, 1))
    cut_off = box((1, 4), (-1, 1), (0, 1))
    flooded = hc.float_at_rest(hull, 2000, (2.4, 0, 0.4), flooded=[well])
    built = hc.float_at_rest(cut_off, 2000, (2.4, 0, 0.4))
    assert_allclose(flooded.normal, built.normal, rtol=0, atol=1e-11)
    assert_allclose(flooded.offset, built.offset, rtol=0, atol=1e-11)
    assert_allclose(flooded.gm_transverse, built.gm_transverse, rtol=1e-9)
    assert_allclose(flooded.waterplane_area, built.waterplane_area, rtol=1e-9)


def test_gm_is_the_slope_of_the_moment_at_the_floated_attitude():
    # Other road: turn the boat a little with her volume kept, liquids level, and take the couple by single cuts.
    tank = hc.Tank("fuel", FUEL, 740, fill=0.5)
    state = hc.float_at_rest([HULL, POD], 1400, (2.05, 0.02, 0.5), tanks=[tank])
    n, mass = state.normal, state.mass

    def level_of(solids, n, volume):
        low, high = -3.0, 3.0
        for _ in range(80):
            d = (low + high) / 2
            low, high = (d, high) if sum(s.cut(n, d).volume for s in solids) < volume else (low, d)
        return d

    def lever(n, along):
        """The gradient of energy along `along`, per unit of weight."""
        d = level_of([HULL, POD], n, mass / SEA)
        cuts = [s.cut(n, d) for s in (HULL, POD)]
        buoyant = sum(c.volume * np.nan_to_num(c.centroid) for c in cuts)
        fuel = FUEL.cut(n, level_of([FUEL], n, tank.fill * FUEL.volume)).centroid
        weight = 1400 * np.array([2.05, 0.02, 0.5]) + 740 * tank.fill * FUEL.volume * fuel
        return along @ (weight - SEA * buoyant) / mass

    u = np.array([1, 0, 0]) - n[0] * n
    u /= np.linalg.norm(u)
    v = np.cross(n, u)
    for along, gm in ((u, state.gm_longitudinal), (v, state.gm_transverse)):
        e = 1e-4
        slope = (lever(n * np.cos(e) + along * np.sin(e), along * np.cos(e) - n * np.sin(e))
                 - lever(n * np.cos(e) - along * np.sin(e), along * np.cos(e) + n * np.sin(e))) / (2 * e)  # fmt: skip
        assert_allclose(gm, slope, rtol=1e-6)


def test_free_surface_is_what_frozen_liquids_do_not_lose():
    # Closed form: slack box tank, l b^3 / 12 times its density over the weight (any ship-stability book).
    hull = box((-3, 3), (-1, 1), (0, 1.2))
    tank = hc.Tank("t", box((-0.6, 0.6), (-0.45, 0.45), (0.1, 0.6)), 740, fill=0.5)
    state = hc.float_at_rest(hull, 4000, (0, 0, 0.4), tanks=[tank])
    transverse, longitudinal = state.free_surface
    assert_allclose(transverse, 740 * 1.2 * 0.9**3 / 12 / state.mass, rtol=1e-12)
    assert_allclose(longitudinal, 740 * 0.9 * 1.2**3 / 12 / state.mass, rtol=1e-12)
    frozen = hc.float_at_rest(hull, state.mass, state.cg)
    assert_allclose(state.gm_transverse + transverse, frozen.gm_transverse, rtol=1e-10)


def test_many_tanks_and_bodies_at_once():
    tanks = [
        hc.Tank(f"t{i}", box((0.4 * i, 0.4 * i + 0.3), (-0.3, 0.3), (0.4, 0.7)), 800, fill=i / 10) for i in range(9)
    ]
    state = hc.float_at_rest([HULL, POD], 1200, (2.2, 0, 0.4), tanks=tanks)
    assert len(state.liquids) == 9
    force, left_over = weigh([HULL, POD], state, state.mass, state.cg)
    assert force < 1e-10 and left_over < 1e-10


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"mass": np.nan}, "mass.*nan kg must be a finite number"),
        ({"mass": -5.0}, "total weight.*-5 kg must be positive.*removals"),
        ({"mass": 0.0}, "total weight"),
        ({"cg": (2, np.inf, 0)}, r"cg\[1\] = inf m"),
        ({"cg": (2, 0)}, "three figures"),
        ({"density": 0.0}, "density"),
        ({"density": np.nan}, "density"),
        ({"mass": [1500.0, 1600.0]}, "float_many takes many"),
        ({"start": (0, 0, 0)}, "no direction"),
        ({"solids": []}, "solids is empty"),
    ],
)
def test_what_cannot_be_floated_is_refused_in_words(change, words):
    with pytest.raises(hc.InputError, match=words):
        hc.float_at_rest(**({"solids": HULL, "mass": 1500.0, "cg": (2.1, 0, 0.5)} | change))


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({}, "either fill .* or level_at"),
        ({"fill": 0.5, "level_at": (0, 0, 0)}, "either fill .* or level_at"),
        ({"fill": 1.2}, "fill of t = 1.2 must be from 0 to 1"),
        ({"fill": np.nan}, "fill of t"),
        ({"fill": 0.5, "density": 0.0}, "density of t"),
        ({"level_at": (0, np.nan, 0)}, "level_at of t"),
        ({"level_at": (0, 0)}, "level_at of t"),
    ],
)
def test_a_tank_that_makes_no_sense_is_refused_in_words(arguments, words):
    with pytest.raises(hc.InputError, match=words):
        hc.Tank("t", FUEL, **arguments)


def test_height_keeps_the_shape_of_the_points():
    state = hc.float_at_rest(HULL, 1500, (2.1, 0, 0.5))
    points = np.zeros((2, 5, 3))
    assert np.shape(state.height_above_water(points[0, 0])) == ()
    assert state.height_above_water(points).shape == (2, 5)
    assert_array_equal(state.plane[0], state.normal)


def test_vertices_that_no_face_uses_do_not_count():
    stray = hc.Solid(np.vstack([HULL.vertices, [[1e8, 1e8, 1e8]]]), HULL.faces)
    assert_array_equal(stray.centroid, HULL.centroid)
    one, other = (hc.float_at_rest(s, 1500, (2.1, 0, 0.5)) for s in (HULL, stray))
    assert_array_equal(one.normal, other.normal)
    assert one.hull_cuts == other.hull_cuts and other.heel == 0.0


def test_a_large_standpipe_tank_is_followed_as_its_water_runs():
    # Other road: a flow of small turns along the couple she feels, volume met anew at each, water level with the lip.
    hull, tank = box((0, 6), (-1, 1), (0, 1)), box((0.925, 5.345), (-0.597, 0.634), (0.047, 0.546))
    lip, mass, cg = np.array([5.183, 0.255, 0.518]), 7783.0, np.array([3.502, -0.0102, 0.5794])
    state = hc.float_at_rest(hull, mass, cg, tanks=[hc.Tank("well", tank, 1025, level_at=lip)])
    n, d = np.array([0.0, 0.0, 1.0]), 0.9
    for _ in range(2000):
        water = tank.cut(n, n @ lip)
        total = mass + 1025 * water.volume
        weight = mass * cg + 1025 * water.volume * water.centroid
        for _ in range(3):
            sea = hull.cut(n, d)
            d += (total / SEA - sea.volume) / sea.area
        turn = (weight - total * hull.cut(n, d).centroid) / total
        turn -= n * (n @ turn)
        if np.linalg.norm(turn) < 1e-9:
            break
        n = n - turn * min(0.05, 0.01 / np.linalg.norm(turn))
        n /= np.linalg.norm(n)
    assert_allclose(state.normal, n, rtol=0, atol=1e-6)


def test_a_centre_of_gravity_in_millimetres_is_a_slip_of_units():
    with pytest.raises(hc.InputError, match=r"cg\[0\] = 2100 m is over 50 boat lengths away; is it in millimetres"):
        hc.float_at_rest(HULL, 1500, (2100, 0, 500))
    assert hc.float_at_rest(HULL, 1500, (60.0, 0, 0.5)).status in ("floats", "capsizes")  # far, and still answered


@pytest.mark.parametrize("space", [box((-1, 1), (-1, 1), (0, 0.5)), box((10, 11), (0, 1), (0, 1))])
def test_a_space_that_reaches_outside_the_boat_is_refused(space):
    with pytest.raises(hc.InputError, match=r"flooded\[0\] reaches from .* outside the solids"):
        hc.float_at_rest(HULL, 1500, (2.1, 0, 0.5), flooded=space)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"solids": "hull.stl"}, r"solids\[0\] must be a Solid, not str"),
        ({"flooded": [FUEL.vertices]}, r"flooded\[0\] must be a Solid"),
        ({"tanks": [FUEL]}, r"tanks\[0\] must be a Tank, not Solid"),
        ({"mass": "heavy"}, "mass = 'heavy' must be numbers in kg"),
        ({"cg": "aft"}, "float_many takes many"),
        ({"cg": (2.1, "port", 0.5)}, "cg = .* must be numbers in m"),
        ({"start": (0, 0, 0)}, "start = .* gives no direction"),
        ({"mass": -2000.0, "tanks": [hc.Tank("t", WELL, 1025, level_at=(2, 0, 0.85))]}, "total weight .*positive"),
    ],
)
def test_what_is_no_boat_at_all_is_refused_in_words(change, words):
    with pytest.raises(hc.InputError, match=words):
        hc.float_at_rest(**({"solids": HULL, "mass": 1500.0, "cg": (2.1, 0, 0.5)} | change))


def test_a_single_tank_or_space_need_not_be_in_a_list():
    tank = hc.Tank("fuel", FUEL, 740, fill=0.5)
    one = hc.float_at_rest(HULL, 1400, (2.1, 0, 0.5), tanks=tank, flooded=WELL)
    listed = hc.float_at_rest([HULL], 1400, (2.1, 0, 0.5), tanks=[tank], flooded=[WELL])
    assert_array_equal(one.normal, listed.normal)


def test_short_of_a_little_is_said_in_tenths():
    hull = box((0, 6), (-1, 1), (0, 1))
    with pytest.raises(hc.NoEquilibriumError, match=r"12300\.2 kg .* 12300\.0 kg at most: short of 0\.2 kg"):
        hc.float_at_rest(hull, 12300.2, (3, 0, 0.4))
    with pytest.raises(hc.NoEquilibriumError) as caught:
        hc.float_at_rest(hull, 12300.0, (3, 0, 0.4))
    assert 0 <= caught.value.short_by_kg < 1e-8


def test_states_cannot_be_written_to():
    state = hc.float_at_rest(HULL, 1500, (2.1, 0, 0.5))
    for array in (state.normal, state.cg, state.stiffness, state.flotation):
        with pytest.raises(ValueError, match="read-only"):
            array += 1.0


@pytest.mark.parametrize("points", [(0, 0), 0.0, "mark", (0, np.nan, 0)])
def test_a_point_that_is_none_is_refused(points):
    state = hc.float_at_rest(HULL, 1500, (2.1, 0, 0.5))
    for ask in (state.height_above_water, state.response):
        with pytest.raises(hc.InputError, match="points"):
            ask(points)
