"""From names as typed to plans, conditions and marks of the boat; an unknown name is answered with those near it."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Sequence

from analysis.studies.plans import AS_FOUND, heaviest_condition
from analysis.studies.watching import FIRST_ASKED
from hullcalc.boats.boat import AnyPlan, Boat
from hullcalc.errors import InputError

JOIN = " + "


def choose_plans(boat: Boat, typed: Sequence[str] | None) -> dict[str, str | tuple[str, ...]]:
    """Plans by the name to show; all of the boat's where none is typed.

    "first plan + 9 mend: sole raised" is the packages of a plan and one more; a name that stands whole goes first.
    """
    if not typed:
        return {name: name for name in boat.plans}
    chosen: dict[str, str | tuple[str, ...]] = {}
    by_folded = {name.casefold(): name for name in boat.plans}
    for name in typed:
        plan = by_folded.get(name.casefold())
        chosen[plan or name] = plan or _put_together(boat, name)
    return chosen


def last_plan(boat: Boat, typed: str | None) -> tuple[str, AnyPlan]:
    """The plan typed, or the last of the folder: the name to show, and the plan."""
    return next(iter(choose_plans(boat, [list(boat.plans)[-1] if typed is None else typed]).items()))


def first_refit(boat: Boat, typed: str | None) -> AnyPlan:
    """The plan typed; else the first refit of the folder, or the boat as found where there is none."""
    if typed is not None:
        return next(iter(choose_plans(boat, [typed]).values()))
    return next((name for name in boat.plans if name != AS_FOUND and boat.packages_on(name)), AS_FOUND)


def _put_together(boat: Boat, typed: str) -> tuple[str, ...]:
    packages: dict[str, None] = {}
    for part in _parts(boat, typed):
        name = known(part, [*boat.plans, *boat.packages], "plan or package")
        packages |= dict.fromkeys(boat.plans[name].packages if name in boat.plans else (name,))
    boat.packages_on(tuple(packages))  # may exclude each other
    return tuple(packages)


def _parts(boat: Boat, typed: str) -> list[str]:
    """The names joined in what was typed; a name that holds the joint itself is taken whole."""
    words, parts = typed.split(JOIN), []
    names = {*boat.plans, *boat.packages}
    while words:
        longest = next((n for n in range(len(words), 1, -1) if JOIN.join(words[:n]).strip() in names), 1)
        parts.append(JOIN.join(words[:longest]).strip())
        words = words[longest:]
    return parts


def choose_conditions(boat: Boat, typed: Sequence[str] | None) -> list[str]:
    """Load conditions as typed, each once; all of the boat's where none is typed."""
    if not boat.conditions:
        raise InputError(
            f"{boat.name}: has no load condition to float in. Write a row in conditions.csv, such as light"
        )
    return [known(name, boat.conditions, "condition") for name in dict.fromkeys(typed or boat.conditions)]


def condition_or_heaviest(boat: Boat, plan: AnyPlan, typed: str | None) -> str:
    """The condition typed, or the one in which she is heaviest."""
    return heaviest_condition(boat, plan) if typed is None else choose_conditions(boat, [typed])[0]


def condition_or_first(boat: Boat, typed: str | None) -> str:
    """The condition typed, or the first of the folder."""
    return choose_conditions(boat, None if typed is None else [typed])[0]


def mark_or_kind(boat: Boat, plan: AnyPlan, typed: str | None) -> str | None:
    """The mark or kind typed; else the sole where it is marked, else None."""
    marks = boat.marks_in(plan)
    kinds = list(dict.fromkeys(mark.kind for mark in marks.values()))
    if typed is not None:
        return known(typed, [*kinds, *marks], "mark or kind of mark of this plan")
    return FIRST_ASKED if FIRST_ASKED in kinds else None


def choose_marks(boat: Boat, typed: Sequence[str] | None) -> list[str] | None:
    """Marks as typed, each once; None where none is typed."""
    if not typed:
        return None
    return [known(name, boat.marks, "mark") for name in dict.fromkeys(typed)]


def known(name: str, among: Collection[str], what: str) -> str:
    """The name if it is one of `among` (capital letters do not matter); else an InputError that says those near it."""
    if name in among:
        return name
    folded = {one.casefold(): one for one in among}
    if name.casefold() in folded:
        return folded[name.casefold()]
    near = difflib.get_close_matches(name.casefold(), folded, n=3, cutoff=0.5)
    near += [one for one in folded if name.casefold() in one and one not in near]
    listed = [repr(folded[one]) for one in near[:4]] or [repr(one) for one in among]
    hint = f"did you mean {' or '.join(listed)}?" if near else f"there are: {', '.join(listed)}"
    raise InputError(f"no {what} is called {name!r}; {hint}")
