"""Spaces opened to the sea round by round, against closed forms of box barges.

Lost buoyancy of a box barge of waterplane A with a space of area a whose floor lies at height f, open to the sea: at
draught T the displaced volume is A T - a (T - f), so T = (m / rho - a f) / (A - a). Source: the method of lost buoyancy
of ship statics (Derrett and Barrass, Ship Stability for Masters and Mates, ch. on bilging), by hand here.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.boats.afloat import float_loading
from hullcalc.boats.marks import Mark
from hullcalc.boats.rounds import Loading
from hullcalc.boats.spaces import Space, common_part
from hullcalc.geometry.makers import box, convex_hull

LENGTH, BEAM, DEPTH, DENSITY = 6.0, 2.0, 1.0, 1000.0
AREA = LENGTH * BEAM
HULL = box((0, LENGTH), (-1, 1), (0, DEPTH))
MIDDLE = box((2, 4), (-0.5, 0.5), (0.1, 1.0))  # a space amidships: area 2, floor at 0.1
SPACE_AREA, FLOOR = 2.0, 0.1
BOW = box((4, 6), (-0.9, 0.9), (0.1, 1.0))


def mark(name, x, y, z, kind="scupper"):
    return Mark(name, np.array([x, y, z]), kind)


def loading(mass=4800.0, x=3.0, spaces=(), marks=(), **more):
    said = {
        "mass": mass, "cg": np.array([x, 0.0, 0.4]), "density": DENSITY, "solids": {"hull": HULL}, "tanks": (),
        "spaces": {s.name: s for s in spaces}, "held_open": (), "tight_tanks": (), "tight_inside": {},
        "marks": {m.name: m for m in marks},
    }  # fmt: skip
    return Loading(**(said | more))


def draught(state):
    assert_allclose(state.plane[0], [0, 0, 1], atol=1e-12)
    return float(state.plane[1])


def test_stays_shut_while_its_opening_is_dry():
    state = float_loading(loading(spaces=[Space("well", MIDDLE, ("drain",))], marks=[mark("drain", 3, 0, 0.41)]))
    assert draught(state) == pytest.approx(4800 / DENSITY / AREA, rel=1e-12)  # 0.40 m
    assert (len(state.rounds), state.openings_under, state.rests_between) == (1, (), ())
    assert state.marks["drain"] == pytest.approx(0.01, abs=1e-12)
    assert "drain is lowest, 10 mm above" in state.limits[0]


def test_opens_when_its_opening_is_under():
    said = loading(spaces=[Space("well", MIDDLE, ("drain",))], marks=[mark("drain", 3, 0, 0.39)])
    state = float_loading(said)
    assert [r.opened for r in state.rounds] == [(), ("well",)]
    assert draught(state.rounds[0].state) == pytest.approx(0.40, rel=1e-12)
    assert draught(state) == pytest.approx((4.8 - SPACE_AREA * FLOOR) / (AREA - SPACE_AREA), rel=1e-12)  # 0.46 m
    # GM by hand: KB over the wet volume, BM from the waterplane less the space.
    t = draught(state)
    kb = (AREA * t**2 / 2 - SPACE_AREA * (t - FLOOR) * (t + FLOOR) / 2) / 4.8
    inertia = (LENGTH * BEAM**3 - 2 * 1.0**3) / 12
    assert float(state.gm_transverse) == pytest.approx(kb + inertia / 4.8 - 0.4, rel=1e-10)
    assert "With well shut, drain is 10 mm under" in state.limits[0]
    assert "Round 1 holds only while drain is plugged" in state.limits[0]


def test_kept_shut_says_what_it_is_not_valid_beyond():
    said = loading(spaces=[Space("well", MIDDLE, ("drain",))], marks=[mark("drain", 3, 0, 0.39)])
    state = float_loading(said, shut=True)
    assert (draught(state), state.openings_under) == (pytest.approx(0.40, rel=1e-12), ("drain",))
    assert state.limits[0].startswith("Not valid beyond an opening under water: drain is 10 mm under, kept shut here")
    assert float_loading(said, shut=True).limits_in("us")[0].count("3/8 in under") == 1


def test_an_opening_of_no_space_is_said():
    state = float_loading(loading(marks=[mark("notch", 0, 0, 0.35, "downflooding")]))
    assert len(state.rounds) == 1
    assert "nothing says which space it fills" in state.limits[0]


def test_one_space_after_another():
    # Open amidships she sinks to 0.46 m, which drowns the opening of the second space.
    side = box((0.5, 1.5), (-0.8, 0.8), (0.2, 1.0))
    other = box((4.5, 5.5), (-0.8, 0.8), (0.2, 1.0))  # its twin, so that she stays level
    spaces = [Space("well", MIDDLE, ("drain",)), Space("aft", side, ("hatch",)), Space("fore", other, ("hatch",))]
    state = float_loading(loading(spaces=spaces, marks=[mark("drain", 3, 0, 0.39), mark("hatch", 3, 0, 0.45)]))
    assert [r.opened for r in state.rounds] == [(), ("well",), ("well", "aft", "fore")]
    both = 2 * 1.6
    by_hand = (4.8 - SPACE_AREA * FLOOR - both * 0.2) / (AREA - SPACE_AREA - both)
    assert draught(state) == pytest.approx(by_hand, rel=1e-12)


def test_rises_until_the_opening_is_dry_and_rests_between():
    # Heavy aft, her stern pipe is under; it fills the bow, which takes the stern out of the water again.
    pipe = mark("pipe", 0, 0, 0.45)
    state = float_loading(loading(x=2.6, spaces=[Space("forepeak", BOW, ("pipe",))], marks=[pipe]))
    assert [r.under for r in state.rounds] == [("pipe",), ()]
    assert state.rests_between == ("forepeak",)
    assert any("she rests between round 1 and round 2" in sentence for sentence in state.limits)
    assert state.rounds[0].heights["pipe"] < 0 < state.rounds[1].heights["pipe"]


def test_held_open_from_the_start():
    said = loading(spaces=[Space("well", MIDDLE)], held_open=("well",), marks=[mark("rail", 0, 1, 1, "freeboard")])
    state = float_loading(said, shut=True)
    assert draught(state) == pytest.approx(0.46, rel=1e-12)
    assert state.limits[0] == "Held open to the sea from the start: well."


def test_what_stays_tight_inside_an_open_space_floats_her():
    # A seat box of area 0.5, floor at 0.2, and two tanks half inside the space: their inner parts, area 0.25 each and
    # floor at 0.3, count: A T - a (T - f) + 0.5 (T - 0.2) + 0.5 (T - 0.3) = m / rho.
    seat = box((2.5, 3.5), (-0.25, 0.25), (0.2, 1.0))
    tanks = tuple(box((x - 0.25, x + 0.25), (-0.5, 0.5), (0.3, 1.0)) for x in (2.0, 4.0))
    said = loading(
        spaces=[Space("well", MIDDLE)], held_open=("well",), tight_inside={"seat": ("well", seat)}, tight_tanks=tanks
    )
    by_hand = (4.8 - SPACE_AREA * FLOOR + 0.5 * 0.2 + 0.5 * 0.3) / (AREA - SPACE_AREA + 0.5 + 0.5)
    assert draught(float_loading(said)) == pytest.approx(by_hand, rel=1e-12)


def test_a_tank_in_a_tight_box_floats_her_once():
    # The tank stands wholly in the seat box: A T - a (T - f) + 0.5 (T - 0.2) = m / rho, as without it.
    seat, tank = box((2.5, 3.5), (-0.25, 0.25), (0.2, 1.0)), box((2.6, 3.4), (-0.2, 0.2), (0.25, 0.9))
    said = loading(
        spaces=[Space("well", MIDDLE)], held_open=("well",), tight_inside={"seat": ("well", seat)}, tight_tanks=(tank,)
    )
    by_hand = (4.8 - SPACE_AREA * FLOOR + 0.5 * 0.2) / (AREA - SPACE_AREA + 0.5)
    assert draught(float_loading(said)) == pytest.approx(by_hand, rel=1e-12)


def test_a_tank_open_to_the_sea_inside_an_open_space_is_taken_off_once():
    well, tank = Space("well", MIDDLE), Space("tank", box((2.5, 3.5), (-0.25, 0.25), (0.2, 1.0)))
    both = loading(spaces=[well, tank], held_open=("well", "tank"), tight_tanks=(tank.solid,))
    assert draught(float_loading(both)) == pytest.approx(0.46, rel=1e-12)


def test_sinking_says_in_which_round():
    big = box((0.1, 5.9), (-0.95, 0.95), (0.05, 1.0))
    said = loading(mass=9000.0, spaces=[Space("hold", big, ("hatch",))], marks=[mark("hatch", 3, 0, 0.7)])
    assert draught(float_loading(said, shut=True)) == pytest.approx(0.75, rel=1e-12)
    with pytest.raises(hc.NoEquilibriumError, match=r"with hold open to the sea .* hatch is 50 mm under") as sinks:
        float_loading(said)
    # Buoyancy left: 12 m3 less the hold of 5.8 x 1.9 x 0.95 m3.
    left = DENSITY * (AREA * DEPTH - 5.8 * 1.9 * 0.95)
    assert sinks.value.short_by_kg == pytest.approx(9000 - left, rel=1e-9)


def test_deck_edge_under_is_said():
    said = loading(x=1.6, mass=6000.0, marks=[mark("stern rail", 0, 1, 1.0, "freeboard")])
    state = float_loading(said)
    assert state.marks["stern rail"] < 0
    assert any(sentence.startswith("The deck edge is under water: stern rail") for sentence in state.limits)


def test_loll_is_said_in_words_with_both_sides():
    # Wall-sided: GM = KB + BM - KG = 0.2 + 4 / 4.8 - 1.06, tan(loll)^2 = -2 GM / BM; exact while the sides stand.
    bm = (LENGTH * BEAM**3 / 12) / 4.8
    angle = np.degrees(np.arctan(np.sqrt(-2 * (0.2 + bm - 1.06) / bm)))
    state = float_loading(loading(cg=np.array([3.0, 0.0, 1.06])))
    assert state.status == "lolls"
    assert float(state.heel) == pytest.approx(angle, abs=1e-6)
    expected = f"She does not stay upright: she comes to rest at {angle:.1f}° to starboard, or at {angle:.1f}° to port."
    assert state.limits[0] == f"{expected} Ask a naval architect."


def test_capsize_is_said_in_words():
    state = float_loading(loading(cg=np.array([3.0, 0.0, 3.0])))
    assert state.status == "capsizes"
    assert state.limits[0].endswith("no figure here is of use. Ask a naval architect.")


@pytest.mark.parametrize("status_word", ["stable", "safe", "passes"])
def test_no_comfort_is_given(status_word):
    states = [float_loading(loading()), float_loading(loading(cg=np.array([3.0, 0.0, 1.2])))]
    assert not any(status_word in sentence.casefold().split() for state in states for sentence in state.limits)


def test_common_part_of_convex_solids():
    # Boxes: the product of the overlaps. A corner tetrahedron cut by half: by similar bodies, 1/8 of 1/6.
    a = box((0, 2), (0, 2), (0, 2))
    assert common_part(a, box((1, 3), (0.5, 1), (-1, 0.25))).volume == pytest.approx(1 * 0.5 * 0.25, rel=1e-12)
    tetrahedron = convex_hull(np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]]))
    upper = common_part(tetrahedron, box((-1, 2), (-1, 2), (0.5, 2)))
    assert upper.volume == pytest.approx(1 / 48, rel=1e-12)
    assert_allclose(upper.centroid, [0.125, 0.125, 0.625], rtol=1e-12)
    assert common_part(a, tetrahedron).volume == pytest.approx(1 / 6, rel=1e-12)  # one inside the other
    assert common_part(a, box((2, 3), (0, 2), (0, 2))) is None  # they touch
    assert common_part(a, box((5, 6), (0, 2), (0, 2))) is None  # apart
    skew = convex_hull(np.array([[2, 2, 2.0], [3, 2, 2], [2, 3, 2], [2, 2, 3]]) - 1e-9)
    assert common_part(a, skew) is None  # a corner of a millionth of a millimetre
