"""Exercises of marine examinations, tutorials and problem sheets, each named beside its numbers.

Tonnes and metres unless said. Sheets whose printed answer slips say so.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

import hullcalc as hc
from hullcalc.floating import small_angle as sa
from hullcalc.geometry.makers import box
from hullcalc.weights.items import combine, item, remove


def test_angle_of_loll_tutorial():  # an angle-of-loll tutorial (2012), questions 1, 3, 4
    bm = 7.5e4 / (20000 / 1.025)
    assert_allclose(bm, 3.84375, rtol=1e-12)
    loll = np.degrees(sa.wall_sided_loll(-0.83, bm))
    assert_allclose(loll, 33.311641, rtol=1e-7)
    assert_allclose(loll, 33.31, atol=0.005)
    limit = np.degrees(sa.wall_sided_limit(9, 8, 20))  # half-breadth 9, freeboard 8, deep: the range of the formula
    assert_allclose(limit, 41.633539, rtol=1e-8)
    assert_allclose(limit, 41.6, atol=0.05)
    # 4: box L 100, B 12, draught 4, loll 25 degrees: GM -0.3262. Floated with that GM she lolls to 25 degrees.
    hull = box((-50, 50), (-6, 6), (0, 9))
    cut = hull.cut((0, 0, 1), 4.0)
    bm = cut.area_inertia[1, 1] / cut.volume
    gm = sa.wall_sided_gm_from_loll(np.radians(25), bm)
    assert_allclose(gm, -0.32616425, rtol=1e-7)
    assert_allclose(gm, -0.3262, atol=0.00005)
    state = hc.float_at_rest([hull], 1025.0 * cut.volume, (0, 0, cut.centroid[2] + bm - gm))
    assert state.status == "lolls"
    assert_allclose([state.heel, state.other.heel], [25.0, -25.0], atol=1e-7)


def test_loll_examples_of_course_slides():
    gm = 4.26 + 2.84 - 7.15
    assert_allclose(gm, -0.05, rtol=1e-9)
    loll = sa.wall_sided_loll(gm, 2.84)
    assert_allclose(np.tan(loll), 0.18765, atol=0.00001)
    assert_allclose(np.degrees(loll), 10.627772, rtol=1e-7)
    # 12,500 t, KG 7.84; 500 t off at 6.00; KB 3.95 and KM 7.85 after. Result not seen.
    ship = combine(
        [item("ship", 12500, (0, 0, 7.84), "data sheet"), remove(item("cargo", 500, (0, 0, 6.0), "data sheet"))]
    )
    gm, bm = 7.85 - ship.centre[2], 7.85 - 3.95
    assert_allclose(gm, -0.066666667, rtol=1e-8)
    assert_allclose(np.degrees(sa.wall_sided_loll(gm, bm)), 10.475682, rtol=1e-7)
    assert_allclose(sa.wall_sided_gm_at_loll(gm, bm), 0.13559338, rtol=1e-7)


def test_one_end_kept():  # a trim course sheet: F 20, A 21 ft to F 20, A 23 ft; TPI 55, MT1 988: 660 tons, 35.93 ft aft
    ends = (200.0, -200.0)  # halved trim: the length does not matter
    after = sa.draughts_after_loading([240, 252], ends, [660], [-35.92727], 0.0, 55, 988, 400)
    assert_allclose(after, [240, 276], atol=1e-5)
    assert_allclose(2 * 988 / 55, 35.92727, atol=5e-6)


def test_loading_condition_to_draughts():  # a marine engineer officer examination, July 2024; answers not printed
    parcels = [(4000, -2.5), (10000, 3.0), (1500, -2.0), (400, -8.0), (100, 10.0)]  # t, LCG forward of midships
    ship = combine([item(f"parcel {k}", w, (x, 0, 0), "data sheet") for k, (w, x) in enumerate(parcels)])
    assert_allclose(ship.mass, 16000, rtol=1e-12)
    assert_allclose(ship.centre[0], 0.925, rtol=1e-12)
    displacement = [15350, 16650]
    draught, per_cm, lcb, lcf = (
        np.interp(ship.mass, displacement, column) for column in ([8.00, 8.50], [175, 183], [2.10, 1.94], [0.60, -1.20])
    )
    assert_allclose([draught, per_cm, lcb, lcf], [8.25, 179, 2.02, -0.3], rtol=1e-12)
    # From even keel at that draught: the ship's weight goes to her LCG from where the buoyancy bears it.
    forward, aft = sa.draughts_after_loading(
        [draught] * 2, [60, -60], [-ship.mass, ship.mass], [lcb, ship.centre[0]], lcf, 1.0, 100 * per_cm, 120
    )
    assert_allclose(aft - forward, 0.97877095, rtol=1e-7)
    assert_allclose([forward, aft], [7.7581676, 8.7369385], rtol=1e-8)


def test_small_boxes():
    # A problem set: 24 x 6 m, 150 t, salt: 1.016 m. 7.5 m of draught from 1.006 to 1.025: 7.361 m.
    def draught(length, beam, tonnes, density):
        hull = box((0, length), (-beam / 2, beam / 2), (0, 9))
        state = hc.float_at_rest([hull], 1000 * tonnes, (length / 2, 0, 0.5), density=density)
        return -state.height_above_water((0, 0, 0))

    assert_allclose(draught(24, 6, 150, 1025.0), 1.0162602, rtol=1e-7)
    assert_allclose(draught(24, 6, 150, 1025.0), 1.016, atol=0.0005)
    assert_allclose(draught(100, 20, 100 * 20 * 7.5 * 1.006, 1025.0), 7.3609756, rtol=1e-7)
    assert_allclose(draught(100, 20, 100 * 20 * 7.5 * 1.006, 1025.0), 7.361, atol=0.0005)


def test_bilging_with_timber():
    # A problem set: box 150 x 20, draught 5, 15 m amidships holds timber of relative density 0.8 at 1.5 m³/t:
    # permeability 0.1667, draught 5.085 m.
    permeability = (1.5 - 1 / 0.8) / 1.5
    assert_allclose(permeability, 0.1667, atol=0.00005)
    sinkage = sa.lost_buoyancy_sinkage(15 * 20 * 5, 150 * 20, 15 * 20, permeability)
    assert_allclose(5 + sinkage, 5.0847458, rtol=1e-8)
    assert_allclose(5 + sinkage, 5.085, atol=0.0005)


def test_floating_block():
    # A textbook question on an answer site: body 4 x 2 x 1 m immersed 0.6 m: 47,088 N, MG 0.1333 m. The printed MG
    # takes the volume at full depth; at the immersed depth it is 0.3556 m.
    hull = box((-2, 2), (-1, 1), (0, 1))
    state = hc.float_at_rest([hull], 47088 / 9.81, (0, 0, 0.5), density=1000.0)
    assert_allclose(-state.height_above_water((0, 0, 0)), 0.6, rtol=1e-12)
    assert_allclose(state.gm_transverse, 0.35555556, rtol=1e-7)
    cut = hull.cut((0, 0, 1), 0.6)
    assert_allclose(cut.centroid[2] - 0.5 + cut.area_inertia[1, 1] / hull.volume, 0.1333, atol=0.0001)


def test_pontoons():
    # Two pontoon problems. 5 x 3 x 1.2 m immersed 0.8 with G at 0.6: 0.7375 m.
    hull = box((-2.5, 2.5), (-1.5, 1.5), (0, 1.2))
    state = hc.float_at_rest([hull], 1000 * 5 * 3 * 0.8, (0, 0, 0.6), density=1000.0)
    assert_allclose(state.gm_transverse, 0.7375, rtol=1e-9)
    # 7 x 3 m, 30 t, density 0.98 t/m³ (the sheet calls it sea water): depth 1.45, MB 0.517, G not above 1.242 m: the
    # sheet rounds the depth early, 1.4577 m exactly, so 0.003 apart.
    hull = box((-3.5, 3.5), (-1.5, 1.5), (0, 2.0))
    state = hc.float_at_rest([hull], 30e3, (0, 0, 1.0), density=980.0)
    draught = -state.height_above_water((0, 0, 0))
    assert_allclose(draught, 1.4577259, rtol=1e-7)
    assert_allclose(state.gm_transverse + 1.0 - draught / 2, 0.5145, rtol=1e-7)
    assert_allclose(state.gm_transverse + 1.0, 1.243363, rtol=1e-6)
    assert_allclose([state.gm_transverse + 1.0 - draught / 2, state.gm_transverse + 1.0], [0.517, 1.242], atol=0.003)


@pytest.mark.parametrize(("length", "breadth", "printed"), [(12, 16, 4096), (16, 12, 2304)])
def test_breadth_of_a_tank_counts_cubed(length, breadth, printed):  # an examination's answer sheet, two tanks
    assert_allclose(sa.rectangle_second_moment(length, breadth), printed, rtol=1e-12)


def test_tpc_of_the_top_waterplane():
    # Dubey, stability exercises, exercise 2, question 7 (a solution page): 5,995 m² at 6 m, salt: TPC 61.448.
    assert_allclose(sa.tpc(5995, 1025.0) / 1e5, 61.44875, rtol=1e-12)
