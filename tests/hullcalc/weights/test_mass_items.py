"""The algebra of mass items: sums, removals, moves and replacements, with the causes of uncertainty they carry."""

import pickle
from copy import deepcopy

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from hullcalc.errors import InputError
from hullcalc.weights.items import MassItem, combine, item, move, remove, replace
from hullcalc.weights.sources import BASES

with_default = st.sampled_from([name for name, basis in BASES.items() if basis.place is not None])
masses = st.floats(0.0, 3000.0)
places = st.tuples(*(st.floats(-10.0, 10.0),) * 3)


@st.composite
def some_items(draw, at_least=1):
    n = draw(st.integers(at_least, 6))
    causes = st.sampled_from([None, "all soaked wood", "one brochure"])
    return [item(f"item {k}", draw(masses), draw(places), draw(with_default), shared=draw(causes)) for k in range(n)]


def battery(**more):
    return item("battery", 105.0, (0.36, 0.50, 0.54), "data sheet", **more)


def boat():
    return item("boat", 1612.0, (2.075, 0.004, 0.60), "measured afloat", u_mass=17.0, u_place=(0.013, 0.010, 0.060))


def assert_same_item(one, other, rtol=1e-12, atol=1e-9):
    """atol: rounding of sums whose terms reach 30,000 kg m."""
    for field in ("mass", "moment", "shift", "covariance"):
        scale = 1e4 if field == "covariance" else 1.0
        assert_allclose(getattr(one, field), getattr(other, field), rtol=rtol, atol=atol * scale)


@given(some_items(), st.randoms(use_true_random=False))
def test_the_order_of_a_sum_does_not_matter(items, random):
    shuffled = items.copy()
    random.shuffle(shuffled)
    assert_same_item(combine(items), combine(shuffled))
    assert set(combine(items).sources) == set(combine(shuffled).sources)


@given(some_items(at_least=2))
def test_sums_of_sums_are_the_sum(items):
    assert_same_item(combine([combine(items[:1]), combine(items[1:])]), combine(items))


@given(some_items())
def test_an_item_less_itself_is_nothing(items):
    total = combine(items)
    nothing = combine([total, remove(total)])
    assert_array_equal(nothing.mass, 0.0)
    assert_array_equal(nothing.moment, np.zeros(3))
    assert dict(nothing.sources) == {}
    assert_array_equal(nothing.u_mass, 0.0)


@given(masses, places, places, with_default)
def test_a_move_is_a_removal_and_an_addition_in_mass_and_moment(mass, here, there, basis):
    thing = item("thing", mass, here, basis)
    twice = combine([remove(thing), item("thing", mass, there, basis)])
    moved = move(thing, there)
    assert_array_equal(moved.mass, 0.0)
    assert_allclose(moved.mass, twice.mass, atol=0)
    assert_allclose(moved.moment, twice.moment, rtol=1e-13, atol=1e-9)


@given(masses, places, places, with_default)
def test_a_moved_item_is_as_sure_as_one_placed_there_at_once(mass, here, there, basis):
    thing = item("thing", mass, here, basis)
    assert_same_item(combine([thing, move(thing, there)]), item("thing", mass, there, basis))


def test_a_move_cancels_its_own_uncertainty():
    total = combine([boat(), battery(), move(battery(), (2.72, 0.0, 0.60))])
    # The old place is gone exactly; the mass's error stands at the new place, as it should; the boat's is untouched.
    assert not {"battery: x", "battery: y", "battery: z"} & set(total.sources)
    assert_allclose(
        total.sources["battery: mass"], 0.03 * 105.0 * np.array([1.0, 2.72, 0.0, 0.60]), rtol=1e-12, atol=1e-12
    )
    assert_array_equal(total.sources["battery, new place: x"], [0.0, 0.020 * 105.0, 0.0, 0.0])
    assert_array_equal(total.sources["boat: mass"], boat().sources["boat: mass"])


def test_a_move_inside_a_weighed_total_keeps_error_times_distance_and_both_places():
    # The boat was weighed with the battery in her: its mass's error is in no sum, only in how far the moment moved.
    total = combine([boat(), move(battery(), (2.72, 0.50, 0.54))])
    assert_array_equal(total.mass, boat().mass)
    assert_array_equal(total.u_mass, 17.0)
    assert_allclose(total.sources["battery: mass"], [0.0, 0.03 * 105.0 * (2.72 - 0.36), 0.0, 0.0], rtol=1e-12)
    u_place = 0.020 * 105.0
    assert_array_equal(total.sources["battery: x"], [0.0, -u_place, 0.0, 0.0])
    assert_array_equal(total.sources["battery, new place: x"], [0.0, u_place, 0.0, 0.0])


