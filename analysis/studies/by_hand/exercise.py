"""Exercises from a seed: the figures of a floated boat and a weight, a question, the hand's answer and the exact one.

The same boat and seed give the same exercise. Figures are rounded first and reckoned with as they are shown, so that a
reader with a calculator comes to the same answer; `exact` floats her with the weight as shown.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from analysis.studies.by_hand.change import Afloat, end_points
from analysis.studies.by_hand.sums import Sum, Writer
from hullcalc.boats.many import float_added
from hullcalc.errors import InputError, require
from hullcalc.floating.by_hand import hand_figures

NEAR = 0.02  # of the answer: as near as roundings on the way allow
LEAST_NEAR = 0.5  # mm, or hundredths of a degree


@dataclass(frozen=True)
class Exercise:
    """A question with its figures; `answer` and `exact` are in `unit`, `sum` is the worked answer."""

    seed: int
    question: str
    unit: str  # "mm deeper", "mm" or "hundredths of a degree"
    answer: float
    exact: float
    sum: Sum

    def check(self, given: float) -> str:
        """What to say to a reader's answer; raises InputError where it is no number."""
        require(np.isfinite(given), "answer", given, self.unit, "must be a number", "write it without its unit")
        near = max(NEAR * abs(self.answer), LEAST_NEAR)
        if abs(given - self.answer) <= near:
            return f"Right: {_said(self.answer)} {self.unit} by hand. Floated exactly it is {_said(self.exact)}."
        if abs(given + self.answer) <= near:
            return "The figure is right and the direction is not: which way does the weight turn her?"
        steps = ", then ".join(line.what for line in self.sum.lines if line.how)
        return f"Not yet. Work it line by line: {steps}."


def _said(value: float) -> str:
    return f"{'minus ' if value <= -0.05 else ''}{abs(value):.1f}"


def exercise(one: Afloat, seed: int) -> Exercise:
    """An exercise on a floated boat.

    Raises
    ------
    InputError
        If the seed is no whole number, zero or more.
    """
    if isinstance(seed, bool) or not isinstance(seed, int | np.integer) or seed < 0:
        raise InputError(f"seed = {seed!r} must be a whole number, zero or more; the same seed gives the same exercise")
    dice = np.random.default_rng(int(seed))
    kinds: tuple[Callable[[Afloat, int, np.random.Generator], Exercise], ...] = (_added, _shifted, _list)
    return kinds[int(seed) % len(kinds)](one, int(seed), dice)


def _round(value: float, digits: int) -> float:
    return round(float(value), digits)


def _added(one: Afloat, seed: int, dice: np.random.Generator) -> Exercise:
    """A weight comes aboard on the centreline: how much deeper lies the aft end?"""
    figures = hand_figures(one.state)
    hull = one.boat.hull.solid.bounds[:, 0]
    kg, x = float(dice.integers(4, 15) * 10), _round(dice.uniform(0.0, 0.8 * hull[1]), 1)
    (name, point), *_ = end_points(one.boat, one.loading).items()
    write = Writer("A weight comes aboard")
    weight, place = write.given("weight", kg, "mass"), write.given("its place, x", x, "length")
    per = write.given("TPC", _round(figures.tpc / 1000, 2) * 1000, "per length")
    lcf = write.given("LCF", _round(figures.lcf, 2), "length")
    moment = write.given("displacement × GM_L", _round(figures.mass * figures.gm_longitudinal, -1), "moment")
    at = write.given(f"{name}, x", _round(point[0], 2), "length")
    sunk = write.line("sinkage", kg / per.value, "small", "{0} / {1}", weight, per)
    slope = write.line("slope, by the bow", kg * (x - lcf.value) / moment.value, "number", "{0} × ({1} − {2}) / {3}",
                       weight, place, lcf, moment)  # fmt: skip
    deeper = write.line(f"{name}, deeper", sunk.value + slope.value * (at.value - lcf.value), "small",
                        "{0} + {1} × ({2} − {3})", sunk, slope, at, lcf)  # fmt: skip
    z = float(one.state.cg[2])
    after = float_added(one.loading, [[kg, kg * x, 0.0, kg * z]])
    exact = float(one.state.height_above_water(point) - after.states.height_above_water(point)[0])
    question = (
        f"{kg:.0f} kg come aboard at x = {x:.1f} m. TPC is {per.value / 1000:.2f} kg/mm, LCF {lcf.value:.2f} m, "
        f"displacement × GM_L {moment.value:.0f} kg m; {name} is at x = {at.value:.2f} m. How many millimetres deeper "
        "does it lie? (less than nothing: it rises)"
    )
    return Exercise(seed, question, "mm deeper", 1000 * deeper.value, 1000 * exact, write.done())


