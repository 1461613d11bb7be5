"""What a result says, in the reader's words: findings for titles, cautions for feet, millimetres for labels.

All sentences are made from the case; none says that a boat is good enough. `system` is "metric" or "us".
"""

from __future__ import annotations

from collections.abc import Sequence

from analysis.studies.attribution import STERN, Attribution
from analysis.studies.floats import Case
from analysis.studies.plans import AS_FOUND
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.errors import InputError
from hullcalc.units import factor, say_heel, say_height, say_length_mm, say_trim

WHILE_PLUGGED = "the figures hold only while plugged"
AT_THE_WATER = 0.004  # m; nearer to the water than a mark can be taped, unless the mark says otherwise


def capital(sentence: str) -> str:
    """The sentence with a capital letter first."""
    return sentence[:1].upper() + sentence[1:]


def the_plan(plan: str) -> str:
    """How a plan is spoken of: "the first plan", "the boat as found", "this choice of packages"."""
    if plan == AS_FOUND:
        return "the boat as found"
    if plan.startswith("own choice"):
        return "this choice of packages"
    return plan if plan.startswith("the ") else f"the {plan}"


def attitude(case: Case) -> str:
    """The boat's attitude with spaces shut: "1.9° bow up, 0.9° to port"."""
    return f"{say_trim(float(case.shut.trim))}, {say_heel(float(case.shut.heel))}"


def finding(cases: Sequence[Case], system: str = "metric") -> str:
    """The finding of a picture that shows these cases of one condition: a title without a full stop."""
    said: dict[tuple[str, str, str], list[str]] = {}
    for case in cases:
        said.setdefault(verdict(case, system), []).append(the_plan(case.plan))
    clauses = [
        f"{say_list(plans)} {one if len(plans) == 1 else many} {rest}" for (one, many, rest), plans in said.items()
    ]
    return f"{capital(cases[0].condition)}: {'; '.join(clauses)}"


def verdict(case: Case, system: str = "metric") -> tuple[str, str, str]:
    """The worst to say of a plan in this condition, spaces shut: the verb for one and for many, and the rest."""
    if case.shut.status == "capsizes":
        return "comes", "come", "to rest with the deck over 60° from level"
    if case.shut.status == "lolls":
        return "does", "do", "not stay upright"
    if case.entered and any(case.heights_shut[name] < -_blur(case, name) for name in case.watched(["sole"])):
        return "puts", "put", "water on the sole"
    below = [name for name in case.under if case.heights_shut[name] < -_blur(case, name)]
    if below:
        return "puts", "put", f"{_together(below)} under water"
    least = next(iter(case.watched()), None)
    if least is None:
        return "has", "have", "no mark to watch"
    height = case.heights_shut[least]
    if abs(height) <= _blur(case, least):
        return "brings", "bring", f"{least} right to the water"
    if height < 0:
        return "puts", "put", f"{least} {say_height(height, system)} water"
    return "keeps", "keep", f"{least} {say_height(height, system)} water"


def _blur(case: Case, name: str) -> float:
    return case.marks[name].u_z or AT_THE_WATER


def _together(names: Sequence[str]) -> str:
    """ "both scuppers" for a pair, one name or "N openings" else."""
    if len(names) == 1:
        return names[0]
    stems = {stem(name) for name in names}
    return f"both {stems.pop()}s" if len(names) == 2 and len(stems) == 1 else f"{len(names)} openings"


def stem(name: str) -> str:
    """A mark's name without its side: "scupper port" is "scupper"."""
    words = name.split()
    return " ".join(words[:-1]) if len(words) > 1 and words[-1] in ("port", "starboard") else name


def side(name: str) -> str:
    """The side in a mark's name: "port", "starboard" or ""."""
    return name.removeprefix(stem(name)).strip()


