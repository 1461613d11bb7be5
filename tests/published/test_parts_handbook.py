"""Parts against handbooks and published tables: plates, tubes, bends, frusta, tanks, and a table of outboards.

Sources are named beside each check. Where a printed figure is rounded, the tolerance is half of its last digit.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose

from hullcalc.geometry.makers import convex_hull
from hullcalc.units import factor
from hullcalc.weights.parts import engine
from hullcalc.weights.parts.fuel_tank import box_tank, fuel_tank, shell_lines, v_tank
from hullcalc.weights.parts.livewell import livewell, well
from hullcalc.weights.parts.materials import density_of, plate_mass_per_area, tube_mass_per_length
from hullcalc.weights.parts.part import line
from hullcalc.weights.parts.paths import tube_path
from hullcalc.weights.parts.shells import ellipse
from hullcalc.weights.reference import reference_table

INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237


def heeled(degrees):
    """The sea's normal in boat axes for a heel to starboard."""
    return np.array([0.0, np.sin(np.radians(degrees)), np.cos(np.radians(degrees))])


# Bends. Centroid tables of handbooks (three printed lists agree): arc R sin a / a, semicircular arc 2 R / pi.


@pytest.mark.parametrize("half", [10.0, 45.0, 60.0, 80.0])
def test_centre_of_an_arc(half):
    radius, a = 1.3, np.radians(half)
    reach = radius / np.cos(a)  # where the tangents of the arc's ends meet
    ends = radius * np.array([[np.cos(a), -np.sin(a), 0], [np.cos(a), np.sin(a), 0]])
    path = tube_path([ends[0], [reach, 0, 0], ends[1]], radius)
    assert path.length == pytest.approx(2 * a * radius, rel=1e-12)  # the straights are used up
    assert_allclose(path.centre, [radius * np.sin(a) / a, 0, 0], atol=1e-12)
    if half == 60.0:
        assert path.centre[0] / radius == pytest.approx(0.82699334, abs=5e-9)


def test_bow_of_a_top():
    # Two legs of 1.9 m and a half circle of radius 0.45 m on top, from the same tables:
    # z = (h² + pi R (h + 2 R / pi)) / (2 h + pi R); tube of 1.283 kg/m.
    h, radius = 1.9, 0.45
    y, top = radius, h + radius
    path = tube_path([[0, -y, 0], [0, -y, top], [0, y, top], [0, y, 0]], radius)
    length = 2 * h + math.pi * radius
    assert path.length == pytest.approx(length, rel=1e-12)
    height = (h**2 + math.pi * radius * (h + 2 * radius / math.pi)) / length
    assert path.centre[2] == pytest.approx(height, rel=1e-12)
    assert (path.length, path.centre[2]) == pytest.approx((5.2137167, 1.2852754), abs=5e-8)
    assert path.length * 1.283 == pytest.approx(6.6891985, abs=5e-7)


# Frusta and prismoids: V = h/3 (A1 + A2 + sqrt(A1 A2)), z = h/4 (A1 + 2 sqrt(A1 A2) + 3 A2) / (A1 + sqrt(A1 A2) + A2).


def frustum(one, other, height):
    a1, a2 = one, other
    mean = math.sqrt(a1 * a2)
    return height / 3 * (a1 + a2 + mean), height / 4 * (a1 + 2 * mean + 3 * a2) / (a1 + mean + a2)


def test_frustum_of_a_pyramid():
    corners = [
        (x * sx / 2, y * sy / 2, z) for x, y, z in ((1.2, 0.8, 0), (0.6, 0.4, 0.5)) for sx in (1, -1) for sy in (1, -1)
    ]
    body = convex_hull(corners)
    volume, height = frustum(1.2 * 0.8, 0.6 * 0.4, 0.5)
    assert (body.volume, body.centroid[2]) == pytest.approx((volume, height), rel=1e-12)
    assert (volume, height) == pytest.approx((0.28, 0.19642857), abs=5e-9)


def test_frustum_of_a_cone_of_outlines_that_keep_their_area():
    outlines = [np.column_stack([ellipse(2 * r, 2 * r), np.full(64, z)]) for r, z in ((0.5, 0.0), (0.3, 0.5))]
    body = convex_hull(np.concatenate(outlines))
    volume, height = frustum(math.pi * 0.25, math.pi * 0.09, 0.5)
    assert (body.volume, body.centroid[2]) == pytest.approx((volume, height), rel=1e-9)
    assert (volume, height) == pytest.approx((0.2565634, 0.20918367), abs=5e-8)


# Plate and tube. Densities are the alloys' standard values (from memory), gauges those of the trade.


