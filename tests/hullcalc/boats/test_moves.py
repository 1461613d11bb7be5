"""packages.csv and moves.csv: read, and refused in words; the boat with a freedom used, against closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from box_boat import AT, BREADTH, DEPTH, LENGTH, MASS, SEA, TABLES, VCG, WEIGHT, write_box_boat
from numpy.testing import assert_allclose
from scipy.optimize import brentq

import hullcalc as hc
from hullcalc.boats.adjusted import adjustable
from hullcalc.boats.moves import PLACE, RAISE, RESIZE, WIDEN, Setting, Work, total
from hullcalc.boats.trailer import on_ball, read_trailer

HEAD = TABLES["moves.csv"].splitlines()[0]


@pytest.fixture
def box(tmp_path):
    return hc.read_boat(write_box_boat(tmp_path / "box"))


def freedom(boat, kind, name=None):
    return next(f for f in boat.freedoms if f.kind == kind and name in (None, f.name))


# Reading


def test_the_tables_are_read(box):
    assert box.works["ballast forward"] == Work(4.0, 12.0, 50.0)
    assert box.currency == "USD"
    place, up = box.freedoms
    assert (place.name, place.kind, up.name, up.kind) == ("ballast", PLACE, "sole", RAISE)
    assert_allclose(np.concatenate([place.low, place.high]), [0.5, -0.6, 5.5, 0.6])
    assert_allclose([up.low[0], up.high[0]], [0, 0.03])
    assert up.work.hours_when(False) == 0
    assert up.work.hours_when(True) == 40
    assert place.work.hours_when(True) == 20


def test_without_them_the_boat_reads_all_the_same(tmp_path):
    boat = hc.read_boat(write_box_boat(tmp_path / "box", packages="", moves=""))
    assert boat.works == {}
    assert boat.freedoms == ()


def test_works_add_up_and_what_nobody_said_is_counted():
    works = [Work(3, 9, 10), Work(2, None, None), Work(None, None, 5)]
    assert total(works) == (5, 15, 1, 1)
    assert total(works, later=True) == (11, 15, 1, 1)


SLIPS = {  # stem, text put in, words of the one message
    "unknown package": ("packages", "package,hours,cost\nwieght,2,100\n", 'Did you mean "weight"'),
    "a package twice": ("packages", "package,hours\nweight,2\nweight,3\n", "stands in row 2 too"),
    "negative hours": ("packages", "package,hours\nweight,-2\n", "expected between 0"),
    "a negative cost": ("packages", "package,cost\nweight,-5\n", "at least 0"),
    "an unknown thing": ("moves", "thing,x_from_m,x_to_m\nbalast,1,2\n", 'Did you mean "ballast"'),
    "nothing to change": ("moves", "thing,x_from_m,x_to_m\nballast,,\n", "says nothing of what may be changed"),
    "two things to change": (
        "moves",
        "thing,x_from_m,x_to_m,up_by_mm\nballast,1,2,30\n",
        "says several things of what may be changed",
    ),
    "one end only": ("moves", "thing,x_from_m,x_to_m\nballast,1,\n", "needs both ends"),
    "off the boat": ("moves", "thing,x_from_m,x_to_m\nballast,1,9\n", "off the boat"),
    "raised by nothing": ("moves", "thing,up_by_mm\nsole,0\n", "by nothing is no choice"),
    "raised by a metre": ("moves", "thing,up_by_mm\nsole,1000\n", "between 0 mm and 500 mm"),
    "a mark of no such kind": ("moves", "thing,up_by_mm\nsoul,30\n", 'Did you mean "sole"'),
    "limits twice": ("moves", "thing,x_from_m,x_to_m\nballast,1,2\nballast,2,3\n", "row 2 gives limits"),
    "goes with itself": ("moves", "thing,x_from_m,x_to_m,goes_with\nballast,1,2,ballast\n", "goes with itself"),
    "a height without a place": ("moves", "thing,z_m,up_by_mm\nsole,0.4,30\n", "belongs to a row with x_from_m"),
}


@pytest.mark.parametrize("name", SLIPS)
def test_one_slip_one_message(tmp_path, name):
    stem, text, words = SLIPS[name]
    with pytest.raises(hc.InputError) as raised:
        hc.read_boat(write_box_boat(tmp_path / "box", **{stem: text}))
    mends = [p for p in raised.value.problems if p.level == "mend"]
    assert len(mends) == 1, "\n".join(map(str, mends))
    assert mends[0].file == f"{stem}.csv"
    assert words in str(mends[0])


GONE = {  # named, and nothing like it is there: the row is left out, and that is said
    "a solid": ("thing,wider_by_mm\nbracket pod,50\n", "there is no solid"),
    "a tank": ("thing,volume_from_l,volume_to_l\nballast,10,20\n", "there is no tank"),
    "a thing": ("thing,x_from_m,x_to_m\ngenset,1,2\n", 'called "genset"'),
    "what goes with it": ("thing,x_from_m,x_to_m,goes_with\nballast,1,2,genset 50 %\n", 'called "genset"'),
}


@pytest.mark.parametrize("name", GONE)
def test_what_is_gone_is_left_out_and_said(tmp_path, name):
    text, words = GONE[name]
    boat = hc.read_boat(write_box_boat(tmp_path / "box", moves=text))
    assert boat.freedoms == ()
    assert len(boat.remarks) == 1
    assert words in boat.remarks[0].expected
    assert "left out" in boat.remarks[0].expected


def test_costs_without_a_currency_are_worth_a_look(tmp_path):
    from box_boat import TOML

    boat = hc.read_boat(write_box_boat(tmp_path / "box", toml=TOML.replace('currency = "USD"\n', "")))
    assert [p.column for p in boat.remarks] == ["cost", "cost"]


def test_a_share_of_the_way_goes_along(tmp_path):
    ledger = TABLES["ledger.csv"] + f"weight,add,chain,60,{AT:g},0.2,{VCG:g},,,,weighed\n"
    moves = "thing,x_from_m,x_to_m,goes_with\nballast,1,5,chain 40 %\n"
    boat = hc.read_boat(write_box_boat(tmp_path / "box", ledger=ledger, moves=moves))
    assert boat.freedoms[0].goes_with == (("chain", 0.4),)
    load = adjustable(boat, "with weight", "light").load([Setting(boat.freedoms[0], [3.0, 0.0])])
    assert_allclose(load, [0, WEIGHT * 2.0 + 60 * 0.4 * 2.0, 0, 0], atol=1e-9)


# Used


def trim_of_the_box(total_mass, lcg, vcg):
    """Trim [deg] of a box with plumb sides: B, G and the water's normal in one line, solved for tan(trim).

    Closed form, of the wedges of immersion and emersion (any textbook of naval architecture on the wall-sided box):
    x_B = L/2 - L² t / 12 T, z_B = T/2 + L² t² / 24 T with t = tan(trim) bow up and T the level draught.
    """
    draught = total_mass / (SEA * LENGTH * BREADTH)

    def off(t):
        return (
            lcg
            - LENGTH / 2
            + LENGTH**2 * t / (12 * draught)
            - t * (vcg - draught / 2 - LENGTH**2 * t**2 / (24 * draught))
        )

    return np.degrees(np.arctan(brentq(off, -0.15, 0.15, xtol=1e-15)))


@pytest.mark.parametrize("x", [0.5, 1.0, 2.4, 5.5])
def test_a_weight_moved_trims_the_box_as_the_closed_form_says(box, x):
    ready = adjustable(box, "with weight", "light")
    state = ready.float([Setting(freedom(box, PLACE), [x, 0.0])])
    mass = MASS + WEIGHT
    lcg = (MASS * LENGTH / 2 + WEIGHT * x) / mass
    assert state.trim == pytest.approx(trim_of_the_box(mass, lcg, VCG), abs=1e-9)
    assert state.heel == pytest.approx(0, abs=1e-9)


def test_a_small_move_trims_by_its_moment_over_the_moment_to_trim(box):
    # w d / MCT with MCT = W GM_L / (100 L) for a centimetre over the length; GM_L = L²/12T + T/2 - KG for a box
    mass, way = MASS + WEIGHT, 1e-3
    ready = adjustable(box, "with weight", "light")
    move = freedom(box, PLACE)
    draught = mass / (SEA * LENGTH * BREADTH)
    mct = mass * (LENGTH**2 / (12 * draught) + draught / 2 - VCG) / (100 * LENGTH)
    start = LENGTH / 2 - (MASS * LENGTH / 2 + WEIGHT * AT) / mass
    level = [Setting(move, [AT + start * mass / WEIGHT + s * way / 2, 0.0]) for s in (-1, 1)]
    aft, forward = (ready.float([one]) for one in level)
    change = LENGTH * (np.tan(np.radians(aft.trim)) - np.tan(np.radians(forward.trim)))
    assert change == pytest.approx(WEIGHT * way / (100 * mct), rel=1e-6)


def test_marks_are_raised_by_as_much(box):
    ready = adjustable(box, "with weight", "light")
    before, after = ready.float([]).marks, ready.float([Setting(freedom(box, RAISE), [0.03])]).marks
    for name in ("sole aft", "sole forward"):
        trim = np.radians(ready.float([]).trim)
        assert after[name] - before[name] == pytest.approx(0.03 * np.cos(trim), abs=1e-12)
    assert after["sheer aft"] == before["sheer aft"]


def test_what_is_not_there_or_no_figure_is_refused(box):
    ready = adjustable(box, "as found", "light")
    place = freedom(box, PLACE)
    assert not ready.there(place)
    with pytest.raises(hc.InputError, match="ballast is not there in this plan"):
        ready.float([Setting(place, [2.0, 0.0])])
    with pytest.raises(hc.InputError, match="must be a finite number"):
        adjustable(box, "with weight", "light").float([Setting(place, [np.nan, 0.0])])


def test_a_tank_moved_widened_pod_and_litres(demo):
    # Other road: the plan in which the tank stands elsewhere, typed in its own rows.
    ready = adjustable(demo, "first plan", "4 adults full")
    tank, pod = freedom(demo, PLACE, "fuel tank new"), freedom(demo, WIDEN)
    moved = ready.set([Setting(tank, [2.60, 0.0])])
    there = demo.loading({*demo.packages_on("first plan"), "9 mend: tank moved forward"}, "4 adults full")
    one, other = (next(t for t in load.tanks if t.name == "fuel tank new").solid for load in (moved, there))
    assert_allclose(one.bounds, other.bounds, atol=1e-12)
    # all but the hose goes the whole way there and here; the hose 70 % here, 0.40 m of 0.55 there
    assert moved.mass * moved.cg[0] == pytest.approx(there.mass * there.cg[0] + 5 * (0.7 * 0.55 - 0.40), abs=1e-6)
    solid, wider = (load.solids["bracket pod"] for load in (ready.loading, ready.set([Setting(pod, [0.06])])))
    assert wider.volume == pytest.approx(solid.volume * (0.60 + 0.06) / 0.60, rel=1e-12)
    size = freedom(demo, RESIZE)
    smaller = next(t for t in ready.set([Setting(size, [0.31])]).tanks if t.name == "fuel tank new").solid
    assert smaller.volume == pytest.approx(0.31, rel=1e-12)
    assert_allclose(smaller.bounds.mean(axis=0), [*ready.now(tank).tolist(), 0.3305], atol=1e-12)


def test_a_tank_that_leaves_the_hull_or_stands_in_another_does_not_fit(demo, tmp_path):
    ready = adjustable(demo, "first plan", "light")
    tank = freedom(demo, PLACE, "fuel tank new")
    assert ready.does_not_fit([Setting(tank, [2.60, 0.0])]) == ""
    assert "outside the bottom" in ready.does_not_fit([Setting(tank, [3.3, 0.0])])
    assert "clear of the bottom" in ready.does_not_fit([Setting(tank, [2.85, 0.0])])


# On the trailer


def test_the_trailer_as_an_independent_program_has_it(demo):
    # Source: an independent program (statics of a beam): kg on the ball and share of boat and trailer, tanks empty.
    trailer = read_trailer(demo.measured)
    for plan, kg, share, gross in (
        ("as found", 177, 8.0, 2212),
        ("first plan", 138, 5.4, 2543),
        ("mended plan", 184, 7.2, 2543),
    ):
        weight = demo.weight(plan)
        ball = on_ball(trailer, float(weight.mass), float(weight.centre[0]))
        assert (round(ball.kg), round(100 * ball.share, 1), round(ball.gross)) == (kg, share, gross)


def test_a_boat_over_the_axle_puts_nothing_on_the_ball_and_over_the_ball_everything():
    trailer = read_trailer({"trailer": {"mass_kg": 500, "tongue_kg": 40, "axle_x_m": 2.4, "ball_x_m": 7.4}})
    assert on_ball(trailer, 1000, 2.4).kg == pytest.approx(40)
    assert on_ball(trailer, 1000, 7.4).kg == pytest.approx(1040)
    assert read_trailer({}) is None


@pytest.mark.parametrize(
    ("table", "words"),
    [({"mass_kg": 500}, "tongue is missing"),
     ({"mass_kg": -1, "tongue_kg": 4, "axle_x_m": 1, "ball_x_m": 2}, "empty trailer"),
     ({"mass_kg": 500, "tongue_kg": 4, "axle_x_m": 8, "ball_x_m": 2}, "forward of the axle")],
)  # fmt: skip
def test_an_impossible_trailer_is_refused(table, words):
    with pytest.raises(hc.InputError, match=words):
        read_trailer({"trailer": table})


def test_the_box_is_what_it_says(box):
    assert box.hull.solid.volume == pytest.approx(LENGTH * BREADTH * DEPTH)
