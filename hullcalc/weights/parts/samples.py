"""Plugs and squares cut from a boat, weighed: the mean of few samples and how well it is known.

The standard uncertainty of the mean of n samples is s / sqrt n (GUM type A, 4.2.3), widened for few samples by the
Student factor that keeps 68.27 % between its ends (GUM, Table G.2: 1.84 for two, 1.32 for three, 1.14 for five). It is
never taken under what is usual for this kind of sample over sqrt n: two plugs that happen to agree do not prove that
the rest of the boat is like them. One sample alone has the usual uncertainty (common practice, no source: 35 % for a
plug of soaked foam, 8 % for a square of wet plywood).

References
----------
JCGM 100:2008, Guide to the expression of uncertainty in measurement (GUM).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hullcalc.errors import InputError, require

ONE_PLUG = 0.35  # of a foam plug's density, standard
ONE_SQUARE = 0.08  # of a wet wood square's mass per area, standard
LEVEL = 0.6827  # of a normal distribution lies within one standard uncertainty


@dataclass(frozen=True)
class Mean:
    """The mean of samples, its standard uncertainty, their scatter, least and greatest, and the rule in words.

    `scatter` is the standard deviation of one sample; of one sample alone what is usual for its kind.
    """

    value: float
    u: float
    scatter: float
    least: float
    greatest: float
    number: int
    rule: str


def student_factor(degrees_of_freedom: int) -> float:
    """Half-width, in s / sqrt n, of the interval that holds 68.27 % of Student's t; GUM Table G.2."""
    from scipy.special import stdtrit  # here, as few need it and importing it takes a while

    if degrees_of_freedom < 1:
        raise InputError(f"degrees of freedom = {degrees_of_freedom} must be 1 or more; two samples have one")
    return float(stdtrit(degrees_of_freedom, (1 + LEVEL) / 2))


def u_of_mean(value: float, scatter: float, number: int, usual: float) -> float:
    """Standard uncertainty of the mean of `number` samples that scatter so, by the rule of this module.

    With the number of samples not cut yet it says what they would tell if they scattered like the first ones.
    """
    floor = usual * value / np.sqrt(number)
    return float(floor if number == 1 else max(floor, student_factor(number - 1) * scatter / np.sqrt(number)))


def mean_of(values: Sequence[float], usual: float, what: str, unit: str) -> Mean:
    """Mean of samples of one thing.

    Parameters
    ----------
    values : sequence of float
        One or more, all positive, any unit.
    usual : float
        Relative standard uncertainty of one such sample as a figure for the whole.
    what, unit : str
        Name of the samples and their unit, for messages.

    Raises
    ------
    InputError
        For no samples, or one that is not positive.
    """
    figures = np.asarray(values, dtype=float)
    if figures.ndim != 1 or not len(figures):
        raise InputError(f"{what}: there are no samples; cut and weigh one or more, or give low, likely and high")
    mend = "give its mass and its size, each with a unit"
    require((figures > 0) & np.isfinite(figures), what, figures, unit, "must be more than 0", mend)
    n, value = len(figures), float(figures.mean())
    scatter = usual * value if n == 1 else float(figures.std(ddof=1))
    u = u_of_mean(value, scatter, n, usual)
    if n == 1:
        rule = f"one sample: {100 * usual:.0f} %"
    elif u > usual * value / np.sqrt(n):
        rule = f"scatter of {n} samples over sqrt {n}, times {student_factor(n - 1):.2f} for so few"
    else:
        rule = f"{n} samples agree better than is usual: {100 * usual:.0f} % over sqrt {n}"
    return Mean(value, u, scatter, float(figures.min()), float(figures.max()), n, rule)