@pytest.mark.parametrize(
    ("inches", "per_m2", "per_ft2"),
    [(0.063, 4.26, 0.87), (0.080, 5.41, 1.11), (0.090, 6.08, 1.25), (0.100, 6.76, 1.38), (0.125, 8.45, 1.73),
     (0.160, 10.81, 2.21), (0.190, 12.84, 2.63), (0.250, 16.89, 3.46), (0.375, 25.34, 5.19), (0.500, 33.78, 6.92)],
)  # fmt: skip
def test_plate_by_the_square_metre(inches, per_m2, per_ft2):
    mass = plate_mass_per_area(inches * INCH, density_of("aluminium 5083"))
    assert mass == pytest.approx(per_m2, abs=0.0051)
    assert mass / POUND * FOOT**2 == pytest.approx(per_ft2, abs=0.0051)


@pytest.mark.parametrize(("inches", "printed"), [(0.125, 1.75), (0.250, 3.46), (0.375, 5.18), (0.500, 6.91)])
def test_plate_against_a_plans_suppliers_table(inches, printed):
    # A plans supplier's printed table of aluminium plate, lb/ft². Its 1/8 in entry implies 2691 kg/m³ where the others
    # imply 2655 to 2660, so 1.3 % is allowed.
    mass = plate_mass_per_area(inches * INCH, density_of("aluminium 5086")) / POUND * FOOT**2
    assert mass == pytest.approx(printed, rel=0.013)


@pytest.mark.parametrize(
    ("outer", "wall", "per_m", "per_ft"),
    [(1.00, 0.065, 0.333, 0.223), (1.00, 0.125, 0.599, 0.402), (1.25, 0.065, 0.422, 0.283), (1.50, 0.065, 0.510, 0.343),
     (1.50, 0.125, 0.941, 0.632), (1.75, 0.125, 1.112, 0.747), (2.00, 0.125, 1.283, 0.862), (2.00, 0.250, 2.394, 1.609),
     (2.50, 0.125, 1.625, 1.092), (2.50, 0.250, 3.078, 2.068), (3.00, 0.125, 1.967, 1.322)],
)  # fmt: skip
def test_tube_by_the_metre(outer, wall, per_m, per_ft):
    # Other road: the ring between two circles, pi (D² - d²) / 4 (any handbook).
    mass = tube_mass_per_length(outer * INCH, wall * INCH, density_of("aluminium 6061"))
    ring = math.pi / 4 * ((outer * INCH) ** 2 - ((outer - 2 * wall) * INCH) ** 2)
    assert mass == pytest.approx(2700 * ring, rel=1e-12)
    assert mass == pytest.approx(per_m, abs=0.00051)
    assert mass / POUND * FOOT == pytest.approx(per_ft, abs=0.00051)


@pytest.mark.parametrize(
    ("outer", "wall", "printed"), [(0.840, 0.109, 0.29), (1.050, 0.113, 0.39), (1.315, 0.133, 0.58)]
)
def test_pipe_against_a_published_table(outer, wall, printed):
    # Schedule 40 aluminium pipe, 1/2, 3/4 and 1 in: a published table of lb/ft with these diameters and walls.
    mass = tube_mass_per_length(outer * INCH, wall * INCH, 2700.0) / POUND * FOOT
    assert mass == pytest.approx(printed, abs=0.0051)


def test_two_metres_of_two_inch_tube():
    per_m = tube_mass_per_length(2 * INCH, 0.125 * INCH, 2700.0)
    assert per_m == pytest.approx(1.2826033, abs=5e-8)
    assert tube_path([[0, 0, 0], [2, 0, 0]]).length * per_m == pytest.approx(2.5652066, abs=5e-8)


# Tanks, heeled: closed forms of a rectangular and a V-bottom section, and dips of round wells.


def test_rectangular_well_heeled():
    # Surface clear of the corners: y = b² tan / (12 h), z = h / 2 + b² tan² / (24 h).
    length, breadth, fill, heel = 1.2, 0.6, 0.2, 10.0
    room = well("box", length, breadth, 0.6, (0.0, 0.0, 0.0))
    one = livewell("well", room, (0.0, 0.0, fill), [line("well", "shell", "", 10, (0, 0, 0), "weighed")],
                   basis="weighed", density=1000.0)  # fmt: skip
    standing = one.standing(heeled(heel))
    tan = math.tan(math.radians(heel))
    assert standing.volume == pytest.approx(length * breadth * fill, rel=1e-12)
    assert -standing.centre[1] == pytest.approx(breadth**2 * tan / (12 * fill), rel=1e-12)
    assert standing.centre[2] == pytest.approx(fill / 2 + breadth**2 * tan**2 / (24 * fill), rel=1e-12)
    assert (-standing.centre[1], standing.centre[2]) == pytest.approx((0.026449047, 0.10233184), abs=5e-9)


