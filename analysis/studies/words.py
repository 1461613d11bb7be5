"""What a result says, in the reader's words: findings for titles, cautions for feet, millimetres for labels.

All sentences are made from the case; none says that a boat is good enough. `system` is "metric" or "us".
"""

from __future__ import annotations

from collections.abc import Sequence

from analysis.studies.floats import Case
from analysis.studies.plans import AS_FOUND
from hullcalc.boats.limits import STANDING_CARE, say_list
from hullcalc.units import factor, say_heel, say_height, say_length_mm, say_trim

AT_THE_WATER = 0.004  # m; nearer to the water than a mark can be taped, unless the mark says otherwise


def capital(sentence: str) -> str:
    """The sentence with a capital letter first."""
    return sentence[:1].upper() + sentence[1:]


def the_plan(plan: str) -> str:
    """How a plan is spoken of: "the first plan", "as found she", "this choice of packages"."""
    if plan == AS_FOUND:
        return "as found she"
    if plan.startswith("own choice"):
        return "this choice of packages"
    return plan if plan.startswith("the ") else f"the {plan}"


def attitude(case: Case) -> str:
    """The boat's attitude with spaces shut: "1.9° bow up, 0.9° to port"."""
    return f"{say_trim(float(case.shut.trim))}, {say_heel(float(case.shut.heel))}"


def finding(cases: Sequence[Case], system: str = "metric") -> str:
    """The finding of a picture that shows these cases of one condition: a title without a full stop."""
    clauses = [verdict(case, system) for case in cases]
    return f"{capital(cases[0].condition)}: {'; '.join(clauses)}"


def verdict(case: Case, system: str = "metric") -> str:
    """What the plan does in this condition, spaces shut, worst first: a clause without a figure where water comes in."""
    plan = the_plan(case.plan)
    if case.shut.status == "capsizes":
        return f"{plan} comes to rest with the deck over 60° from level"
    if case.shut.status == "lolls":
        return f"{plan} does not stay upright"
    below = [name for name in case.under if case.heights_shut[name] < -_blur(case, name)]
    sole = [name for name in case.watched(["sole"]) if case.heights_shut[name] < -_blur(case, name)]
    if sole and case.entered:
        return f"{plan} puts water on the sole" if plan != "as found she" else "as found water stands on the sole"
    if below:
        verb = "puts" if case.plan != AS_FOUND else "has"
        return f"{plan} {verb} {_together(below)} under water"
    least = next(iter(case.watched()), None)
    if least is None:
        return f"{plan} has no mark to watch"
    if abs(case.heights_shut[least]) <= _blur(case, least):
        return f"{plan} has {least} just at the water"
    verb = "keeps" if case.plan != AS_FOUND else "has"
    return f"{plan} {verb} {least} {say_height(case.heights_shut[least], system)} water"


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
    for case in cases:
        if case.entered:
            said.append(_entered(case, system))
    unentered = [case for case in cases if case.under and not case.entered]
    for case in unentered:
        said.append(f"{capital(case.plan)}: not valid beyond {say_list(case.under)} under water.")
    if any(case.under for case in cases):
        said.append("Water at an opening at rest: stop and ask a naval architect.")
    else:
        said.append("Openings shut; none of them is under water.")
    said += STANDING_CARE
    if cases[0].boat.invented:
        said.append("Invented boat.")
    return " ".join(said)


def _entered(case: Case, system: str) -> str:
    """That figures are with a space shut, and where the boat rests with it open."""
    spaces = say_list(case.entered)
    least = min(case.watched(), key=lambda name: case.heights[name])
    rest = say_height(case.heights[least], system)
    return (
        f"{capital(case.plan)}: shown with the {spaces} shut, which holds only while {say_list(case.under)} "
        f"{'is' if len(case.under) == 1 else 'are'} plugged; open to the sea she rests with {least} {rest}."
    )


def say_change(mm: float, system: str = "metric") -> str:
    """A change in depth [mm, positive deeper]: "132 mm up", "42 mm deeper", "no change"."""
    figure = say_length_mm(abs(mm) / 1000, system)
    if figure[:2] == "0 ":
        return "no change"
    return f"{figure} {'deeper' if mm > 0 else 'up'}"


def small_unit(system: str) -> tuple[float, str]:
    """The unit of heights on axes: millimetres of one unit, and its name."""
    return (1.0, "mm") if system == "metric" else (1000 * factor("in", "length"), "in")
