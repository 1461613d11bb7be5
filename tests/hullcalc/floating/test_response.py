"""The response at rest against differences of full floats, in every kind of boat."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from trial_bodies import BAIT, FUEL, HULL, POD, WELL

import hullcalc as hc

POINTS = np.array([[[0.0, 0.8, 0.6], [3.0, 0.0, 0.5]], [[5.0, -0.5, 1.0], [-0.2, -1.0, 0.9]]])
BOATS = {
    "hull": {"solids": HULL},
    "hull and pod": {"solids": [HULL, POD]},
    "open to the sea": {"solids": [HULL, POD], "flooded": [WELL]},
    "slack tanks": {"solids": HULL, "tanks": [hc.Tank("f", FUEL, 740, fill=0.5), hc.Tank("b", BAIT, 1025, fill=0.3)]},
    "standpipe": {
        "solids": HULL,
        "tanks": [hc.Tank("f", FUEL, 740, fill=0.5), hc.Tank("b", BAIT, 1025, level_at=(0.55, -0.75, 0.7))],
    },
}


@pytest.mark.parametrize("boat", BOATS)
@pytest.mark.parametrize("load", [(1500.0, (2.1, 0.03, 0.5)), (1900.0, (2.0, -0.06, 0.6))])
def test_response_is_the_derivative_of_full_floats(boat, load):
    mass, cg = load[0], np.array(load[1])

    def heights(weight):
        total = mass + weight[0]
        return hc.float_at_rest(mass=total, cg=(mass * cg + weight[1:]) / total, **BOATS[boat]).height_above_water(
            POINTS
        )

    response = hc.float_at_rest(mass=mass, cg=cg, **BOATS[boat]).response(POINTS)
    assert response.shape == (2, 2, 4)
    for entry in range(4):
        e = 0.05 * np.eye(4)[entry]  # 50 g, 50 g m: fourth-order differences, error about 1e-8 of the answer
        difference = (8 * (heights(e) - heights(-e)) - (heights(2 * e) - heights(-2 * e))) / (12 * 0.05)
        assert_allclose(response[..., entry], difference, rtol=0, atol=1e-7 * abs(response[..., entry]).max())


def test_weight_at_the_centre_of_flotation_sinks_her_bodily():
    # Closed form: dm / (density x waterplane area) everywhere, for weight on the vertical through F.
    state = hc.float_at_rest(HULL, 1500, (2.1, 0, 0.5))
    rise = state.response(POINTS) @ np.array([1, *state.flotation])
    assert_allclose(rise, -1 / (1025 * state.waterplane_area), rtol=1e-9)


def test_neutral_balance_answers_nan_not_rubbish():
    # A box whose KM equals KG: no stiffness in heel, so no response to an offset weight exists.
    from hullcalc.geometry.makers import box

    hull, draught = box((-3, 3), (-1, 1), (0, 2)), 0.5
    km = draught / 2 + 2**2 / (12 * draught)
    state = hc.float_at_rest(hull, 12 * draught * 1025, (0, 0, km))
    answer = state.response([0.0, 1.0, 1.0])
    assert not np.any(np.isinf(answer))
    assert abs(state.gm_transverse) < 1e-9
