"""Sweeps as a study: least marks, tables, files that are gone on with, lines on which plans are equal."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from analysis.studies.isolines import lines_at, regions_between
from analysis.studies.sweep_files import as_csv, as_npz, take_up
from analysis.studies.sweep_words import say_set, say_turn, sweep_finding
from analysis.studies.sweeps import blank, from_here, go_on, here, sweep, where_equal
from hullcalc import InputError
from hullcalc.boats import sweeping
from hullcalc.boats.knobs import added_at, fill_of, litres_of, place_of, setback

FULL, PLAN, TANK = "4 adults full", "mended plan", "fuel tank new"


def knobs_of(boat, plan=PLAN):
    return [place_of(boat, plan, TANK), place_of(boat, plan, "batteries")]


AXES = (np.linspace(1.8, 2.8, 6), np.linspace(0.3, 3.1, 5))


@pytest.fixture(scope="module")
def swept(demo):
    return sweep(demo, PLAN, FULL, knobs_of(demo), AXES, keep=["scupper"])


def test_each_state_is_the_boat_floated_alone(demo, swept):
    """Another road: with the tank where it is, the batteries moved are a couple without weight, by the response."""
    table = swept.table()
    assert len(table) == swept.states == swept.done == 30
    row = table[np.isclose(table.iloc[:, 0], 2.6) & np.isclose(table.iloc[:, 1], 2.4)].iloc[0]
    state = demo.float(PLAN, FULL, shut=True)
    couple = 105 * (2.4 - 2.72)  # kg m: the batteries aft from 2.72 m
    response = state.response(state.loading.marks["sole aft starboard"].point)
    straight = 1000 * (state.marks["sole aft starboard"] + couple * response[1])
    assert row["sole aft starboard (mm)"] == pytest.approx(straight, abs=0.05)  # a small couple: nearly straight
    sole = [f"{name} (mm)" for name in swept.watched]
    assert_allclose(table["least_mm"], table[sole].min(axis=1), atol=0)
    assert_array_equal(table["least_mark"] + " (mm)", table[sole].idxmin(axis=1))
    assert {"scupper port (mm)", "trim_deg", "heel_deg", "mass_kg"} <= set(table.columns)
    assert_allclose(table["mass_kg"], float(state.mass), rtol=1e-12)  # nothing is added, only moved


def test_a_list_of_states_is_the_same_as_the_grid(demo, swept):
    pick = [3, 17, 29]
    found = sweep(demo, PLAN, FULL, knobs_of(demo), states=swept.values[pick])
    assert_allclose(found.least_mm, swept.least_mm[pick], rtol=0, atol=1e-9)
    assert_array_equal(found.least_mark, swept.least_mark[pick])
    with pytest.raises(InputError, match="no grid"):
        found.on_grid(found.least_mm)


def test_what_she_is_now_and_a_small_turn(demo, swept):
    state = demo.float(PLAN, FULL, shut=True)
    assert here(swept) == pytest.approx(1000 * state.marks["sole aft starboard"], abs=1e-6)
    turns = from_here(swept).set_index("knob")
    # Source: an independent program: every 0.1 m that the full tank goes forward buys 3 mm at the sole's corner.
    assert turns.loc[f"place of {TANK}", "mm"] == pytest.approx(3, abs=0.5)
    tenth = from_here(blank(demo, PLAN, FULL, [fill_of(demo, PLAN, "fuel", 0.95)], [[0.5]]))
    assert np.isnan(tenth["mm"][0])  # 105 % cannot be
    assert "cannot be turned both ways" in say_turn(fill_of(demo, PLAN, "fuel", 0.95), 0.1, float("nan"), "metric")


def test_where_two_plans_are_equal(demo, swept):
    """First and mended plan under the same knobs differ by the sole's 30 mm and little else: nowhere equal."""
    other = sweep(demo, "first plan", FULL, knobs_of(demo, "first plan"), AXES)
    assert where_equal(swept, other) == []
    assert (swept.least_mm > other.least_mm).all()
    light = [replace(knob, now=knob.now) for knob in (added_at((0.3, 0, 0.8)),)]
    with pytest.raises(InputError, match="same two knobs"):
        where_equal(swept, sweep(demo, PLAN, FULL, light, [[0.0, 10.0]]))


