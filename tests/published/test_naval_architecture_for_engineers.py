"""Two examples of Stokoe, Reed's Naval Architecture for Marine Engineers, as quoted in an exam bank.

Answers are not printed there; drafts of the second are from memory of the book (5.959 and 5.421 m). Tonnes, metres.
"""

from numpy.testing import assert_allclose

from hullcalc.floating import small_angle as sa
from hullcalc.weights.items import combine, item


def test_five_parcels():  # ch. 4, example 1
    tonnes_and_kg = [(2000, 2), (3000, 5), (1000, 8), (2000, 10), (500, 14)]
    ship = combine([item(f"parcel {k}", w, (0, 0, z), "data sheet") for k, (w, z) in enumerate(tonnes_and_kg)])
    assert_allclose(ship.centre[2], 54000 / 8500, rtol=1e-12)


def test_draughts_with_the_lcf_aft_of_midships():
    # Ch. 6, example 1: 5,000 t, 96 m, 5.60 m even, TPC 11.5, GM_L 105, LCF 2.4 m aft; 88 t added 31 m forward.
    per_metre_of_trim = sa.mct(5000, 105, 96)
    assert_allclose(per_metre_of_trim / 100, 54.6875, rtol=1e-12)
    forward, aft = sa.draughts_after_loading([5.6, 5.6], [48, -48], [88], [31], -2.4, 1150, per_metre_of_trim, 96)
    assert_allclose(forward - aft, 0.53745371, rtol=1e-7)
    assert_allclose([forward, aft], [5.9586849, 5.4212312], rtol=1e-8)
    assert_allclose([forward, aft], [5.959, 5.421], atol=0.0005)