def test_a_second_move_takes_the_first_new_place_out():
    first = move(battery(), (2.72, 0.0, 0.60))
    there = combine([battery(), first], "battery", "data sheet")
    second = move(there, (1.50, 0.0, 0.60))
    total = combine([battery(), first, second])
    assert set(total.sources) == {"battery: mass"} | {f"battery, new place 2: {axis}" for axis in "xyz"}
    assert_allclose(total.centre, (1.50, 0.0, 0.60), rtol=1e-12, atol=1e-14)
    third = move(combine([there, second], "battery", "data sheet"), (0.36, 0.50, 0.54))
    assert_same_item(combine([battery(), first, second, third]), battery())


def test_a_move_of_a_group_moves_its_centre_of_mass():
    group = combine([battery(), item("switches", 13.0, (1.10, 0.40, 0.60), "estimated")], "electrical", "calculated")
    total = combine([group, move(group, (2.0, 0.0, 0.5))])
    assert_allclose(total.centre, (2.0, 0.0, 0.5), rtol=1e-12, atol=1e-14)
    assert not {"switches: x", "battery: x"} & set(total.sources)
    assert_allclose(total.u_mass, np.hypot(0.03 * 105.0, 0.15 * 13.0), rtol=1e-12)


def test_a_replacement_takes_the_old_uncertainty_out():
    guess = item("outboard, guessed", 240.0, (-1.0, 0.0, 0.9), "guess")
    weighed = item("outboard", 268.0, (-1.14, 0.0, 0.98), "weighed")
    total = combine([boat(), guess, replace(guess, weighed)])
    assert_same_item(total, combine([boat(), weighed]))
    assert not any(cause.startswith("outboard, guessed") for cause in total.sources)


def test_a_replacement_in_a_weighed_total_brings_the_old_items_own_uncertainty():
    old = item("old outboard", 214.0, (-0.37, 0.0, 0.88), "weighed")
    new = item("new outboard", 268.0, (-1.14, 0.0, 0.98), "data sheet")
    total = combine([boat(), replace(old, new)])
    assert_allclose(total.u_mass, np.sqrt(17.0**2 + 2.14**2 + 8.04**2), rtol=1e-12)


def test_shared_causes_add_linearly_and_single_ones_in_squares():
    wood = [item(f"wood {k}", 100.0, (k, 0.0, 0.0), "estimated", shared="all soaked wood") for k in range(4)]
    apart = [item(f"wood {k}", 100.0, (k, 0.0, 0.0), "estimated") for k in range(4)]
    assert_allclose(combine(wood).u_mass, 4 * 15.0, rtol=1e-12)
    assert_allclose(combine(apart).u_mass, 2 * 15.0, rtol=1e-12)
    # What soaked in and is taken off again takes its share of the common cause with it.
    assert_allclose(combine([*wood, remove(wood[0])]).u_mass, 3 * 15.0, rtol=1e-12)


def test_uncertainty_against_sampling():
    # Other road: draw each mass and place, do the ledger on plain numbers, and look at the spread of the results.
    rng, n = np.random.default_rng(20260), 200_000
    total = combine(
        [
            boat(),
            remove(item("old outboard", 214.0, (-0.37, 0.0, 0.88), "weighed")),
            item("new outboard", 268.0, (-1.14, 0.0, 0.98), "data sheet"),
            remove(item("soaked sole", 99.0, (2.05, 0.0, 0.47), "calculated", shared="all soaked wood")),
            remove(item("soaked stringers", 41.0, (2.30, 0.0, 0.24), "estimated", shared="all soaked wood")),
            move(battery(), (2.72, 0.0, 0.60)),
        ]
    )

    def place(x, y, z, u):
        return np.array([x, y, z]) + rng.normal(size=(n, 3)) * np.array([u, u, u + 0.010])

    def with_moment(mass, at):
        return np.column_stack([mass, mass[:, None] * at])

    start = np.array([2.075, 0.004, 0.60]) + rng.normal(size=(n, 3)) * np.array([0.013, 0.010, 0.060])
    drawn = with_moment(1612.0 + 17.0 * rng.normal(size=n), start)
    drawn -= with_moment(214.0 * (1 + 0.01 * rng.normal(size=n)), place(-0.37, 0.0, 0.88, 0.010))
    drawn += with_moment(268.0 * (1 + 0.03 * rng.normal(size=n)), place(-1.14, 0.0, 0.98, 0.020))
    wet = rng.normal(size=n)
    drawn -= with_moment(99.0 * (1 + 0.08 * wet), place(2.05, 0.0, 0.47, 0.030))
    drawn -= with_moment(41.0 * (1 + 0.15 * wet), place(2.30, 0.0, 0.24, 0.050))
    same = 105.0 * (1 + 0.03 * rng.normal(size=n))
    drawn += with_moment(same, place(2.72, 0.0, 0.60, 0.020)) - with_moment(same, place(0.36, 0.50, 0.54, 0.020))

    # A standard deviation of n draws is known to 1 / sqrt(2 n) = 0.16 %; 1 % is six times that. Means: to u / sqrt(n).
    assert_allclose(np.sqrt(np.diag(total.covariance)), drawn.std(axis=0), rtol=0.01)
    assert_allclose(
        np.append(total.mass, total.moment), drawn.mean(axis=0), rtol=0, atol=6 * drawn.std(axis=0).max() / n**0.5
    )
    assert_allclose(total.u_mass, drawn[:, 0].std(), rtol=0.01)
    centres = drawn[:, 1:] / drawn[:, :1]
    assert_allclose(total.u_centre, centres.std(axis=0), rtol=0.01)
    correlation = total.covariance / np.sqrt(np.outer(np.diag(total.covariance), np.diag(total.covariance)))
    assert_allclose(correlation, np.corrcoef(drawn.T), rtol=0, atol=0.015)  # six times 1 / sqrt(n)


