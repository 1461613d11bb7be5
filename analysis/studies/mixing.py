"""The best mix of switches and knobs under limits, by mixed-integer linear programs about ever better points.

Figures of a boat (heights, trims, shares) are nearly straight lines in where her weights stand, so a program that is
exact for straight lines chooses switches and values; there the figures are worked out again, exactly, and the lines
drawn anew, until choice and figures stay. The programs are solved by scipy.optimize.milp (HiGHS), which is the same
each time it runs. What is returned was worked out exactly, never read off a line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, OptimizeResult, milp

from hullcalc.errors import InputError

ROUNDS, FREE_ROUNDS = 10, 5  # in all, and with the switches free
STEP = 0.02  # share of a knob's range for slopes
KEPT = 1e-4  # m, deg or share by which a limit may be missed: nobody can build nearer
SETTLED = 1e-4  # the same, between straight lines and exact figures
WORTH = 5e-4  # m that a further change must buy
HEIGHT, HOURS, COST = "height", "hours", "cost"
Values = tuple[np.ndarray, ...]
Figures = Callable[[np.ndarray, Values], np.ndarray]


@dataclass(frozen=True, eq=False)
class Knob:
    """A change that may be made: a switch if it has no values, else with values (k,) between limits once made."""

    name: str
    hours: float
    cost: float
    now: np.ndarray
    low: np.ndarray
    high: np.ndarray


@dataclass(frozen=True, eq=False)
class Limit:
    """A figure, or the lowest of those watched (row None), hours or cost, shall stay between `low` and `high`.

    `name` is in words, `say` puts one of its values in words.
    """

    name: str
    say: Callable[[float], str]
    row: int | str | None
    low: float = -np.inf
    high: float = np.inf


@dataclass(frozen=True, eq=False)
class Mix:
    """The best mix found: which changes are made, their values, the exact figures, hours, cost, lowest watched."""

    on: np.ndarray
    values: Values
    figures: np.ndarray
    hours: float
    cost: float
    lowest: float
    rounds: int


@dataclass(frozen=True, eq=False)
class _Lines:
    """Figures as straight lines: at + jump (on - on_at) + slope (values - values_at)."""

    on: np.ndarray
    values: np.ndarray  # all knobs' values in a row
    at: np.ndarray  # (m,)
    jump: np.ndarray  # (m, n)
    slope: np.ndarray  # (m, k)


class _Program:
    """The program of one problem; unknowns in a row: switches (n), values (k), the lowest watched height."""

    def __init__(
        self, knobs: Sequence[Knob], watched: Sequence[int], limits: Sequence[Limit], aim: str,
        exclusive: Sequence[Sequence[int]],
    ) -> None:  # fmt: skip
        self.knobs, self.watched, self.limits, self.aim = knobs, list(watched), list(limits), aim
        self.n, self.sizes = len(knobs), [len(knob.now) for knob in knobs]
        self.k = sum(self.sizes)
        self.owner = np.repeat(np.arange(self.n), self.sizes)
        self.now, self.low, self.high = (
            np.concatenate([np.zeros(0), *(getattr(knob, name) for knob in knobs)]) for name in ("now", "low", "high")
        )
        self.hours, self.cost = (np.array([getattr(knob, name) for knob in knobs]) for name in (HOURS, COST))
        self.together: list[tuple[np.ndarray, float]] = [(self._count(group), 1.0) for group in exclusive]

    def forbid(self, on: np.ndarray) -> None:
        """Not this choice of switches again."""
        self.together.append((np.where(on, 1.0, -1.0), float(on.sum()) - 1.0))

    def solve(
        self, lines: _Lines, limits: Sequence[Limit], fixed: np.ndarray | None = None, extreme: Limit | None = None,
        sign: float = 1.0,
    ) -> OptimizeResult:  # fmt: skip
        """Solve for these limits; with `extreme` its greatest (or, by `sign`, least) value is sought instead."""
        width = self.n + self.k + 1
        rows, lows, highs = self._rows(lines)
        for limit in limits:
            row, constant = self.row_of(lines, limit.row)
            rows.append(row)
            lows.append(limit.low - constant)
            highs.append(limit.high - constant)
        goal = self._goal() if extreme is None else -sign * self.row_of(lines, extreme.row)[0]
        on = (np.zeros(self.n), np.ones(self.n)) if fixed is None else (fixed.astype(float), fixed.astype(float))
        ends = [np.minimum(self.now, self.low), np.maximum(self.now, self.high)]
        bounds = Bounds(np.concatenate([on[0], ends[0], [-100.0]]), np.concatenate([on[1], ends[1], [100.0]]))
        whole = np.concatenate([np.ones(self.n), np.zeros(self.k + 1)])
        constraint = LinearConstraint(np.array(rows).reshape(-1, width), lows, highs)
        return milp(goal, integrality=whole, bounds=bounds, constraints=constraint, options={"mip_rel_gap": 0.0})

    def split(self, values: np.ndarray) -> Values:
        """Values in a row, knob by knob."""
        return tuple(np.split(values, np.cumsum(self.sizes)[:-1])) if self.n else ()

    def _rows(self, lines: _Lines) -> tuple[list[np.ndarray], list[float], list[float]]:
        rows, lows, highs = [], [], []
        for i in range(self.k):  # a value stands where it is while its switch is off, else between its limits
            for end, side in ((self.low, 1.0), (self.high, -1.0)):
                row = np.zeros(self.n + self.k + 1)
                row[self.n + i], row[self.owner[i]] = side, -side * (end[i] - self.now[i])
                rows.append(row)
                lows.append(side * self.now[i])
                highs.append(np.inf)
        for figure in self.watched:
            row, constant = self.row_of(lines, figure)
            row[-1] -= 1.0
            rows.append(row)
            lows.append(-constant)
            highs.append(np.inf)
        for row, most in self.together:
            rows.append(np.concatenate([row, np.zeros(self.k + 1)]))
            lows.append(-np.inf)
            highs.append(most)
        return rows, lows, highs

    def row_of(self, lines: _Lines, what: int | str | None) -> tuple[np.ndarray, float]:
        """Coefficients and constant of a figure, of hours or cost, or (None) of the lowest watched."""
        row = np.zeros(self.n + self.k + 1)
        if what is None:
            row[-1] = 1.0
            return row, 0.0
        if isinstance(what, str):
            row[: self.n] = self.hours if what == HOURS else self.cost
            return row, 0.0
        row[: self.n], row[self.n : -1] = lines.jump[what], lines.slope[what]
        return row, float(lines.at[what] - lines.jump[what] @ lines.on - lines.slope[what] @ lines.values)

    def _goal(self) -> np.ndarray:
        """What is made least: minus the lowest height with a little for each change; or hours or cost before that."""
        goal = np.concatenate([np.full(self.n, WORTH), np.zeros(self.k), [-1.0]])
        if self.aim == HEIGHT:
            return goal
        first, second = (self.hours, self.cost) if self.aim == HOURS else (self.cost, self.hours)
        scale = 1e-3 / max(float(second.max(initial=0.0)), 1.0)
        goal[: self.n] += 100.0 * first + 100.0 * scale * second
        return goal

    def _count(self, group: Sequence[int]) -> np.ndarray:
        row = np.zeros(self.n)
        row[list(group)] = 1.0
        return row


def best_of(
    figures: Figures, knobs: Sequence[Knob], watched: Sequence[int], limits: Sequence[Limit], aim: str = HEIGHT,
    exclusive: Sequence[Sequence[int]] = (), fits: Callable[[np.ndarray, Values], bool] = lambda on, values: True,
) -> Mix:  # fmt: skip
    """The mix with the highest of the lowest watched figures, or with the fewest hours or least cost.

    Parameters
    ----------
    figures
        (on (n,) bool, values by knob) -> figures (m,), exact; nan where there are none.
    watched
        Rows of the figures whose lowest counts.
    limits
        All of them are kept.
    aim
        "height", "hours" or "cost".
    exclusive
        Groups of knobs of which at most one is used.
    fits
        False for a mix that cannot be built though each of its knobs is within limits.

    Raises
    ------
    InputError
        Where no mix keeps all limits; it names the limit that bites and what can be had.
    """
    program = _Program(knobs, watched, limits, aim, exclusive)
    on, values = np.zeros(len(knobs), dtype=bool), tuple(np.array(knob.now) for knob in knobs)
    best, fixed = None, None
    for turn in range(1, ROUNDS + 1):
        lines = _lines(figures, program, on, values)
        answer = program.solve(lines, limits, fixed)
        if answer.x is None:
            if best is None and fixed is None:
                raise InputError(_what_bites(program, lines))
            break
        chosen = answer.x[: program.n] > 0.5
        new = program.split(np.where(chosen[program.owner], answer.x[program.n : -1], program.now))
        if not fits(chosen, new):
            program.forbid(chosen)
            continue
        exact = figures(chosen, new)
        found = Mix(chosen, new, exact, float(program.hours @ chosen), float(program.cost @ chosen),
                    float(np.min(exact[program.watched])), turn)  # fmt: skip
        if _keeps(found, limits) and (best is None or _better(found, best, aim)):
            best = found
        still = np.array_equal(chosen, on) and all(
            np.allclose(a, b, atol=1e-4) for a, b in zip(new, values, strict=True)
        )
        on, values = chosen, new
        if still and abs(found.lowest - answer.x[-1]) < SETTLED:
            break
        if turn >= FREE_ROUNDS:
            fixed = on if best is None else best.on
    if best is None:
        raise InputError(
            "no mix was found that keeps all limits once she is floated again, though straight lines promise one: "
            "loosen the tightest of them a little"
        )
    return best


def _lines(figures: Figures, program: _Program, on: np.ndarray, values: Values) -> _Lines:
    """Straight lines about a mix: what each switch and each value changes, worked out exactly at near points."""
    at = figures(on, values)
    jump, slope = np.zeros((len(at), program.n)), np.zeros((len(at), program.k))
    start = 0
    for j, knob in enumerate(program.knobs):
        size = len(knob.now)
        about = values[j] if on[j] else (knob.low + knob.high) / 2
        with_it, without = on.copy(), on.copy()
        with_it[j], without[j] = True, False

        def here(value: np.ndarray, which: np.ndarray = with_it, j: int = j) -> np.ndarray:
            return figures(which, (*values[:j], value, *values[j + 1 :]))

        made = at if on[j] else here(about)
        for i in range(size):
            room = knob.high[i] - knob.low[i]
            if room > 0:
                near = about.copy()
                near[i] += STEP * room * (1.0 if about[i] + STEP * room <= knob.high[i] else -1.0)
                slope[:, start + i] = (here(near) - made) / (near[i] - about[i])
        off = here(np.array(knob.now), without) if on[j] else at
        jump[:, j] = made - off - slope[:, start : start + size] @ (about - knob.now)
        start += size
    if not (np.all(np.isfinite(at)) and np.all(np.isfinite(jump)) and np.all(np.isfinite(slope))):
        raise InputError("she does not float with some of these changes made alone: take the one that sinks her out")
    return _Lines(on, np.concatenate([np.zeros(0), *values]), at, jump, slope)


def _keeps(mix: Mix, limits: Sequence[Limit]) -> bool:
    return all(limit.low - KEPT <= _value(mix, limit) <= limit.high + KEPT for limit in limits)


def _value(mix: Mix, limit: Limit) -> float:
    if limit.row is None:
        return mix.lowest
    if isinstance(limit.row, str):
        return mix.hours if limit.row == HOURS else mix.cost
    return float(mix.figures[limit.row])


def _better(one: Mix, other: Mix, aim: str) -> bool:
    def rank(mix: Mix) -> tuple[float, ...]:
        height = -mix.lowest + WORTH * mix.on.sum()
        return {HEIGHT: (height,), HOURS: (mix.hours, mix.cost, height), COST: (mix.cost, mix.hours, height)}[aim]

    return rank(one) < rank(other)


def _what_bites(program: _Program, lines: _Lines) -> str:
    """Which limits exclude every mix: each that alone, loosened, would leave one, with what can be had; or all."""
    limits = program.limits
    said = []
    for limit in limits:
        others = [other for other in limits if other is not limit]
        said += [
            f"{limit.name} (the {had} with the rest kept is {at})" for had, at in _had(program, lines, limit, others)
        ]
    if said:
        return f"the limits leave no mix: loosen {' or '.join(said)}"
    alone = [f"{one.name} (the {had} is {at})" for one in limits for had, at in _had(program, lines, one, [])]
    if alone:
        return f"the limits leave no mix: even alone nothing keeps {' nor '.join(alone)}"
    biting = list(limits)
    for limit in limits:  # drop each that is not needed to exclude everything
        fewer = [other for other in biting if other is not limit]
        if program.solve(lines, fewer).x is None:
            biting = fewer
    if not biting:
        return "no mix of these changes is possible at all: see which of them exclude each other"
    return f"the limits leave no mix: {' and '.join(limit.name for limit in biting)} cannot be kept together"


def _had(program: _Program, lines: _Lines, limit: Limit, others: Sequence[Limit]) -> list[tuple[str, str]]:
    """By how much a limit is missed while others are kept: ("most to be had", figure) at each end that is missed."""
    found = []
    for sign, end in ((1.0, limit.low), (-1.0, limit.high)):
        answer = program.solve(lines, others, extreme=limit, sign=sign) if np.isfinite(end) else None
        if answer is not None and answer.x is not None:
            row, constant = program.row_of(lines, limit.row)
            had = float(row @ answer.x + constant)
            if sign * (end - had) > 0:
                found.append(("most to be had" if sign > 0 else "least to be had", limit.say(had)))
    return found
