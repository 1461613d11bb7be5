"""Few samples: mean and uncertainty by hand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats

from hullcalc.errors import InputError
from hullcalc.weights.parts.samples import mean_of, student_factor


def test_three_plugs_by_hand():
    # 180, 270, 390: mean 280, deviations -100, -10, 110; s² = (10000 + 100 + 12100) / 2 = 11100.
    found = mean_of([180, 270, 390], 0.35, "plugs", "kg/m3")
    assert_allclose(found.value, 280, rtol=1e-12)
    # GUM Table G.2: 1.32 for two degrees of freedom and 68.27 %
    assert_allclose(found.u, 1.32 * np.sqrt(11100 / 3), rtol=0.005)
    assert (found.least, found.greatest, found.number) == (180, 390, 3)
    assert "1.32" in found.rule


def test_samples_that_agree_are_not_believed_further_than_is_usual():
    # 0.35 * 200 / sqrt 4 = 35, far over the scatter of 1.29 / 2
    found = mean_of([198.5, 199.5, 200.5, 201.5], 0.35, "plugs", "kg/m3")
    assert_allclose(found.u, 35, rtol=1e-12)
    assert "agree better than is usual: 35 % over sqrt 4" in found.rule


def test_one_sample_has_the_usual_uncertainty():
    found = mean_of([39.15], 0.08, "squares", "kg/m2")
    assert_allclose([found.value, found.u], [39.15, 0.08 * 39.15], rtol=1e-12)
    assert found.rule == "one sample: 8 %"


def test_the_interval_of_the_mean_covers_as_often_as_it_says():
    # Other road: sampling. mean ± u holds the truth in 68.27 % of 20,000 sets of three normal samples; binomial
    # standard deviation 0.33 %, so four of them.
    rng = np.random.default_rng(5)
    sets = rng.normal(280, 60, (20_000, 3))
    u = student_factor(2) * sets.std(axis=1, ddof=1) / np.sqrt(3)
    assert_allclose(np.mean(abs(sets.mean(axis=1) - 280) <= u), 0.6827, atol=4 * 0.0033)
    assert_allclose(student_factor(2), stats.t(2).ppf(0.84135), rtol=1e-9)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ([], "plugs: there are no samples; cut and weigh one or more"),
        ([180, 0, 390], r"plugs\[1\] = 0 kg/m3 must be more than 0"),
        ([180, np.nan], r"plugs\[1\] = nan kg/m3 must be more than 0"),
    ],
)
def test_samples_that_are_none(values, words):
    with pytest.raises(InputError, match=words):
        mean_of(values, 0.35, "plugs", "kg/m3")


def test_degrees_of_freedom():
    with pytest.raises(InputError, match="degrees of freedom = 0 must be 1 or more"):
        student_factor(0)
