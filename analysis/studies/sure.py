"""How sure are we? How far each watched mark's height may be off, and the chance that it is under water.

All causes of `hullcalc.boats.causes` count. They are told in two parts: what is uncertain with her level (weights,
their places fore and aft and up, volumes, mark heights, the hull), and what leans her (places across the boat), which
lifts one side as it sinks the other. At one mark the two add in squares; the lowest of several marks is sampled, as it
is not normal: whatever way she leans, one of them goes down. Heights are with spaces shut, in mm, negative under water.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.stats import norm

from analysis.studies.best_plan import BestPlan, which_stays_best
from analysis.studies.chances import Agreement, Chance, agreement, chance_below
from analysis.studies.floats import Case, float_case
from analysis.studies.measure_next import MeasureNext, left_after, measure_next
from analysis.studies.shares import shares_of
from analysis.studies.watching import say_watched, watched_marks
from hullcalc.boats.boat import AnyCondition, AnyPlan, Boat
from hullcalc.boats.causes import Causes, all_causes
from hullcalc.errors import InputError, NoEquilibriumError

SAMPLES = 20_000
FEWEST = 500  # draws: fewer tell nothing of a chance
INTERVAL = (0.025, 0.975)
LOWEST = "lowest of them"


@dataclass(frozen=True, eq=False)
class Sure:
    """How sure the watched marks of one plan and condition are.

    `table` has a row a mark and, for several, one for the lowest of them: mark; height_mm with likely figures; mean_mm
    and u_mm by straight lines; u_level_mm and u_lean_mm, its two parts; drawn_mean_mm and drawn_u_mm, drawn_level_u_mm
    (leaning left out) by draws; low_mm and high_mm, ends of the 95 % interval; chance and chance_level, shares of draws
    under water, with all causes and with leaning left out; chance_straight, by the normal curve. For the lowest of
    several what belongs to straight lines is nan. `drawn` and `level` are the draws, (n, marks) mm.
    """

    case: Case  # with likely figures
    marks: tuple[str, ...]
    of: str  # how the watched marks are called together
    watched: str  # the lowest of them with likely figures
    measured: tuple[str, ...]  # measurements taken as done
    causes: Causes
    drawn: np.ndarray
    level: np.ndarray
    table: pd.DataFrame
    agreements: dict[str, Agreement]  # by mark
    shares: pd.DataFrame  # of the variance at `watched`, see `shares_of`
    next: MeasureNext  # at `watched`

    @property
    def boat(self) -> Boat:
        return self.case.boat

    @property
    def plan(self) -> str:
        return self.case.plan

    @property
    def condition(self) -> str:
        return self.case.condition

    @property
    def n(self) -> int:
        return len(self.drawn)

    @property
    def sunk(self) -> int:
        """Draws in which she sinks."""
        return int(np.sum(np.isnan(self.drawn[:, 0])))

    def row(self, mark: str) -> pd.Series:
        """The row of a mark, or of the lowest of them."""
        return self.table.set_index("mark").loc[mark]

    def chance(self, mark: str, level: bool = False) -> Chance:
        """The chance that a mark is under water; `level` leaves out what leans her."""
        return Chance(float(self.row(mark)["chance_level" if level else "chance"]), self.n)

    def draws_of(self, mark: str, level: bool = False) -> np.ndarray:
        """The draws of a mark or of the lowest of them [mm], shape (n,), without those in which she sinks."""
        drawn = self.level if level else self.drawn
        one = drawn.min(axis=1) if mark == LOWEST else drawn[:, self.marks.index(mark)]
        return one[np.isfinite(one)]

    @property
    def told(self) -> str:
        """The row that the finding is about: the lowest of the marks where there are several."""
        return LOWEST if len(self.marks) > 1 else self.watched


def how_sure(
    boat: Boat,
    plan: AnyPlan,
    condition: AnyCondition,
    marks: Sequence[str] | None = None,
    samples: int = SAMPLES,
    measured: Iterable[str] = (),
    seed: int = 0,
) -> Sure:
    """How sure a plan's marks are in a condition.

    Parameters
    ----------
    marks
        Names or kinds of the marks watched; None: the sole, see `watched_marks`.
    samples
        Draws.
    measured
        Measurements taken as done, by name as `measurements` offers them for this plan: their causes count for less.

    Raises
    ------
    InputError
        For a name that is not known, a mark that is not there in this plan, too few samples, or a boat of which no
        uncertainty is stated.
    NoEquilibriumError
        If she sinks with likely figures, shut or once water has come in.
    """
    if not (isinstance(samples, int | np.integer) and samples >= FEWEST):
        raise InputError(f"samples = {samples}: expected a whole number from {FEWEST}; 20000 take some seconds")
    all_of_it = all_causes(boat, plan, condition)
    names = tuple(watched_marks(all_of_it.loading.marks, marks))
    if not np.any(all_of_it.effects(names)):
        raise InputError(
            f"{boat.name}: nothing that is uncertain moves these marks, so there is no uncertainty to tell of; write "
            "what is not sure under [uncertainty] in boat.toml and in the columns u_mass_kg, u_x_mm ... of the tables"
        )
    likely = all_of_it.heights(names)
    watched = names[int(np.argmin(likely))]
    offered = measure_next(boat, plan, condition, all_of_it, watched).offered
    done = tuple(measured)
    causes = all_of_it.scaled(left_after(done, offered))
    upright = causes.without(lambda cause: cause.leans)
    drawn, level = (1000 * one.sample(names, samples, seed) for one in (causes, upright))
    agreements = _agreements(causes, names, drawn)
    return Sure(
        float_case(boat, plan, condition), names,
        say_watched(names, all_of_it.loading.marks), watched, done, causes, drawn, level,
        _table(causes, upright, names, drawn, level, agreements), agreements, shares_of(causes, watched, boat.people),
        measure_next(boat, plan, condition, causes, watched),
    )  # fmt: skip


def _agreements(causes: Causes, names: Sequence[str], drawn: np.ndarray) -> dict[str, Agreement]:
    u, mean = 1000 * np.sqrt(np.diag(causes.covariance(names))), 1000 * causes.means(names)
    return {name: agreement(drawn[:, i], u[i], mean[i]) for i, name in enumerate(names)}


def _table(
    causes: Causes, upright: Causes, names: Sequence[str], drawn: np.ndarray, level: np.ndarray,
    agreements: dict[str, Agreement],
) -> pd.DataFrame:  # fmt: skip
    u_level = 1000 * np.sqrt(np.diag(upright.covariance(names)))
    likely = 1000 * causes.heights(names)
    rows = []
    for i, name in enumerate(names):
        told = agreements[name]
        lean = np.sqrt(max(told.u_straight**2 - u_level[i] ** 2, 0.0))
        straight = norm.cdf(-told.mean_straight / told.u_straight) if told.u_straight > 0 else np.nan
        head = {"mark": name, "height_mm": likely[i], "mean_mm": told.mean_straight, "u_mm": told.u_straight}
        head |= {"u_level_mm": u_level[i], "u_lean_mm": lean, "chance_straight": float(straight)}
        rows.append(head | _of_draws(drawn[:, i], level[:, i]))
    if len(names) > 1:
        rows.append({"mark": LOWEST, "height_mm": likely.min()} | _of_draws(drawn.min(axis=1), level.min(axis=1)))
    return pd.DataFrame(rows)


def _of_draws(drawn: np.ndarray, level: np.ndarray) -> dict[str, float]:
    """Figures of one mark's draws (n,); where she sinks (nan) it is under water and has no height."""
    ends = np.quantile(np.where(np.isnan(drawn), -np.inf, drawn), INTERVAL, method="nearest")
    afloat, upright = drawn[np.isfinite(drawn)], level[np.isfinite(level)]
    return {
        "drawn_mean_mm": float(afloat.mean()) if len(afloat) else np.nan,
        "drawn_u_mm": float(afloat.std(ddof=1)) if len(afloat) > 1 else np.nan,
        "drawn_level_u_mm": float(upright.std(ddof=1)) if len(upright) > 1 else np.nan,
        "drawn_level_mean_mm": float(upright.mean()) if len(upright) else np.nan,
        "low_mm": float(ends[0]),
        "high_mm": float(ends[1]),
        "chance": chance_below(drawn).share,
        "chance_level": chance_below(level).share,
    }


