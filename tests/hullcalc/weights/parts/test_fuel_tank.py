"""Fuel tanks: volumes by closed form, four of them kept apart, shells by hand, tanks for a range."""

from __future__ import annotations

import numpy as np
import pytest

from hullcalc.errors import InputError
from hullcalc.weights.parts import fuel_tank as f

AT = (2.60, 0.0, 0.195)


def tank(shape=None, measured="inside", wall=0.004, **more):
    shape = f.box_tank(2.10, 0.73, 0.271, AT) if shape is None else shape
    return f.fuel_tank("t", shape, measured, wall, f.shell_lines("t", shape, wall, 2680.0), **more)


def test_the_four_volumes_of_a_box():
    one = tank(pickup=(1.8, 0.0, 0.195 + 0.012))
    gross = 2.10 * 0.73 * 0.271
    assert one.gross == pytest.approx(gross, rel=1e-12)
    assert one.full == pytest.approx(0.95 * gross, rel=1e-12)
    assert one.unusable() == pytest.approx(2.10 * 0.73 * 0.012, rel=1e-9)
    assert one.usable() == pytest.approx(0.95 * gross - 2.10 * 0.73 * 0.012, rel=1e-9)
    assert one.full_mass == pytest.approx(float(one.item.mass) + 0.95 * gross * 740, rel=1e-12)


def test_what_the_pickup_reaches_goes_with_the_trim():
    # Bow up by 1 deg about a mouth 0.8 m behind the middle: the level there is 0.8 tan lower over the middle.
    one = tank(pickup=(1.8, 0.0, 0.195 + 0.05))
    turn = np.radians(1.0)
    up = (np.sin(turn), 0.0, np.cos(turn))
    middle = 0.05 - 0.8 * np.tan(turn)
    assert one.unusable(up) == pytest.approx(2.10 * 0.73 * middle, rel=1e-9)  # no corner of the floor dry
    assert one.unusable(tuple(3 * v for v in up)) == pytest.approx(one.unusable(up), rel=1e-12)
    assert one.unusable(up) < one.unusable() < one.unusable((-np.sin(turn), 0.0, np.cos(turn)))


def test_inside_and_outside_measures():
    inner, outer = tank(measured="inside"), tank(measured="outside")
    assert outer.gross == pytest.approx((2.10 - 0.008) * (0.73 - 0.008) * (0.271 - 0.008), rel=1e-9)
    assert inner.outer.volume == pytest.approx((2.10 + 0.008) * (0.73 + 0.008) * (0.271 + 0.008), rel=1e-9)
    assert 0.03 < 1 - outer.gross / inner.gross < 0.06  # some per cent: why it is asked
    with pytest.raises(InputError, match=r'measured = .* write "inside" or "outside"'):
        tank(measured="")


def test_wedge_and_v_by_closed_form():
    wedge = f.wedge_tank(1.5, 0.6, 0.4, 0.1, AT)
    assert wedge.volume == pytest.approx(1.5 * 0.6 * (0.4 + 0.1) / 2, rel=1e-12)
    assert wedge.centroid[0] == pytest.approx(2.60 - 1.5 / 2 + 1.5 / 3 * (0.4 + 0.2) / 0.5, rel=1e-12)  # of a trapezium
    point = f.wedge_tank(1.5, 0.6, 0.4, 0.0, AT)
    assert point.volume == pytest.approx(1.5 * 0.6 * 0.2, rel=1e-12)
    rise = 0.3 * np.tan(np.radians(20))
    sharp = f.v_tank(1.5, 0.6, 0.4, np.radians(20), AT)
    assert sharp.volume == pytest.approx(1.5 * (0.6 * 0.4 - 0.6 * rise / 2), rel=1e-12)
    flat = f.v_tank(1.5, 0.6, 0.4, np.radians(20), AT, floor=0.2)
    rise = 0.2 * np.tan(np.radians(20))
    assert flat.volume == pytest.approx(1.5 * (0.6 * 0.4 - (0.6 - 0.2) / 2 * rise), rel=1e-12)
    for shape in (wedge, sharp, flat):
        inside = tank(shape, measured="outside")
        assert inside.gross < shape.volume  # the wall is taken off every face
        walls = sum(face.area for face in f.faces_of(shape)) * 0.004
        assert shape.volume - inside.gross == pytest.approx(walls, rel=0.03)  # but for the edges


