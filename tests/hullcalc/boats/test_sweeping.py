"""Knobs and sweeps: against sums by hand, the boat's own plans and states floated alone; stopped and gone on with."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

import hullcalc as hc
from hullcalc.boats import sweeping
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.knobs import Fill, Litres, Place, added_at, fill_of, litres_of, place_of, setback
from hullcalc.boats.sweeping import Swept, sweep_states
from hullcalc.geometry.makers import box

FULL = "4 adults full"
PLAN = "mended plan"
TANK = "fuel tank new"
MARKS = ("sole aft port", "sole aft starboard", "scupper starboard")


@pytest.fixture(scope="module")
def loading(demo):
    return demo.loading(PLAN, FULL)


def swept(demo, knobs, values, plan=PLAN, marks=MARKS, **more):
    return sweep_states(demo.hull, demo.loading(plan, FULL), knobs, values, marks, **more)


def test_with_every_knob_where_it_is_nothing_changes(demo, loading):
    knobs = [setback(demo, PLAN, 0.76), place_of(demo, PLAN, TANK), litres_of(demo, PLAN, TANK),
             fill_of(demo, PLAN, "fuel", 0.95), place_of(demo, PLAN, "batteries"), added_at((0.3, 0, 0.8))]  # fmt: skip
    found = swept(demo, knobs, [[knob.now for knob in knobs]])
    alone = float_loading(loading, shut=True)
    assert_allclose(found.heights[0], [alone.marks[name] for name in MARKS], atol=1e-9)
    assert found.mass[0] == pytest.approx(alone.mass, abs=1e-6)
    assert (found.outside == 0).all()


def test_the_tank_moved_aft_again_is_the_plan_without_that_mend(demo):
    """The mend moves shell and chocks by 0.55 m, as the knob does, and the hose by 0.40 m: a knob of its own."""
    knob = place_of(demo, PLAN, TANK)
    assert knob.now == pytest.approx(2.6)
    assert knob.with_it == ("new fuel tank 416 L aluminium 4 mm", "chocks straps coffin lid and foam bed")
    hose = place_of(demo, PLAN, "new fill vent")
    found = swept(demo, [knob, hose], [[2.05, 1.4]])
    plan = [package for package in demo.plans[PLAN].packages if package != "9 mend: tank moved forward"]
    alone = demo.float(plan, FULL, shut=True)
    assert_allclose(found.heights[0], [alone.marks[name] for name in MARKS], atol=1e-9)


def test_the_batteries_moved_are_the_plan_without_that_mend(demo):
    """Along the boat only: where they stand across and how high comes with a weightless couple of added loads."""
    knobs = [place_of(demo, PLAN, "batteries"), place_of(demo, PLAN, "battery switches")]
    found = swept(demo, knobs, [[0.36, 1.10]])
    loading = demo.loading([p for p in demo.plans[PLAN].packages if "batteries" not in p], FULL)
    across = 105 * np.array([0, 0, 0.5, -0.06]) + 13 * np.array([0, 0, 0.3, -0.10])
    level = replace(loading, cg=loading.cg - across[1:] / loading.mass)
    alone = float_loading(level, shut=True)
    assert_allclose(found.heights[0], [alone.marks[name] for name in MARKS], atol=1e-9)


def test_litres_change_the_length_of_a_box(demo):
    # By hand: the tank is 0.73 x 0.271 m in section, so 300 L are 1.5164 m long about the same middle, x 2.60.
    knob = litres_of(demo, PLAN, TANK)
    assert knob.now == pytest.approx(2.10 * 0.73 * 0.271, rel=1e-12)
    found = swept(demo, [knob], [[0.3]])
    length = 0.3 / (0.73 * 0.271)
    short = hc.Tank(
        TANK,
        box((2.6 - length / 2, 2.6 + length / 2), (-0.365, 0.365), (0.195, 0.466)),
        740.0,
        fill=0.95,
    )
    loading = demo.loading(PLAN, FULL)
    tanks = tuple(short if tank.name == TANK else tank for tank in loading.tanks)
    alone = float_loading(replace(loading, tanks=tanks), shut=True)
    assert_allclose(found.heights[0], [alone.marks[name] for name in MARKS], atol=1e-9)


def test_fills_are_those_of_a_condition(demo):
    found = swept(demo, [fill_of(demo, PLAN, "fuel", 0.95)], [[0.10], [0.95]])
    said = demo.condition(FULL)
    tenth = replace(said, fills={**said.fills, "fuel": 0.10})
    for row, condition in zip(found.heights, (tenth, said), strict=True):
        assert_allclose(row, [demo.float(PLAN, condition, shut=True).marks[name] for name in MARKS], atol=1e-9)


def test_a_setback_draws_out_pod_and_engine(demo):
    knob = setback(demo, PLAN, 0.76)
    loading = demo.loading(PLAN, FULL)
    pod = loading.solids["bracket pod"]
    bodies = sweeping.Bodies(loading.solids, loading.tanks, {n: m.point for n, m in loading.marks.items()})
    drawn = knob.shape(bodies, 0.51).solids["bracket pod"]
    front = pod.vertices[:, 0] > -0.2
    assert_allclose(
        drawn.vertices[front], pod.vertices[front], atol=0.002
    )  # its corners are given to 5 mm of the transom
    # by hand: the after corners stand 0.723 and 0.715 m from the transom, and go 0.25 m times that over 0.76
    aft = np.sort(drawn.vertices[~front][:, 0] - pod.vertices[~front][:, 0])
    rake = np.tan(np.radians(14))
    shares = [(0.86 - 0.58 * rake) / 0.76] * 2 + [(0.80 - 0.31 * rake) / 0.76] * 2
    assert_allclose(aft, 0.25 * np.array(shares), atol=1e-12)
    engine = next(t for t in knob.things if "outboard" in t.name)
    assert knob.share(engine.place) == 1.0
    # by hand: engine 268 + 7 + 8 + 9 kg go whole, bracket and ladder by their share
    shares = (0.55 - 0.50 * rake) / 0.76, (0.75 - 0.60 * rake) / 0.76
    assert_allclose(
        knob.loads(np.array([0.51]))[0], [0, 0.25 * (292 + 52 * shares[0] + 5 * shares[1]), 0, 0], rtol=1e-12
    )


@pytest.mark.parametrize("value", [0.51, 0.76, 0.95])
def test_a_pod_held_open_floats_nothing_at_any_setback(demo, value):
    """The pod full of sea water: she floats as if it were not there, whether it is drawn out or pushed together."""
    flooded = "4 adults full, bracket flooded"
    knob, loading = setback(demo, PLAN, 0.76), demo.loading(PLAN, flooded)
    found = sweep_states(demo.hull, loading, [knob], [[value]], MARKS)
    load = knob.loads(np.array([value]))[0]
    cg = loading.cg + load[1:] / loading.mass
    alone = hc.float_at_rest(demo.hull.solid, loading.mass, cg, loading.density, loading.tanks)
    heights = [float(alone.height_above_water(loading.marks[name].point)) for name in MARKS]
    assert_allclose(found.heights[0], heights, atol=1e-9)


def test_a_shorter_setback_with_its_smaller_pod_is_worse(demo):
    # Source: an independent program: 0.51 m with its 38 L smaller pod sets the stern 5 mm deeper than 0.76 m. The pod
    # drawn out by the knob loses 44 L, so the sign and the size are held, not the millimetre.
    found = swept(demo, [setback(demo, "first plan", 0.76)], [[0.76], [0.51]], "first plan")
    assert np.all(found.heights[1] - found.heights[0] < -0.003)
    assert np.all(found.heights[1] - found.heights[0] > -0.010)


def grid(demo):
    knobs = [place_of(demo, PLAN, TANK), place_of(demo, PLAN, "batteries")]
    axes = np.linspace(2.0, 2.8, 5), np.linspace(0.3, 3.0, 7)
    return knobs, np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 2)


def same(one, other):
    for a, b in zip(vars(one).values(), vars(other).values(), strict=True):
        assert_array_equal(a, b)


def test_the_same_bits_by_any_threads_and_the_same_figures_in_any_order(demo, monkeypatch):
    monkeypatch.setattr(sweeping, "CHUNK", 3)
    knobs, values = grid(demo)
    one = swept(demo, knobs, values, threads=1)
    same(one, swept(demo, knobs, values, threads=3))
    mixed = np.random.default_rng(4).permutation(len(values))
    other = swept(demo, knobs, values[mixed])
    assert_allclose(other.heights, one.heights[mixed], rtol=0, atol=1e-13)  # rounding: sums by other chunks


def test_stopped_and_gone_on_with(demo, monkeypatch):
    """Ctrl-C while she is swept: what is done stays, the rest is nan; going on ends in the same bits."""
    monkeypatch.setattr(sweeping, "CHUNK", 2)
    knobs, values = grid(demo)
    whole = swept(demo, knobs, values)
    seen = []

    def stop(done, total):
        seen.append((done, total))
        if done >= 9:
            raise KeyboardInterrupt

    part = swept(demo, knobs, values, progress=stop)
    assert 9 <= part.done.sum() < len(values)
    assert seen[0] == (0, len(values)) and seen[-1][0] == part.done.sum()
    for name, column in vars(part).items():
        if name != "done":
            assert_array_equal(column[part.done], getattr(whole, name)[part.done])
            assert np.isnan(column[~part.done]).all()
    done = part.done.copy()
    counted = []
    again = swept(demo, knobs, values, swept=part, progress=lambda count, total: counted.append(count))
    same(again, whole)
    assert counted[0] == done.sum() and counted[-1] == len(values)


def test_a_state_that_sinks_has_no_figure_but_says_so(demo):
    found = swept(demo, [added_at((3.0, 0, 0.5))], [[0.0], [50_000.0]])
    assert np.isfinite(found.heights[0]).all() and np.isnan(found.short_by_kg[0])
    assert np.isnan(found.heights[1]).all() and found.short_by_kg[1] > 10_000
    assert found.done.all()


def test_a_tank_outside_the_hull_is_told(demo):
    found = swept(demo, [place_of(demo, PLAN, TANK)], [[2.6], [4.5]])
    assert found.outside[0] == 0 and found.outside[1] > 0.05


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda b: place_of(b, PLAN, "piano"), "no one thing or tank of this plan is called 'piano'"),
        (lambda b: place_of(b, PLAN, "tank"), "no one thing or tank .* 'tank'; did you mean"),
        (lambda b: place_of(b, PLAN, TANK, ["sofa"]), "no one thing of this plan is called 'sofa'"),
        (
            lambda b: litres_of(b, PLAN, "anchor"),
            "no one tank of this plan is called 'anchor'; there are: fuel tank new",
        ),
        (lambda b: fill_of(b, PLAN, "beer", 0.0), "no one tank or use of this plan is called 'beer'"),
        (lambda b: setback(b, ("1 strip",), 0.76), "nothing hangs aft of the transom in this plan"),
        (lambda b: setback(b, PLAN, 0.0), "setback now = 0 m must be positive"),
    ],
)
def test_knobs_that_cannot_be(demo, make, words):
    with pytest.raises(hc.InputError, match=words):
        make(demo)


def test_values_that_cannot_be(demo, loading):
    fuel = fill_of(demo, PLAN, "fuel", 0.95)
    for knob, value, words in (
        (fuel, 1.2, r"fill of fuel\[0\] = 1.2 must be from 0 to 1"),
        (litres_of(demo, PLAN, TANK), 0.0, "litres of fuel tank new.* must be positive"),
        (setback(demo, PLAN, 0.76), -0.3, "setback.* must be positive"),
        (place_of(demo, PLAN, TANK), np.nan, "place of fuel tank new.* must be a finite number"),
        (added_at((0, 0, 0)), -9000.0, "mass of the boat.* must be positive"),
    ):
        with pytest.raises(hc.InputError, match=words):
            sweep_states(demo.hull, loading, [knob], [[value]], MARKS)
    with pytest.raises(hc.InputError, match="name at least one knob"):
        sweep_states(demo.hull, loading, [], np.zeros((1, 0)), MARKS)
    with pytest.raises(hc.InputError, match=r"a row a state and 1 column\(s\)"):
        sweep_states(demo.hull, loading, [fuel], np.zeros((0, 1)), MARKS)
    held_open = demo.condition(FULL)
    opened = demo.loading(PLAN, replace(held_open, open=("fuel tank new",)))
    with pytest.raises(hc.InputError, match="fuel tank new is open to the sea in this condition"):
        sweep_states(demo.hull, opened, [fuel], [[0.5]], MARKS)


def test_memory_is_that_of_inputs_and_outputs():
    """Bytes a state of what is kept: a figure a mark, five others and a truth."""
    blank = Swept.blank(1000, len(MARKS))
    assert sum(array.nbytes for array in vars(blank).values()) == 1000 * (8 * (len(MARKS) + 5) + 1)


def test_kinds_of_knobs_are_told_apart(demo):
    assert isinstance(place_of(demo, PLAN, TANK), Place) and place_of(demo, PLAN, TANK).shapes
    assert not place_of(demo, PLAN, "batteries").shapes
    assert isinstance(litres_of(demo, PLAN, TANK), Litres)
    both = fill_of(demo, PLAN, "fuel", 0.95)
    assert isinstance(both, Fill) and both.tanks == (TANK,)