def test_many_load_conditions_are_each_condition_alone():
    fuel = np.array([0.0, 154.0, 292.0])
    many = combine([boat(), item("fuel", fuel, (2.05, 0.0, 0.33), "weighed"), move(battery(), (2.72, 0.0, 0.60))])
    assert many.mass.shape == (3,)
    assert many.centre.shape == (3, 3)
    assert many.covariance.shape == (3, 4, 4)
    for k, mass in enumerate(fuel):
        one = combine([boat(), item("fuel", mass, (2.05, 0.0, 0.33), "weighed"), move(battery(), (2.72, 0.0, 0.60))])
        for field in ("mass", "moment", "centre", "covariance", "u_mass", "u_centre"):
            assert_allclose(getattr(many, field)[k], getattr(one, field), rtol=1e-13, atol=1e-13)


def test_positions_may_vary_by_condition_too():
    where = np.array([[0.5, 0.4, 1.4], [4.6, 0.2, 1.1]])
    person = item("child", 40.0, where, "estimated")
    assert person.mass.shape == (2,)
    assert_allclose(person.centre, where, rtol=1e-15)
    assert_allclose(
        combine([person, move(person, (2.0, 0.0, 1.0))]).centre, [[2.0, 0.0, 1.0]] * 2, rtol=1e-12, atol=1e-14
    )


def test_an_item_keeps_its_own_copy_and_cannot_be_changed():
    mass = np.array([10.0, 20.0])
    thing = item("thing", mass, (1.0, 0.0, 0.0), "weighed")
    mass[0] = 99.0
    assert_array_equal(thing.mass, [10.0, 20.0])
    with pytest.raises(ValueError, match="read-only"):
        thing.mass[0] = 5.0
    with pytest.raises(ValueError, match="read-only"):
        thing.sources["thing: mass"][0] = 5.0
    with pytest.raises(TypeError):
        thing.sources["other"] = np.zeros(4)


def test_an_empty_sum_is_nothing_and_has_no_centre():
    nothing = combine([], "package with nothing in it")
    assert_array_equal(nothing.mass, 0.0)
    assert_array_equal(combine([boat(), nothing]).centre, boat().centre)
    with pytest.raises(InputError, match=r"mass of package with nothing in it = 0 kg .*nothing aboard"):
        _ = nothing.centre