def test_floor_of_a_well_part_dry():
    # Less than it takes to cover the floor: wet floor c = sqrt(2 b h / tan); here what stands at a pick-up there.
    breadth, fill, heel = 0.6, 0.04, 15.0
    tan = math.tan(math.radians(heel))
    wet = math.sqrt(2 * breadth * fill / tan)
    assert wet == pytest.approx(0.42324749, abs=5e-9)
    tank = box_tank(1.0, breadth, 0.4, (0.0, 0.0, 0.0))
    mouth = (0.0, -breadth / 2 + wet, 0.0)  # the edge of the wet floor is level with the surface
    one = fuel_tank("tank", tank, "inside", 0.003, shell_lines("tank", tank, 0.003, 2680.0), pickup=mouth)
    assert one.unusable(heeled(heel)) == pytest.approx(breadth * fill, rel=1e-9)  # 1 m long


def test_v_bottom_tank_heeled():
    # Slope 20 deg, 0.15 m deep upright, heel 8 deg at the same area: a triangle; depth over the keel, along the tank's
    # own upright, 0.13836648, centre 0.11500882 off the middle and 0.10840776 up (from the triangle's corners).
    slope, depth, heel = math.radians(20), 0.15, math.radians(8)
    tank = v_tank(1.0, 2.0, 0.8, slope, (0.0, 0.0, 0.0))
    low, high = math.tan(slope - heel), math.tan(slope + heel)
    area = depth**2 / math.tan(slope)
    # heeled, the sides stand at slope ± heel to the level: area = d² / 2 (1 / tan(s - h) + 1 / tan(s + h))
    over = math.sqrt(2 * area / (1 / low + 1 / high))
    cut = tank.cut(heeled(math.degrees(heel)), over)
    assert (area, over / math.cos(heel)) == pytest.approx((0.061818242, 0.13836648), abs=5e-9)
    assert cut.volume == pytest.approx(area, rel=1e-9)
    assert (abs(cut.centroid[1]), cut.centroid[2]) == pytest.approx((0.11500882, 0.10840776), abs=5e-9)


def test_upright_cylinder_in_gallons():
    # A tank-dip page's tank of 24 x 48 in holds 94.0 US gal; a US gallon is 231 in³ (exact). A foot high: a quarter.
    room = well("cylinder", 24 * INCH, 24 * INCH, 12 * INCH, (0, 0, 0))
    assert 4 * room.volume / factor("US gal", "volume") == pytest.approx(94.0, abs=0.05)
    assert room.volume == pytest.approx(math.pi * (12 * INCH) ** 2 * 12 * INCH, rel=1e-12)


@pytest.mark.parametrize(
    ("gallons", "sizes", "masses", "fuel"),
    [(30, (0.90, 0.60, 0.22), (16, 21, 25), 84), (50, (1.20, 0.65, 0.255), (23, 30, 36), 140),
     (80, (1.60, 0.70, 0.285), (33, 43, 51), 224), (100, (1.80, 0.75, 0.295), (39, 50, 60), 280),
     (150, (2.20, 0.85, 0.32), (53, 68, 81), 420)],
)  # fmt: skip
def test_shells_of_box_tanks(gallons, sizes, masses, fuel):
    # A table of indicative empty tanks: plain box, density 2680, 10 % for baffles, flanges and fittings; kg, rounded.
    body = box_tank(*sizes, (0.0, 0.0, 0.0))
    for inches, printed in zip((0.125, 0.160, 0.190), masses, strict=True):
        lines = shell_lines("tank", body, inches * INCH, 2680.0)
        assert sum(float(one.item.mass) for one in lines) == pytest.approx(printed, abs=0.51)
    assert body.volume / factor("US gal", "volume") == pytest.approx(gallons, rel=0.06)  # boxes of round measures
    assert gallons * factor("US gal", "volume") * 740 == pytest.approx(fuel, abs=0.51)


# A published table of outboard weights by power, in pounds.


@pytest.mark.parametrize("row", reference_table("outboards"), ids=lambda row: f"{row['power_to_hp']:g} hp")
def test_ratios_of_the_table_of_outboards(row):
    # Its own notes: running is 105 % of dry. Swamped is 0.85 of running to a pound, rigging about 5 % of dry.
    dry, running, swamped, rigging = (float(row[f"{name}_lb"]) for name in ("dry", "running", "swamped", "rigging"))
    assert running == pytest.approx(1.05 * dry, abs=0.76)  # both printed whole
    assert swamped == pytest.approx(0.85 * running, abs=1.0)
    if dry > 100:  # below 7 hp the table has no controls
        assert rigging == pytest.approx(engine.RIGGING * dry, abs=0.76)


def test_an_engine_from_the_table_adds_up_to_its_row():
    made = engine.as_hung("o", 250.0, (0.0, 0.0, 0.7), leg="XL", heaviest=True)
    assert float(made.item.mass) == pytest.approx((734 + 0.05 * 699) * POUND, rel=1e-12)
    assert made.added == ("rigging",)
