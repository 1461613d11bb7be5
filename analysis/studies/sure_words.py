"""How sure we are, in the reader's words: the finding, whether straight lines hold, what to measure first."""

from __future__ import annotations

from analysis.studies.best_plan import BestPlan
from analysis.studies.chances import Agreement, Chance, say_chance, say_per_cent
from analysis.studies.sure import LOWEST, Sure
from analysis.studies.watching import EVERY, FIRST_ASKED
from analysis.studies.words import capital, the_plan
from hullcalc.boats.marks import KINDS
from hullcalc.units import factor, say_height, say_length_mm

FIRST = 2  # measurements named in the finding


def sure_finding(sure: Sure, system: str = "metric") -> str:
    """The finding of a plan and condition: height, doubt and its parts, chance; a sentence without a full stop."""
    row = sure.row(sure.watched)
    off, level, lean = (say_mm(row[column], system) for column in ("u_mm", "u_level_mm", "u_lean_mm"))
    parts = f" ({level} with her level, {lean} by what leans her)" if row["u_lean_mm"] > 0.05 * row["u_mm"] else ""
    return (
        f"{capital(sure.condition)}, {the_plan(sure.plan)}: {sure.watched} "
        f"{say_height(row['height_mm'] / 1000, system)} water, give or take {off}{parts}; "
        f"{wet_chance(sure)}"
    )


def wet_chance(sure: Sure, level: bool = False) -> str:
    """The chance that the mark told of is under water, in words and per cent."""
    return f"chance that {some_mark(sure)} is under water: {both_ways(sure.chance(sure.told, level))}"


def both_ways(chance: Chance) -> str:
    """A chance in words and in per cent."""
    words, per_cent = say_chance(chance), say_per_cent(chance)
    return f"{words}, {per_cent}" if words.endswith(")") else f"{words} ({per_cent})"


def some_mark(sure: Sure) -> str:
    """The mark whose chance is told: "sole aft port", "a mark of the sole", "a scupper mark", "one of 3 marks"."""
    if sure.told != LOWEST:
        return sure.watched
    if sure.of == EVERY:
        return "a mark"
    if sure.of not in KINDS:
        return f"one of {sure.of}"
    return "a mark of the sole" if sure.of == FIRST_ASKED else f"a {sure.of} mark"


def lowest_name(sure: Sure) -> str:
    """What the row of the lowest of several is called."""
    return "the lowest of all" if sure.of == EVERY else "the lowest of these"


def say_mm(mm: float, system: str) -> str:
    """Millimetres or inches and eighths with the unit."""
    return say_length_mm(mm / 1000, system)


def say_fine(mm: float, system: str) -> str:
    """A small difference without its unit, for a table that says it: tenths of a millimetre, hundredths of an inch."""
    return f"{mm / (1000 * factor('in', 'length')):.2f}" if system == "us" else f"{mm:.1f}"


def say_straight(sure: Sure, system: str = "metric") -> list[str]:
    """Whether straight lines tell the same as the draws, a sentence for all marks or for those where they do not."""
    bent = {mark: told for mark, told in sure.agreements.items() if not told.straight}
    said = []
    if len(bent) < len(sure.agreements):
        told = sure.agreements[sure.watched] if sure.watched not in bent else next(
            told for mark, told in sure.agreements.items() if mark not in bent
        )  # fmt: skip
        mark = sure.watched if sure.watched not in bent else next(m for m in sure.agreements if m not in bent)
        where = "Straight lines tell the same as the draws" if not bent else f"Straight lines hold at {mark}"
        said.append(
            f"{where}: give or take {say_fine(told.u_straight, system)} against {say_fine(told.u_drawn, system)} "
            f"{'in' if system == 'us' else 'mm'} at {mark}."
        )
    said += [
        f"At {mark} straight lines do not hold: {_how(told, system)}; go by the draws." for mark, told in bent.items()
    ]
    if sure.sunk:
        said.append(f"She sinks in {sure.sunk} of {sure.n} draws; those count as under water.")
    return said


def _how(told: Agreement, system: str) -> str:
    """In what way draws and straight lines differ."""
    unit, said = "in" if system == "us" else "mm", []
    if not told.same_u:
        u_straight, u_drawn = (say_fine(u, system) for u in (told.u_straight, told.u_drawn))
        said.append(f"the draws scatter by {u_drawn} {unit}, straight lines say {u_straight}")
    if not told.same_mean:
        off = told.mean_drawn - told.mean_straight
        said.append(f"their mean lies {say_fine(abs(off), system)} {unit} {'higher' if off > 0 else 'lower'}")
    return " and ".join(said)


def say_lowest(sure: Sure, system: str = "metric") -> str:
    """What becomes of the lowest of several marks when she may lean either way; "" for a single mark."""
    if sure.told != LOWEST:
        return ""
    row = sure.row(LOWEST)
    mean, likely = (say_height(row[column] / 1000, system) for column in ("drawn_mean_mm", "height_mm"))
    return (
        "The lowest of them follows no normal curve, so it is sampled: whichever way she leans, one mark goes down. "
        f"Its mean is {mean} water ({likely} with likely figures), and it scatters by "
        f"{say_mm(row['drawn_u_mm'], system)}."
    )


def what_first(sure: Sure, system: str = "metric") -> str:
    """What to measure first and what that leaves, a sentence without a full stop."""
    steps = sure.next.steps
    if not len(steps):
        return "No measurement of the list takes a tenth of a millimetre off"
    shown = steps.head(FIRST)
    last = shown.iloc[-1]
    names = "; then ".join(str(name) for name in shown["measure"])
    unit = "in" if system == "us" else "mm"
    return (
        f"Measure next: {names}. That is {last['minutes_so_far']:.0f} minutes, and the uncertainty at {sure.watched} "
        f"goes from {say_fine(sure.next.u_mm, system)} to {say_fine(last['u_mm'], system)} {unit}"
    )


def which_best(best: BestPlan) -> str:
    """Which plan stays best, a sentence without a full stop."""
    share = Chance(float(best.table["best_share"].iloc[0]), best.n)
    others = Chance(best.order_kept, best.n)
    tail = f"; all of them keep their order in {say_per_cent(others)} of the draws" if len(best.table) > 2 else ""
    return f"{capital(the_plan(best.best))} stands highest in {say_per_cent(share)} of the draws{tail}"


def say_marks(sure: Sure, system: str = "metric") -> list[str]:
    """A sentence for each mark and the lowest of them: height, doubt, where 95 of 100 draws lie, chance."""
    said = []
    for mark in sure.table["mark"]:
        row = sure.row(mark)
        ends = [
            "sinking" if end == -float("inf") else say_height(end / 1000, system)
            for end in (row["low_mm"], row["high_mm"])
        ]
        off = say_mm(row["drawn_u_mm"] if mark == LOWEST else row["u_mm"], system)
        said.append(
            f"{capital(lowest_name(sure)) if mark == LOWEST else capital(mark)}: "
            f"{say_height(row['height_mm'] / 1000, system)}, give or take {off}; 95 of 100 draws from {ends[0]} to "
            f"{ends[1]}; under water {both_ways(sure.chance(mark))}, with her level "
            f"{both_ways(sure.chance(mark, True))}."
        )
    return said