def test_a_centre_of_a_negative_total_names_the_item_and_the_condition():
    stripped = combine([item("hull", [500.0, 90.0], (2.0, 0.0, 0.5), "weighed"), remove(battery())], "stripped boat")
    with pytest.raises(InputError, match=r"mass of stripped boat\[1\] = -15 kg .*do the removals outweigh the boat"):
        _ = stripped.centre
    with pytest.raises(InputError, match="mass of stripped boat"):
        _ = stripped.u_centre


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("anchor", np.nan, (1, 0, 0), "weighed"), r"mass of anchor = nan kg must be a number"),
        (("anchor", [1.0, np.inf], (1, 0, 0), "weighed"), r"mass of anchor\[1\] = inf kg"),
        (("anchor", -5.0, (1, 0, 0), "weighed"), r"mass of anchor = -5 kg .*use remove\(item\)"),
        (("anchor", 5.0, (1, np.nan, 0), "weighed"), r"place of anchor\[1\] = nan m .*give x, y and z"),
        (("anchor", 5.0, (1, 0), "weighed"), r"anchor: place has shape \(2,\), expected \(..., 3\)"),
        (("anchor", 1e308, (100, 0, 0), "weighed"), r"moment of anchor\[0\] = inf kg m .*too many digits"),
        (("anchor", 5.0, (1, 0, 0), "hearsay"), r"anchor: basis 'hearsay' is not known; write one of: weighed, "),
        (("anchor", 5.0, (1, 0, 0), "measured afloat"), r"anchor: basis 'measured afloat' .*give u_mass"),
        (("anchor", 5.0, (1, 0, 0), "measured afloat", 1.0), r"anchor: .*give u_place"),
        (("anchor", 5.0, (1, 0, 0), "weighed", -1.0), r"u_mass of anchor = -1 kg must be a number, zero or more"),
        (("anchor", 5.0, (1, 0, 0), "weighed", 1.0, np.nan), r"u_place of anchor\[0\] = nan m"),
        (("anchor", 5.0, (1, 0, 0), "weighed", 1.0, (0.1, 0.1)), r"u_place has shape \(2,\), expected one number"),
        (("anchor", [1.0, 2.0], [(1, 0, 0)] * 3, "weighed"), r"anchor: .*do not fit together"),
        (("anchor", 5.0, (1, 0, 0), "guess", None, None, None, 6.0, 8.0), r"anchor, mass \[kg\]: low value = 6"),
        (("anchor", 5.0, (1, 0, 0), "guess", None, None, None, 4.0), r"anchor: a one-sided mass needs low and high"),
    ],
)
def test_a_bad_figure_is_refused_in_words_that_name_the_item(arguments, words):
    with pytest.raises(InputError, match=words):
        item(*arguments)


def test_a_bad_move_names_the_item():
    with pytest.raises(InputError, match=r"new place of battery\[2\] = nan m"):
        move(battery(), (1.0, 0.0, np.nan))
    with pytest.raises(InputError, match=r"battery: new place has shape \(2,\)"):
        move(battery(), (1.0, 0.0))
    with pytest.raises(InputError, match=r"boat: basis 'measured afloat' .*give u_place"):
        move(boat(), (1.0, 0.0, 0.0))


def test_a_moment_of_the_wrong_shape_names_the_item():
    for moment in ([1.0, 2.0], 5.0, [[1.0, 2.0, 3.0]] * 3):
        with pytest.raises(InputError, match=r"odd one: .*do not fit together"):
            MassItem("odd one", [1.0, 2.0], moment, "weighed")
    with pytest.raises(InputError, match=r"uncertainty of its mass\[0\] = nan"):
        MassItem("odd one", 1.0, [1.0, 2.0, 3.0], "weighed", {"its mass": [np.nan, 0.0, 0.0, 0.0]})


def test_a_one_sided_mass_sums_by_its_likely_value_and_says_the_shift():
    # Soaked foam: likely 95 kg, 61 at the least, 132 at the most (one can only find out by cutting).
    foam = item("soaked foam", 95.0, (1.75, 0.0, 0.24), "estimated", low=61.0, high=132.0)
    shift = (61.0 + 95.0 + 132.0) / 3 - 95.0
    assert_array_equal(foam.mass, 95.0)
    assert_allclose(foam.shift, shift * np.array([1.0, 1.75, 0.0, 0.24]), rtol=1e-12)
    total = combine([boat(), remove(foam)])
    assert_array_equal(total.mass, 1612.0 - 95.0)
    assert_allclose(total.shift[0], -shift, rtol=1e-12)
    assert_allclose(combine([total, foam]).shift, np.zeros(4), atol=1e-15)
    moved = move(foam, (2.75, 0.0, 0.24))
    assert_allclose(moved.shift, [0.0, shift * 1.0, 0.0, 0.0], rtol=1e-9, atol=1e-12)


@settings(max_examples=20)
@given(some_items(at_least=2), st.integers(1, 3))
def test_a_weight_in_every_condition_is_the_weight_in_each(items, n):
    spread = [MassItem(i.name, np.repeat(i.mass, n), i.moment, i.basis, i.sources, i.shift) for i in items]
    many, one = combine(spread), combine(items)
    for k in range(n):
        assert_allclose(many.moment[k], one.moment, rtol=1e-15)
        assert_allclose(many.covariance[k], one.covariance, rtol=1e-12, atol=1e-12)


def test_an_item_is_copied_whole():
    tank = item("tank", 51.0, (2.05, 0.0, 0.33), "calculated")
    for copy in (pickle.loads(pickle.dumps(tank)), deepcopy(tank)):
        assert_array_equal(copy.moment, tank.moment)
        assert_array_equal(copy.covariance, tank.covariance)
        assert not copy.mass.flags.writeable
