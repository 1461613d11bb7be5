"""Brackets: pods by hand, by another library's cut, and what no bracket is."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from numpy.testing import assert_allclose
from scipy.spatial import ConvexHull, HalfspaceIntersection

from hullcalc.errors import InputError
from hullcalc.weights.parts import bracket as b
from hullcalc.weights.parts.part import line

LEVEL = (0.0, 0.0, 1.0)
DEMO = {"rake": np.radians(14), "top": 0.58, "depth": 0.44, "length": 0.7154, "width": 0.60, "depth_aft": 0.27,
        "width_aft": 0.52, "length_at_bottom": 0.765}  # fmt: skip


def sheet(mass=52.0, at=(-0.55, 0.0, 0.5)):
    return [line("b", "sheet", f"{mass:g} kg", mass, at, "data sheet")]


def cut_by_libraries(body, normal, offset):
    """Volume and centroid under a plane: half-spaces met by one general library, their hull measured by another."""
    planes = np.vstack([ConvexHull(body.vertices).equations, [*normal, -offset]])
    inside = body.vertices[np.argmin(body.vertices @ normal)] * 0.9 + body.centroid * 0.1
    part = trimesh.convex.convex_hull(HalfspaceIntersection(planes, inside).intersections)
    return part.volume, part.center_mass


def test_a_pod_on_an_upright_transom_lifts_as_a_box():
    # By hand: 0.7 x 0.6 m, immersed 0.2 m deep: 84 L, 86.1 kg of sea water at half its length and depth.
    body = b.pod(0.0, 0.5, 0.4, 0.7, 0.6)
    made = b.bracket("b", sheet(), body, basis="data sheet")
    assert body.volume == pytest.approx(0.7 * 0.6 * 0.4, rel=1e-12)
    lift = made.net_lift(LEVEL, 0.3, 1025.0)
    assert lift.pod.volume == pytest.approx(0.084, rel=1e-12)
    assert_allclose(lift.pod.centre, [-0.35, 0, 0.2], atol=1e-12)
    assert lift.net == pytest.approx(86.1 - 52, rel=1e-12)
    assert_allclose(lift.net_moment, [86.1 * -0.35 + 52 * 0.55, 0, 86.1 * 0.2 - 52 * 0.5], atol=1e-10)


def test_on_a_raked_transom_it_is_the_box_sheared():
    # A front and an aft face parallel to the transom: shearing keeps the volume, and moves x by -z tan(rake).
    rake = np.radians(14)
    body = b.pod(rake, 0.58, 0.44, 0.7, 0.6)
    assert body.volume == pytest.approx(0.44 * 0.7 * 0.6, rel=1e-12)
    assert_allclose(body.centroid, [-0.35 - 0.36 * np.tan(rake), 0, 0.36], atol=1e-12)
    front = body.vertices[np.argsort(-body.vertices[:, 0] - body.vertices[:, 2] * np.tan(rake))[:4]]
    assert_allclose(front[:, 0], -front[:, 2] * np.tan(rake), atol=1e-12)  # it lies on the transom


@pytest.mark.parametrize(
    ("normal", "offset"), [((0, 0, 1), 0.43), ((0.03, 0.02, 0.9993), 0.40), ((0.1, -0.3, 1.9), 0.9)]
)
def test_a_tapered_pod_against_general_libraries(normal, offset):
    body = b.pod(**DEMO)
    volume, centre = cut_by_libraries(body, normal, offset)
    found = b.bracket("b", sheet(), body, basis="data sheet").net_lift(normal, offset, 1000.0).pod
    assert 0.02 < volume < body.volume
    assert found.volume == pytest.approx(volume, rel=1e-9)
    assert_allclose(found.centre, centre, atol=1e-9)


def test_the_demonstration_pod_has_the_litres_of_its_data():
    # Corners as in the boat's data, "0.144 m3": the same eight points from a few tape measures.
    body = b.pod(**DEMO)
    corners = {(-0.035, 0.30, 0.14), (-0.145, 0.30, 0.58), (-0.80, 0.26, 0.31), (-0.86, 0.26, 0.58)}
    port = {tuple(np.round(v, 3)) for v in body.vertices if v[1] > 0}
    assert port == {tuple(np.round(c, 3)) for c in corners}
    assert body.volume == pytest.approx(0.144, abs=0.0005)


def test_flooded_or_without_a_pod_it_only_weighs():
    body = b.pod(0.0, 0.5, 0.4, 0.7, 0.6)
    flooded = b.bracket("b", sheet(), body, basis="data sheet").net_lift(LEVEL, 0.3, 1025.0, flooded=True)
    bare = b.bracket("b", sheet(), None, basis="data sheet").net_lift(LEVEL, 0.3, 1025.0)
    for one in (flooded, bare):
        assert (one.pod.volume, one.net) == (0.0, -52.0)
        assert_allclose(one.net_moment, [52 * 0.55, 0, -26])


def test_openings_and_a_slow_leak():
    body = b.pod(0.0, 0.5, 0.4, 0.7, 0.6)
    made = b.bracket("b", sheet(), body, basis="data sheet", openings={"hatch": (-0.3, 0.0, 0.45)})
    assert made.opening_heights(LEVEL, 0.3) == pytest.approx({"hatch": 0.15})
    assert made.opening_heights((0, 0, 2.0), 0.6) == pytest.approx({"hatch": 0.15})  # any length of the normal
    assert made.litres_below("hatch", LEVEL) == pytest.approx(0.7 * 0.6 * 0.35, rel=1e-12)
    with pytest.raises(InputError, match="no opening 'drain'; there are: hatch"):
        made.litres_below("drain", LEVEL)


def test_plates_of_a_box_pod_by_hand():
    # 2 (0.7 x 0.6 + 0.7 x 0.4 + 0.6 x 0.4) m² of 5 mm at 2660 kg/m³, and 3 % of welds.
    plates = b.shell_plates(b.pod(0.0, 0.5, 0.4, 0.7, 0.6), 0.005, 2660.0)
    lines = b.plate_lines("b", plates, 0.03)
    area = 2 * (0.7 * 0.6 + 0.7 * 0.4 + 0.6 * 0.4)
    made = b.bracket("b", lines, None, basis="calculated")
    assert float(made.item.mass) == pytest.approx(area * 0.005 * 2660 * 1.03, rel=1e-12)
    assert_allclose(made.item.centre, [-0.35, 0, 0.3], atol=1e-12)
    assert {p.what for p in plates} == {"pod, top", "pod, bottom", "pod, forward end", "pod, aft end",
                                       "pod, port side", "pod, starboard side"}  # fmt: skip
    # one drawing and one stock of plate: their errors add, 8 % of all of it, and not in squares
    shell = sum(float(one.item.mass) for one in lines[:-1])
    assert float(made.item.u_mass) == pytest.approx(np.hypot(0.08 * shell, 0.15 * 0.03 * shell), rel=1e-12)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [({"length": 0.0}, "length of the pod = 0 m must lie between 0 and 3 m"),
     ({"width": float("nan")}, "width of the pod"),
     ({"depth": 30.0}, "depth of the pod = 30 m"),
     ({"rake": 1.2}, "transom rake"),
     ({"length_at_bottom": -0.2}, "must lie aft of the transom"),
     ({"length_at_bottom": 0.05, "depth_aft": 0.44, "width_aft": 0.3}, None)],
)  # fmt: skip
def test_pods_that_are_none(wrong, words):
    if words is None:  # an aft face that leans far is odd but a body
        assert b.pod(**DEMO | wrong).volume > 0
        return
    with pytest.raises(InputError, match=words):
        b.pod(**DEMO | wrong)


def test_brackets_that_are_none():
    with pytest.raises(InputError, match="nothing to weigh"):
        b.bracket("b", [], None, basis="calculated")
    with pytest.raises(InputError, match="openings are given and no pod"):
        b.bracket("b", sheet(), None, basis="data sheet", openings={"hatch": (0, 0, 0)})
    with pytest.raises(InputError, match="thickness of plate = 5 m"):
        b.plate_lines("b", [b.Plate("side", 0.3, 5.0, 2660.0, np.zeros(3))])


def test_jack_plates_hold_no_air():
    made = b.jack_plate("j", "hydraulic", 0.15, (-0.2, 0, 0.6))
    assert made.body is None and any("0 L" in says for says in made.says)
    assert float(made.item.mass) == pytest.approx(24)  # 18 to 30 kg, common practice
    assert float(b.jack_plate("j", "manual", 0.15, (-0.2, 0, 0.6), 13.0).item.mass) == 13
    with pytest.raises(InputError, match="jack plate 'electric' is not known; write one of: manual, hydraulic"):
        b.jack_plate("j", "electric", 0.15, (0, 0, 0))
    with pytest.raises(InputError, match=r"setback = 0.76 m must lie between 0 and 0.6 m"):
        b.jack_plate("j", "manual", 0.76, (0, 0, 0))
