"""The story of one boat: all the studies that its answer and its page are made of, each asked once.

The story is told for one load condition: unless said otherwise the heaviest that holds no space open to the sea. The
change is shared among packages for the first condition of the file, which is the boat as light as she gets. The refit
is the first plan after "as found", the mended plan the last one; a boat with one plan is mended from the packages that
are left over. What cannot be asked of a boat is left out, and said.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import pandas as pd

from analysis.studies.attribution import Attribution, which_change
from analysis.studies.floats import Case, FloatsStudy, how_she_floats
from analysis.studies.inputs import which_input
from analysis.studies.mends import Mends, what_mends
from analysis.studies.neutral import neutral_points
from analysis.studies.plans import AS_FOUND
from hullcalc.boats.boat import Boat
from hullcalc.errors import HullcalcError, InputError

T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class Story:
    """Everything that is told of a boat; None where a question could not be asked, with the reason in `notes`."""

    boat: Boat
    study: FloatsStudy
    condition: str  # the one the story is told for
    light: str  # the one the change is shared in
    refit: str | None  # the plan whose change is told
    change: Attribution | None
    mends: Mends | None
    neutral: pd.DataFrame | None  # of the last plan, in the condition
    notes: tuple[str, ...]

    @property
    def last_plan(self) -> str:
        return self.study.plans[-1]

    @property
    def told(self) -> list[Case]:
        """The cases of the told condition that float, in the order of the plans."""
        return [
            self.study.cases[p, self.condition] for p in self.study.plans if (p, self.condition) in self.study.cases
        ]

    @property
    def ordinary(self) -> list[str]:
        """The conditions that hold no space open to the sea."""
        return [name for name in self.study.conditions if not self.boat.conditions[name].open]

    def inputs(self, plan: str, mark: str) -> pd.DataFrame:
        """What moves a mark in the told condition, one standard uncertainty of each input: columns input and mm."""
        return which_input(self.boat, plan, self.condition, mark)


def uncertainty_mm(inputs: pd.DataFrame) -> float:
    """Standard uncertainty [mm] of a height from inputs that know nothing of each other (JCGM 100, 5.1.2)."""
    return math.hypot(*inputs["mm"])


def tell(boat: Boat, condition: str | None = None) -> Story:
    """Ask all the questions of a boat.

    Raises
    ------
    InputError
        If the condition is not known, or the boat has no condition to float in.
    """
    if not boat.conditions:
        raise InputError(
            f"{boat.name}: has no load condition to float in; write a row in conditions.csv, such as light"
        )
    if condition is not None:
        boat.condition(condition)
    study = how_she_floats(boat)
    told = condition or _heaviest(study)
    light = next(iter(c for c in boat.conditions if not boat.conditions[c].open), told)
    plans = [name for name in study.plans if name != AS_FOUND and boat.packages_on(name)]
    refit = plans[0] if plans else None
    notes: list[str] = []
    change = mends = None
    if refit is not None:
        change = _asked(lambda: which_change(boat, refit, light), "Which package did it", notes)
        if len(plans) > 1:
            mends = _asked(lambda: what_mends(boat, refit, plans[-1], told), "What mends it", notes)
        elif set(boat.packages) - boat.packages_on(refit):
            mends = _asked(lambda: what_mends(boat, refit, None, told), "What mends it", notes)
    neutral = _asked(lambda: neutral_points(boat, study.plans[-1], told), "Where weight does no harm", notes)
    return Story(boat, study, told, light, refit, change, mends, neutral, tuple(notes))


def _heaviest(study: FloatsStudy) -> str:
    """The condition in which she is heaviest, the first of the file among equals; flooded ones do not count."""
    ordinary = [c for c in study.conditions if not study.boat.conditions[c].open] or list(study.conditions)

    def heaviest(condition: str) -> float:
        return max((float(c.state.mass) for key, c in study.cases.items() if key[1] == condition), default=0.0)

    return max(ordinary, key=lambda condition: round(heaviest(condition), 6))


def _asked(question: Callable[[], T], what: str, notes: list[str]) -> T | None:
    try:
        return question()
    except HullcalcError as problem:
        notes.append(f"{what}: cannot be told, as {problem}")
        return None