def test_equal_plans_on_a_line_found_by_floating_both(demo):
    """The short bracket with its small pod against the long one: with weight at the bow there is a line of equals."""
    short = [*demo.plans["first plan"].packages, "10 bracket 0.51 m instead"]
    axes = np.linspace(0.1, 0.95, 6), np.linspace(0.0, 200.0, 9)  # more at the bow, and its own sole is lowest

    def both(**states):
        return [
            sweep(demo, plan, "two people", [fill_of(demo, plan, "fuel", 0.5), added_at((6.0, 0, 1.0))], **states)
            for plan in ("first plan", short)
        ]

    one, other = both(axes=axes)
    lines = where_equal(one, other)
    difference = one.least_mm - other.least_mm
    assert lines and difference.min() < -1 and difference.max() > 1
    on_them = np.array([line[len(line) // 2] for line in lines])
    one, other = both(states=on_them)
    assert_allclose(one.least_mm, other.least_mm, rtol=0, atol=0.2)  # mm: lines are straight between grid points


def stopped_after(count):
    def stop(done, total):
        if done >= count:
            raise KeyboardInterrupt

    return stop


def test_a_stopped_sweep_is_written_and_gone_on_with(demo, swept, monkeypatch):
    monkeypatch.setattr(sweeping, "CHUNK", 2)
    asked = blank(demo, PLAN, FULL, knobs_of(demo), AXES, keep=["scupper"])
    part = go_on(asked, stopped_after(7))
    assert 7 <= part.done < part.states
    assert asked.done == 0  # what was there before is left as it was
    table = pd.read_csv(io.BytesIO(as_csv(part)), comment="#")
    assert len(table) == len(part.table()) == part.done
    assert_allclose(table["least_mm"], part.least_mm[part.swept.done], rtol=1e-15)
    assert f"{part.done} of {part.states} states" in as_csv(part).decode().splitlines()[0]
    assert np.isnan(part.least_mm[~part.swept.done]).all() and (part.least_mark[~part.swept.done] == "").all()

    again = go_on(take_up(asked, as_npz(part), "file"))
    whole = go_on(asked)
    for name, column in vars(whole.swept).items():
        assert_array_equal(getattr(again.swept, name), column)
    assert as_npz(again) == as_npz(whole)
    assert_allclose(whole.least_mm, swept.least_mm, rtol=0, atol=1e-9)


def test_files_of_something_else_are_refused(demo, swept, monkeypatch):
    asked = blank(demo, PLAN, FULL, knobs_of(demo), AXES, keep=["scupper"])
    data = as_npz(swept)
    with pytest.raises(InputError, match="file: is no file of a sweep"):
        take_up(asked, b"not a file", "file")
    buffer = io.BytesIO()
    np.savez(buffer, other=np.zeros(3))
    with pytest.raises(InputError, match="it holds no values"):
        take_up(asked, buffer.getvalue(), "file")
    with pytest.raises(InputError, match=r"of another sweep: its condition are 4 adults full, and family"):
        take_up(replace(asked, condition="family"), data, "file")
    with pytest.raises(InputError, match="its states have other values"):
        take_up(replace(asked, values=asked.values + 0.001), data, "file")
    heavier = replace(asked, loading=replace(asked.loading, mass=asked.loading.mass + 1.0))
    with pytest.raises(InputError, match="the boat's folder has changed"):
        take_up(heavier, data, "file")
    assert take_up(asked, data, "file").done == 30


@pytest.mark.parametrize(
    ("axes", "more", "words"),
    [
        (([], [0.3]), {}, f"place of {TANK}: no value lies within its limits"),
        (([1.8],), {}, "1 axes are given for 2 knobs"),
        (AXES, {"watch": ["keel bolt"]}, "no mark or kind of mark is called 'keel bolt'"),
        (AXES, {"keep": ["keel bolt"]}, "no mark or kind of mark is called 'keel bolt'"),
        (None, {}, "give either axes"),
        (AXES, {"states": [[1, 1]]}, "give either axes"),
        (([np.nan], [0.3]), {}, "must be a finite number"),
    ],
)
def test_what_cannot_be_swept(demo, axes, more, words):
    with pytest.raises(InputError, match=words):
        sweep(demo, PLAN, FULL, knobs_of(demo), axes, **more)


def test_knobs_twice_or_none(demo):
    with pytest.raises(InputError, match=f"place of {TANK} is swept twice"):
        sweep(demo, PLAN, FULL, [knobs_of(demo)[0]] * 2, AXES)
    with pytest.raises(InputError, match="name at least one knob"):
        sweep(demo, PLAN, FULL, [], [])


def test_all_of_it_sinks_or_stands_outside(demo):
    heavy = sweep(demo, PLAN, FULL, [added_at((3, 0, 0.5))], [[50_000.0, 60_000.0]])
    assert sweep_finding(heavy, here(heavy)).endswith(
        "no state of those done both floats and has tanks that fit the hull"
    )
    assert (heavy.table()["sinks_short_by_kg"] > 0).all()
    out = sweep(demo, PLAN, FULL, [place_of(demo, PLAN, TANK)], [[5.0, 5.5]])
    assert "no state of those done" in sweep_finding(out, here(out))
    assert "nothing was floated" in sweep_finding(blank(demo, PLAN, FULL, knobs_of(demo), AXES), here(out))


def test_knobs_in_words(demo):
    assert say_set(place_of(demo, PLAN, TANK), 2.6, "metric") == f"{TANK} at 2.60 m"
    assert say_set(place_of(demo, PLAN, TANK), -0.3, "metric") == f"{TANK} at 0.30 m aft"
    assert say_set(litres_of(demo, PLAN, TANK), 0.416, "metric") == f"{TANK} of 416 L"
    assert say_set(fill_of(demo, PLAN, "fuel", 0.95), 0.5, "us") == "fuel 50 %"
    assert say_set(setback(demo, PLAN, 0.76), 0.51, "us") == "setback 1 ft 8 1/8 in"
    assert say_set(added_at((0.3, 0, 0.8), "weight at 0.3, 0, 0.8"), 120.0, "metric") == "120 kg at 0.3, 0, 0.8"


def test_lines_and_regions_of_a_plane_field():
    # z = x + 2 y: the line z = 2 joins (0, 1) and (2, 0); under it lies a triangle of area 1.
    x, y = np.linspace(0, 2, 5), np.linspace(0, 1, 3)
    field = x + 2 * y[:, None]
    (line,) = lines_at(x, y, field, 2.0)
    assert_allclose(line @ [1, 2], 2.0, atol=1e-12)
    assert_allclose(sorted(map(tuple, line[[0, -1]])), [(0, 1), (2, 0)], atol=1e-12)
    (outline,) = regions_between(x, y, field, -1.0, 2.0)
    a, b = outline[:-1].T
    assert 0.5 * abs(np.sum(a * np.roll(b, -1) - b * np.roll(a, -1))) == pytest.approx(1.0)
    field[0, 0] = np.nan
    assert len(lines_at(x, y, field, 0.1)) == 0  # no line where the field is not known