def test_baffles_are_plates_of_the_section():
    shape = f.box_tank(2.0, 0.8, 0.3, AT)
    lines = f.shell_lines("t", shape, 0.004, 2680.0, baffles=3, fittings=0.0)
    extra = [one for one in lines if one.what.startswith("baffle")]
    assert [float(one.item.mass) for one in extra] == pytest.approx([0.7 * 0.8 * 0.3 * 0.004 * 2680] * 3)
    assert [float(one.item.centre[0]) for one in extra] == pytest.approx([2.1, 2.6, 3.1])


def test_polyethylene_by_hand():
    shape = f.box_tank(1.0, 0.5, 0.3, AT)
    shell, fittings = f.plastic_lines("t", shape, 0.006, 945.0)
    assert float(shell.item.mass) == pytest.approx(2 * (0.5 + 0.3 + 0.15) * 0.006 * 945, rel=1e-12)
    assert float(fittings.item.mass) == pytest.approx(0.05 * float(shell.item.mass))
    made = f.fuel_tank("t", shape, "inside", 0.006, [shell, fittings], swells=True)
    assert any("swells 1.5 %" in says for says in made.says)


def test_a_tank_for_a_range():
    # 175 nautical miles at 1.5 L, a third kept: 262.5 / (2/3) = 393.75 L usable; 95 % of gross holds that and 5 L.
    wish = f.volume_for(175, 0.0015, 1 / 3, 0.005)
    assert (wish.usable, wish.reserve) == pytest.approx((0.39375, 0.13125))
    assert wish.gross == pytest.approx((0.39375 + 0.005) / 0.95)
    assert f.range_of(wish.usable, 0.0015, 1 / 3) == pytest.approx(175)
    shape = f.box_tank(2.10, 0.73, 0.271, AT)
    assert f.length_for(0.5, shape) * 0.73 * 0.271 == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("make", "words"),
    [(lambda: f.box_tank(0, 0.7, 0.3, AT), "length of the tank = 0 m must lie between"),
     (lambda: f.box_tank(2100, 0.7, 0.3, AT), "length of the tank = 2100 m"),
     (lambda: f.box_tank(2, float("nan"), 0.3, AT), "width"),
     (lambda: f.wedge_tank(2, 0.7, 0.3, 0.4, AT), "height_forward = 0.4 m must lie between 0 and the height"),
     (lambda: f.v_tank(2, 0.7, 0.1, 0.5, AT), "height = 0.1 m is less than the V rises, 0.191 m"),
     (lambda: f.v_tank(2, 0.7, 0.4, 0.3, AT, floor=0.8), "floor = 0.8 m"),
     (lambda: tank(wall=0.0), "thickness of plate"), (lambda: tank(density=7.4), "density of the fuel = 7.4"),
     (lambda: tank(pickup=(0.0, 0.0, 0.2)), "pickup.* lies outside the tank"),
     (lambda: f.volume_for(0, 0.0015, 0.3), "miles = 0 nm must be positive"),
     (lambda: f.volume_for(10, 0.0015, 33.0), "reserve = 33 must lie between 0 and 0.9; a third is 33 %"),
     (lambda: tank(f.box_tank(0.05, 0.05, 0.03, AT), "outside", 0.02), "leaves no room inside")],
)  # fmt: skip
def test_tanks_that_are_none(make, words):
    with pytest.raises(InputError, match=words):
        make()
