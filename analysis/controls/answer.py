"""What comes of a choice: the boat floated with it, beside the boat as found with the same load, and both in words.

`solve` is pure: the same boat, crew and choice give the same answer. Heights are with spaces shut; where an opening is
under water the heights with the space open to the sea stand beside them.
"""

from __future__ import annotations

from dataclasses import dataclass

from analysis.controls.choice import Choice, Crew
from analysis.studies.floats import Case, float_case, meaning, sole_fall
from analysis.studies.plans import AS_FOUND
from analysis.studies.words import attitude, capital, caution, finding
from hullcalc.boats.boat import Boat
from hullcalc.boats.conditions import Condition
from hullcalc.boats.limits import say_list
from hullcalc.errors import NoEquilibriumError
from hullcalc.units import say_height, say_mass, say_position, say_volume

NUMBERS = ("nobody", "one", "two", "three", "four")


@dataclass(frozen=True, eq=False)
class Answer:
    """The case chosen and the same load in the boat as found; `idle` are packages that are on and change nothing."""

    case: Case
    as_found: Case | None  # None where the boat as found was chosen
    idle: tuple[str, ...]
    system: str

    @property
    def cases(self) -> tuple[Case, ...]:
        """The case chosen, then the one to compare it with, if any."""
        return (self.case,) if self.as_found is None else (self.case, self.as_found)


def solve(boat: Boat, crew: Crew, choice: Choice) -> Answer:
    """Float the boat as chosen, and as found with the same people and the same fills.

    Raises
    ------
    InputError
        For packages that exclude each other, or people the boat or the crew does not have.
    NoEquilibriumError
        If she sinks.
    """
    load = Condition(
        say_load(choice),
        fills={"fuel": choice.fuel / 100, "livewell": choice.livewell / 100},
        aboard=crew.aboard(choice.at_helm, choice.at_stern),
    )
    case = float_case(boat, choice.packages, load)
    as_found = None if case.plan == AS_FOUND else _float_as_found(boat, load)
    acting = {change.row.package for change in boat.changes(choice.packages)}
    idle = tuple(p for p in boat.packages if p in choice.packages and p not in acting)
    return Answer(case, as_found, idle, choice.system)


def _float_as_found(boat: Boat, load: Condition) -> Case:
    try:
        return float_case(boat, AS_FOUND, load)
    except NoEquilibriumError as sinks:
        raise NoEquilibriumError(f"the boat as found, to compare with: {sinks}", sinks.short_by_kg) from None


def say_load(choice: Choice) -> str:
    """The load in words: "two at the helm, two at the stern, fuel 95 %, livewell 95 %"."""
    fills = f"fuel {choice.fuel} %, livewell {choice.livewell} %"
    if choice.at_helm == choice.at_stern == 0:
        return f"nobody aboard, {fills}"
    helm, stern = (NUMBERS[n] if n < len(NUMBERS) else str(n) for n in (choice.at_helm, choice.at_stern))
    return f"{helm} at the helm, {stern} at the stern, {fills}"


def say_finding(answer: Answer) -> str:
    """What the choice does, as a sentence; beside the boat as found where they differ."""
    return f"{finding(answer.cases, answer.system)}."


def say_reading(answer: Answer) -> list[str]:
    """The reading, a sentence a line: first what the figures are not valid beyond, then the figures."""
    case, system = answer.case, answer.system
    said = [f"{capital(meaning(case))}."]
    if case.plan not in case.boat.plans:
        said.append(f"Packages: {' + '.join(p for p in case.boat.packages if p in case.packages)}.")
    if answer.idle:
        verb = "changes" if len(answer.idle) == 1 else "change"
        said.append(f"{capital(say_list(answer.idle))} {verb} nothing here: what it works on is not aboard.")
    said.append(f"{capital(case.plan)}: {_figures(case, system)}.")
    if answer.as_found is not None:
        said.append(f"As found, same load: {_figures(answer.as_found, system)}.")
    fall = sole_fall(case.marks, case.heights_shut)
    if fall is not None:
        said.append(f"{capital(fall.words)}.")
    said += [f"{capital(words)}." for words in _liquids(case, system)]
    said.append(f"Afloat in water of {case.boat.water_density:.0f} kg/m³.")
    return said


def _figures(case: Case, system: str) -> str:
    state = case.shut
    lcg = say_position(float(state.cg[0]), "x", system)
    return f"{say_mass(float(state.mass), system)} all told, LCG {lcg}; {attitude(case)}"


def _liquids(case: Case, system: str) -> list[str]:
    tanks = zip(case.state.loading.tanks, case.shut.liquids, strict=True)
    return [
        f"{tank.name} {say_volume(float(liquid.mass) / tank.density, system)}, "
        f"{say_mass(float(liquid.mass), system)} at {tank.density:.0f} kg/m³"
        for tank, liquid in tanks
        if liquid.mass > 0
    ]


def mark_table(answer: Answer) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Heads and rows in words: the marks that should stay above water, the least with spaces shut first.

    A column with the spaces open that water enters stands there only where it enters one; the boat as found only where
    she was not chosen. A mark that the boat as found does not have is left blank in her column.
    """
    case, other, system = answer.case, answer.as_found, answer.system
    names = case.watched()
    columns = {"mark": names, case.plan: [say_height(case.heights_shut[name], system) for name in names]}
    if case.entered:
        opened = f"{say_list(case.entered)} open to the sea"
        columns[opened] = [say_height(case.heights[name], system) for name in names]
    if other is not None:
        columns["as found, same load"] = [
            say_height(other.heights_shut[name], system) if name in other.heights_shut else "" for name in names
        ]
    return tuple(columns), list(zip(*columns.values(), strict=True))


def say_table(answer: Answer) -> list[str]:
    """The marks in plain text, columns in line."""
    heads, rows = mark_table(answer)
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    return ["  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in (heads, *rows)]


def say_caution(answer: Answer) -> str:
    """What the answer leaves out, fitted to the case chosen: what was shut, what was under, whom to ask."""
    return caution([answer.case], answer.system)


def say_all(answer: Answer) -> str:
    """The whole answer in plain text, a sentence or a mark a line."""
    lines = [say_finding(answer), *say_reading(answer), *say_table(answer), say_caution(answer)]
    return "\n".join(lines)