def caution(cases: Sequence[Case], system: str = "metric") -> str:
    """What the picture of these cases leaves out, fitted to them: what was shut, what was under, whom to ask."""
    said: list[str] = []
    held = dict.fromkeys(name for case in cases for name in case.held_open)
    if held:
        said.append(f"{capital(say_list(list(held)))} held open to the sea.")
    said += _entered([case for case in cases if case.entered], system)
    for case in cases:
        if case.under and not case.entered:
            said.append(f"{capital(case.plan)}: with {say_list(case.under)} under water {WHILE_PLUGGED}.")
    if any(case.under for case in cases):
        said.append("Water at an opening at rest: stop and ask a naval architect.")
    elif any(case.state.loading.openings for case in cases):
        said.append("Openings shut; none of them is under water.")
    else:
        said.append("No opening is known, so nothing is said of water coming in.")
    said += STANDING_CARE
    if cases[0].boat.invented:
        said.append("Invented boat.")
    return " ".join(said)


def _entered(cases: Sequence[Case], system: str) -> list[str]:
    """That figures are with spaces shut which water enters, and where each case rests with them open."""
    if not cases:
        return []
    openings = list(dict.fromkeys(name for case in cases for name in case.under))
    shut = list(dict.fromkeys(name for case in cases for name in case.entered))
    rests = []
    for case in cases:
        least = min(case.watched(), key=lambda name: case.heights[name])
        over = "the deck over 60° from level" if case.state.status == "capsizes" else ""
        rests.append(f"{case.plan} with {over or f'{least} {say_height(case.heights[least], system)}'}")
    return [
        f"Shown with the {say_list(shut)} shut, which holds only while {say_list(openings)} "
        f"{'is' if len(openings) == 1 else 'are'} plugged. Open to the sea she rests: {'; '.join(rests)}."
    ]


def no_marks(case: Case) -> InputError:
    """The error of a picture that has no mark to show."""
    return InputError(
        f"{case.plan} of {case.boat.name} has no mark that should be above water, so there is none to draw; "
        "add scuppers, sole corners or other openings to marks.csv"
    )


def shares_caution(attribution: Attribution) -> str:
    """What an attribution leaves out: that shares are a convention, that openings were shut, and the standing care."""
    said = [
        "Each share is the mean over all orders of the packages, which work on each other: shares are a convention.",
        "Spaces kept shut in every step.",
        *STANDING_CARE,
    ]
    return " ".join([*said, "Invented boat."] if attribution.boat.invented else said)


def say_change(mm: float, system: str = "metric") -> str:
    """A change in depth [mm, positive deeper]: "132 mm up", "42 mm deeper", "no change"."""
    figure = say_length_mm(abs(mm) / 1000, system)
    if figure[:2] == "0 ":
        return "no change"
    return f"{figure} {'deeper' if mm > 0 else 'up'}"


def what_did_it(attribution: Attribution, system: str = "metric") -> str:
    """The finding of an attribution: the whole change and the packages that did most either way."""
    table = attribution.table
    place = "at the stern" if attribution.at == STERN else f"at {attribution.at}"
    total = say_change(attribution.total_mm, system)
    said = [f"{capital(attribution.plan)}, {attribution.condition}: {total} {place}"]
    if len(table):
        worst, best = table.loc[table["mean_mm"].idxmax()], table.loc[table["mean_mm"].idxmin()]
        parts = [f"{row['name']} {say_change(row['mean_mm'], system)}" for row in (worst, best)]
        if worst["mean_mm"] > 0 > best["mean_mm"]:
            said.append(" against ".join(parts))
        else:
            said.append("most of it " + parts[0 if attribution.total_mm > 0 else 1])
    return "; ".join(said)


def bare(words: str) -> str:
    """Millimetres or inches without their unit, where an axis gives it: "76 under", "132 up"."""
    return words.replace(" mm ", " ").replace(" in ", " ")


def small_unit(system: str) -> tuple[float, str]:
    """The unit of heights on axes: millimetres of one unit, and its word."""
    return (1.0, "mm") if system == "metric" else (1000 * factor("in", "length"), "inches")