def _shifted(one: Afloat, seed: int, dice: np.random.Generator) -> Exercise:
    """A weight aboard is moved forward or aft: how far does the forward end go down?"""
    figures = hand_figures(one.state)
    kg, way = float(dice.integers(4, 15) * 10), _round(dice.choice([-1, 1]) * dice.uniform(0.5, 2.0), 1)
    *_, (name, point) = end_points(one.boat, one.loading).items()
    write = Writer("A weight aboard is moved along her")
    weight, far = write.given("weight", kg, "mass"), write.given("moved forward", way, "length")
    lcf = write.given("LCF", _round(figures.lcf, 2), "length")
    moment = write.given("displacement × GM_L", _round(figures.mass * figures.gm_longitudinal, -1), "moment")
    at = write.given(f"{name}, x", _round(point[0], 2), "length")
    slope = write.line("slope, by the bow", kg * way / moment.value, "number", "{0} × {1} / {2}", weight, far, moment)
    deeper = write.line(f"{name}, deeper", slope.value * (at.value - lcf.value), "small", "{0} × ({1} − {2})",
                        slope, at, lcf)  # fmt: skip
    after = float_added(one.loading, [[0.0, kg * way, 0.0, 0.0]])
    exact = float(one.state.height_above_water(point) - after.states.height_above_water(point)[0])
    direction = "forward" if way > 0 else "aft"
    question = (
        f"{kg:.0f} kg aboard are moved {abs(way):.1f} m {direction}. LCF is at {lcf.value:.2f} m, displacement × GM_L "
        f"is {moment.value:.0f} kg m; {name} is at x = {at.value:.2f} m. How many millimetres deeper does it lie? "
        "(less than nothing: it rises)"
    )
    return Exercise(seed, question, "mm deeper", 1000 * deeper.value, 1000 * exact, write.done())


def _list(one: Afloat, seed: int, dice: np.random.Generator) -> Exercise:
    """A weight aboard is moved to starboard: how far does she list?"""
    kg, across = float(dice.integers(4, 12) * 10), _round(dice.uniform(0.3, 1.0), 1)
    write = Writer("A weight aboard is moved across her")
    weight, far = write.given("weight", kg, "mass"), write.given("moved to starboard", across, "length")
    whole = write.given("displacement", _round(one.state.mass, 0), "mass")
    gm = write.given("GM, liquids free", _round(one.state.gm_transverse, 2), "length")
    gg1 = write.line("GG₁", kg * across / whole.value, "small", "{0} × {1} / {2}", weight, far, whole)
    turned = write.line("list", np.arctan(gg1.value / gm.value), "angle", "atan({0} / {1})", gg1, gm)
    after = float_added(one.loading, [[0.0, 0.0, -kg * across, 0.0]])
    exact = float(after.states.heel[0] - one.state.heel)
    question = (
        f"{kg:.0f} kg aboard are moved {across:.1f} m to starboard. Displacement is {whole.value:.0f} kg, GM "
        f"{gm.value:.2f} m. By how many hundredths of a degree does she list?"
    )
    return Exercise(seed, question, "hundredths of a degree", 100 * np.degrees(turned.value), 100 * exact, write.done())