def best_of(
    boat: Boat, plans: dict[str, AnyPlan], condition: AnyCondition, marks: Sequence[str] | None = None,
    samples: int = SAMPLES, seed: int = 0,
) -> tuple[BestPlan | None, tuple[str, ...]]:  # fmt: skip
    """Which of several plans stays best under the doubts, and what is to be said of those that take no part.

    None where fewer than two of them float and have a mark to watch.
    """
    cases: dict[str, Causes] = {}
    watched: dict[str, Sequence[str]] = {}
    notes = []
    for name, plan in plans.items():
        try:
            case = all_causes(boat, plan, condition)
            watched[name] = watched_marks(case.loading.marks, marks)
            cases[name] = case
        except NoEquilibriumError:
            notes.append(f"{name} sinks with likely figures")
        except InputError as missing:
            notes.append(f"{name} takes no part: {missing}")
    if len(cases) < 2:
        return None, tuple(notes)
    return which_stays_best(cases, watched, boat.condition(condition).name, samples, seed), tuple(notes)


def what_she_is_now(boat: Boat, plans: Iterable[str]) -> pd.DataFrame:
    """Mass and centre of plans with their standard uncertainties, without liquids in tanks: a row a plan.

    Columns plan, mass_kg, u_mass_kg, lcg_m, u_lcg_m, tcg_m, u_tcg_m, vcg_m, u_vcg_m, basis (of the boat as found).
    """
    rows = []
    for plan in plans:
        weight = boat.weight(plan)
        row = {"plan": plan, "mass_kg": float(weight.mass), "u_mass_kg": float(weight.u_mass)}
        for axis, at, u in zip("ltv", weight.centre, weight.u_centre, strict=True):
            row |= {f"{axis}cg_m": float(at), f"u_{axis}cg_m": float(u)}
        rows.append(row | {"basis": boat.as_found.basis})
    return pd.DataFrame(rows)
