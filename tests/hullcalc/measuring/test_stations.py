"""Hulls from stations against closed forms, and tables with slips in them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from hullcalc import InputError
from hullcalc.measuring.stations import StationTable, hull_from_stations

quick = settings(derandomize=True, deadline=None, database=None, max_examples=50)
RAKE = np.radians(14.0)
UP = (0.0, 0.0, 1.0)


def table(x, **lines):
    """Each line as (half-breadth, height), numbers or one for each station."""
    tables = {
        name.replace("_", " "): np.stack(np.broadcast_arrays(*line, x)[:2], axis=1) for name, line in lines.items()
    }
    return StationTable(x, tables)


def vee(length=5.0, beam=2.0, chine=0.4, depth=1.0, stations=3):
    """A V hull of one section from end to end: straight sides above the chine, half section known by hand."""
    x = np.linspace(0, length, stations)
    return table(x, keel=(0, 0), chine=(beam / 2, chine), sheer=(beam / 2, depth))


def invented(stations):
    """A planing hull of smooth lines given by formulas (invented): any number of stations of one and the same boat."""
    x = np.linspace(0, 6.0, stations)
    s = x / 6.0
    half = 1 - 0.95 * s**4
    chine = 0.35 + 0.55 * s**2.5
    return table(
        x,
        keel=(0, 0.9 * np.clip((s - 0.4) / 0.6, 0, None) ** 3),
        chine=(0.9 * half, chine),
        chine_outer=(0.96 * half, chine - 0.005 * half),
        sheer=(half + 0.05, 1 + 0.3 * s**2),
    )


def faces_of(corners):
    found = set()
    for face in corners:
        a, b, c = (tuple(p) for p in face)
        found.add(min((a, b, c), (b, c, a), (c, a, b)))
    return found


# --- closed forms


@pytest.mark.parametrize("loft", ["straight", "smooth"])
def test_a_v_hull_of_one_section(loft):
    hull = hull_from_stations(vee(), 0.0, loft)
    # Half section: triangle 1 x 0.4 / 2 under the chine, rectangle 1 x 0.6 above it: 0.8.
    assert hull.solid.volume == pytest.approx(5 * 2 * 0.8, rel=1e-13)
    assert_allclose(hull.solid.centroid[:2], [2.5, 0], rtol=0, atol=1e-13)
    # Under water to depth d below the chine: V = L d^2 / tan(deadrise), closed form of a V section.
    cut = hull.solid.cut(UP, 0.3)
    assert cut.volume == pytest.approx(5 * 0.3**2 / 0.4, rel=1e-12)
    assert cut.centroid[2] == pytest.approx(2 * 0.3 / 3, rel=1e-12)
    assert cut.area == pytest.approx(5 * 2 * 0.3 / 0.4, rel=1e-12)


@pytest.mark.parametrize("loft", ["straight", "smooth"])
def test_a_raked_transom_by_hand(loft):
    # The section runs on aft to x = -z tan(rake): a slice at height z of breadth b(z) gains b(z) z tan(rake).
    t = np.tan(RAKE)
    hull = hull_from_stations(vee(), RAKE, loft)
    # int b z dz: below the chine b = 2 z / 0.4, so 2 x 0.4^2 / 3; above it b = 2, so 1 - 0.4^2.
    first = 2 * 0.4**2 / 3 + (1 - 0.4**2)
    assert hull.solid.volume == pytest.approx(8 + t * first, rel=1e-13)
    # Its moment about the plane x = 0: -t^2/2 int b z^2 dz.
    second = 2 * 0.4**3 / 4 + 2 * (1 - 0.4**3) / 3
    assert hull.solid.volume * hull.solid.centroid[0] == pytest.approx(8 * 2.5 - t**2 / 2 * second, rel=1e-13)
    # Under water to 0.3: the V section's share alone.
    wet = hull.solid.cut(UP, 0.3)
    assert wet.volume == pytest.approx(5 * 0.3**2 / 0.4 + t * 2 / 0.4 * 0.3**3 / 3, rel=1e-12)


def test_a_flat_bottomed_wedge_with_raked_transom():
    # A punt 2 wide and 0.5 deep, 4 long on the bottom, ends square forward, transom leaning 0.2 aft in 0.5 of height.
    punt = table([0.0, 4.0], keel=(0, 0), chine=(1, 0), sheer=(1, 0.5))
    hull = hull_from_stations(punt, np.arctan(0.4))
    assert hull.solid.volume == pytest.approx(2 * 0.5 * (4 + 0.1), rel=1e-14)
    cut = hull.solid.cut(UP, 0.25)
    assert cut.area == pytest.approx(2 * 4.1, rel=1e-13)
    assert cut.area_centroid[0] == pytest.approx((4 - 0.1) / 2, rel=1e-13)
    assert hull.gap_level == 0.25 and hull.shape_gap == pytest.approx(0, abs=1e-13)


@pytest.mark.parametrize("loft", ["straight", "smooth"])
def test_lines_that_meet_in_one_point_make_a_pyramid(loft):
    # V = base x length / 3. Patches of a pyramid are flat, so it holds for any slices and either loft.
    s = np.array([0, 0.3, 0.7, 1.0])
    lines = {"keel": (0, s), "chine": (1 - s, 0.4 * (1 - s) + s), "sheer": (1.1 * (1 - s), 1.0)}
    hull = hull_from_stations(table(6 * s, **lines), 0.0, loft, slices_per_bay=5)
    base = 2 * (1 * 0.4 / 2 + (1 + 1.1) / 2 * 0.6)
    assert hull.solid.volume == pytest.approx(base * 6 / 3, rel=1e-12)
    assert hull.solid.centroid[0] == pytest.approx(6 / 4, rel=1e-12)


def test_keel_and_sheer_alone_make_a_hull():
    hull = hull_from_stations(table([0.0, 3.0], keel=(0, 0), sheer=(1, 1)), 0.0)
    assert hull.solid.volume == pytest.approx(3.0, rel=1e-14)
    assert hull.gap_level == 0.5


def test_a_chine_flat_that_drops():
    # Half section keel (0, 0), chine (1, 0.4), outer (1.1, 0.38), sheer (1.1, 1): by the shoelace
    # (1 x 0.38 - 1.1 x 0.4 + 1.1 x 1 - 1.1 x 0.38 + 1.1 x 1 - 0) / 2 with the deck back to (0, 1).
    area = ((1 * 0.38 - 1.1 * 0.4) + (1.1 * 1 - 1.1 * 0.38) + (1.1 * 1 - 0 * 1)) / 2
    flat = table([0.0, 2.0], keel=(0, 0), chine=(1, 0.4), chine_outer=(1.1, 0.38), sheer=(1.1, 1))
    hull = hull_from_stations(flat, 0.0)
    assert hull.solid.volume == pytest.approx(2 * 2 * area, rel=1e-14)
    assert hull.gap_level == 0.38


# --- lofts


def test_straight_lines_lie_on_the_table_and_smooth_ones_pass_through_it():
    boat = invented(7)
    for loft in ("straight", "smooth"):
        hull = hull_from_stations(boat, RAKE, loft, slices_per_bay=4)
        for name, line in boat.lines.items():
            assert hull.lines[name].shape == (6 * 4 + 2, 3)
            at_stations = hull.lines[name][1::4]
            assert_allclose(at_stations, np.column_stack([boat.x, line]), rtol=0, atol=1e-15)
            assert_allclose(hull.lines[name][0], [-line[0, 1] * np.tan(RAKE), *line[0]], rtol=0, atol=1e-15)
    straight = hull_from_stations(boat, RAKE, slices_per_bay=4).lines["sheer"]
    assert_allclose(straight[3], (straight[1] + straight[5]) / 2, rtol=0, atol=1e-15)


def test_the_profile_runs_along_the_keel_and_back_along_the_sheer():
    hull = hull_from_stations(invented(5), RAKE)
    profile = hull.profile
    assert_array_equal(profile[0], profile[-1])
    assert_array_equal(profile[:, 1], 0)
    assert_array_equal(profile[0], [0, 0, 0])
    assert_allclose(profile[-2], [-np.tan(RAKE), 0, 1], rtol=0, atol=1e-15)


def test_fewer_stations_lose_volume_straight_and_little_smooth():
    # Convex lines joined straight lie inside: the loss falls as the square of the bay. Trials of the tape route on a
    # chine hull gave -5, -3, -2 % straight and a few tenths smooth with 5, 6, 8 stations (own trials, other hull).
    truth = hull_from_stations(invented(121), RAKE, slices_per_bay=2).solid.volume
    lost = {}
    for stations in (5, 9, 17):
        for loft in ("straight", "smooth"):
            volume = hull_from_stations(
                invented(stations), RAKE, loft, slices_per_bay=240 // (stations - 1)
            ).solid.volume
            lost[loft, stations] = 1 - volume / truth
    assert lost["straight", 5] > 0.01
    assert lost["straight", 5] / lost["straight", 9] == pytest.approx(4, rel=0.15)
    assert lost["straight", 9] / lost["straight", 17] == pytest.approx(4, rel=0.15)
    for stations in (5, 9, 17):
        assert abs(lost["smooth", stations]) < lost["straight", stations] / 3


def test_the_gap_between_lofts_names_both_and_closes_with_stations():
    gaps = []
    for stations in (5, 9, 17):
        straight = hull_from_stations(invented(stations), RAKE, "straight", gap_level=0.5)
        smooth = hull_from_stations(invented(stations), RAKE, "smooth", gap_level=0.5)
        assert (straight.other_loft, smooth.other_loft) == ("smooth", "straight")
        assert straight.volumes == smooth.volumes
        assert straight.volumes["straight"] == straight.solid.cut(UP, 0.5).volume
        assert straight.volumes["smooth"] == smooth.solid.cut(UP, 0.5).volume
        assert (1 + straight.shape_gap) * (1 + smooth.shape_gap) == pytest.approx(1, rel=1e-12)
        gaps.append(straight.shape_gap)
    assert gaps[0] > 2 * gaps[1] > 4 * gaps[2] > 0


def test_the_gap_is_taken_under_the_lowest_outer_chine():
    hull = hull_from_stations(invented(9), RAKE)
    assert hull.gap_level == pytest.approx(0.345)


@pytest.mark.parametrize("loft", ["straight", "smooth"])
def test_port_and_starboard_are_mirrored_to_the_bit(loft):
    solid = hull_from_stations(invented(6), RAKE, loft).solid
    corners = solid.vertices[solid.faces]
    assert faces_of(corners) == faces_of((corners * [1, -1, 1] + 0.0)[:, ::-1])
    cut = solid.cut((0.05, 0.0, 1.0), 0.45)
    assert abs(cut.centroid[1]) < 1e-14 and abs(cut.area_centroid[1]) < 1e-14


@quick
@given(st.integers(0, 2**32 - 1), st.integers(2, 9), st.integers(2, 5), st.sampled_from(["straight", "smooth"]))
def test_any_table_that_is_accepted_makes_a_body(seed, stations, count, loft):
    rng = np.random.default_rng(seed)
    x = np.append(0, np.cumsum(rng.uniform(0.3, 1.5, stations - 1)))
    y = np.cumsum(rng.uniform(0.0, 0.5, (count, stations)), axis=0) * rng.uniform(0, 1, stations)
    z = np.cumsum(rng.uniform(0.05, 0.4, (count, stations)), axis=0)
    y[0], z[0, 0], y[1:, 0] = 0, 0, y[1:, 0] + 0.1
    if count > 3:  # a chine flat that drops outward, by less than its width
        z[2] = z[1] - rng.uniform(0, 0.9, stations) * (y[2] - y[1])
        z[3:] = np.maximum(z[3:], z[2:-1])
    names = [*["keel", "chine", "outer", "knuckle"][: count - 1], "sheer"]
    boat = StationTable(x, {name: np.stack([y[k], z[k]], axis=1) for k, name in enumerate(names)})
    hull = hull_from_stations(boat, rng.uniform(0, 0.5), loft, slices_per_bay=int(rng.integers(1, 6)))
    assert hull.solid.volume > 0
    assert_allclose(hull.solid.centroid[1], 0, rtol=0, atol=1e-13)


# --- tables with slips in them


def good():
    n = 4
    x = np.array([0.0, 1.0, 2.0, 3.0])
    half, height = np.array([1.0, 1.02, 0.9, 0.1]), np.array([0.3, 0.32, 0.4, 0.8])
    return x, {
        "keel": np.column_stack([np.zeros(n), [0, 0, 0.02, 0.5]]),
        "chine": np.column_stack([half, height]),
        "chine flat": np.column_stack([half + 0.05, height - 0.005]),
        "sheer": np.column_stack([half + 0.1, height + 0.6]),
    }


def test_a_good_table_is_kept_as_its_own():
    x, lines = good()
    boat = StationTable(x, lines)
    x[0] = lines["keel"][0, 0] = 9
    assert boat.x[0] == 0 and boat.lines["keel"][0, 0] == 0
    with pytest.raises(ValueError, match="read-only"):
        boat.lines["chine"][0, 0] = 2


@pytest.mark.parametrize(
    ("line", "station", "column", "value", "where", "expected"),
    [
        ("x", 2, None, 0.5, "x", "stations go forward, but the one before stands at 1 m"),
        ("x", 2, None, 1.0, "x", "stations go forward"),
        ("x", 2, None, np.nan, "x", "a station has a place"),
        ("x", 0, None, 0.4, "x", "the first station is the transom, x = 0"),
        ("x", 0, None, -0.4, "x", "the first station is the transom, x = 0"),
        ("keel", 1, 0, 0.02, "keel half-breadth", "the keel lies on the centreline"),
        ("keel", 0, 1, 0.25, "keel height", "heights count from the lower end of the transom"),
        ("keel", 0, 1, -0.01, "keel height", "heights count from the lower end of the transom"),
        ("keel", 3, 1, np.nan, "keel height", "every line has a length in metres at every station"),
        ("chine", 1, 0, -1.02, "chine half-breadth", "half-breadths count from the centreline outward"),
        ("chine", 2, 1, np.inf, "chine height", "every line has a length in metres at every station"),
        ("chine", 3, 1, 0.45, "chine height", r"the chine lies no lower than the keel \(0.5 m\)"),
        (
            "chine",
            1,
            1,
            1.5,
            "chine flat height",
            r"the chine flat lies no lower than the chine \(1.5 m\), or drops by",
        ),
        ("chine", 1, 0, 1.2, "chine flat half-breadth", r"the chine flat lies outside the chine \(1.2 m\)"),
        ("chine", 0, 1, 300.0, "chine height", "every line has a length in metres at every station, 200 at most"),
        ("sheer", 2, 1, 0.3, "sheer height", r"the sheer lies no lower than the chine flat \(0.395 m\)"),
        (
            "sheer",
            1,
            0,
            0.7,
            "sheer half-breadth",
            r"the sheer lies outside the chine flat \(1.07 m\), or leans inward",
        ),
    ],
)
def test_each_slip_is_named_once_with_its_station_and_line(line, station, column, value, where, expected):
    x, lines = good()
    if line == "x":
        x[station] = value
    else:
        lines[line][station, column] = value
    with pytest.raises(InputError, match=expected) as caught:
        StationTable(x, lines, "stations.csv", rows=(2, 3, 5, 6))
    (problem,) = caught.value.problems
    assert (problem.file, problem.row, problem.column) == ("stations.csv", (2, 3, 5, 6)[station], where)
    assert problem.level == "mend" and problem.mend
    with pytest.raises(InputError, match=rf"^stations station {station + 1} \(x = .* m\) {where}: read "):
        StationTable(x, lines)


def test_all_slips_at_once():
    x, lines = good()
    x[1] = 2.5
    lines["keel"][2, 0] = 0.1
    lines["chine"][0, 1] = np.nan
    lines["chine flat"][3, 0] = -0.2
    lines["sheer"][2, 1] = 0.1
    with pytest.raises(InputError, match="5 to mend, 0 to look at") as caught:
        StationTable(x, lines)
    assert len(caught.value.problems) == 5


def test_tumblehome_and_a_square_chine_are_no_slips():
    x, lines = good()
    lines["sheer"][:2, 0] = lines["chine flat"][:2, 0] - 0.15  # leans inward by a quarter of the height
    lines["chine flat"][1] = lines["chine"][1]  # the flat ends
    hull = hull_from_stations(StationTable(x, lines), RAKE)
    assert hull.solid.volume > 0


def test_a_sheer_on_the_keel_is_a_slip():
    with pytest.raises(InputError, match=r"station 2 .* sheer height.*the sheer lies above the keel"):
        table([0.0, 1.0, 2.0], keel=(0, [0, 0.5, 1.0]), sheer=(1, [1, 0.5, 1.0]))


@pytest.mark.parametrize(
    ("x", "lines", "match"),
    [
        ([0.0], {"keel": [[0, 0]], "sheer": [[1, 1]]}, r"1 station\(s\); a hull takes two or more"),
        ([], {}, r"0 station\(s\)"),
        ([0.0, 1.0], {"keel": [[0, 0]] * 2}, r"line\(s\) keel; a hull takes at least keel and sheer"),
        ([0.0, 1.0], {}, r"line\(s\) none"),
        ([0.0, 1.0], {"keel": [[0, 0]] * 2, "sheer": [[1, 1]] * 3}, r"sheer has shape \(3, 2\), expected \(2, 2\)"),
        ([0.0, 1.0], {"keel": [[0, 0]] * 2, "sheer": [["a", 1]] * 2}, "sheer holds something that is no number"),
    ],
)
def test_what_is_no_table(x, lines, match):
    with pytest.raises(InputError, match=match):
        StationTable(x, lines)
    with pytest.raises(InputError, match=r"stations: 1 row numbers for 2 stations"):
        StationTable([0.0, 1.0], {"keel": [[0, 0]] * 2, "sheer": [[1, 1]] * 2}, rows=(2,))


@pytest.mark.parametrize(
    ("options", "match"),
    [
        (
            {"transom_rake": 14.0},
            r"transom_rake = 14 rad is not from 0 to 60 degrees.*given in degrees\? use np.radians",
        ),
        ({"transom_rake": -0.1}, "transom_rake = -0.1 rad"),
        ({"transom_rake": np.nan}, "transom_rake = nan must be one finite number in rad"),
        ({"slices_per_bay": 2.7}, "slices_per_bay = 2.7 must be a whole number"),
        ({"transom_rake": None}, "transom_rake = None must be one finite number"),
        ({"loft": "wavy"}, "loft = 'wavy' is neither"),
        ({"slices_per_bay": 0}, "slices_per_bay = 0 must be a whole number, 1 or more"),
        ({"gap_level": 0.0}, r"gap_level = 0 m does not lie above the keel \(0 m\)"),
    ],
)
def test_lofts_that_cannot_be(options, match):
    with pytest.raises(InputError, match=match):
        hull_from_stations(vee(), **{"transom_rake": 0.0, **options})


def test_a_chine_flat_under_the_lower_end_of_the_transom_meets_no_raked_transom():
    low = table([0.0, 2.0], keel=(0, 0), chine=(1, 0), chine_flat=(1.1, -0.03), sheer=(1.1, 0.5))
    assert hull_from_stations(low, 0.0).solid.volume > 0
    with pytest.raises(InputError, match=r"at the first station the chine flat lies at -0.03 m, under the lower end"):
        hull_from_stations(low, RAKE)


def test_lines_are_asked_only_within_the_stations():
    with pytest.raises(InputError, match=r"x\[1\] = 5.1 m lies beyond the stations, 0 to 5 m"):
        vee().at([0.0, 5.1], "smooth")
    assert_allclose(vee().at(2.0, "straight")[0], [[2, 0, 0], [2, 1, 0.4], [2, 1, 1]], rtol=0, atol=1e-15)
