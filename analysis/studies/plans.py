"""What the studies need to know of plans: which packages are in, and which steps lead from one plan to another."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.errors import InputError

AS_FOUND = "as found"


def name_of(boat: Boat, plan: AnyPlan) -> str:
    """What to call a plan: its name, the name of the plan with the same packages, or "own choice of packages"."""
    if isinstance(plan, str):
        return plan
    on = boat.packages_on(plan)
    return next((name for name in boat.plans if boat.packages_on(name) == on), "own choice of packages")


def short_package(package: str) -> str:
    """A package's name for reading: "4 engine" is "engine", "9 mend: sole raised" is "sole raised".

    The number puts packages in the yard's order, a word before a colon groups them.
    """
    return re.sub(r"^\s*(\d+[\s.)]*)?([^:]*:)?\s*(?=\S)", "", package) if re.search(r"[^\W\d]", package) else package


@dataclass(frozen=True)
class Step:
    """One player of a comparison: the packages that are on before the step and after it."""

    name: str
    before: frozenset[str]
    after: frozenset[str]


@dataclass(frozen=True)
class Way:
    """The way from one plan to another: packages on all along, and the steps in the order of the ledger."""

    kept: frozenset[str]
    steps: tuple[Step, ...]

    def packages(self, mask: int) -> frozenset[str]:
        """The packages that are on when the steps whose bits are set in `mask` have been made."""
        sides = (step.after if mask >> i & 1 else step.before for i, step in enumerate(self.steps))
        return self.kept.union(*sides)


def way_between(boat: Boat, start: AnyPlan, plan: AnyPlan) -> Way:
    """The steps from `start` to `plan`: a package put on or taken off, or a swap inside an exclusive group."""
    before, after = set(boat.packages_on(start)), set(boat.packages_on(plan))
    order = {package: i for i, package in enumerate(boat.packages)}
    steps, seen = [], set()
    for group in boat.exclusive:
        leaves, comes = (before - after) & set(group), (after - before) & set(group)
        if leaves or comes:
            seen |= leaves | comes
            swap = bool(leaves and comes)
            name = " in place of ".join([*sorted(comes), *sorted(leaves)]) if swap else _step_name(leaves, comes)
            steps.append(Step(name, frozenset(leaves), frozenset(comes)))
    for package in (before ^ after) - seen:
        leaves, comes = {package} & before, {package} & after
        steps.append(Step(_step_name(leaves, comes), frozenset(leaves), frozenset(comes)))
    steps.sort(key=lambda step: min(order[p] for p in step.before | step.after))
    return Way(frozenset(before & after), tuple(steps))


def _step_name(leaves: set[str], comes: set[str]) -> str:
    return " + ".join([*sorted(comes), *(f"without {package}" for package in sorted(leaves))])


def heaviest_condition(boat: Boat, plan: AnyPlan) -> str:
    """The condition in which she is heaviest with her liquids, the first of the file among equals.

    Conditions that hold something open to the sea do not count unless there are no others. Raises InputError where the
    boat has no condition.
    """
    ordinary = [name for name, said in boat.conditions.items() if not said.open] or list(boat.conditions)
    if not ordinary:
        raise InputError(
            f"{boat.name}: has no load condition to float in. Write a row in conditions.csv, such as light"
        )

    def mass(condition: str) -> float:
        loading = boat.loading(plan, condition)
        full = ((1.0 if tank.fill is None else tank.fill) * tank.solid.volume * tank.density for tank in loading.tanks)
        return round(loading.mass + sum(full), 6)

    return max(ordinary, key=mass)
